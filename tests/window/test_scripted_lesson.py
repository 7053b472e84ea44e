"""A lesson worked alone in the window, from its task to the file that is handed in: listed keys and what is drawn only.

Predict, lay a strip by hand, look, say why, print, look, have it marked, read the advice, hand in.
"""

from __future__ import annotations

import math
from pathlib import Path
from typing import Any

import pytest
from driving import Driver, open_room
from layouts import faults

from sim.evening.handing_in import read_submission
from sim.scoring.exercise_file import find_exercise
from sim.teaching.progress import EveningDone, Progress, read_progress, write_progress

LESSON, WANTED, WHITE = "strip-in-stops", 0.12, 0.05
FIRST_S, STEPS = 3.0, 5


class Learner:
    """Hands and eyes: keys from the list, clicks on what is drawn, words that can be read."""

    def __init__(self, driver: Driver):
        self.driver = driver

    @property
    def step(self) -> Any:
        return self.driver.app.screen.step

    def key(self, chord: str, times: int = 1) -> None:
        for _ in range(times):
            self.driver.press(chord, only_listed=True)
        self.driver.frame()

    def click(self, name: str) -> None:
        self.driver.click(name)

    def at(self, place: str) -> None:
        assert self.driver.app.place == place, self.driver.said()
        assert faults(self.driver.frame()) == []

    def words(self) -> str:
        canvas = self.driver.frame()
        assert faults(canvas) == []
        return " ".join(label.words for label in canvas.labels)

    def number(self, control: str, value: str) -> None:
        """Put the pencil into a number field and write."""
        screen = self.driver.app.screen
        for _ in range(200):
            if screen.focus is not None and screen.focus.id == control:
                break
            self.driver.press("tab", only_listed=True)
        for digit in value:
            self.driver.press(digit)
        self.key("return")

    def answer(self, key: str) -> None:
        """Choose an answer of the lesson and say it."""
        screen = self.driver.app.screen
        for _ in range(20):
            if any(name == f"answers:{key}" for name, _ in self.driver.frame().hits):
                break
            screen.answers.first += 1
        self.click(f"answers:{key}")
        self.key("g")

    def develop(self) -> None:
        """From the enlarger through the trays to the wall."""
        self.key("w")
        self.at("wet-bench")
        self.key("return")
        self.driver.frame(0.2, times=5)
        self.key("k")
        self.driver.frame(0.2, times=3)
        self.key("return")
        self.at("wall")


@pytest.fixture
def learner(tmp_path: Path) -> Learner:
    """A learner who has seen this lesson begun once, and works alone now."""
    _, exercise = find_exercise(LESSON)
    before = EveningDone(
        attempt=1, log="0" * 64, day=19_990, negatives=list(exercise.negatives), skill=exercise.skill, mode="completion",
        version=exercise.version, share=0.8, points=8.0, full_points=10.0, passed=True, hints=1, sheets=2.0,
        expected_sheets=1.75,
    )  # fmt: skip
    write_progress(tmp_path, Progress(learner="k-3", evenings={LESSON: [before]}, met={exercise.skill: ["elsewhere"]}))
    driver = open_room(tmp_path, (1280, 800), learner="k-3")
    driver.app.room.today = 20_000
    return Learner(driver)


def _begin(learner: Learner) -> None:
    driver = learner.driver
    learner.key("l")
    learner.at("lessons")
    learner.click(f"lessons:{LESSON}")
    learner.key("g")
    run = driver.app.room.lesson
    assert (run.mode, run.exercise.name, run.evening.state.opening.attempt) == ("solo", LESSON, 2)
    assert learner.step.stage == "brief"
    learner.key("g")
    assert learner.step.stage == "predict"


def _strip_across_the_glow(learner: Learner) -> None:
    """Take a strip and lay its middle over the lightest tone."""
    learner.key("e")
    learner.at("enlarger")
    learner.click("speed:at-once")
    screen, desk = learner.driver.app.screen, learner.driver.app.room.darkroom.desk
    learner.key("shift+s")
    glow = next(p for p in next(c for c in desk.negatives() if c.name == desk.now.negative).places if p.part == "lightest")
    left, top, width, height = desk.frame_mm
    while screen.pages.open != "paper":
        learner.key("p")
    learner.number("strip-x", f"{left + glow.x * width:.0f}")
    learner.number("strip-y", f"{top + glow.y * height:.0f}")
    while screen.pages.open != "strip":
        learner.key("p")


def _strip_by_hand(learner: Learner) -> None:
    """Cover the strip piece by piece: each further piece gets as much again as it has had."""
    _strip_across_the_glow(learner)
    seconds = FIRST_S
    for n in range(STEPS):
        learner.number("seconds", f"{seconds:g}")
        learner.key("f5")
        seconds = FIRST_S * 2.0**n
        learner.key("c")
    times = [mark.time_s for mark in learner.driver.app.room.darkroom.paper.strip_steps]
    assert times == pytest.approx([FIRST_S * 2.0**n for n in range(STEPS)])
    learner.develop()


def _strip_on_the_same_place(learner: Learner) -> None:
    """The second strip is moved under a slot, so that every step shows the glow."""
    _strip_across_the_glow(learner)
    learner.number("strip-first", f"{FIRST_S * 8:g}")
    learner.click("strip-way:same-place")
    learner.key("shift+c")
    learner.develop()


def _look_and_say(learner: Learner) -> str:
    """Back to the lesson: what is seen, and why; returns what was seen."""
    learner.key("ctrl+5")
    learner.at("lessons")
    assert learner.step.stage == "see"
    assert not learner.step.readings
    assert not learner.step.strip
    seen = learner.step.choices[len(learner.step.choices) // 2].key
    learner.answer(seen)
    assert learner.step.stage == "explain"
    learner.answer(learner.step.choices[0].key)
    return seen


def _seconds_from(strip: tuple[tuple[str, float], ...]) -> float:
    """Read the strip: between the two steps on either side of the tone, by its share of the way in stops.

    First tones grow by ratios, so the share is taken of the logarithms of what lies above the paper's white.
    """
    times = [float(label.split()[0]) for label, _ in strip]
    densities = [density for _, density in strip]
    assert densities == sorted(densities)
    n = next(k for k, density in enumerate(densities) if density >= WANTED)
    wanted, below, above = (math.log(max(density - WHITE, 0.001)) for density in (WANTED, densities[n - 1], densities[n]))
    share = (wanted - below) / (above - below)
    return float(times[n - 1] * (times[n] / times[n - 1]) ** share)


def test_a_lesson_alone_from_its_task_to_what_is_handed_in(learner: Learner, tmp_path: Path) -> None:
    driver = learner.driver
    _begin(learner)
    learner.answer("step-3")
    assert learner.step.stage == "make"
    _strip_by_hand(learner)
    driver.click("nominate")
    assert "strip" in driver.said(), "a strip is no print"
    _look_and_say(learner)
    assert len(learner.step.strip) == STEPS, "a strip covered by hand is read like any other"
    learner.answer("step-3")
    _strip_on_the_same_place(learner)
    _look_and_say(learner)
    seconds = _seconds_from(learner.step.strip)
    for stops in (0.0, 0.25):
        assert learner.step.stage == "predict"
        learner.answer("right")
        _print(learner, seconds * 2.0**stops)
        _refused_at_the_wall(learner)
        _look_and_say(learner)
        assert learner.step.readings
    _counts_at_the_wall(learner)
    _marks_and_handing_in(learner, tmp_path)


def _print(learner: Learner, seconds: float) -> None:
    learner.key("e")
    learner.at("enlarger")
    learner.click("speed:at-once")
    learner.number("seconds", f"{seconds:.1f}")
    learner.key("s")
    learner.key("f5")
    learner.develop()


def _refused_at_the_wall(learner: Learner) -> None:
    """The wall asks the lesson: first say what is to be seen."""
    run = learner.driver.app.room.lesson
    before = run.evening.state.nominated
    learner.key("n")
    assert "first say what is to be seen" in learner.driver.said()
    assert run.evening.state.nominated == before


def _counts_at_the_wall(learner: Learner) -> None:
    driver, run = learner.driver, learner.driver.app.room.lesson
    learner.key("ctrl+3")
    learner.at("wall")
    learner.click("sheets:4")
    learner.key("n")
    assert run.evening.state.nominated == (4,)
    learner.key("n")
    assert "gives way" in driver.said()
    learner.click("sheets:3")
    learner.key("n")
    assert run.evening.state.nominated == (3,), "one negative, one print: the other gave way"
    assert run.stage == "marks"
    learner.key("ctrl+z")
    assert run.evening.state.nominated == (4,)
    learner.click("sheets:3")
    learner.key("n")
    assert run.evening.state.nominated == (3,)


def _marks_and_handing_in(learner: Learner, folder: Path) -> None:
    driver, run = learner.driver, learner.driver.app.room.lesson
    learner.key("ctrl+5")
    learner.at("lessons")
    assert learner.step.stage == "marks"
    words = learner.words()
    assert "Quality" in words
    assert learner.step.marks.share >= 0.6, "the tone was read from the strip"
    assert learner.step.contrasts, "two prints of one's own stand side by side"
    done = read_progress(folder, "k-3").evenings[LESSON][-1]
    assert (done.attempt, done.mode, done.share) == (2, "solo", pytest.approx(learner.step.marks.share, abs=1e-3))
    learner.click("hand-in")
    handed = list(run.evening.file.parent.glob("handed-in-*.jsonl"))
    assert len(handed) == 1
    assert handed[0].name in driver.said()
    today = find_exercise(LESSON)[1]  # the attempt itself was on a negative of its own
    found = read_submission(handed[0], today.version, (today.digest, today.public().digest))
    assert found.problems == ()
    assert found.stale is None
    assert (found.opening.learner, found.opening.exercise, found.state.nominated) == ("k-3", LESSON, (3,))
    kinds = [made.record.sheet.kind for made in found.state.sheets]
    assert kinds == ["strip", "strip", "sheet", "sheet"]
