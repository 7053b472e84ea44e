"""An unfinished evening of several prints: what is there is marked, what is missing earns nothing and the page says so."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from pathlib import Path

import pytest
from at_once import marked, row_of
from class_room import EXERCISE, ClassRoom, class_room, wedge, write_sheet

from sim.command.main import main
from sim.evening.evening import Evening
from sim.evening.handing_in import NotReady, hand_in
from sim.marking.batch import Outcome
from sim.marking.class_page import class_text
from sim.marking.feedback_page import feedback_text
from sim.marking.results import SubmissionResult
from sim.paper.stock import find_stock
from sim.scoring.exercise import Exercise
from sim.scoring.exercise_file import read_exercise
from sim.scoring.start import start_record

TWO = ("step-wedge", "step-wedge~second")


@dataclass(frozen=True)
class Evenings:
    """Logs of a class of three: both prints, the second one missing, and nothing named."""

    room: ClassRoom
    exercise: Exercise

    def log(self, learner: str, negatives: Sequence[str], name: bool) -> Path:
        """Write a log with one sheet of each of these negatives."""
        file = self.room.folder / f"{learner}.log"
        about = {"exercise_version": self.exercise.version, "exercise_digest": self.exercise.public().digest}
        with Evening.open(file, self.exercise.paper, 6, 45.0, 7, exercise="grey-steps", learner=learner, attempt=1,
                          negatives=TWO, **about) as evening:  # type: ignore[arg-type]  # fmt: skip
            for one in negatives:
                start = start_record(self.exercise, wedge(one), find_stock(self.exercise.paper))
                write_sheet(evening, start.with_exposures(replace(start.exposures[0], time_s=7.0)))
            if name:
                evening.nominate(*range(1, len(negatives) + 1))
        return file


@pytest.fixture(scope="module")
def evenings(tmp_path_factory: pytest.TempPathFactory) -> Evenings:
    room = class_room(tmp_path_factory.mktemp("part") / "course", roster=("k01", "k02", "k03"))
    file = room.folder / "grey-steps" / "exercise.toml"
    file.write_text(EXERCISE.replace('["step-wedge"]', '["step-wedge", "step-wedge~second"]'), "utf-8")
    return Evenings(room, read_exercise(file.parent))


@pytest.fixture(scope="module")
def outcome(evenings: Evenings) -> Outcome:
    both, one = evenings.log("k01", TWO, True), evenings.log("k02", TWO[:1], True)
    unnamed = evenings.log("k03", TWO[1:], False)
    box = evenings.room.box
    assert main(["submit", str(both), "-o", str(box / "k01.evening")]) == 0
    assert main(["submit", str(one), "-o", str(box / "k02.evening")]) == 2
    assert main(["submit", str(one), "--part", "-o", str(box / "k02.evening")]) == 0
    assert main(["submit", str(unnamed), "--part", "--counts", "1", "-o", str(box / "k03.evening")]) == 0
    return marked(evenings.room)


def result_of(outcome: Outcome, learner: str) -> SubmissionResult:
    found = row_of(outcome, learner).submission
    assert found is not None
    return found


def test_the_print_that_is_there_earns_what_it_earns_beside_the_other(outcome: Outcome) -> None:
    whole, first, second = (result_of(outcome, learner) for learner in ("k01", "k02", "k03"))
    assert [r.status for r in outcome.results.rows] == ["marked"] * 3
    assert [(r.prints_there, r.in_part) for r in (whole, first, second)] == [(2, False), (1, True), (1, True)]
    there = [c for c in first.criteria if c.negative == 1]
    assert [c.points for c in there] == [c.points for c in whole.criteria if c.negative == 1]
    assert sum(c.points for c in there) > 0
    assert [c.points for c in first.criteria if c.negative == 2] == [0.0, 0.0]
    assert [c.measured for c in first.criteria if c.negative == 2] == [None, None]
    on_second = [c.points for c in whole.criteria if c.negative == 2]
    own = [c.points for c in second.criteria]  # the lamp gives the first sheet of an evening other light than the second
    assert sorted(own) == pytest.approx(sorted([0.0, 0.0, *on_second]), abs=0.2)
    assert first.full_points == whole.full_points


def test_paper_that_was_not_needed_yet_earns_nothing(outcome: Outcome) -> None:
    whole, first = (result_of(outcome, learner) for learner in ("k01", "k02"))
    assert (whole.economy_points, first.economy_points) == (1.0, 0.5)
    assert not [one for one in first.advice if one.cause == "economy"]  # no thrift brings back what went with a missing print


def test_pages_say_what_is_missing(outcome: Outcome) -> None:
    said = "1 of the 2 prints asked for are there; what is missing earns nothing."
    assert said in feedback_text(outcome.results, "k02", outcome.marked)
    assert "prints asked for" not in feedback_text(outcome.results, "k01", outcome.marked)
    assert class_text(outcome.results, outcome.marked).count("1 of 2 prints") == 2


def test_advice_is_about_the_print_that_is_there(outcome: Outcome) -> None:
    first = result_of(outcome, "k02")
    places = {c.place for c in first.criteria}
    assert all(not one.place or one.place in places for one in first.advice)
    lost = sum(c.full_points - c.points for c in first.criteria if c.negative == 1)
    assert sum(one.loss_points for one in first.advice if one.cause not in ("economy", "missing-print")) <= lost + 1e-6


def test_numbers_of_sheets_are_read_strictly(evenings: Evenings, outcome: Outcome, capsys: pytest.CaptureFixture[str]) -> None:
    for typed in ("1,1", "one", "-1", "²"):
        assert main(["submit", str(evenings.room.folder / "k03.log"), "--counts", typed, "-o", "x"]) == 2
        assert "--counts must be numbers of sheets" in capsys.readouterr().err


def test_the_command_adds_its_own_options_to_what_is_missing(
    evenings: Evenings, outcome: Outcome, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """A window refuses in the same words, and has no options."""
    asked = {"k03": ("nominate one first", ", or name it with --counts"), "k02": ("got 1 nominated", "; --part hands in")}
    for learner, (said, option) in asked.items():
        log = evenings.room.folder / f"{learner}.log"
        with pytest.raises(NotReady, match=f"{said}$"):
            hand_in(log, tmp_path / "out.jsonl", 2)
        assert main(["submit", str(log), "-o", str(tmp_path / "out.jsonl")]) == 2
        assert f"{said}{option}" in capsys.readouterr().err
