"""Covering a strip by hand: cardboard over the part that has had its seconds, drawn on between exposures or under the lamp."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from sim.bench.desk_file import InHand
from sim.printing.burn_past_card import lit_past
from sim.printing.record import Card, Exposure, Sheet, Still, StripDecision
from sim.printing.strips import PAST_A_CARD, SAME_PLACE, Point, bands_of, cover, drawn_cover
from sim.refusals import Refused

SHORTEST_STEP_S = 0.05  # a hand does not draw the card on faster
LIT_MM = 1.0  # what lies so far around the middle of a step must have its light, where hands hold a card over it


@dataclass(frozen=True)
class DrawnStrip:
    """A strip being covered while the lamp burns: so many steps along a direction, and the moments the card was drawn on."""

    count: int
    angle_deg: float
    moments_s: tuple[float, ...] = ()

    @property
    def covered_share(self) -> float:
        """How much of the strip lies under the card."""
        return len(self.moments_s) / self.count

    @property
    def whole(self) -> bool:
        """Whether only the last step is still open."""
        return len(self.moments_s) == self.count - 1

    def drawn_on(self, elapsed_s: float) -> DrawnStrip:
        """Return it with the card drawn on by one step. Raises Refused when the last step alone is open."""
        if self.whole:
            raise Refused("only the last step is still open: the lamp goes off when its time is up")
        last = self.moments_s[-1] if self.moments_s else 0.0
        moment = max(round(elapsed_s, 2), round(last + SHORTEST_STEP_S, 2))
        return DrawnStrip(self.count, self.angle_deg, (*self.moments_s, moment))

    def card(self, hand: InHand, paper: str) -> Card:
        """Return the card as it was drawn so far, in the piece's own coordinates."""
        bands = bands_of(Sheet(paper, hand.width_mm, hand.height_mm), self.angle_deg, self.count)
        return drawn_cover(bands, self.moments_s, self.angle_deg)

    def times_s(self, elapsed_s: float) -> tuple[float, ...]:
        """Return the seconds every step has had when the lamp went off; steps never covered had them all."""
        last = max(elapsed_s, (self.moments_s[-1] if self.moments_s else 0.0) + SHORTEST_STEP_S)
        return (*self.moments_s, round(last, 3))


@dataclass(frozen=True)
class LaidStrip:
    """A strip whose light is switched for every step: all switchings in order, and how many of them were given."""

    strip: StripDecision
    exposures: tuple[Exposure, ...]
    given: int = 0

    @property
    def way(self) -> str:
        """How it is laid."""
        return self.strip.way

    @property
    def count(self) -> int:
        """How many steps it has."""
        return len(self.strip.times_s)

    @property
    def angle_deg(self) -> float:
        """The direction in which its steps grow."""
        return self.strip.angle_deg

    @property
    def times_s(self) -> tuple[float, ...]:
        """The seconds of every step."""
        return self.strip.times_s

    @property
    def step(self) -> int:
        """The step that the next switching is for, from 1; 0 for light that every step gets."""
        return self.exposures[self.given].step

    @property
    def is_base(self) -> bool:
        """Whether the next switching is the base exposure of a burn, in which no card is held."""
        before = sum(one.step == self.step for one in self.exposures[: self.given])
        return self.way in PAST_A_CARD and before < len(self.strip.each)

    @property
    def slot_mm(self) -> Point | None:
        """The point of the piece, as it first lies, under the middle of the slot; None where the paper is not moved."""
        motion = self.exposures[0].cards[0].motion if self.way in SAME_PLACE else None
        return (motion.x_mm, motion.y_mm) if isinstance(motion, Still) else None

    def keeps_its_light(self, held: Sequence[Card], stop_s: float) -> bool:
        """Tell whether hands' cards, in the piece's own coordinates, leave the place under the slot in its light."""
        at = self.slot_mm
        return at is None or all(lit_past(one, at, LIT_MM, one.start_s, min(one.stop_s or stop_s, stop_s)) for one in held)

    def as_meant(self, given: Exposure) -> bool:
        """Tell whether the step has had what it should: its seconds, and no card in its way."""
        wanted = self.exposures[self.given]
        held = given.cards[len(wanted.cards) :]
        return abs(given.time_s - wanted.time_s) < 0.01 and self.keeps_its_light(held, given.time_s)

    def so_far(self, given: tuple[Exposure, ...]) -> tuple[Exposure, ...]:
        """Return exposures that were given, each said to be for its step."""
        return tuple(replace(one, step=laid.step) for one, laid in zip(given, self.exposures))


def cover_card(hand: InHand, paper: str) -> tuple[Card, ...]:
    """Return the cardboard lying over a piece, in the piece's own coordinates; nothing where none lies there."""
    if hand.cover is None:
        return ()
    share, angle_deg = hand.cover
    bands = bands_of(Sheet(paper, hand.width_mm, hand.height_mm), angle_deg, 1)
    low, high = bands.marks_mm
    return (cover(bands, low + share * (high - low), angle_deg).placed(1.0, *hand.moved_mm),)
