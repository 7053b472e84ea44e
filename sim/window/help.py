"""Two sheets of paper laid over a place: what a control is for, and which key does what."""

from __future__ import annotations

from collections.abc import Sequence

import pygame
from pygame import Rect

from sim.window.chosen_keys import shown_chord
from sim.window.keys_of_every_place import FIXED_KEYS, ROOM_ACTIONS
from sim.window.kit.action import Action
from sim.window.kit.boxes import columns
from sim.window.kit.canvas import Canvas
from sim.window.kit.control import Control
from sim.window.kit.events import Event, Key
from sim.window.kit.look import Look
from sim.window.kit.question import dim
from sim.window.kit.screen import Screen
from sim.window.room import Room


class HelpCard:
    """Explains one control, or the place where one stands."""

    def __init__(self, room: Room, screen: Screen, control: Control | None):
        t = room.words.text
        self.at: Rect | None = control.rect.copy() if control else None
        if control is None:
            self.title = t("Where you are")
            self.words = t(
                screen.HELP.get("place", "Point at something, or walk to it with the Tab key, and ask again.")
            )
            self.state = ""
            return
        self.title = control.label or t("Here")
        self.words = t(screen.help_for(control))
        state = control.spoken()
        self.state = t("Set to: {value}", value=state) if state else ""
        if control.why_not:
            self.state = t("Locked: {why}", why=control.why_not)

    def draw(self, canvas: Canvas) -> None:
        """Draw the card near the control, wholly inside the window."""
        look, window = canvas.look, canvas.surface.get_rect()
        dim(canvas)
        width = look.px(420)
        inner = width - look.px(40)
        line = look.line_height("body")
        words = len(look.wrapped(self.words, inner)) * line
        state = len(look.wrapped(self.state, inner)) * line if self.state else 0
        card = Rect(0, 0, width, words + state + look.px(74))
        if self.at is not None:
            pygame.draw.rect(
                canvas.surface,
                look.colour("focus"),
                self.at.inflate(look.px(6), look.px(6)),
                2,
                border_radius=look.px(7),
            )
            card.topleft = (self.at.x, self.at.bottom + look.px(12))
            if card.bottom > window.bottom - look.px(8):
                card.bottom = self.at.top - look.px(12)
        else:
            card.center = window.center
        card.clamp_ip(window.inflate(-look.px(16), -look.px(16)))
        pygame.draw.rect(canvas.surface, look.colour("panel"), card, border_radius=look.px(8))
        pygame.draw.rect(canvas.surface, look.colour("soft"), card, 1, border_radius=look.px(8))
        x, y = card.x + look.px(20), card.y + look.px(16)
        y = canvas.text(self.title, (x, y), "title", "ink", room=inner, shorten=True).bottom + look.px(8)
        y = canvas.lines(self.words, Rect(x, y, inner, words)).bottom + look.px(6)
        if state:
            canvas.lines(self.state, Rect(x, y, inner, state), "body", "soft")


def key_rows(room: Room, screen: Screen) -> list[tuple[str, list[tuple[str, str]]]]:
    """Return everything a key does here, in groups of (keys as printed, what they do)."""
    t = room.words.text

    def listed(actions: Sequence[Action]) -> list[tuple[str, str]]:
        return [("  /  ".join(shown_chord(c) for c in room.keys.of(a)), t(a.label)) for a in actions]

    return [
        (t("At this place"), listed(screen.ACTIONS)),
        (t("Anywhere"), listed(ROOM_ACTIONS)),
        (t("In the controls"), [(shown_chord(chord), t(label)) for chord, label in FIXED_KEYS]),
    ]


def listed_chords(room: Room, screen: Screen) -> set[str]:
    """Return every chord that the key list shows here."""
    actions = (*screen.ACTIONS, *ROOM_ACTIONS)
    return {c for a in actions for c in room.keys.of(a)} | {c for c, _ in FIXED_KEYS}


class KeyList:
    """All keys, set in three columns; what does not fit goes on to a further page, never to smaller letters."""

    def __init__(self, room: Room, screen: Screen):
        self.t = room.words.text
        self.groups = key_rows(room, screen)
        self.page = 0
        self.pages = 1

    def turn(self, event: Event) -> bool:
        """Turn the page with the arrows; returns whether the list stays."""
        name = event.name if isinstance(event, Key) else ""
        steps = {"right": 1, "down": 1, "left": -1, "up": -1}.get(name, 0)
        self.page = max(0, min(self.pages - 1, self.page + steps))
        return bool(steps)

    def flow(self, look: Look, window: Rect) -> list[list[tuple[Rect, str, str]]]:
        """Return the pages: each a list of (where, key, words); a heading has no key."""
        sheet = window.inflate(-look.px(80), -look.px(56))
        body = Rect(sheet.x, sheet.y + look.px(34), sheet.w, sheet.h - look.px(34))
        slots = columns(body, [1, 1, 1], look.px(20))
        line, gap, wide = look.line_height("small"), look.px(4), min(slot.w for slot in slots)
        keys = min(wide * 2 // 5, look.px(118))
        pages: list[list[tuple[Rect, str, str]]] = [[]]
        slot, y = 0, body.y
        for title, found in self.groups:
            rows = [("", title), *found]
            for n, (key, words) in enumerate(rows):
                room = wide - (keys if key else 0)
                height = line * len(look.wrapped(words, room, "small")) if key else line + gap
                after = line * 2 if not key and n + 1 < len(rows) else 0  # a heading never stands alone at the foot
                if y + height + after > body.bottom:
                    slot, y = slot + 1, body.y
                    if slot == len(slots):
                        pages.append([])
                        slot = 0
                y += 0 if key or y == body.y else line // 2
                pages[-1].append((Rect(slots[slot].x, y, wide, height), key, words))
                y += height + gap
        return pages

    def draw(self, canvas: Canvas) -> None:
        """Draw the page over the whole window."""
        look, window = canvas.look, canvas.surface.get_rect()
        dim(canvas)
        sheet = window.inflate(-look.px(48), -look.px(32))
        pygame.draw.rect(canvas.surface, look.colour("panel"), sheet, border_radius=look.px(8))
        pygame.draw.rect(canvas.surface, look.colour("soft"), sheet, 1, border_radius=look.px(8))
        pages = self.flow(look, window)
        page = min(self.page, len(pages) - 1)
        at = (sheet.x + look.px(16), sheet.y + look.px(12))
        title = canvas.text(self.t("Keys"), at, "title")
        if len(pages) > 1:
            words = self.t("page {n} of {all}, arrows turn", n=page + 1, all=len(pages))
            right = sheet.right - look.px(16)
            canvas.text(
                words, (right, title.centery), "small", "soft", "midright", right - title.right - 20, shorten=True
            )
        keys = min(pages[0][0][0].w * 2 // 5, look.px(118))
        for rect, key, words in pages[page]:
            if not key:
                canvas.text(words, rect.topleft, "small", "ink", room=rect.w, shorten=True)
                canvas.line((rect.x, rect.bottom - 1), (rect.right, rect.bottom - 1), "edge")
                continue
            canvas.text(key, rect.topleft, "small", "ink", room=keys - look.px(6), shorten=True)
            canvas.lines(words, Rect(rect.x + keys, rect.y, rect.w - keys, rect.h), "small", "soft")
