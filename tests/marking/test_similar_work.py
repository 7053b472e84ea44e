"""Signs for whoever teaches: copies, replays, first sheets too good, tiny cards; and honest evenings that show none."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest
from class_room import ClassRoom, class_room, rewritten
from honest_classes import as_class, marked
from made_results import row, submission

from sim.command.main import main
from sim.evening.assignment import Assignment
from sim.evening.given_out import is_given_out, keep_given_out, negatives_given_out
from sim.marking.class_page import class_text
from sim.marking.evening_signs import smallest_card_mm
from sim.marking.results import CourseResults, SignsResult, SubmissionResult
from sim.marking.similar_work import signs_in
from sim.printing.record import Card, Still
from sim.scoring.variants import is_of_a_course

PATH = (5.2, 6.1, 7.9)


@pytest.fixture(scope="module")
def room(tmp_path_factory: pytest.TempPathFactory) -> ClassRoom:
    return class_room(tmp_path_factory.mktemp("signs") / "course", roster=("k01", "k02", "k03", "k04"))


@pytest.fixture(scope="module")
def suspicious(room: ClassRoom) -> CourseResults:
    """k02 hands in k01's file under another name, k03 copies the decisions into an evening of their own, k04 works alone."""
    evenings: dict[tuple[str, str], SubmissionResult] = {}
    own = room.hand("k01", times=PATH, seed=11)
    evenings["k01", "e"] = marked(room, own.read_bytes())
    taken = room.hand("k02", times=PATH, seed=11)
    rewritten(taken, {0: {"learner": "k02"}})
    evenings["k02", "e"] = marked(room, taken.read_bytes())
    evenings["k03", "e"] = marked(room, room.hand("k03", times=(9.0, *PATH), seed=12).read_bytes())
    evenings["k04", "e"] = marked(room, room.hand("k04", times=(5.2, 6.1, 8.0), seed=13).read_bytes())
    return as_class(evenings, ["e"])


def test_a_copied_file_and_copied_decisions_are_told_apart(suspicious: CourseResults) -> None:
    assert [(one.what, one.learner, one.other) for one in signs_in(suspicious)] == [
        ("same-light", "k01", "k02"), ("same-decisions", "k01", "k02"), ("same-decisions", "k01", "k03"),
    ]  # fmt: skip


def test_signs_stand_on_the_class_page_as_questions_and_on_no_other(suspicious: CourseResults) -> None:
    page = class_text(suspicious, lambda _: None)
    assert "lamp and timer erred in the same way as in the evening of k02" in page
    assert "a question, not a verdict" in page


def test_the_first_piece_of_paper_seldom_is_the_best_there_is(room: ClassRoom) -> None:
    shown = replace(room.exercise, criteria=room.exercise.criteria[:1])
    lucky = ClassRoom(room.folder, shown)
    found = signs_in(as_class({("k01", "e"): marked(lucky, lucky.hand("k01", times=(8.0,)).read_bytes())}, ["e"]))
    assert [one.what for one in found] == ["first-sheet"]
    later = signs_in(as_class({("k01", "e"): marked(lucky, lucky.hand("k01", times=(5.0, 8.0)).read_bytes())}, ["e"]))
    assert later == []


def test_a_strip_is_missed_only_over_several_exercises() -> None:
    signs = SignsResult(light="a", decisions=["x", "y"])
    good = submission((1.0, 1.0), "exposure", 2.0).model_copy(update={"signs": signs})
    three = [row("a", good, 80.0, exercise=f"e{n}") for n in range(3)]
    base = as_class({}, [])
    assert [one.what for one in signs_in(base.model_copy(update={"rows": three}))] == ["no-strip"]
    assert signs_in(base.model_copy(update={"rows": three[:2]})) == []


def test_the_smallest_card_of_the_sheets_that_count(room: ClassRoom) -> None:
    record = room.record(8.0)
    cards = [Card("oval", Still(20.0, 10.0), 100.0, 30.0, 4.0), Card("edge", Still(20.0, 10.0), 100.0, 1.0, 1.0)]
    with_cards = record.with_exposures(replace(record.exposures[0], cards=tuple(cards)))
    assert smallest_card_mm([with_cards]) == 4.0
    assert smallest_card_mm([record]) is None


@pytest.mark.parametrize(("across_mm", "hinted"), [(5.0, ["small-card"]), (5.9, ["small-card"]), (6.1, []), (7.0, [])])
def test_a_card_no_hand_would_cut_is_hinted_at_and_one_just_larger_is_not(
    room: ClassRoom, across_mm: float, hinted: list[str]
) -> None:
    """In an evening's own sheet: a hole of 5 mm is asked about, one of 7 mm is a spot that a patient hand burns."""
    record = room.record(8.0)
    card = Card("oval", Still(20.0, 10.0), 100.0, 30.0, across_mm)
    sheet = record.with_exposures(replace(record.exposures[0], cards=(card,)))
    signs = SignsResult(light="a", decisions=["x"], strips=1, smallest_card_mm=smallest_card_mm([sheet]))
    found = submission((1.0, 0.5), "exposure", 2.0).model_copy(update={"signs": signs, "quality_share": 0.9})
    results = as_class({("k01", "e"): found}, ["e"])
    assert [one.what for one in signs_in(results)] == hinted


def test_an_anonymous_course_holds_no_signs() -> None:
    assert signs_in(as_class({("a", "e"): submission((1.0, 1.0), "exposure", 1.0)}, ["e"])) == []


def test_a_solver_leaves_alone_what_was_given_out(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr("sim.shelf.data_of_ones_own", lambda: tmp_path)
    assert is_of_a_course("step-wedge~0123456789abcdef")
    assert not is_of_a_course("step-wedge~second")
    assert main(["reach", "--negative", "morning-shelf~0123456789abcdef"]) == 2
    assert "its learner's to find" in capsys.readouterr().err
    keep_given_out(tmp_path, Assignment("c", "e", "k01", ("morning-shelf",)))
    keep_given_out(tmp_path, Assignment("c", "f", "k01", ("step-wedge~0123456789abcdef",)))
    assert negatives_given_out(tmp_path) == ("morning-shelf", "step-wedge~0123456789abcdef")
    assert main(["reach", "--negative", "morning-shelf~second"]) == 2
    assert "morning-shelf~second was given out" in capsys.readouterr().err
    assert not is_given_out("cup-close", negatives_given_out(tmp_path))
    (tmp_path / "given-out.json").write_text("[", "utf-8")
    assert negatives_given_out(tmp_path) == ()


