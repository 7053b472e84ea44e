"""The lamp while it is on: real time or four times as fast, hands and fixed cards in the light, seconds counted."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from sim.refusals import Refused
from sim.window.kit.events import HANDLED, Outcome, said

if TYPE_CHECKING:
    from sim.window.dry.enlarger_screen import EnlargerScreen

MOST_STEP_S = 0.25  # a window that stood still for a moment gives no more light than this at once


class Lamp:
    """Switching on and off, and what happens in between. The bench keeps the exposure; this counts for the eye."""

    def __init__(self, screen: EnlargerScreen):
        self._screen = screen
        self.time_s = 0.0
        self.card_seconds: dict[str, float] = {}

    @property
    def on(self) -> bool:
        """The timer is running."""
        return bool(self._screen.darkroom.paper.exposing)

    @property
    def elapsed_s(self) -> float:
        """Seconds since the lamp went on."""
        return float(self._screen.darkroom.paper.elapsed_s) if self.on else 0.0

    def switch(self, speed: float) -> Outcome:
        """The foot comes down: on, or off before the time is up. Raises what the bench refuses, in words."""
        paper, screen = self._screen.darkroom.paper, self._screen
        if self.on:
            paper.end()
            return self._ended()
        hands = screen.hands
        if math.isinf(speed) and hands.held is not None:
            raise Refused(screen.words("a card in the hand needs real time: fix it by its numbers, or put it back"))
        cards = tuple(card.card() for card in hands.fixed)
        self.time_s, self.card_seconds = screen.darkroom.desk.now.time_s, {}
        if math.isinf(speed):
            paper.expose(cards=cards)
            return self._ended()
        paper.begin_exposure(standing=cards)
        return HANDLED

    def update(self, dt_s: float, speed: float) -> Outcome:
        """Let the light fall for a moment."""
        if not self.on:
            return HANDLED
        hands, paper = self._screen.hands, self._screen.darkroom.paper
        step_s = min(MOST_STEP_S, dt_s) * speed
        held = hands.over_easel
        for card in (*(c for c in hands.fixed if c.in_light(self.elapsed_s)), *((held,) if held else ())):
            self.card_seconds[card.name] = self.card_seconds.get(card.name, 0.0) + min(step_s, paper.left_s)
        in_hand = (held.pose(),) if held else ()
        return HANDLED if paper.advance(step_s, in_hand) else self._ended()

    def _ended(self) -> Outcome:
        screen = self._screen
        screen.timer.exposed(self.time_s)
        screen.easel.forget()
        screen.refresh()
        piece = screen.darkroom.paper.piece
        if piece is None:
            return HANDLED
        return said(screen.words("{seconds} s of light on the paper so far", seconds=f"{piece.seconds:.1f}"))
