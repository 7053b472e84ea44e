"""Readings of strips as a table that people write: one row a step, one column a setting.

    row,       wedge, 00,   2,    5
    seconds,   ,      20,   20,   40
    unexposed, ,      0.06, 0.06, 0.07
    1,         0.05,  2.21, 2.20, 2.22
    2,         0.15,  2.19, 2.18, 2.22
    wet 12,    ,      0.52, 0.61,
    double 9,  ,          , 1.84,

A row ``wet 12`` is step 12 read again while the sheet is wet: what drying adds is found from such rows. A row ``double 9`` is
step 9 of one more strip behind the same filter that had the same light twice: the wedge's steps are checked by such rows.

Without a densitometer the eye's three steps stand in the place of the numbered rows, half steps allowed: ``first tone``,
``black`` (the first step that cannot be told from it, from the light side), ``match 18%`` (the step as grey as a card that
sends back so much). The wedge is then said apart.
"""

from __future__ import annotations

import math
import re
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import numpy as np

from sim.calibration.number_table import NumberTable, read_number_table
from sim.calibration.wedge_strips import (
    LONGEST_WEDGE,
    MOST_STRIPS,
    NOT_TOLD_FROM_BLACK,
    DoubledReading,
    PaperReadings,
    StepReading,
    Strip,
    WetReading,
)
from sim.enlarger.filters import FilterSetting
from sim.paper.sensitometry import NET_IDMIN
from sim.reading import shown
from sim.refusals import Refused

EYE_STEP_ERROR = 1.0 / math.sqrt(12.0)  # of a step: what is called by eye is right to half a step either way
EYE_DENSITY_ERROR = 0.03  # two greys side by side (assumption)
CARDS_PERCENT = (0.8, 90.0)  # light that a card sends back: between the deepest black and the whitest paper (chosen)
SECONDS = (0.05, 3600.0)  # that a strip may have been exposed (chosen: from a flash to an hour)
FEWEST_STEPS = 5  # of a wedge (chosen: fewer say nothing of a curve)
FIRST_DENSITY, APART = (0.0, 1.0), (0.02, 0.6)  # of a wedge's clearest step; between neighbours (chosen: wedges there are)
_MATCH = re.compile(r"match\s+(\d+(?:[.,]\d+)?)\s*%")
_WET = re.compile(r"wet\s+(?:step\s+)?(\d+)")
_DOUBLE = re.compile(r"double\s+(?:step\s+)?(\d+)")
_BY_EYE = ("first tone", "black")


@dataclass(frozen=True)
class Wedge:
    """A step wedge: the density of each step, the clearest first; ``increment`` between neighbours (usual)."""

    densities: tuple[float, ...]

    @classmethod
    def even(cls, steps: int, first: float, increment: float) -> Wedge:
        """Return a wedge of even steps. Raises Refused for what no wedge is."""
        if not FEWEST_STEPS <= steps <= LONGEST_WEDGE:
            raise Refused(f"a wedge must have between {FEWEST_STEPS} and {LONGEST_WEDGE} steps, got {steps}")
        if not APART[0] <= increment <= APART[1] or not FIRST_DENSITY[0] <= first <= FIRST_DENSITY[1]:
            raise Refused(
                f"a wedge's first density and increment must be those of a wedge, got {first:g} and {increment:g}"
            )
        return cls(tuple(round(first + increment * k, 4) for k in range(steps)))

    @property
    def increment(self) -> float:
        """The usual difference between neighbouring steps."""
        return float(np.median(np.diff(self.densities)))

    def at(self, step: float) -> float:
        """Return the density under a step, or between two."""
        return float(np.interp(step, np.arange(1, len(self.densities) + 1), self.densities))


@dataclass(frozen=True)
class Exposing:
    """How the strips were exposed: lux of unfiltered light on the paper (None: not known), and seconds per setting."""

    lux: float | None
    seconds: dict[str, float]

    def log_exposure(self, setting: str) -> float:
        """Return log10 of lux s, or of seconds where the light is not known."""
        return math.log10((self.lux or 1.0) * self.seconds[setting])


@dataclass(frozen=True)
class _Row:
    line: int
    name: str
    wedge: str
    cells: tuple[str, ...]


def read_exposing(file: Path, lux: float | None = None) -> Exposing:
    """Return how the strips of a CSV file were exposed, whatever else stands in it. Raises OutsideError."""
    return exposing_of(read_number_table(file), lux)


def exposing_of(table: NumberTable, lux: float | None = None) -> Exposing:
    """Return how the strips of a table were exposed, whatever else stands in it. Raises OutsideError."""
    settings, rows = _rows(table)
    seconds = _per_setting(table, settings, _only(table, rows, "seconds"), *SECONDS)
    return Exposing(lux, dict(zip(settings, seconds, strict=True)))


def read_readings(file: Path, lux: float | None = None, wedge: Wedge | None = None) -> PaperReadings:
    """Return the readings of a CSV file. Raises OutsideError with line, rule and value received."""
    return readings_of(read_number_table(file), lux, wedge)


def readings_of(table: NumberTable, lux: float | None = None, wedge: Wedge | None = None) -> PaperReadings:
    """Return the readings of a table. Raises OutsideError with line, rule and value received."""
    settings, rows = _rows(table)
    exposing = exposing_of(table, lux)
    unexposed = [
        table.number(row.line, cell, -0.05, 1.0) for row in _named(rows, "unexposed") for cell in row.cells if cell
    ]
    steps = [row for row in rows if row.name.isdecimal()]
    by_eye = [row for row in rows if row.name in _BY_EYE or _MATCH.fullmatch(row.name)]
    if steps and by_eye:
        raise table.refused(by_eye[0].line, "numbered steps and steps by eye exclude each other", by_eye[0].name)
    if not steps and not by_eye:
        raise table.refused(table.lines[-1][0], "must have rows of numbered steps, or first tone, match and black", "none")
    found = _by_eye(table, settings, by_eye, wedge) if by_eye else _measured(table, settings, steps, wedge)
    strips = tuple(Strip(s, exposing.log_exposure(s), tuple(found[s])) for s in settings if found[s])
    wet = tuple(WetReading(*one) for one in _again(table, settings, rows, _WET))
    doubled = tuple(DoubledReading(*one) for one in _again(table, settings, rows, _DOUBLE))
    return PaperReadings(strips, tuple(unexposed), lux is not None, wet, doubled)


def _again(
    table: NumberTable, settings: tuple[str, ...], rows: list[_Row], name: re.Pattern[str]
) -> Iterator[tuple[str, int, float]]:  # fmt: skip
    """Yield setting, step and density of steps that were read again; each must be among the numbered steps."""
    for row in rows:
        said = name.fullmatch(row.name)
        if said is None:
            continue
        first = next((other.cells for other in rows if other.name == said[1]), ("",) * len(settings))
        for setting, cell, first_cell in zip(settings, row.cells, first, strict=True):
            if cell and not first_cell:
                if name is _WET:
                    raise table.refused(row.line, f"step {said[1]} behind {setting} must be read dry too", cell)
                raise table.refused(row.line, f"step {said[1]} behind {setting} must be read in the single strip too", cell)
            if cell:
                yield setting, int(said[1]), table.number(row.line, cell, -0.05, 4.0)


def _rows(table: NumberTable) -> tuple[tuple[str, ...], list[_Row]]:
    """Return the settings of the header and every row under it, cell for cell."""
    if not table.lines:
        raise table.refused(1, "must begin with row, wedge and the settings, such as row,wedge,00,5", "an empty file")
    line, header = table.lines[0]
    names = [name.lower() for name in header]
    if names[:2] != ["row", "wedge"] or not 1 <= len(header) - 2 <= MOST_STRIPS:
        rule = f"must begin with row, wedge and 1 to {MOST_STRIPS} settings, such as row,wedge,00,5"
        raise table.refused(line, rule, ",".join(header)[:60])
    settings = tuple(_setting(table, line, name) for name in header[2:])
    if len(set(settings)) < len(settings):
        raise table.refused(line, "must name every setting once", ",".join(settings))
    rows = []
    for number, cells in table.lines[1:]:
        table.must_have(number, cells, ("row", "wedge", *settings))
        rows.append(_Row(number, " ".join(cells[0].lower().split()).removeprefix("step "), cells[1], cells[2:]))
    for row in rows:
        known = row.name.isdecimal() or row.name in ("seconds", "unexposed", *_BY_EYE)
        if not (known or any(form.fullmatch(row.name) for form in (_MATCH, _WET, _DOUBLE))):
            rule = (
                "must be seconds, unexposed, a step's number, wet or double and a number, first tone, black, or a card: "
                "match 18%"
            )
            raise table.refused(row.line, rule, shown(row.name))
    return settings, rows


def _setting(table: NumberTable, line: int, name: str) -> str:
    try:
        return FilterSetting.named(table.plain(name)).name
    except Refused as error:
        raise table.refused(line, f"must name a setting: {error}", "") from None


def _measured(
    table: NumberTable, settings: tuple[str, ...], rows: list[_Row], wedge: Wedge | None
) -> dict[str, list[StepReading]]:
    """Return densities read step by step; an empty cell was not read."""
    found: dict[str, list[StepReading]] = {setting: [] for setting in settings}
    seen: dict[int, float] = {}
    for row in rows:
        step = int(row.name)
        if not 1 <= step <= LONGEST_WEDGE or step in seen:
            raise table.refused(
                row.line, f"must be a step between 1 and {LONGEST_WEDGE} that stands only once", row.name
            )
        if not row.wedge and wedge is None:
            raise table.refused(
                row.line, "must give the wedge's density in its column, or the wedge be said apart", "none"
            )
        if not row.wedge and wedge is not None and step > len(wedge.densities):
            raise table.refused(row.line, f"must be one of the wedge's {len(wedge.densities)} steps", row.name)
        under = table.number(row.line, row.wedge, 0.0, 6.0) if row.wedge else wedge.at(step) if wedge else 0.0
        if seen and max(seen) < step and under <= seen[max(seen)]:
            raise table.refused(row.line, "wedge: must grow denser from step to step", row.wedge)
        seen[step] = under
        for setting, cell in zip(settings, row.cells, strict=True):
            if cell:
                found[setting].append(StepReading(step, under, table.number(row.line, cell, -0.05, 4.0)))
    return found


def _by_eye(
    table: NumberTable, settings: tuple[str, ...], rows: list[_Row], wedge: Wedge | None
) -> dict[str, list[StepReading]]:
    """Return what the eye called: each step is right to half a step either way."""
    if wedge is None:
        raise table.refused(
            rows[0].line, "steps by eye need the wedge to be said: steps, first density, increment", "none"
        )
    found: dict[str, list[StepReading]] = {setting: [] for setting in settings}
    for row in rows:
        card = _MATCH.fullmatch(row.name)
        for setting, cell in zip(settings, row.cells, strict=True):
            if cell:
                step = table.number(row.line, cell, 1.0, float(len(wedge.densities)))
                found[setting].append(_eye_reading(table, row, step, card, wedge))
    return found


def _eye_reading(table: NumberTable, row: _Row, step: float, card: re.Match[str] | None, wedge: Wedge) -> StepReading:
    percent = float(card[1].replace(",", ".")) if card is not None else None
    low, high = CARDS_PERCENT
    if card is not None and percent is not None and not low <= percent <= high:
        raise table.refused(row.line, f"match: must be a card that sends back between {low:g} and {high:g} %", card[1])
    return eye_reading(row.name, step, wedge, percent)


def eye_reading(called: str, step: float, wedge: Wedge, card_percent: float | None = None) -> StepReading:
    """Return a step called by eye as a reading: as grey as a card that sends back so much, else black or first tone."""
    under, unsure = wedge.at(step), EYE_STEP_ERROR * wedge.increment
    number = round(step)
    if card_percent is not None:
        return StepReading(number, under, -math.log10(card_percent / 100.0), None, EYE_DENSITY_ERROR, unsure)
    if called == "black":
        return StepReading(number, under, None, NOT_TOLD_FROM_BLACK, EYE_DENSITY_ERROR, unsure)
    return StepReading(number, under, None, NET_IDMIN / 2.1, 0.01, unsure)


def _named(rows: list[_Row], name: str) -> list[_Row]:
    return [row for row in rows if row.name == name]


def _only(table: NumberTable, rows: list[_Row], name: str) -> _Row:
    found = _named(rows, name)
    if len(found) != 1:
        rule = f"must have one row {name}, a number for every setting"
        raise table.refused(found[1].line if found else 2, rule, f"{len(found)}")
    return found[0]


def _per_setting(table: NumberTable, settings: tuple[str, ...], row: _Row, low: float, high: float) -> list[float]:
    out = []
    for setting, cell in zip(settings, row.cells, strict=True):
        number = f"{row.name} of {setting}"
        out.append(table.number(row.line, cell, low, high, number))
    return out
