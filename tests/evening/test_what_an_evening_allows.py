"""Paper and minutes that an evening counts, words that it keeps, light that it believes: just inside and just outside."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from sim.enlarger.light_given import expected_light_s
from sim.enlarger.settings import EnlargerSettings, head_of
from sim.evening.evening import printable
from sim.evening.evening_state import EveningState, Opening, SheetMade, after
from sim.evening.handing_in import _impossible
from sim.evening.log import Line
from sim.paper.development import Development
from sim.printing.record import Exposure, PrintingRecord, Sheet
from sim.reading import OutsideError, validate

EVENING = EveningState(Opening(paper="glossy-rc-vc", sheets=5, minutes=60.0, seed=1), nominated=(1,))


def record(paper: str = "glossy-rc-vc", time_s: float = 12.0) -> PrintingRecord:
    settings = EnlargerSettings("diffusion-small", "80-mm", 390.0)
    return PrintingRecord("morning-shelf", Sheet(paper, 203.2, 254.0), settings, (Exposure(time_s, 8.0),), Development(60.0))


@pytest.mark.parametrize(("paper", "seconds"), [("glossy-rc-vc", 187.0), ("glossy-fb-vc", 322.0)])
def test_a_sheet_of_twelve_and_sixty_seconds_takes_three_minutes_and_on_fibre_base_five(paper: str, seconds: float) -> None:
    """Forty seconds for the hands; 75 on a plastic base, 210 on fibre, until the white light may go on."""
    assert EVENING.seconds_for(record(paper)) == seconds


def test_a_strip_is_a_quarter_of_a_sheet() -> None:
    used = replace(EVENING, strips_used=3)
    assert (used.sheets_left, used.sheets_used) == (4.25, 0.75)
    assert used.strips_for(record()) == 4


@pytest.mark.parametrize(("seconds", "doubts"), [(3600.0, []), (3600.1, ["too-long"]), (3599.0, [])])
def test_an_evening_may_last_to_its_last_minute_and_not_longer(seconds: float, doubts: list[str]) -> None:
    assert [doubt.what for doubt in _impossible(replace(EVENING, used_s=seconds))] == doubts


@pytest.mark.parametrize(("strips", "doubts"), [(20, []), (21, ["too-much-paper"])])
def test_an_evenings_paper_may_be_used_up_and_not_more(strips: int, doubts: list[str]) -> None:
    assert [doubt.what for doubt in _impossible(replace(EVENING, strips_used=strips))] == doubts


@pytest.mark.parametrize(
    ("told", "allowed"),
    [([1], True), ([2], True), ([1, 2], True), ([2, 1], True), ([3], False), ([0], False), ([1, 1], False), ([2, 1, 2], False),
     ([], False), ([True], False), ("1", False)],
)  # fmt: skip
def test_sheets_that_count_were_made_and_count_once(told: object, allowed: bool) -> None:
    made = tuple(SheetMade(number, record(), 1.0) for number in (1, 2))
    line = Line(3, "nominated", {"sheets": told}, "0")
    state = replace(EVENING, sheets=made, nominated=())
    if allowed:
        assert after(state, line, Path("evening.jsonl")).nominated == tuple(told)  # type: ignore[arg-type]
        return
    with pytest.raises(OutsideError, match="each named once"):
        after(state, line, Path("evening.jsonl"))


@pytest.mark.parametrize(
    ("lines", "sheets", "fits"), [(3, 2, True), (4, 2, False), (2, 2, False), (3, 1, False), (3, 3, False)]
)
def test_the_line_that_hands_in_counts_what_stands_before_it_and_is_the_last(lines: int, sheets: int, fits: bool) -> None:
    made = tuple(SheetMade(number, record(), 1.0) for number in (1, 2))
    state, file = replace(EVENING, sheets=made), Path("evening.jsonl")
    closing = Line(3, "handed-in", {"lines": lines, "sheets": sheets}, "0")
    if not fits:
        with pytest.raises(OutsideError, match="must count the 3 lines and 2 sheets"):
            after(state, closing, file)
        return
    closed = after(state, closing, file)
    assert closed.handed_in
    with pytest.raises(OutsideError, match="must not follow"):
        after(closed, Line(4, "note", {"text": "more"}, "0"), file)


def test_two_thousand_characters_of_what_was_said_are_kept() -> None:
    assert printable("a" * 2000) == "a" * 2000
    assert len(printable("a" * 2001)) == 2000


@pytest.mark.parametrize(
    ("time_s", "more_s", "believed"),
    [(2.0, 0.59, True), (2.0, -0.59, True), (2.0, 0.61, False), (40.0, 2.45, True), (40.0, 2.55, False), (40.0, -2.55, False)],
)
def test_light_is_believed_within_half_a_second_and_a_twentieth_of_what_was_dialled(
    time_s: float, more_s: float, believed: bool
) -> None:
    one = record(time_s=time_s)
    light_s = expected_light_s(time_s, head_of(one.enlarger)) + more_s
    made = SheetMade(1, one.with_exposures(replace(one.exposures[0], light_s=light_s)), 1.0)
    doubts = [doubt.what for doubt in _impossible(replace(EVENING, sheets=(made,)))]
    assert doubts == ([] if believed else ["other-light"])


@pytest.mark.parametrize(
    ("key", "allowed", "refused"),
    [
        ("sheets", 500, 501), ("sheets", 1, 0), ("minutes", 1440.0, 1441.0), ("seed", 2**32 - 1, 2**32),
        ("negatives", ["cup"] * 64, ["cup"] * 65), ("learner", "a" * 200, "a" * 201), ("attempt", 1_000_000, 1_000_001),
    ],
)  # fmt: skip
def test_what_an_evening_begins_with_ends_where_its_form_says(key: str, allowed: Any, refused: Any) -> None:
    begun = {"paper": "glossy-rc-vc", "sheets": 5, "minutes": 60.0, "seed": 1}
    file = Path("evening.jsonl")
    assert getattr(validate(file, {**begun, key: allowed}, Opening), key) == allowed
    with pytest.raises(OutsideError, match=key):
        validate(file, {**begun, key: refused}, Opening)
