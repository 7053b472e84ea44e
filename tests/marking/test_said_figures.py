"""What learners said against what was read, and the class at a glance."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest
from class_room import wedge
from made_results import criterion, four_learners, results, row, submission

from sim.marking.answer_words import ANSWERS
from sim.marking.class_page import class_text
from sim.marking.class_table import class_table
from sim.marking.fairness import LEAST_LEARNERS, fairness
from sim.marking.feedback_page import criterion_told, feedback_text, said_words
from sim.marking.mark_of_submission import _places
from sim.marking.results import (
    CourseResults,
    EyeResult,
    NegativeResult,
    OverrideResult,
    ReadingResult,
    RowResult,
    SheetResult,
    StepResult,
    SubmissionResult,
)
from sim.marking.said_figures import read_side, said_figures
from sim.negative.negative import Place
from sim.plain_text import bare
from sim.scoring.exercise_file import read_exercise
from sim.teaching.lesson_looks import LIGHT, STRIP_ENDS
from sim.teaching.lesson_texts import WHY_WORDS
from sim.teaching.strip_texts import OTHER_PLACES, STRIP_WHY


def sheet(number: int, density: float, predicted: str, observed: str, place: str = "cup") -> SheetResult:
    readings = [ReadingResult(place=place, density=density)]
    return SheetResult(number=number, kind="sheet", minute=1.0, negative="n", changes=["a change"], readings=readings,
                       nominated=False, predicted=predicted, observed=observed, explained="exposure")  # fmt: skip


def evening(*sheets: SheetResult, hints: int = 0, negative: str = "n") -> SubmissionResult:
    """Return an evening whose cup is wanted at 0.60 within 0.05."""
    negatives = [NegativeResult(name=negative, digest="d")]
    more = {"sheets": list(sheets), "hints": hints, "negatives": negatives, "notes": ["the lamp flickered"]}
    return submission((1.0, 0.5), "exposure", 2.0, exercise_version=3).model_copy(update=more)


@pytest.fixture(scope="module")
def told() -> CourseResults:
    one = evening(sheet(1, 0.40, "lighter", "darker"), sheet(2, 0.62, "right", "right: a good grey"), hints=2)
    two = evening(sheet(1, 0.80, "cup=lighter", "cup=right"), sheet(2, 0.70, "step-3", "shade=darker"), negative="m")
    return results(row("a", one, 80.0), row("b", two, 60.0), row("c", None, None))


def test_answers_are_held_against_the_readings(told: CourseResults) -> None:
    found = said_figures(told.rows)
    assert (found.predicted, found.predicted_right) == (3, 2)
    assert (found.observed, found.observed_right) == (3, 1)
    assert found.misread == (("darker", "lighter", 1), ("right", "darker", 1))
    assert (found.hints, found.took_hints) == (2, 1)


def test_a_place_that_was_not_read_says_nothing() -> None:
    result = evening(sheet(1, 0.6, "right", "right", place="elsewhere"))
    assert read_side(result, result.sheets[0]) == ""
    kept_back = result.model_copy(update={"criteria": [criterion("cup", 1.0, 6.0, hidden=True)]})
    assert read_side(kept_back, sheet(1, 0.6, "", "")) == ""


def test_the_class_page_says_it(told: CourseResults) -> None:
    page = class_text(told, lambda _: None)
    assert "Predictions of a print: 2 of 3 were right." in page
    assert "darker was said where it was lighter (1)" in page
    assert "Hints taken: 2, by 1 of the learners." in page


def test_negatives_are_compared_where_several_learners_share_one() -> None:
    rows = [row(str(n), evening(negative="m" if n > 1 else "n"), 80.0) for n in range(4)]
    found = fairness(rows)
    assert found is not None
    assert [(one.negative, one.learners) for one in found.negatives] == [("m", 2), ("n", 2)]
    assert "means of fewer than 5 say more of the printers" in found.sentence
    own = fairness([row(str(n), evening(negative=f"n~{n}"), 80.0) for n in range(4)])
    assert own is not None
    assert [(one.negative, one.learners) for one in own.negatives] == [(f"n, {n}", 1) for n in range(4)]
    assert "each by one learner" in own.sentence
    assert fairness([]) is None
    page = class_text(results(*rows), lambda _: None)
    assert found.sentence in page
    assert '<td>m</td><td class="n">2</td>' in page


def rows_on(negative: str, *shares: float) -> list[RowResult]:
    found = [evening(negative=negative).model_copy(update={"quality_share": share}) for share in shares]
    return [row(f"{negative}{n}", one, 80.0) for n, one in enumerate(found)]


def test_a_harder_negative_is_told_from_chance_once_enough_have_printed_it() -> None:
    easy, hard = (0.9, 0.92, 0.88, 0.91, 0.89), (0.5, 0.52, 0.48, 0.51, 0.49)
    assert len(easy) == LEAST_LEARNERS
    told = fairness([*rows_on("m", *easy), *rows_on("n", *hard)])
    assert told is not None
    assert told.sentence == (
        "The means lie 40 points of a hundred apart (n lowest): more than chance is likely to do, so look at that negative."
    )
    spread = fairness([*rows_on("m", 0.1, 0.5, 0.9, 0.95, 1.0), *rows_on("n", 0.2, 0.4, 0.7, 0.9, 1.0)])
    assert spread is not None
    assert spread.sentence.endswith("chance may do as much.")


def test_the_learners_own_answers_notes_and_version_stand_on_their_page(told: CourseResults) -> None:
    page = feedback_text(told, "a", lambda _: None)
    assert "Expected: as wanted (it was); seen: as wanted: a good grey (it was); why: too much or too little " in page
    assert "Expected: lighter (it was); seen: darker (it was lighter than wanted); why: too much" in page
    assert "What you expected was so 2 of 2 times (prints alone)." in page
    assert "What you saw before the numbers was so 1 of 2 times (prints alone). Hints taken: 2." in page
    assert "the lamp flickered" in page
    assert "Done under version 3 of the exercise." in page
    assert "Tonewright m" in page
    assert "lamp flickered" not in class_text(told, lambda _: None)


@pytest.mark.parametrize(("density", "why", "words"), [
    (0.40, "as-planned", "why: it came out as planned (but cup is lighter than wanted)."),
    (0.80, "as-planned", "why: it came out as planned (but cup is darker than wanted)."),
    (0.62, "as-planned", "why: it came out as planned."),
    (0.40, "exposure", "why: too much or too little light over the whole sheet."),
    (0.62, "exposure", "why: too much or too little light over the whole sheet (but every tone that was read is as wanted)."),
])  # fmt: skip
def test_a_print_that_was_said_to_be_as_planned_is_held_against_its_tones(density: float, why: str, words: str) -> None:
    one = sheet(1, density, "", "").model_copy(update={"explained": why})
    assert bare(said_words(one, evening(one))) == f"{words[0].upper()}{words[1:]}"


def test_the_step_that_was_seen_is_held_against_the_steps_too() -> None:
    steps = [StepResult(number=n, time_s=2.0 * n, shows=[ReadingResult(place="cup", density=read)])
             for n, read in enumerate((0.2, 0.61, 0.9), 1)]  # fmt: skip
    strip = sheet(1, 0.4, "", "step-2").model_copy(update={"kind": "strip", "explained": "", "steps": steps, "readings": []})
    assert said_words(strip, evening(strip)) == "Seen: step 2 (by cup it was)."


@pytest.mark.parametrize(("kind", "measured", "share", "told"), [
    ("may-go-white", None, 1.0, ("any", "not read")), ("on-paper", 1.0, 1.0, ("yes", "yes")),
    ("on-paper", 0.0, 0.0, ("yes", "no")),
])  # fmt: skip
def test_what_is_wanted_of_no_scale_is_said_in_words(
    kind: str, measured: float | None, share: float, told: tuple[str, str]
) -> None:
    one = criterion("sky", share, 1.0).model_copy(update={"kind": kind, "measured": measured, "wanted": 1.0, "unit": ""})
    found = criterion_told(one)
    assert (found["wanted"], found["measured"]) == told


def test_the_whole_class_at_a_glance_in_three_orders() -> None:
    found = class_table(four_learners())
    assert [order["title"] for order in found["orders"]] == ["by id", "by name", "by total"]
    assert [line["id"] for line in found["orders"][2]["lines"]] == ["a", "c", "b", "d"]
    first = found["orders"][0]["lines"][0]
    assert (first["page"], first["total"], first["full"]) == ("pages/a.html", "80", "100")
    page = class_text(four_learners(), lambda _: None)
    assert page.count('<a href="pages/b.html">') == 3


def test_cells_say_what_is_special_about_a_mark() -> None:
    unseen = EyeResult(name="light", asks="?", step="", points=None, full_points=20.0)
    rows = [
        row("a", evening(), 80.0, override=OverrideResult(points=80.0, reason="r")), row("b", evening(), 80.0, by_eye=[unseen]),
        row("c", None, None, status="excused"), row("d", None, None, status="tampered"),
    ]  # fmt: skip
    lines = class_table(results(*rows))["orders"][0]["lines"]
    assert [line["cells"][0]["note"] for line in lines] == ["*", "so far", "excused", "tampered"]
    assert [line["full"] for line in lines] == ["100", "100", "0", "100"]


def test_one_learner_over_the_weeks_from_three_exercises_on() -> None:
    names = ("one", "two", "three")
    rows = [row("a", evening(), points, exercise=name) for name, points in zip(names, (40.0, 60.0, 90.0), strict=True)]
    page = feedback_text(results(*rows, exercises=names), "a", lambda _: None)
    assert "From exercise to exercise" in page
    assert all(f">{percent}</text>" in page for percent in (40, 60, 90))
    assert "From exercise to exercise" not in feedback_text(results(*rows[:2], exercises=names[:2]), "a", lambda _: None)


DARK = [[("cup", 0.8)], [("cup", 0.9)]]
STEPS = [[("cup", 0.2)], [("cup", 0.55)], [("cup", 0.9)], []]


@pytest.mark.parametrize(("expected", "shows", "words"), [
    ("step-2", STEPS, "Expected: step 2 (by cup it was)."),
    ("step 3", STEPS, "Expected: step 3 (by cup step 2 came nearest)."),
    ("step 3", STEPS[:1],
     "Expected: step 3 (no two steps show a tone of which one density is wanted, so the readings do not tell)."),
    ("before-first", DARK, "Expected: even the first step is too dark (by cup it was)."),
    ("step-1", DARK, "Expected: step 1 (by cup every step is too dark)."),
    ("after-last", DARK, "Expected: even the last step is too light (by cup every step is too dark)."),
    ("before-first", STEPS, "Expected: even the first step is too dark (by cup step 2 came nearest)."),
    ("step-2", STEPS[:1] * 2, "Expected: step 2 (by cup every step is too light)."),
    ("the third", STEPS, "Expected: the third (the readings do not tell)."),
])  # fmt: skip
def test_the_step_that_was_expected_is_held_against_the_steps(
    expected: str, shows: list[list[tuple[str, float]]], words: str
) -> None:
    steps = [
        StepResult(number=n, time_s=2.0 * n, shows=[ReadingResult(place=place, density=read) for place, read in found])
        for n, found in enumerate(shows, 1)
    ]
    told = {"kind": "strip", "explained": "", "steps": steps, "readings": []}
    strip = sheet(1, 0.4, expected, "").model_copy(update=told)
    result = evening(strip)
    assert bare(said_words(strip, result)) == words


@pytest.mark.parametrize(("why", "shows", "against"), [
    ("begin-shorter", DARK, ""), ("bracketed", DARK, "(but by cup every step is too dark)"), ("bracketed", STEPS, ""),
    ("begin-longer", STEPS, "(but by cup step 2 came nearest)"), ("other-places", DARK, ""),
])  # fmt: skip
def test_why_a_strip_came_out_so_is_held_against_its_steps(
    why: str, shows: list[list[tuple[str, float]]], against: str
) -> None:
    steps = [StepResult(number=n, time_s=2.0 * n, shows=[ReadingResult(place=p, density=d) for p, d in found])
             for n, found in enumerate(shows, 1)]  # fmt: skip
    strip = sheet(1, 0.4, "", "").model_copy(update={"kind": "strip", "explained": why, "steps": steps, "readings": []})
    assert said_words(strip, evening(strip)).endswith(f"{against}." if against else f"{ANSWERS[why]}.")


def test_answers_are_called_as_the_lesson_offers_them() -> None:
    offered = {"right": LIGHT["right"], **STRIP_ENDS, **WHY_WORDS, **STRIP_WHY, **OTHER_PLACES}
    assert offered == ANSWERS


def test_a_place_is_read_under_the_name_that_its_criterion_has() -> None:
    exercise = read_exercise(Path(__file__).parents[2] / "lessons" / "time-from-a-strip")
    cup = Place("white-cup", 0.5, 0.5, 1.0, part="lightest")
    others = tuple(Place(name, 0.4, 0.5, 1.0) for name in ("bowl-side", "plaster"))
    negative = replace(wedge(), name=exercise.negatives[0], places=(cup, *others))
    assert {"lightest"} <= {one.name for one in _places(exercise, negative)}
    assert "white-cup" not in {one.name for one in _places(exercise, negative)}
