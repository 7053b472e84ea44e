"""Test strips: one sheet, many exposures. A strip is an ordinary printing record, so it is printed by make_print.

Ways to lay one: in bursts (the lamp switched for every step, each losing its dead time), covered progressively with the
lamp on, or on the same place (the paper moved under a slot, so that every step shows the same piece of the picture).
"""

from __future__ import annotations

import itertools
from dataclasses import dataclass, replace
from typing import Literal

import numpy as np

from sim.enlarger.filters import FilterSetting
from sim.printing.record import Card, Exposure, Path, PrintingRecord, Sheet, Still
from sim.refusals import Refused

MAX_STRIP_STOPS = 20.0  # well over the 12.6 stops that can be dialled: only keeps the power finite
COVER_HEIGHT_MM = 2.0  # a sheet of cardboard lying on the paper


@dataclass(frozen=True)
class Step:
    """One step of a strip: total time, and where its middle lies on the sheet (mm)."""

    label: str
    time_s: float
    x_mm: float
    y_mm: float


@dataclass(frozen=True)
class Strip:
    """A strip's record and its steps in the order of growing time."""

    record: PrintingRecord
    steps: tuple[Step, ...]


def linear_times_s(first_s: float, step_s: float, count: int) -> tuple[float, ...]:
    """Return evenly spaced total times: the first steps are whole stops apart, the last only fractions of one."""
    _check_count(count)
    return tuple(first_s + step_s * k for k in range(count))


def stop_times_s(first_s: float, step_stops: float, count: int) -> tuple[float, ...]:
    """Return total times an even number of stops apart: ``t 2**(k n)``."""
    _check_count(count)
    if not step_stops > 0:
        raise Refused(f"step_stops must be above 0, got {step_stops!r}")
    if step_stops * (count - 1) > MAX_STRIP_STOPS:
        span = f"{step_stops:g} stops x {count - 1}"
        raise Refused(f"a strip must not span more than {MAX_STRIP_STOPS:g} stops, got {span}")
    return tuple(float(first_s * 2.0 ** (step_stops * k)) for k in range(count))


def _check_count(count: int) -> None:
    if not 2 <= count <= 20:
        raise Refused(f"a strip must have 2 to 20 steps, got {count!r}")


def _boundaries(sheet: Sheet, angle_deg: float, count: int) -> tuple[np.ndarray, tuple[float, float]]:
    """Return distances along the strip's direction where steps meet, and the direction itself."""
    if not np.isfinite(angle_deg):
        raise Refused(f"a strip's direction must be a number of degrees, got {angle_deg!r}")
    angle = np.radians(angle_deg)
    nx, ny = float(np.cos(angle)), float(np.sin(angle))
    corners = [x * nx + y * ny for x in (0.0, sheet.width_mm) for y in (0.0, sheet.height_mm)]
    return np.linspace(min(corners), max(corners), count + 1), (nx, ny)


def _edge_point(sheet: Sheet, along: float, direction: tuple[float, float]) -> tuple[float, float]:
    """Return the point of a step boundary nearest the sheet's middle."""
    nx, ny = direction
    cx, cy = sheet.width_mm / 2, sheet.height_mm / 2
    offset = along - (cx * nx + cy * ny)
    return cx + offset * nx, cy + offset * ny


def _cover(x_mm: float, y_mm: float, angle_deg: float) -> Card:
    return Card("edge", Still(x_mm, y_mm), COVER_HEIGHT_MM, angle_deg=angle_deg + 180.0, note="cover card")


def _rising(times_s: tuple[float, ...]) -> tuple[float, ...]:
    if any(later <= earlier for earlier, later in itertools.pairwise(times_s)):
        raise Refused(f"a strip's times must rise from step to step, got {times_s!r}")
    _check_count(len(times_s))
    return times_s


def lay_strip(
    record: PrintingRecord, times_s: tuple[float, ...], f_number: float, filtration: FilterSetting,
    way: Literal["bursts", "covered", "same-place"] = "covered", angle_deg: float = 0.0,
    before: tuple[Exposure, ...] = (), after: tuple[Exposure, ...] = (),
) -> Strip:  # fmt: skip
    """Return a strip on the record's sheet: growing times along a direction (0 = to the right, 90 = downwards).

    ``before`` and ``after`` are uniform exposures of the whole strip, such as the chosen soft exposure that a hard strip
    is laid over. The record's own exposures are not used.
    """
    times = _rising(times_s)
    sheet = replace(record.sheet, kind="strip")
    marks, direction = _boundaries(sheet, angle_deg, len(times))
    middles = 0.5 * (marks[:-1] + marks[1:])
    points = [_edge_point(sheet, float(m), direction) for m in middles]
    edges = [_edge_point(sheet, float(m), direction) for m in marks]
    makers = {"bursts": _bursts, "covered": _covered, "same-place": _same_place}
    if way not in makers:
        raise Refused(f"way must be one of {', '.join(makers)}, got {way!r}")
    across_mm = min(1400.0, 2.5 * float(np.hypot(sheet.width_mm, sheet.height_mm)))  # longer than the strip it lies across
    exposures = makers[way](times, f_number, filtration, edges, angle_deg, points, marks, across_mm)
    steps = tuple(Step(f"{t:.1f} s", t, *point) for t, point in zip(times, points, strict=True))
    laid = replace(record, sheet=sheet, exposures=(*before, *exposures, *after))
    return Strip(laid, steps)


_Points = list[tuple[float, float]]


def _bursts(
    times: tuple[float, ...], f_number: float, filtration: FilterSetting, edges: _Points, angle_deg: float,
    points: _Points, marks: np.ndarray, across_mm: float,
) -> tuple[Exposure, ...]:  # fmt: skip
    """The lamp is switched for every step; before each the steps already finished are covered."""
    pieces = [times[0], *(b - a for a, b in itertools.pairwise(times))]
    return tuple(
        Exposure(piece, f_number, filtration, (_cover(*edges[k], angle_deg),) if k else (), note=f"step {k + 1}")
        for k, piece in enumerate(pieces)
    )


def _covered(
    times: tuple[float, ...], f_number: float, filtration: FilterSetting, edges: _Points, angle_deg: float,
    points: _Points, marks: np.ndarray, across_mm: float,
) -> tuple[Exposure, ...]:  # fmt: skip
    """The lamp stays on; the cover card jumps forward over each step as its time is up."""
    jumps: list[tuple[float, float, float]] = [(0.0, *edges[0])]
    for k, t in enumerate(times[:-1]):
        jumps += [(t, *edges[k]), (t, *edges[k + 1])]
    card = Card("edge", Path(tuple(jumps)), COVER_HEIGHT_MM, angle_deg=angle_deg + 180.0, note="cover card")
    return (Exposure(times[-1], f_number, filtration, (card,), note="covered step by step"),)


def _same_place(
    times: tuple[float, ...], f_number: float, filtration: FilterSetting, edges: _Points, angle_deg: float,
    points: _Points, marks: np.ndarray, across_mm: float,
) -> tuple[Exposure, ...]:  # fmt: skip
    """A slot stands over the middle step; the paper is moved so that every step lies under it once."""
    width = float(marks[1] - marks[0])
    home = points[len(points) // 2]
    out = []
    for k, t in enumerate(times):
        shift = (home[0] - points[k][0], home[1] - points[k][1])
        slot = Card(
            "bar", Still(*home), COVER_HEIGHT_MM, width_mm=width, length_mm=across_mm, angle_deg=angle_deg,
            lets_through="inside", note="slot",
        )  # fmt: skip
        out.append(Exposure(t, f_number, filtration, (slot,), paper_shift_mm=shift, note=f"step {k + 1}"))
    return tuple(out)


@dataclass(frozen=True)
class RingCell:
    """One small print of a ring-around."""

    label: str
    stops: float
    filtration: FilterSetting
    record: PrintingRecord


def ring_around(
    record: PrintingRecord, step_stops: float = 0.5, filters: tuple[str, ...] = ("1", "2", "3")
) -> tuple[tuple[RingCell, ...], ...]:
    """Return rows (filters, soft to hard) of columns (less, same, more light) around a record's first exposure."""
    centre = record.exposures[0]
    rows = []
    for name in filters:
        cells = []
        for stops in (-step_stops, 0.0, step_stops):
            chosen = FilterSetting(name)
            exposure = replace(centre, time_s=centre.time_s * 2.0**stops, filter=chosen, light_s=None)
            cells.append(RingCell(f"filter {name}, {stops:+g} stop", stops, chosen, record.with_exposures(exposure)))
        rows.append(tuple(cells))
    return tuple(rows)
