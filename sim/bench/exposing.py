"""Exposing the paper in hand: at once by numbers, step by step, or in real time with cards moved in the light."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import TYPE_CHECKING, Literal

from sim.bench.live_exposure import LiveExposure
from sim.bench.piece_on_easel import PieceOnEasel
from sim.bench.tools import Card, CardPose
from sim.enlarger.equipment import find_head
from sim.enlarger.settings import checked_aperture
from sim.printing.cards import CardOptics
from sim.printing.exposure import LightCache
from sim.printing.record import MAX_EXPOSURES, Exposure, PrintingRecord, Sheet, StripDecision
from sim.printing.strips import SAME_PLACE, Step, bands_of, cover, lay_strip, strip_in
from sim.refusals import Refused

if TYPE_CHECKING:
    from sim.bench.darkroom import Darkroom

LEAST_TIME_S = 0.1


def _with_more(strip: StripDecision | None, more: Sequence[Exposure]) -> StripDecision | None:
    """Return a strip's decision once every step has got more light; None where the steps did not all get the same."""
    if strip is None or any(e.cards or any(e.paper_shift_mm) for e in more):
        return None
    return replace(strip, each=(*strip.each, *(e.bare() for e in more)))


class Exposing(PieceOnEasel):
    """The lamp and the cards over the paper in hand."""

    def __init__(self, room: Darkroom):
        super().__init__(room)
        self._lights = LightCache(6)

    def _ready(self, time_s: float | None) -> float:
        """Return the time once everything allows an exposure. Raises Refused in words."""
        hand, now = self._not_exposing(), self._room.desk.now
        if now.red_filter:
            raise Refused("the red filter is in the light: the paper would get nothing; swing it out to expose")
        if hand.exposures and hand.kind == "sheet":  # a strip covered by hand is exposed once for every step
            self._refuse_locked("exposures")
        if len(hand.exposures) >= MAX_EXPOSURES:
            raise Refused(f"a sheet takes at most {MAX_EXPOSURES} exposures")
        time = now.time_s if time_s is None else time_s
        if time_s is not None and abs(time_s - now.time_s) > 1e-9 and not hand.exposures and hand.kind == "sheet":
            self._refuse_locked("time_s")
        return time

    def _refuse_locked(self, name: str) -> None:
        locked = self._room.rules.locked(name)
        if locked is not None:
            raise Refused(locked)

    def _exposure(self, time_s: float, cards: Sequence[Card], note: str = "") -> Exposure:
        """Return an exposure from the dials, its cards in the piece's own coordinates."""
        hand, now = self._out(), self._room.desk.now
        if cards:
            self._refuse_locked("cards")
        on_piece = [card.placed(1.0, -hand.at_mm[0], -hand.at_mm[1]) for card in cards]
        try:
            return Exposure(
                round(time_s, 3), now.f_number, now.filtration, (*self._cover_card(), *on_piece),
                paper_shift_mm=hand.moved_mm, note=note,
            )  # fmt: skip
        except Refused as error:
            raise Refused(str(error)) from error

    def _cover_card(self) -> tuple[Card, ...]:
        hand = self._out()
        if hand.cover is None:
            return ()
        share, angle_deg = hand.cover
        bands = bands_of(Sheet(self._room.desk.now.paper, hand.width_mm, hand.height_mm), angle_deg, 1)
        low, high = bands.marks_mm
        return (cover(bands, low + share * (high - low), angle_deg).placed(1.0, *hand.moved_mm),)

    def cover(self, share: float | None, angle_deg: float = 0.0) -> None:
        """Lay cardboard over the first share of the piece along a direction (0 right, 90 down); None takes it off.

        So a strip is made step by step: expose, cover one step more, expose again.
        """
        hand = self._not_exposing()
        if share is not None and not 0.0 <= share <= 1.0:
            raise Refused(f"the covered share must be between 0 and 1, got {share!r}")
        self._keep(replace(hand, cover=None if share is None else (float(share), float(angle_deg))))

    def expose(self, time_s: float | None = None, cards: Sequence[Card] = (), note: str = "") -> None:
        """Expose the piece at once, with cards by numbers (mm on the easel); durable when the call returns."""
        self._add([self._exposure(self._ready(time_s), cards, note)])

    def _add(self, more: Sequence[Exposure], strip: StripDecision | None = None) -> None:
        hand = self._out()
        exposures = (*hand.exposures, *more)
        if len(exposures) > MAX_EXPOSURES:
            raise Refused(f"a sheet takes at most {MAX_EXPOSURES} exposures, got {len(exposures)}")
        try:
            strip = strip or _with_more(hand.strip, more)
            exposures = exposures if strip else tuple(replace(e, step=0) for e in exposures)
            record = self._record_with(exposures, strip)
            self._check(record)
        except Refused as error:
            raise Refused(str(error)) from error
        self._keep(replace(hand, exposures=exposures, strip=record.strip))

    def _check(self, record: PrintingRecord) -> None:
        """Refuse cards above the lens and apertures off the ring now, not when the sheet is developed."""
        bench = self._room.desk.bench
        for exposure in record.exposures:
            pupil_mm = bench.lens.focal_mm / checked_aperture(bench.lens, exposure.f_number)
            for card in exposure.cards:
                CardOptics(bench.lens_to_paper_mm, pupil_mm).penumbra_mm(card.card_height_mm)

    def lay_strip(
        self, times_s: Sequence[float], way: Literal["bursts", "covered", "same-place"] = "covered", angle_deg: float = 0.0
    ) -> None:
        """Expose all steps of a strip in one go, over whole exposures the piece has had before. Raises Refused."""
        hand, now = self._not_exposing(), self._room.desk.now
        self._ready(None)
        whole = tuple(e for e in hand.exposures if not (e.cards or e.step or any(e.paper_shift_mm)))
        if way in SAME_PLACE and hand.exposures:
            raise Refused(
                "the light given before shows the whole picture, and the slot would lay one place of it over every step: "
                "cover the strip step by step instead, or take a fresh one"
            )
        base = self._record_with((Exposure(now.time_s, now.f_number, now.filtration),))
        laid = lay_strip(base, tuple(float(t) for t in times_s), now.f_number, now.filtration, way, angle_deg, whole)
        if any(hand.moved_mm):
            raise Refused("lay the strip back where it was first exposed, then lay the steps over it")
        decision = laid.record.strip if len(whole) == len(hand.exposures) else None  # over another strip: no steps of one kind
        self._add(laid.record.exposures[len(whole) :], decision)

    @property
    def strip_steps(self) -> tuple[Step, ...]:
        """The steps of the strip in hand, places in mm on the strip."""
        if self._hand is None or not self._hand.exposures:
            return ()
        strip = strip_in(self.record())
        return strip.steps if strip else ()

    def begin_exposure(self, time_s: float | None = None, standing: Sequence[Card] = ()) -> None:
        """Switch the lamp on for the dialled time; nothing is on record until it is off.

        ``standing``: cards by numbers (mm on the easel) that are in the light by themselves, beside those in the hand.
        """
        time = self._ready(time_s)
        hand = self._out()
        exposure = self._exposure(time, standing)
        self._check(self._record_with((exposure,)))
        before = self._record_with(hand.exposures) if hand.exposures else None
        now = self._record_with((exposure,))
        stock = self._room.stock(now.sheet.paper)
        dead_s = find_head(now.enlarger.head).dead_time_s
        self._live = LiveExposure(
            self._room.desk.negative, before, now, stock, dead_s, hand.moved_mm, hand.at_mm, self._lights
        )  # fmt: skip

    @property
    def elapsed_s(self) -> float:
        """Seconds since the lamp went on."""
        return self._live.elapsed_s if self._live else 0.0

    @property
    def left_s(self) -> float:
        """Seconds until the timer switches it off."""
        return self._live.left_s if self._live else 0.0

    def _lit(self) -> LiveExposure:
        if self._live is None:
            raise Refused("the lamp is off: begin an exposure first")
        return self._live

    def advance(self, dt_s: float, cards: Sequence[CardPose] = ()) -> bool:
        """Let seconds pass with the cards where they are now; True while the lamp is on. At the end it is on record."""
        live = self._lit()
        if not 0.0 <= dt_s <= 600.0:
            raise Refused(f"seconds must be between 0 and 600, got {dt_s!r}")
        if cards:
            self._refuse_locked("cards")
        if live.advance(dt_s, cards):
            return True
        self.end()
        return False

    def end(self) -> None:
        """Switch the lamp off; what was given is on record. Less than a tenth of a second is a tenth."""
        live = self._lit()
        if live.elapsed_s < LEAST_TIME_S:
            live.advance(LEAST_TIME_S - live.elapsed_s + 1e-9, ())
        self._live = None
        self._add([live.finished()])
