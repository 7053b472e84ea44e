"""What a class said before and after its prints, against what the densitometer read: how often right, and what it misread.

Counted are the plain answers, lighter, right or darker than wanted; of strips and filters too little stands in the results.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from sim.marking.results import CriterionResult, RowResult, SheetResult, SubmissionResult
from sim.plain_text import bare
from sim.scoring.criterion_kinds import EXACT_TONE_KINDS
from sim.viewing.lightness import lightness
from sim.viewing.plain_names import plain_name

_STEP = re.compile(r"(?:^|=)step[- ](\d{1,2})(?::|$)", re.ASCII)
AS_PLANNED = "as-planned"
SIDES = ("lighter", "right", "darker")


@dataclass(frozen=True)
class Said:
    """One answer about a print: what was said, and what the readings say."""

    kind: str
    said: str
    read: str


@dataclass(frozen=True)
class SaidFigures:
    """A class's answers. ``misread`` counts what was seen wrongly: said, read, how often; commonest first."""

    predicted: int
    predicted_right: int
    observed: int
    observed_right: int
    misread: tuple[tuple[str, str, int], ...]
    hints: int
    took_hints: int


def said_figures(rows: Sequence[RowResult]) -> SaidFigures:
    """Return the figures of the evenings that count in some rows."""
    results = [row.submission for row in rows if row.submission is not None and row.points_before_late is not None]
    told = [one for result in results for one in told_of(result)]
    by_kind = {kind: [one for one in told if one.kind == kind] for kind in ("predicted", "observed")}
    right = {kind: sum(one.said == one.read for one in found) for kind, found in by_kind.items()}
    wrong = Counter((one.said, one.read) for one in by_kind["observed"] if one.said != one.read)
    misread = tuple((said, read, count) for (said, read), count in sorted(wrong.items(), key=lambda i: (-i[1], i[0])))
    return SaidFigures(
        len(by_kind["predicted"]), right["predicted"], len(by_kind["observed"]), right["observed"], misread,
        sum(result.hints for result in results), sum(result.hints > 0 for result in results),
    )  # fmt: skip


def told_of(result: SubmissionResult) -> Iterator[Said]:
    """Yield the plain answers of an evening beside what its whole sheets read."""
    for sheet in result.sheets:
        yield from told_of_sheet(result, sheet)


def told_of_sheet(result: SubmissionResult, sheet: SheetResult) -> Iterator[Said]:
    """Yield the plain answers about one sheet beside what it reads; none where nothing was read that could tell."""
    for kind in ("predicted", "observed"):
        place, said = _plain_answer(getattr(sheet, kind))
        read = read_side(result, sheet, place) if said else ""
        if read:
            yield Said(kind, said, read)


def step_held_against(result: SubmissionResult, sheet: SheetResult, answer: str) -> str:
    """Return whether the step of a strip that an answer names came nearest to a tone that is marked; empty for no such answer.

    It is the tone of most points among those whose place two steps or more show; nearest in lightness, as an eye compares.
    """
    said = _STEP.search(answer)
    if said is None:
        return ""
    found = []
    for one in filter(_is_a_tone, result.criteria):
        wanted = float(lightness(one.wanted or 0.0))
        off = [(abs(float(lightness(read.density)) - wanted), step.number)
               for step in sheet.steps for read in step.shows if read.place == one.place]  # fmt: skip
        if len(off) > 1:
            found.append((one.full_points, plain_name(one.shown_place), min(off)[1]))
    if not found:
        return " (no two steps show a tone of which one density is wanted, so the readings do not tell)"
    _, place, nearest = max(found, key=lambda each: each[0])
    return f" (by {place} it was)" if nearest == int(said[1]) else f" (by {place} step {nearest} came nearest)"


def why_held_against(result: SubmissionResult, sheet: SheetResult) -> str:
    """Return whether a print came out as planned where that was said; causes are not told by readings alone."""
    if sheet.explained != AS_PLANNED or sheet.steps:
        return ""
    sides = {one.shown_place: read_side(result, sheet, one.place) for one in result.criteria if _is_a_tone(one)}
    off = [f"{plain_name(place)} is {side} than wanted" for place, side in sides.items() if side not in ("", "right")]
    return f" (but {', '.join(off)})" if off else ""


def _plain_answer(text: str) -> tuple[str, str]:
    """Return the place an answer is about (empty: the tone that counts most) and its side, empty for any other answer."""
    place, _, said = text.partition(":")[0].strip().rpartition("=")
    return (place, said) if said in SIDES else ("", "")


def read_side(result: SubmissionResult, sheet: SheetResult, place: str = "") -> str:
    """Return whether a tone of a sheet is lighter or darker than wanted, or right; empty where it was not read."""
    readings = {one.place: one.density for one in sheet.readings}
    tones = [one for one in result.criteria
             if _is_a_tone(one) and one.place in readings and place in ("", bare(one.place), bare(one.called))]  # fmt: skip
    if not tones:
        return ""
    main = max(tones, key=lambda one: one.full_points)
    off = readings[main.place] - (main.wanted or 0.0)
    return "right" if abs(off) <= (main.tolerance or 0.0) else ("darker" if off > 0 else "lighter")


def _is_a_tone(one: CriterionResult) -> bool:
    return one.kind in EXACT_TONE_KINDS and not one.hidden and one.wanted is not None and one.full_points > 0
