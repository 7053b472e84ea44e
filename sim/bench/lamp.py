"""The lamp over paper: on for an exposure while cards are moved in its light, and what stands on record when it is off.

The record gets the hands' thinned paths; the print is made from those.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from sim.bench.tools import CardPose, HandTracks
from sim.printing.cards import CardOptics
from sim.printing.record import MAX_CARDS, Card, Exposure
from sim.refusals import Refused

SHORTEST_BURN_S = 0.1
LONGEST_WAIT_S = 600.0
MOST_BY_HAND = MAX_CARDS - 1


class Lamp:
    """The enlarger's lamp: off, or on for one exposure."""

    def __init__(self) -> None:
        self._burning: _Burning | None = None

    @property
    def on(self) -> bool:
        """Tell whether the lamp is on over paper."""
        return self._burning is not None

    @property
    def elapsed_s(self) -> float:
        """Seconds since it went on; 0 while it is off."""
        return self._burning.elapsed_s if self._burning else 0.0

    @property
    def left_s(self) -> float:
        """Seconds until the timer switches it off; 0 while it is off."""
        return self._burning.left_s if self._burning else 0.0

    def switch_on(self, exposure: Exposure, optics: CardOptics, at_mm: tuple[float, float]) -> None:
        """Begin an exposure with the cards that stand by themselves, of a piece whose corner lies at a point of the easel."""
        self._burning = _Burning(exposure, optics, at_mm)

    def burn(self, dt_s: float, poses: Sequence[CardPose]) -> bool:
        """Let seconds pass with the cards where they are; False once the time is up. Raises Refused while it is off."""
        burning = self._lit()
        if not 0.0 <= dt_s <= LONGEST_WAIT_S:
            raise Refused(f"seconds must be between 0 and {LONGEST_WAIT_S:g}, got {dt_s!r}")
        return burning.go_on(dt_s, poses)

    def given_so_far(self) -> Exposure:
        """Return the exposure as it would stand in the record if the lamp went out now; a tenth of a second at least."""
        return self._lit().given()

    def stand(self, *cards: Card) -> None:
        """Change the cards that stand by themselves in the light: cardboard is drawn on over a strip."""
        self._lit().standing(cards)

    def switch_off(self) -> Exposure:
        """End the exposure and return it as it was given. Less than a tenth of a second is a tenth."""
        burning = self._lit()
        if burning.elapsed_s < SHORTEST_BURN_S:
            burning.go_on(SHORTEST_BURN_S - burning.elapsed_s + 1e-9, ())
        self._burning = None
        return burning.given()

    def _lit(self) -> _Burning:
        if self._burning is None:
            raise Refused("the lamp is off: begin an exposure first")
        return self._burning


class _Burning:
    """One exposure under way, the cards that stand by themselves already in it."""

    def __init__(self, exposure: Exposure, optics: CardOptics, at_mm: tuple[float, float]):
        self._exposure, self._optics, self._at_mm = exposure, optics, at_mm
        self._tracks = HandTracks(MOST_BY_HAND - len(exposure.cards))
        self.elapsed_s = 0.0

    @property
    def left_s(self) -> float:
        return max(0.0, self._exposure.time_s - self.elapsed_s)

    def go_on(self, dt_s: float, poses: Sequence[CardPose]) -> bool:
        step = min(dt_s, self.left_s)
        if step > 0.0:
            for pose in poses:
                self._optics.shadow_scale(pose.card_height_mm)  # a card above the lens is refused before anything passes
            self._tracks.follow(self.elapsed_s, self.elapsed_s + step, poses)
            self.elapsed_s += step
        return self.left_s > 1e-9

    def standing(self, cards: tuple[Card, ...]) -> None:
        self._exposure = replace(self._exposure, cards=cards)

    def given(self) -> Exposure:
        """Return the exposure as it stands in the record: what time it lasted, and the cards' thinned paths."""
        time_s = max(round(self.elapsed_s, 3), SHORTEST_BURN_S)
        dx, dy = self._at_mm
        hand = tuple(card.placed(1.0, -dx, -dy) for card in self._tracks.cards(time_s))
        standing = tuple(_until(time_s, card) for card in self._exposure.cards if card.start_s < time_s)
        return replace(self._exposure, time_s=time_s, cards=(*standing, *hand))


def _until(time_s: float, card: Card) -> Card:
    """Return a card taken out of the light when the lamp goes off, should it have been meant to stay longer."""
    return replace(card, stop_s=0.0) if card.stop_s >= time_s else card
