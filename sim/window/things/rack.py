"""The rack of cards beside the easel: seven that every printer cuts, and those one has cut oneself with the scissors."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from functools import partial
from itertools import groupby

import pygame
from pygame import Rect

from sim.window.kit.canvas import Canvas
from sim.window.standing.room import OneRoom
from sim.window.things.card_drawing import card_icon
from sim.window.things.cards import MOST_OWN, RACK, CutCard, taken
from sim.window.things.easel import Easel
from sim.window.things.in_room import InRoom
from sim.window.things.own_cards import keep_own_cards, read_own_cards

KEYS = 9  # cards that a digit calls: 1 to 9; 0 lays the card down


class Hook(InRoom):
    """A card on its hook: touch it and it is in the hand; touched again it hangs there."""

    key_of_words, control, cursor = "card", "cards", "grab"

    def __init__(self, room: OneRoom, number: int, card: Callable[[], CutCard | None], take: Callable[[CutCard], None]):
        super().__init__(room, f"card {number + 1}")
        self.number, self._card, self._take = number, card, take

    @property
    def shown(self) -> bool:
        """Whether a card hangs here."""
        return self._card() is not None and self.rect.w > 0

    def name(self) -> str:
        """Which card it is."""
        card = self._card()
        if card is None:
            return ""
        key = "own hole" if card.hole else "own card"
        return self.room.name(card.id) if not card.outline else self.room.line(key, number=number_of(card))

    def pressed(self) -> None:
        """Take it, or hang it up."""
        card = self._card()
        if card is not None:
            self._take(card)

    def draw(self, canvas: Canvas) -> None:
        """The card, and the key to call it by where there is one."""
        card, look, rect = self._card(), canvas.look, self.rect
        if card is None:
            return
        held = self.room.standing.card is not None and self.room.standing.card.card == card
        canvas.surface.blit(card_icon(look, rect.size, card, held), rect)
        if self.number < KEYS:
            number = str(self.number + 1)
            size = look.width(number, "small") + look.px(4), look.line_height("small")
            canvas.plate(Rect(rect.topleft, size), "", radius=3)
            canvas.text(number, (rect.x + look.px(2), rect.y), "small", "soft")
        if self.hot or held:
            pygame.draw.rect(canvas.surface, look.colour("lamp" if held else "soft"), rect, 1, border_radius=look.px(4))


class Scissors(InRoom):
    """With the scissors in hand, a line drawn on the easel becomes a card of one's own."""

    control = "cards"

    def __init__(self, room: OneRoom, easel: Easel):
        super().__init__(room, "scissors")
        self._easel = easel

    def pressed(self) -> None:
        """Take them up, or lay them down."""
        easel = self._easel
        easel.cutting = None if easel.cutting is not None else []
        if easel.cutting is not None:
            self.room.stand(card=None)
            self.room.say("draw round", holds=lambda: easel.cutting is not None)

    def draw(self, canvas: Canvas) -> None:
        """Two blades and two rings."""
        look, rect = canvas.look, self.rect
        colour = look.colour("lamp" if self._easel.cutting is not None else "soft")
        x, y, s = rect.centerx, rect.centery, min(rect.size) // 3
        for side in (-1, 1):
            pygame.draw.line(
                canvas.surface, colour, (x - side * s // 2, y + s // 2), (x + side * s // 2, y - s), max(2, look.px(2))
            )
            pygame.draw.circle(canvas.surface, colour, (x - side * s // 2, y + s * 3 // 4), s // 3, max(2, look.px(2)))
        if self.hot:
            pygame.draw.rect(canvas.surface, look.colour("soft"), rect, 1, border_radius=look.px(4))


def number_of(card: CutCard) -> int:
    """Return the number that a card of one's own was given when it was cut; 0 where it has none."""
    word = card.id.rpartition(" ")[2]
    return int(word) if word.isascii() and word.isdigit() else 0


def newest(cards: Sequence[CutCard]) -> tuple[CutCard, ...]:
    """Return the newest cards that the rack has hooks for; a piece and the card it was cut from stay together."""
    kept: tuple[CutCard, ...] = ()
    for pair in reversed([tuple(both) for _, both in groupby(cards, key=lambda card: card.outline)]):
        if len(kept) + len(pair) > MOST_OWN:
            break
        kept = (*pair, *kept)
    return kept


class Rack:
    """All hooks in a column at the right of the easel."""

    def __init__(self, room: OneRoom, easel: Easel):
        self.room, self.easel = room, easel
        self.own, trouble = read_own_cards(room.folder)
        if trouble:
            room.say_words(trouble, warn=True)
        self.hooks = [Hook(room, n, partial(self.card, n), self.take) for n in range(len(RACK) + MOST_OWN)]
        self.scissors = Scissors(room, easel)
        self._turned: dict[CutCard, float] = {}
        self.rect = Rect(0, 0, 0, 0)

    def card(self, number: int) -> CutCard | None:
        """Return the card on a hook, or None."""
        every = (*RACK, *self.own)
        return every[number] if number < len(every) else None

    def take(self, card: CutCard) -> None:
        """Take a card into the hand, at the place of the one before; the same again hangs it up."""
        held = self.room.standing.card
        if held is not None and held.card == card:
            self.room.stand(card=None)
            return
        self._say_foot()
        turned = self._turned.get(card)
        if held is not None and held.over:
            self.room.stand(card=taken(card, held.x_mm, held.y_mm, turned))
            return
        hand, easel = self.room.hand_at(), self.easel  # under the hand; beside the easel it waits out of the light
        over = bool(easel.rect.collidepoint(hand))
        now = self.room.darkroom.desk.now
        x, y = easel.plan.to_mm(hand) if over else (now.sheet_width_mm, now.sheet_height_mm / 2)
        self.room.stand(card=replace(taken(card, x, y, turned), over=over))

    def _say_foot(self) -> None:
        """With a card in the hand no hand is free for the foot switch's plate: its key is named."""
        room = self.room
        waits = lambda: room.standing.card is not None and room.darkroom.paper.piece is not None and not room.burning  # noqa: E731
        if room.darkroom.paper.piece is not None and not room.burning:
            room.say("card in hand", holds=waits)

    def remember_turn(self) -> None:
        """A card that is laid down keeps the turn that the hand gave it, until the end of the evening."""
        held = self.room.standing.card
        if held is not None:
            self._turned[held.card] = held.angle_deg

    def keep_cut(self) -> None:
        """Hang up both things that the scissors leave: the piece, which is in the hand, and the card with the hole."""
        cut, self.easel.cut = self.easel.cut, None
        held = self.room.standing.card
        if cut is None or held is None:
            return
        number = max(map(number_of, self.own), default=0) + 1
        piece = replace(cut, id=f"own card {number}")
        self.own = newest((*self.own, piece, replace(cut, id=f"own hole {number}", hole=True)))
        self.room.stand(card=replace(held, card=piece))
        last = len(RACK) + len(self.own)
        keys = [f" ({number})" if number <= KEYS else "" for number in (last - 1, last)]
        self.room.say("both hang", piece=keys[0], hole=keys[1])
        keep_own_cards(self.room.folder, self.own)

    def lay_out(self, rect: Rect) -> None:
        """Hooks from above to below; they move closer where there are many."""
        self.rect = rect
        count = len(RACK) + len(self.own) + 1
        each = min(self.room.px(50), rect.h // count)
        for n, hook in enumerate(self.hooks):
            there = n < count - 1
            hook.rect = Rect(rect.x, rect.y + n * each, rect.w, each - self.room.px(2)) if there else Rect(0, 0, 0, 0)
        self.scissors.rect = Rect(rect.x, rect.y + (count - 1) * each, rect.w, each - self.room.px(2))

    def draw_rail(self, canvas: Canvas) -> None:
        """The rail that the hooks hang on."""
        x = self.rect.centerx
        canvas.line((x, self.rect.y), (x, self.scissors.rect.y), "lamp-off", 2)
