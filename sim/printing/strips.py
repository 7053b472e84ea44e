"""Test strips: one piece of paper, many exposures. A strip is an ordinary printing record, so it is printed by make_print.

How it was laid stands in the record as a decision (``StripDecision``); ``lay_strip`` makes the exposures of one, and
``strip_in`` finds a record's steps again, however long ago it was made. The exposures are the truth: a decision that
says something else is refused when a file is read (``strip_agreement.py``).
"""

from __future__ import annotations

import itertools
from collections.abc import Mapping
from dataclasses import dataclass, replace

import numpy as np

from sim.enlarger.filters import FilterSetting
from sim.printing.record import (
    MAX_STRIP_STEPS,
    Card,
    Exposure,
    Path,
    PrintingRecord,
    Sheet,
    Still,
    StripDecision,
    StripWay,
)
from sim.refusals import Refused

MAX_STRIP_STOPS = 20.0  # well over the 12.6 stops that can be dialled: only keeps the power finite
COVER_HEIGHT_MM = 2.0  # a sheet of cardboard lying on the paper
SAME_PLACE = ("same-place", "burn", "local-flash")  # ways in which the paper moves under a slot
PAST_A_CARD = ("burn", "local-flash")  # ways whose light may go past a card held over the place, as it will over the print
MARGIN_MM = 4.0  # what is read on a step keeps so far from the piece's edge
Point = tuple[float, float]


@dataclass(frozen=True)
class Step:
    """One step of a strip: its number from 1, its seconds of the light that is stepped, where it is read and numbered.

    ``x_mm``, ``y_mm`` is its middle on the piece, or what stood under the slot; ``edge_mm`` the upper right end of its middle
    line, where its number goes.
    """

    number: int
    time_s: float
    x_mm: float
    y_mm: float
    edge_mm: Point


@dataclass(frozen=True)
class Strip:
    """A strip's record and its steps in the order of growing time."""

    record: PrintingRecord
    steps: tuple[Step, ...]


def linear_times_s(first_s: float, step_s: float, count: int) -> tuple[float, ...]:
    """Return evenly spaced total times: the first steps are whole stops apart, the last only fractions of one."""
    _check_count(count)
    _check_first(first_s)
    return tuple(first_s + step_s * k for k in range(count))


def stop_times_s(first_s: float, step_stops: float, count: int) -> tuple[float, ...]:
    """Return total times an even number of stops apart: ``t 2**(k n)``."""
    _check_count(count)
    _check_first(first_s)
    if not step_stops > 0:
        raise Refused(f"step_stops must be above 0, got {step_stops!r}")
    if step_stops * (count - 1) > MAX_STRIP_STOPS:
        span = f"{step_stops:g} stops x {count - 1}"
        raise Refused(f"a strip must not span more than {MAX_STRIP_STOPS:g} stops, got {span}")
    return tuple(float(first_s * 2.0 ** (step_stops * k)) for k in range(count))


def burn_times_s(base_s: float, step_stops: float, count: int) -> tuple[float, ...]:
    """Return seconds of burn an even number of stops of the base exposure apart; the first step is not burnt in."""
    return tuple(total_s - base_s for total_s in stop_times_s(base_s, step_stops, count))


def step_times_s(
    first_s: float, step_stops: float, step_s: float | None, count: int, burnt_over_s: float | None = None
) -> tuple[float, ...]:
    """Return a strip's times, ``step_s`` seconds apart where that is said, else stops; of burns those of what they lie over."""
    if step_s is not None:
        return linear_times_s(first_s, step_s, count)
    return stop_times_s(first_s, step_stops, count) if burnt_over_s is None else burn_times_s(burnt_over_s, step_stops, count)


def _check_first(first_s: float) -> None:
    if not first_s > 0.0:  # NaN fails this too
        raise Refused(f"the first step must be above 0 s, got {first_s!r}")


def _check_count(count: int) -> None:
    if not 2 <= count <= MAX_STRIP_STEPS:
        raise Refused(f"a strip must have 2 to {MAX_STRIP_STEPS} steps, got {count!r}")


@dataclass(frozen=True)
class Bands:
    """Where a strip's steps lie: the direction they grow in, and the distances along it where one meets the next (mm)."""

    direction: Point
    marks_mm: tuple[float, ...]
    sheet: Sheet

    def along(self, x_mm: float, y_mm: float) -> float:
        """Return the distance of a point along the strip's direction."""
        return x_mm * self.direction[0] + y_mm * self.direction[1]

    def _across(self, along_mm: float) -> tuple[float, float]:
        """Return from where to where the line at a distance along the strip lies on the piece, measured across it."""
        nx, ny = self.direction
        low, high = -np.inf, np.inf
        for start, step, side in ((along_mm * nx, -ny, self.sheet.width_mm), (along_mm * ny, nx, self.sheet.height_mm)):
            if abs(step) > 1e-9:  # where the line runs along a side, that side does not end it
                ends = sorted((-start / step, (side - start) / step))
                low, high = max(low, ends[0]), min(high, ends[1])
        return float(low), float(high)

    def _at(self, along_mm: float, across_mm: float) -> Point:
        nx, ny = self.direction
        return along_mm * nx - across_mm * ny, along_mm * ny + across_mm * nx

    def point(self, along_mm: float, near: Point | None = None) -> Point:
        """Return a point of the piece at a distance along the strip: the middle of that line, or as near as can be across.

        With ``near`` the strip is moved along its own direction only, as far as the piece's corners let it.
        """
        low, high = self._across(along_mm)
        middle = 0.5 * (low + high)
        if near is None or high - low <= 2.0 * MARGIN_MM:
            return self._at(along_mm, middle)
        wanted = -near[0] * self.direction[1] + near[1] * self.direction[0]
        return self._at(along_mm, min(max(wanted, low + MARGIN_MM), high - MARGIN_MM))

    def edge(self, along_mm: float) -> Point:
        """Return where the line at a distance along the strip leaves the piece, at the top or at the right."""
        ends = [self._at(along_mm, across) for across in self._across(along_mm)]
        return min(ends, key=lambda end: end[1] - end[0])

    @property
    def middles_mm(self) -> tuple[float, ...]:
        """The distance along the strip of every step's middle."""
        return tuple(0.5 * (a + b) for a, b in itertools.pairwise(self.marks_mm))


def bands_of(sheet: Sheet, angle_deg: float, count: int) -> Bands:
    """Return where so many even steps lie on a piece, growing in a direction (0 right, 90 down)."""
    angle = np.radians(angle_deg)
    nx, ny = float(np.cos(angle)), float(np.sin(angle))
    corners = [x * nx + y * ny for x in (0.0, sheet.width_mm) for y in (0.0, sheet.height_mm)]
    return Bands((nx, ny), tuple(float(m) for m in np.linspace(min(corners), max(corners), count + 1)), sheet)


def lay_strip(
    record: PrintingRecord, times_s: tuple[float, ...], f_number: float, filtration: FilterSetting,
    way: StripWay = "covered", angle_deg: float = 0.0, each: tuple[Exposure, ...] = (), home_mm: Point | None = None,
    dimmed_stops: float = 0.0,
) -> Strip:  # fmt: skip
    """Return a strip on the record's piece: growing times along a direction. The record's own exposures are not used.

    ``each`` are whole exposures that every step gets besides, such as the chosen soft exposure that a hard strip is laid
    over, or the base of a burn. ``home_mm`` is the point of the piece, as it first lies, that stands under the slot of a
    same-place, burn or local-flash strip (default: its middle). ``dimmed_stops`` holds a flash back. Raises Refused in words.
    """
    decision = StripDecision(way, times_s, f_number, filtration, angle_deg, tuple(e.bare() for e in each), dimmed_stops)
    sheet = replace(record.sheet, kind="strip")
    bands = bands_of(sheet, angle_deg, len(times_s))
    if way in SAME_PLACE:
        exposures = _under_a_slot(decision, bands, home_mm or (sheet.width_mm / 2, sheet.height_mm / 2))
    elif way == "covered":
        exposures = (*decision.each, _covered(decision, bands))
    else:
        exposures = (*decision.each, *_bursts(decision, bands))
    laid = replace(record, sheet=sheet, exposures=exposures, strip=decision)
    return Strip(laid, _steps(laid, decision))


def strip_in(record: PrintingRecord) -> Strip | None:
    """Return the strip that a record lays, or None when it lays none."""
    decision = record.strip
    if decision is None:
        return None
    return Strip(record, _steps(record, decision))


def _steps(record: PrintingRecord, decision: StripDecision) -> tuple[Step, ...]:
    bands = bands_of(record.sheet, decision.angle_deg, len(decision.times_s))
    under = _under_the_slot(record) if decision.way in SAME_PLACE else {}
    return tuple(
        Step(k + 1, t, *under.get(k + 1, bands.point(along)), bands.edge(along))
        for k, (t, along) in enumerate(zip(decision.times_s, bands.middles_mm, strict=True))
    )


def _under_the_slot(record: PrintingRecord) -> dict[int, Point]:
    """Return for every step the point of the piece that lay under the middle of the slot."""
    found = {}
    for exposure in record.exposures:
        motion = exposure.cards[0].motion if exposure.step and exposure.cards else None
        if isinstance(motion, Still):
            dx, dy = exposure.paper_shift_mm
            found[exposure.step] = (motion.x_mm - dx, motion.y_mm - dy)
    return found


def stepped_light(decision: StripDecision, time_s: float) -> Exposure:
    """Return so many seconds of the light that a strip steps, given to the whole piece."""
    return Exposure(
        time_s, decision.f_number, decision.filter, through=decision.through, dimmed_stops=decision.dimmed_stops
    )


def cover(bands: Bands, along_mm: float, angle_deg: float) -> Card:
    """Return cardboard laid over a strip up to a distance along it."""
    return Card("edge", Still(*bands.point(along_mm)), COVER_HEIGHT_MM, angle_deg=angle_deg + 180.0)


def lying_on_paper(exposure: Exposure) -> Card | None:
    """Return the slot or cardboard that makes a strip's steps: the first card, where it lies on the paper; None without one."""
    card = exposure.cards[0] if exposure.cards else None
    makes_steps = card is not None and (card.lets_through == "inside" or card.shape == "edge")
    return card if makes_steps and card is not None and card.card_height_mm == COVER_HEIGHT_MM else None


def _bursts(decision: StripDecision, bands: Bands) -> tuple[Exposure, ...]:
    """The lamp is switched for every step; before each the steps already finished are covered."""
    times = decision.times_s
    pieces = [times[0], *(b - a for a, b in itertools.pairwise(times))]
    out = []
    for k, piece in enumerate(pieces):
        if piece > 0.0:
            cards = (cover(bands, bands.marks_mm[k], decision.angle_deg),) if k else ()
            out.append(replace(stepped_light(decision, piece), cards=cards, step=k + 1))
    return tuple(out)


def _covered(decision: StripDecision, bands: Bands) -> Exposure:
    """The lamp stays on; the cover card jumps forward over each step as its time is up."""
    times = decision.times_s
    card = drawn_cover(bands, times[:-1], decision.angle_deg)
    return replace(stepped_light(decision, times[-1]), cards=(card,), step=len(times))


def drawn_cover(bands: Bands, moments_s: tuple[float, ...], angle_deg: float) -> Card:
    """Return the cardboard that is drawn on by one step of a strip at every moment, while the lamp stays on."""
    edges = [bands.point(mark) for mark in bands.marks_mm]
    jumps: list[tuple[float, float, float]] = [(0.0, *edges[0])]
    for k, t in enumerate(moments_s):
        jumps += [(t, *edges[k]), (t, *edges[k + 1])]
    return Card("edge", Path(tuple(jumps)), COVER_HEIGHT_MM, angle_deg=angle_deg + 180.0)


def _under_a_slot(decision: StripDecision, bands: Bands, home: Point) -> tuple[Exposure, ...]:
    """A slot stands over one place; the paper is moved so that every step lies under it once, for all of its light."""
    width = bands.marks_mm[1] - bands.marks_mm[0]
    across = min(1400.0, 2.5 * float(np.hypot(bands.sheet.width_mm, bands.sheet.height_mm)))  # longer than the strip
    slot = Card(
        "bar", Still(*home), COVER_HEIGHT_MM, width_mm=width, length_mm=across, angle_deg=decision.angle_deg,
        lets_through="inside",
    )  # fmt: skip
    out = []
    for k, (t, along) in enumerate(zip(decision.times_s, bands.middles_mm, strict=True)):
        x, y = bands.point(along, near=home)
        lights = [*decision.each, *([stepped_light(decision, t)] if t > 0.0 else [])]
        shift = (home[0] - x, home[1] - y)
        out += [replace(light, cards=(slot,), paper_shift_mm=shift, step=k + 1) for light in lights]
    return tuple(out)


Light = tuple[float, FilterSetting, str, float]


def light_of(exposure: Exposure) -> Light:
    """Return what tells one light from another, seconds aside."""
    return exposure.f_number, exposure.filter, exposure.through, exposure.dimmed_stops


def lights_of(record: PrintingRecord) -> tuple[Exposure, ...]:
    """Return one exposure for each different light a piece was given, without cards and shifts."""
    seen: dict[object, Exposure] = {}
    for exposure in record.exposures:
        seen.setdefault(light_of(exposure), exposure)
    return tuple(seen.values())


@dataclass(frozen=True)
class RingCell:
    """One small print of a ring-around."""

    stops: float
    filtration: FilterSetting
    record: PrintingRecord


def ring_around(
    record: PrintingRecord, step_stops: float = 0.5, filters: tuple[str, ...] = ("1", "2", "3"),
    times_s: Mapping[str, float] | None = None,
) -> tuple[tuple[RingCell, ...], ...]:  # fmt: skip
    """Return rows (filters, soft to hard) of columns (less, same, more light) around a record's first exposure.

    ``times_s`` are the middle column's seconds per filter, so that a tone may stay; the first exposure's where none are said.
    """
    centre = record.exposures[0]
    rows = []
    for name in filters:
        cells = []
        for stops in (-step_stops, 0.0, step_stops):
            chosen = FilterSetting(name)
            time_s = (times_s or {}).get(name, centre.time_s) * 2.0**stops
            exposure = replace(centre, time_s=time_s, filter=chosen, light_s=None)
            cells.append(RingCell(stops, chosen, record.with_exposures(exposure)))
        rows.append(tuple(cells))
    return tuple(rows)
