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
AS_PLANNED, EXPOSURE = "as-planned", "exposure"
STRIP_ENDS = {"before-first": "every step is too dark", "after-last": "every step is too light"}
STRIP_WHYS = {"": "bracketed", "before-first": "begin-shorter", "after-last": "begin-longer"}
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


@dataclass(frozen=True)
class StripRead:
    """Which step of a strip came nearest to a tone, or that all that show it are too dark or too light (``end``)."""

    place: str
    nearest: int
    end: str = ""


def read_strip(result: SubmissionResult, sheet: SheetResult) -> StripRead | None:
    """Return what a strip's steps read of the tone of most points among those whose place two steps or more show.

    Nearest in lightness, as an eye compares; beyond the tone's tolerance all steps may lie to one side of it, and then none is
    right: as a lesson says it.
    """
    found = []
    for one in filter(_is_a_tone, result.criteria):
        wanted, tolerance = one.wanted or 0.0, one.tolerance or 0.0
        shown = [(read.density, step.number) for step in sheet.steps for read in step.shows if read.place == one.place]
        if len(shown) > 1:
            _, nearest = min((abs(float(lightness(density)) - float(lightness(wanted))), number) for density, number in shown)
            end = "before-first" if wanted < min(shown)[0] - tolerance else ""
            end = "after-last" if wanted > max(shown)[0] + tolerance else end
            found.append((one.full_points, StripRead(plain_name(one.shown_place), nearest, end)))
    return max(found, key=lambda each: each[0])[1] if found else None


def step_held_against(result: SubmissionResult, sheet: SheetResult, answer: str) -> str:
    """Return whether what an answer says of a strip is so: the step that is right, or none; empty for no such answer."""
    said, code = _STEP.search(answer), answer.partition(":")[0].strip()
    if said is None and code not in STRIP_ENDS:
        return ""
    read = read_strip(result, sheet)
    if read is None:
        return "no two steps show a tone of which one density is wanted, so the readings do not tell"
    if (code == read.end) if read.end else (said is not None and read.nearest == int(said[1])):
        return f"by {read.place} it was"
    if read.end:
        return f"by {read.place} {STRIP_ENDS[read.end]}"
    return f"by {read.place} step {read.nearest} came nearest"


def why_held_against(result: SubmissionResult, sheet: SheetResult) -> str:
    """Return what the readings say against why a print or strip came out so; empty where they say nothing against it.

    Of a print: whether it was as planned, or its light was off, as was said. Other causes are not told by readings alone.
    """
    if sheet.steps:
        return _why_of_a_strip(result, sheet)
    if sheet.explained not in (AS_PLANNED, EXPOSURE):
        return ""
    sides = {one.shown_place: read_side(result, sheet, one.place) for one in result.criteria if _is_a_tone(one)}
    read = {place: side for place, side in sides.items() if side}
    off = [f"{plain_name(place)} is {side} than wanted" for place, side in read.items() if side != "right"]
    if sheet.explained == EXPOSURE:
        return "but every tone that was read is as wanted" if read and not off else ""
    return f"but {', '.join(off)}" if off else ""


def _why_of_a_strip(result: SubmissionResult, sheet: SheetResult) -> str:
    read = read_strip(result, sheet) if sheet.explained in STRIP_WHYS.values() else None
    if read is None or sheet.explained == STRIP_WHYS[read.end]:
        return ""
    if read.end:
        return f"but by {read.place} {STRIP_ENDS[read.end]}"
    return f"but by {read.place} step {read.nearest} came nearest"


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
