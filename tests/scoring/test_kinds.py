"""A kind of criterion is three things in three files: its declaration, how it is measured, its words."""

from __future__ import annotations

import ast
from pathlib import Path

import pytest

import sim
from sim.marking.feedback_page import kind_words
from sim.notebook.mark_words import KIND_WORDS
from sim.reading import OutsideError
from sim.scoring.criterion_keys import criterion_keys
from sim.scoring.criterion_kinds import KINDS, Key, Kind
from sim.scoring.criterion_measures import MEASURES, Measured
from sim.scoring.exercise import Criterion, Spot
from sim.scoring.exercise_file import EXERCISE_FILE, exercise_toml, parse_exercise
from sim.scoring.judged import Judged, JudgedPrint
from sim.scoring.marks import score
from sim.words import Words

from .small_exercise import exercise, judged, record

PACKAGE = Path(sim.__file__).parent
HOME = {"scoring/criterion_kinds.py", "scoring/criterion_measures.py", "notebook/mark_words.py"}
PLAIN_WORDS = {"tone", "black", "white", "sharp", "even", "size"}  # words of other meanings too, looked for nowhere


def test_every_kind_is_declared_measured_and_said() -> None:
    assert set(KINDS) == set(MEASURES) == set(KIND_WORDS)


def test_no_other_file_names_a_kind() -> None:
    """Sleeves say of a place that it may go white; that is another thing, and the negative's room is left out."""
    names = set(KINDS) - PLAIN_WORDS
    found = set()
    for file in PACKAGE.rglob("*.py"):
        if file.relative_to(PACKAGE).parts[0] in ("negative", "workshop"):
            continue
        source = file.read_text("utf-8")
        if not any(name in source for name in names):
            continue  # few do, and taking all files to pieces takes seconds
        texts = (node.value for node in ast.walk(ast.parse(source)) if isinstance(node, ast.Constant))
        if names & {text for text in texts if isinstance(text, str)}:
            found.add(file.relative_to(PACKAGE).as_posix())
    assert found == HOME


@pytest.fixture
def between(monkeypatch: pytest.MonkeyPatch) -> Kind:
    """A kind of this test's own: the mean of two places should be a density."""
    keys = (Key("mean_density", "wanted", float, required=True), Key("tolerance_density", "tolerance", float))
    kind = Kind("between", (2, 2), keys, tolerance=0.04, side="too-little")

    def mean(criterion: Criterion, judged: Judged, one: JudgedPrint) -> Measured:
        film = judged.negatives[one.negative]
        value = sum(one.readings.spot(spot.on(film)) for spot in criterion.spots) / len(criterion.spots)
        return Measured("both", value, criterion.wanted, criterion.tolerance, kind.kept_off(value - criterion.wanted))

    monkeypatch.setitem(KINDS, kind.name, kind)
    monkeypatch.setitem(MEASURES, kind.name, mean)
    monkeypatch.setitem(KIND_WORDS, kind.name, "the mean of two places")
    return kind


def file_with(criterion: str) -> str:
    example = (Path(__file__).parent / "tone-only" / EXERCISE_FILE).read_text(encoding="utf-8")
    return f"{example}\n[[criterion]]\n{criterion}\n"


WRITTEN = 'kind = "between"\nplaces = ["lightest", "darkest"]\nmean_density = 0.9\npoints = 3.0'


def test_a_kind_added_in_three_places_is_read_written_measured_and_said(between: Kind) -> None:
    *_, entry = parse_exercise(Path("exercise.toml"), file_with(WRITTEN)).criterion
    criterion = entry.criterion()
    assert (criterion.wanted, criterion.tolerance, criterion.points) == (0.9, 0.04, 3.0)
    assert criterion_keys(criterion)["mean_density"] == 0.9
    task = exercise(Criterion("mean", "between", (Spot("patch-2"), Spot("patch-4")), 0.8, 0.04, 3.0))
    assert parse_exercise(Path("exercise.toml"), exercise_toml(task))
    light, dark = (score(judged(task, record(time_s=time_s)), task) for time_s in (2.0, 30.0))
    assert dark.share == 1.0
    assert light.share < 1.0
    assert light.marks[0].place == "both"
    assert kind_words("between", Words()) == "the mean of two places"


@pytest.mark.parametrize(("old", "new", "message"), [
    ("mean_density = 0.9", "", "mean_density is required for kind 'between'"),
    ('places = ["lightest", "darkest"]', 'places = ["darkest"]', "places must be two for kind 'between', got 1"),
    ("points = 3.0", "share = 0.5", "share does not belong to kind 'between'"),
    ("mean_density = 0.9", 'mean_density = "dark"', "mean_density: must be a valid number"),
])  # fmt: skip
def test_what_a_new_kind_does_not_take_is_refused_by_its_key(between: Kind, old: str, new: str, message: str) -> None:
    with pytest.raises(OutsideError, match=message):
        parse_exercise(Path("exercise.toml"), file_with(WRITTEN.replace(old, new)))


def test_a_kind_that_is_not_there_is_refused_with_those_that_are() -> None:
    with pytest.raises(OutsideError, match=r"criterion\[2\]\.kind: .*'tone', .*got 'between'"):
        parse_exercise(Path("exercise.toml"), file_with(WRITTEN.replace("mean_density = 0.9\n", "")))
