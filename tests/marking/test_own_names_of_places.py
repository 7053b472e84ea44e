"""A criterion may speak of the lightest place; pages call it as the negative does, and answers about it are held against it."""

from __future__ import annotations

import shutil
from dataclasses import replace

import pytest
from at_once import marked, row_of
from class_room import class_room, write_sheet
from test_what_waits import class_page, page_of

from sim.evening.evening import Evening
from sim.evening.handing_in import hand_in
from sim.marking.batch import Outcome
from sim.marking.bundle import assigned_exercise
from sim.negative.develop import find_negative
from sim.scoring.derived import read_reference
from sim.scoring.exercise_file import find_exercise

LESSON = "time-from-a-strip"


@pytest.fixture(scope="module")
def found(tmp_path_factory: pytest.TempPathFactory) -> Outcome:
    """k01 printed the lesson once, twice as long as it takes, and said of the cup what is so, and of the print what is not."""
    room = class_room(tmp_path_factory.mktemp("names") / "course", roster=("k01",))
    folder, exercise = find_exercise(LESSON)
    shutil.copytree(folder, room.folder / LESSON)
    room.course.write_text(room.course.read_text("utf-8").replace('folder = "grey-steps"', f'folder = "{LESSON}"'), "utf-8")
    given = assigned_exercise(exercise, exercise.negatives).public()
    about = {"exercise": exercise.name, "exercise_version": exercise.version, "exercise_digest": given.digest, "learner": "k01",
             "attempt": 1, "negatives": list(exercise.negatives)}  # fmt: skip
    log = room.folder / "evening.log"
    evening = Evening.open(log, exercise.paper, exercise.box.sheets, exercise.box.minutes, 7, **about)
    (reference,) = read_reference(folder)[:1]
    exposure = reference.exposures[0]
    for choice in ("white-cup=darker", "softer"):
        write_sheet(evening, reference.with_exposures(replace(exposure, time_s=round(2.0 * exposure.time_s, 1))))
        evening.observe(choice)
    evening.nominate(1)
    hand_in(log, room.box / "k01.evening")
    return marked(room)


def test_pages_call_the_lightest_place_as_the_negative_does(found: Outcome) -> None:
    negative = find_negative(find_exercise(LESSON)[1].negatives[0])
    assert [place.name for place in negative.places if place.part == "lightest"] == ["white-cup"]
    result = row_of(found, "k01").submission
    assert result is not None
    marks = {one.name: one for one in result.criteria}
    assert marks["lightest-tone"].place == "lightest"  # as the criterion has it: readings and steps are held against that
    assert marks["lightest-tone"].called == "white-cup"
    page = page_of(found, "k01")
    reads = next(one.density for one in result.sheets[0].readings if one.place == "lightest")
    assert f"white cup {reads:.2f}" in page
    assert "lightest tone density at this place: white cup" in page
    assert f"lightest {reads:.2f}" not in page
    patches = page.split("The tones, side by side")[1].split("A screen shows")[0]
    assert "white cup" in patches
    assert "lightest" not in patches


def test_an_answer_about_a_place_by_its_own_name_is_held_against_the_readings(found: Outcome) -> None:
    page = page_of(found, "k01")
    assert "Seen: white cup: darker (it was)." in page
    assert "Seen: softer (the readings do not tell)." in page
    assert "What was seen, before the numbers: 1 of 1 were right." in class_page(found)
