"""A lesson taken whole in the room, from its task to its marks: with the keyboard alone, or with the mouse alone.

By day the one or the other, drawn for every run; by night both.

Predict, lay a strip, look, say why, print until the readings agree, have it marked, see what was won and what comes next.
"""

from __future__ import annotations

import math
from pathlib import Path

import pytest
from hands_in_room import in_room
from learners import WithKeys, WithTheMouse
from night import drawn

from sim.evening.handing_in import read_submission
from sim.scoring.exercise_file import find_exercise
from sim.scoring.marks import Mark
from sim.teaching.progress import EveningDone, Progress, read_progress, write_progress

LESSON = "strip-in-stops"
FIRST_GUESS_S, WANTED, WHITE = 48.0, 0.12, 0.05
NEAR = 0.012


def _returning(folder: Path) -> None:
    """A learner who has seen this lesson begun once, and works alone now."""
    _, exercise = find_exercise(LESSON)
    before = EveningDone(
        attempt=1, log="0" * 64, day=19_990, negatives=list(exercise.negatives), skill=exercise.skill, mode="completion",
        version=exercise.version, share=0.8, points=8.0, full_points=10.0, passed=True, hints=1, sheets=2.0,
        expected_sheets=1.75,
    )  # fmt: skip
    write_progress(folder, Progress(learner="k-3", evenings={LESSON: [before]}, met={exercise.skill: ["elsewhere"]}))


@pytest.fixture(params=drawn([WithKeys, WithTheMouse], 1, "hand that takes a lesson in the room"))
def learner(request: pytest.FixtureRequest, tmp_path: Path) -> WithKeys | WithTheMouse:
    _returning(tmp_path)
    hands = in_room(tmp_path, evening=False, learner="k-3")
    hands.window.room.today = 20_000
    found: WithKeys | WithTheMouse = request.param(hands)
    return found


def _main(marks: tuple[Mark, ...]) -> Mark:
    return max(marks, key=lambda mark: mark.full_points)


def _strip(learner: WithKeys | WithTheMouse) -> None:
    """Lay a strip over the lightest tone, say which step will be right, and develop it."""
    desk = learner.hands.window.room.darkroom.desk
    glow = next(place for place in desk.negative.places if place.part == "lightest")
    left, _, width, _ = desk.frame_mm
    learner.seconds(FIRST_GUESS_S)
    learner.strip_over(left + glow.x * width, desk.now.sheet_height_mm / 2)  # it lies upright, as long as the sheet
    learner.burn()
    assert learner.step.stage == "predict"
    learner.answer("step-3")
    assert learner.step.stage == "make"
    learner.develop()
    assert learner.hands.place == "wall"


def _look(learner: WithKeys | WithTheMouse) -> None:
    """Pull the cord, say what is seen, and why; no number stands on the print before."""
    assert learner.step.stage == "see"
    assert not learner.step.readings
    assert not learner.step.strip
    learner.frame()
    assert "Pull the cord" in learner.hands.words
    learner.cord()
    learner.frame()
    choices = learner.step.choices
    learner.answer(choices[len(choices) // 2].key)
    assert learner.step.stage == "explain"
    learner.answer(learner.step.choices[0].key)
    assert learner.step.stage == "predict"


def _print(learner: WithKeys | WithTheMouse, seconds: float) -> Mark:
    """Print for so long; returns what the tone that is worth most reads."""
    learner.go("enlarger")
    learner.cord()
    learner.answer("right")
    learner.seconds(seconds)
    learner.sheet()
    learner.burn()
    learner.develop()
    _look(learner)
    read = _main(learner.step.readings)
    learner.frame()
    number, words = learner.hands.window.room.number, learner.hands.words
    on_it = [
        f"{number(one.measured, 2)}, {one_way}"
        for one in learner.step.readings
        for one_way in (f"wanted {number(one.wanted, 2)}", f"{number(abs(one.miss), 2)} too")
    ]
    assert any(reading in words for reading in on_it), "what the note speaks of stands on the print"
    return read


def test_a_lesson_from_its_task_to_its_marks_with_one_hand_only(learner: WithKeys | WithTheMouse, tmp_path: Path) -> None:
    learner.begin(LESSON)
    assert (learner.run.mode, learner.run.evening.state.opening.attempt) == ("solo", 2)
    assert learner.hands.window.room.darkroom.desk.now.focus_light, "one comes in and sees the picture"
    assert learner.step.stage == "brief"
    learner.on()
    _strip(learner)
    _look(learner)
    tried: list[tuple[float, float]] = []  # stops from the first guess, and what the tone read
    stops = 0.0
    for _ in range(4):
        read = _print(learner, FIRST_GUESS_S * 2.0**stops)
        assert read.wanted == pytest.approx(WANTED)
        tried.append((stops, read.measured))
        if abs(read.miss) <= NEAR:
            break
        stops = _next_stops(tried)
    learner.counts(learner.run.made)
    _marks(learner, tmp_path)


def _next_stops(tried: list[tuple[float, float]]) -> float:
    """Between the nearest print too light and the nearest too dark; a stop on where one of the two is missing.

    First tones grow by ratios, so the way between them is shared by the logarithms of what lies above the paper's white.
    """
    dark = min((one for one in tried if one[1] > WANTED), default=None)
    light = max((one for one in tried if one[1] < WANTED), default=None)
    if dark is None or light is None:
        return tried[-1][0] + (-1.0 if light is None else 1.0)
    wanted, low, high = (math.log(max(density - WHITE, 0.001)) for density in (WANTED, light[1], dark[1]))
    return light[0] + (dark[0] - light[0]) * (wanted - low) / (high - low)


def _marks(learner: WithKeys | WithTheMouse, folder: Path) -> None:
    """Passing is seen to count, and something leads on."""
    run, teacher = learner.run, learner.teacher
    assert run.stage == "marks", learner.hands.said
    assert learner.step.marks is not None
    assert learner.step.passed, "the tone was read from the prints"
    done = read_progress(folder, "k-3").evenings[LESSON][-1]
    assert (done.attempt, done.mode, done.passed) == (2, "solo", True)
    assert "· passed" in learner.hands.words, "passing is seen"
    said = " ".join(line.words for line in teacher.lines)
    won = ("Passed: A strip in stops.", "It is yours now: A strip in stops,")  # on one negative, on all it takes
    assert any(words in said for words in won)
    assert "Next: " in said
    for _ in range(len(teacher.lines) - 1):
        learner.on()
    if isinstance(learner, WithKeys):
        learner.hand_in(folder)
        handed = list(folder.glob("handed-in-*.jsonl"))
        assert len(handed) == 1, "it lies where the learner says"
        assert str(handed[0]) in learner.hands.said
        today = find_exercise(LESSON)[1]
        found = read_submission(handed[0], today.version, (today.digest, today.public().digest))
        assert found.problems == ()
        assert (found.opening.learner, found.state.nominated) == ("k-3", (run.made,))
    else:
        learner.press_plate("next lesson")
        assert learner.run is not run
        assert learner.hands.place == "enlarger"
        assert learner.step.stage == "brief"
