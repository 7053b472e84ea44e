"""From where on whoever teaches is asked to look twice, and what a table may say: just inside and just outside."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import UTC, datetime
from types import SimpleNamespace
from typing import Any

import pytest
from made_results import results, row, submission

import sim.marking.bundle as bundle
from sim.enlarger.settings import EnlargerSettings
from sim.marking.by_eye import EyeMark
from sim.marking.changes import changes_between
from sim.marking.class_page import class_text
from sim.marking.feedback_page import _weeks
from sim.marking.moments import is_likely
from sim.marking.results import CourseResults, ReadingResult, RowResult, SheetResult, SignsResult
from sim.marking.review import _points
from sim.marking.similar_work import signs_in
from sim.paper.development import Development
from sim.printing.record import Exposure, PrintingRecord, Sheet
from sim.refusals import Refused

PLAIN = " round"  # what anybody might dial


def evening(
    learner: str, decisions: Sequence[str], share: float = 0.8, exercise: str = "one", nominated: bool = False
) -> RowResult:
    """An evening of some sheets; without a strip where its print is very good, and not the first one."""
    strips = 0 if share > 0.9 and not nominated else 1
    signs = SignsResult(light=f"light of {learner}", decisions=list(decisions), strips=strips)
    sheet = SheetResult(number=1, kind="sheet", minute=3.0, negative="n", changes=[], readings=[], nominated=nominated)
    made = submission((1.0, 1.0), "exposure", 1.0)
    made = made.model_copy(update={"signs": signs, "quality_share": share, "sheets": [sheet]})
    return row(learner, made, 80.0, exercise=exercise)


@pytest.mark.parametrize(("share", "asked"), [(0.994, []), (0.996, ["first-sheet"])])
def test_a_first_sheet_is_asked_about_when_it_lacks_less_than_half_a_hundredth(share: float, asked: list[str]) -> None:
    assert [sign.what for sign in signs_in(results(evening("a", ["x"], share, nominated=True)))] == asked


def boxed(*rows: RowResult, version: int = 1) -> CourseResults:
    """Return results of an exercise with six sheets and 45 minutes."""
    found = results(*rows)
    one = found.exercises[0].model_copy(update={"box_sheets": 6.0, "box_minutes": 45.0, "version": version})
    return found.model_copy(update={"exercises": [one]})


@pytest.mark.parametrize(("share", "sheets", "minutes", "asked"), [
    (0.34, 3.0, 22.0, ["left-early"]), (0.36, 3.0, 22.0, []), (0.34, 3.1, 22.0, []), (0.34, 3.0, 23.0, []),
])  # fmt: skip
def test_a_poor_print_put_forward_with_half_of_everything_left_is_asked_about_as_haste(
    share: float, sheets: float, minutes: float, asked: list[str]
) -> None:
    one = evening("a", ["x"], share)
    assert one.submission is not None
    used = one.submission.model_copy(update={"sheets_used": sheets, "minutes_used": minutes})
    found = boxed(one.model_copy(update={"submission": used}))
    assert [sign.what for sign in signs_in(found)] == asked
    assert ("haste: 34 % of the quality" in class_text(found, lambda _: None)) is bool(asked)


@pytest.mark.parametrize(("said", "densities", "asked"), [
    (["right"] * 4, (0.3, 0.4, 0.5, 0.6), ["same-answer"]), (["right"] * 4, (0.3, 0.4, 0.6, 0.6), []),
    (["right"] * 3, (0.3, 0.4, 0.5), []), (["right"] * 3 + ["lighter"], (0.3, 0.4, 0.5, 0.7), []),
])  # fmt: skip
def test_the_same_answer_on_four_prints_and_mostly_wrong_is_asked_about_as_haste(
    said: list[str], densities: tuple[float, ...], asked: list[str]
) -> None:
    one = evening("a", ["x"])
    assert one.submission is not None
    sheets = [
        SheetResult(number=n, kind="sheet", minute=3.0, negative="n", changes=[], nominated=False, observed=word,
                    readings=[ReadingResult(place="cup", density=density)])
        for n, (word, density) in enumerate(zip(said, densities, strict=True), 1)
    ]  # fmt: skip
    answered = one.model_copy(update={"submission": one.submission.model_copy(update={"sheets": sheets})})
    assert [sign.what for sign in signs_in(boxed(answered))] == asked


@pytest.mark.parametrize(
    ("share", "times", "sheets", "asked"),
    [(0.965, 3, 2, []), (0.975, 3, 2, ["no-strip"]), (0.975, 2, 2, []), (0.975, 3, 3, [])],
)
def test_very_good_prints_without_a_strip_are_asked_about_from_the_third_exercise_on(
    share: float, times: int, sheets: int, asked: list[str]
) -> None:
    names = tuple(f"e{n}" for n in range(times))
    decisions = [f"d{n}" for n in range(sheets)]
    rows = [evening("a", decisions, share, exercise=name) for name in names]
    assert [sign.what for sign in signs_in(results(*rows, exercises=names))] == asked


@pytest.mark.parametrize(
    ("shared", "asked"),
    [
        (("p", "q"), False), (("p", "q", "r"), True),
        (("p", "q", "r" + PLAIN), True), (("p", "q" + PLAIN, "r" + PLAIN), False),
        (tuple(f"{k}{PLAIN}" for k in range(4)), False), (tuple(f"{k}{PLAIN}" for k in range(5)), True),
    ],
)  # fmt: skip
def test_so_many_sheets_in_a_row_decided_alike_are_asked_about(shared: tuple[str, ...], asked: bool) -> None:
    """Three, of which one may be what anybody dials; of such settings alone five."""
    found = signs_in(results(evening("a", ["x", *shared]), evening("b", [*shared, "y"])))
    assert [sign.what for sign in found] == (["same-decisions"] if asked else [])


@pytest.mark.parametrize(("year", "likely"), [(1989, False), (1990, True), (2199, True), (2200, False)])
def test_a_clock_is_believed_from_1990_to_2200(year: int, likely: bool) -> None:
    assert is_likely(datetime(year, 12, 31, 23, tzinfo=UTC)) is likely
    assert is_likely(datetime(year, 1, 1, tzinfo=UTC)) is likely


def test_what_is_judged_by_eye_goes_from_blank_to_telling_in_equal_steps() -> None:
    steps = ("blank", "faint", "coming-up", "clear", "telling")
    assert [EyeMark("a", "e", "c", step).share for step in steps] == [0.0, 0.25, 0.5, 0.75, 1.0]  # type: ignore[arg-type]


def test_four_exposures_of_a_first_sheet_are_told_and_the_others_counted() -> None:
    settings = EnlargerSettings("diffusion-small", "80-mm", 390.0)
    light = Exposure(10.0, 8.0)
    four, five = (
        PrintingRecord("n", Sheet("glossy-rc-vc", 203.2, 254.0), settings, (light,) * many, Development(60.0))
        for many in (4, 5)
    )
    assert len(changes_between(None, four)) == 4
    assert changes_between(None, five)[4:] == ["and 1 exposures more"]


@pytest.mark.parametrize(
    ("shares", "given"), [((0.94, 0.96, 0.99), 1), ((0.951, 0.99), 0), ((0.80, 0.90, *(0.74,) * 58), 1), ((0.74,) * 60, None)]
)
def test_a_learner_gets_the_first_variant_that_reaches_nearly_all_its_tones(
    shares: tuple[float, ...], given: int | None, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Of sixty at most; where none reaches 95 hundredths, the best of those that can pass."""
    left = iter(shares)
    monkeypatch.setattr(bundle, "tone_share", lambda exercise, negative: next(left))
    monkeypatch.setattr(bundle, "find_negative", lambda name: None)
    monkeypatch.setattr(bundle, "_only", lambda exercise, number: exercise)
    exercise: Any = SimpleNamespace(
        name="e", negatives=("cup",), unlocked=("time_s",), pass_share=0.75, on_negatives=lambda name: None
    )
    if given is None:
        with pytest.raises(bundle.CannotBeDone, match="none of 60 variants"):
            bundle.learner_negatives(exercise, b"secret", "a")
    else:
        in_turn = list(bundle.variants_in_turn(exercise, b"secret", "a", 0))
        assert bundle.learner_negatives(exercise, b"secret", "a") == (in_turn[given],)


@pytest.mark.parametrize(("exercises", "drawn"), [(2, False), (3, True), (24, True), (25, False)])
def test_a_learners_way_through_the_course_is_drawn_for_three_exercises_to_twentyfour(exercises: int, drawn: bool) -> None:
    assert bool(_weeks([row("a", submission((1.0, 0.5), "exposure", 2.0), 80.0)] * exercises)) is drawn


@pytest.mark.parametrize(("cell", "allowed"), [("100000", True), ("100001", False), ("-0.1", False), ("0", True)])
def test_points_given_by_hand_go_from_none_to_a_hundred_thousand(cell: str, allowed: bool) -> None:
    if allowed:
        assert _points(cell) == float(cell)
    else:
        with pytest.raises(Refused, match="from 0 to 100000"):
            _points(cell)
