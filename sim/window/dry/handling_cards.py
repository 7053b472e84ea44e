"""What the hands do with cards: taken, moved, raised, turned, fixed by numbers, hung back; and with the meter's probe."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from sim.refusals import Refused
from sim.window.dry.hand import HeldCard
from sim.window.kit.events import HANDLED, Outcome, said


class CardWork:
    """Part of the enlarger's screen: everything about cards and the probe."""

    hands: Any
    darkroom: Any
    _held_at: tuple[float, float] | None = None

    def pick_up(self, number: int) -> Outcome:
        """Take a tool from the rack over the probe's place, or hang the same one back."""
        locked = self.darkroom.locked("cards")
        if locked:
            raise Refused(locked)
        self.hands = self.hands.picked_up(number, *self.easel.probe_mm)
        return HANDLED

    def card_away(self) -> None:
        """The hand with the card goes beside the easel: the card is out of the light until it comes back."""
        if self.hands.held is not None and not self.hands.away:
            self.hands = replace(self.hands, away=True)

    def put_back_card(self) -> Outcome:
        """Hang the card in hand back."""
        self.hands = self.hands.put_back()
        return HANDLED

    def hold_card_at(self, x_mm: float, y_mm: float) -> None:
        """Hold the card in hand so that its shadow's centre is at a point, mm on the easel."""
        if self.hands.held is not None:
            self.change_held(self.hands.held.at(x_mm, y_mm))

    def change_held(self, card: HeldCard) -> None:
        """Hold the card otherwise; the probe stays with the hand."""
        self.hands = replace(self.hands, held=card, away=False)
        self.easel.probe_mm = (card.x_mm, card.y_mm)

    def change_card(self, card: HeldCard) -> Outcome:
        """Give the card that the numbers show other values. Raises what the record refuses, in words."""
        card.card()
        self.hands = self.hands.with_edited(card)
        return HANDLED

    def lift(self, by_mm: float) -> Outcome:
        """Hold the card in hand higher or lower."""
        if self.hands.held is not None:
            self.change_held(self.hands.held.raised(by_mm))
        return HANDLED

    def turn(self, by_deg: float) -> Outcome:
        """Turn the card in hand."""
        if self.hands.held is not None:
            self.change_held(self.hands.held.turned(by_deg))
        return HANDLED

    def nudge(self, dx_mm: float, dy_mm: float) -> Outcome:
        """Move what is in hand: the card, else the strip that has had no light, else the probe."""
        if self.hands.held is not None:
            card = self.hands.held
            self.change_held(card.at(card.x_mm + dx_mm, card.y_mm + dy_mm))
            return HANDLED
        piece = self.darkroom.paper.piece
        if piece is not None and piece.kind == "strip" and not piece.exposures:
            x, y = self.middle_of_piece()
            self.place_strip(x + dx_mm, y + dy_mm)
            return HANDLED
        x, y = self.easel.probe_mm
        self.easel.probe_mm = (round(x + dx_mm, 1), round(y + dy_mm, 1))
        return HANDLED

    def fix_card(self) -> Outcome:
        """Leave the card in hand where it is, with its numbers, for the next exposures."""
        self.hands = self.hands.fix()
        self.pages.turn_to("cards")
        return said(self.words("The card stands by its numbers in the next exposures"))

    def remove_card(self) -> Outcome:
        """Take the chosen card away."""
        self.hands = self.hands.take_away()
        return HANDLED

    def choose_card(self, number: int) -> None:
        """Look at a fixed card's numbers; -1 at those of the one in hand."""
        self.hands = replace(self.hands, chosen=number)

    def hold_reference(self) -> Outcome:
        """Hold the light under the probe: what comes after is compared with it. Held once more, it is let go."""
        easel = self.darkroom.easel
        if not easel.lit:
            raise Refused(self.words("switch the focusing light on: the meter needs light"))
        self.easel.forget()
        if easel.reference is not None and self._held_at == self.easel.probe_mm:
            easel.drop_reference()
            return said(self.words("Let go: the meter reads lux alone"))
        read = easel.hold_reference(*self.easel.probe_mm)
        self._held_at = self.easel.probe_mm
        return said(self.words("Held: {lux} lux at the probe", lux=f"{read.lux:.3g}"))

    def keep_tone(self) -> Outcome:
        """Dial the time at which the held place keeps its tone with the set-up as it is now."""
        time_s, factor = self.darkroom.easel.time_that_keeps_tone()
        self.timer.set_seconds(min(600.0, max(0.1, time_s)))
        return said(self.words("{time} s keep the held place's tone ({factor} times the time)", time=f"{time_s:.1f}",
                               factor=f"{factor:.2f}"))  # fmt: skip
