"""A learner who knows only what the screen shows: presses listed keys, clicks what the last frame drew, and gets a print.

From the door to a nominated sheet: frame, focus, strip, read it, print, dodge, split, compare, nominate; and the record that
is exported gives the very same print at the command line.
"""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest
from driving import Driver, open_room
from layouts import faults

from sim.printing.record_file import record_json
from sim.window.kit.events import Pointer

WANTED = 0.70  # a middle grey: what this learner wants the middle of the picture to be


class Learner:
    """Hands and eyes: keys from the list, clicks on what is drawn, words that can be read."""

    def __init__(self, driver: Driver):
        self.driver = driver

    def key(self, chord: str, times: int = 1) -> None:
        for _ in range(times):
            self.driver.press(chord, only_listed=True)
        self.driver.frame()

    def click(self, name: str) -> None:
        self.driver.click(name)

    def wait(self, seconds: float, step_s: float = 0.1) -> None:
        for _ in range(round(seconds / step_s)):
            self.driver.frame(step_s)

    def words(self) -> str:
        assert self.driver.canvas is not None
        return "\n".join(label.words for label in self.driver.canvas.labels)

    def at(self, place: str) -> None:
        assert self.driver.app.place == place, self.driver.said()
        assert self.driver.canvas is not None
        assert faults(self.driver.canvas) == []

    def develop(self) -> None:
        """From the enlarger through the trays to the wall."""
        self.key("w")
        self.at("wet-bench")
        self.key("return")
        self.wait(1.0)
        self.key("k")
        self.wait(0.5)
        self.key("return")
        self.at("wall")


@pytest.fixture
def learner(tmp_path: Path) -> Learner:
    return Learner(open_room(tmp_path, (1280, 800)))


def _frame_and_focus(learner: Learner) -> None:
    learner.key("n")
    learner.at("enlarger")
    desk = learner.driver.app.room.darkroom.desk
    before = desk.magnification
    learner.key("l")
    learner.key("u", 4)
    assert desk.magnification > before
    assert abs(desk.focus_offset_mm) > 0.0
    learner.key("o")
    learner.key("f")
    learner.key("o")
    learner.key("shift+u", 4)
    learner.key("f")
    learner.key("l")
    assert abs(desk.focus_offset_mm) < 0.02


def _strip(learner: Learner) -> float:
    """Lay a strip, develop it, read its steps; return the seconds of the step that comes nearest to what is wanted."""
    learner.key("shift+s")
    learner.click("strip-way:same-place")
    learner.key("shift+c")
    learner.develop()
    rows = learner.driver.app.screen.find("steps").rows
    assert len(rows) == 5
    for row in rows:
        learner.click(f"steps:{row.key}")
    read = {float(row.text.split()[1]): float(row.note.split("D ")[1]) for row in rows}
    densities = [read[seconds] for seconds in sorted(read)]
    assert densities == sorted(densities), "more light, darker"
    return min(read, key=lambda seconds: abs(read[seconds] - WANTED))


def _dial(learner: Learner, seconds: float) -> None:
    """Turn the timer in sixths of a stop until it stands nearest to the seconds."""
    desk = learner.driver.app.room.darkroom.desk
    for _ in range(60):
        now = desk.now.time_s
        if now > seconds * 2 ** (1 / 12):
            learner.key(",")
        elif now < seconds / 2 ** (1 / 12):
            learner.key(".")
        else:
            break
    assert abs(desk.now.time_s / seconds - 1.0) < 0.07


def _straight(learner: Learner, seconds: float) -> None:
    learner.key("ctrl+1")
    learner.at("enlarger")
    learner.click("speed:at-once")
    _dial(learner, seconds)
    learner.key("s")
    learner.key("space")
    learner.develop()


def _dodged(learner: Learner) -> None:
    learner.key("ctrl+1")
    learner.click("speed:real")
    learner.key("s")
    learner.key("2")
    learner.key("space")
    driver = learner.driver
    assert driver.app.room.darkroom.paper.exposing
    easel = driver.where("easel")
    for n in range(600):
        x = easel.centerx + (15 if n % 4 < 2 else -15)
        driver.app.handle(Pointer("move", (x, easel.centery - (n % 3) * 6)))
        driver.frame(0.1)
        if not driver.app.room.darkroom.paper.exposing:
            break
    assert not driver.app.room.darkroom.paper.exposing
    learner.key("2")
    learner.develop()


def _split(learner: Learner, seconds: float) -> None:
    learner.key("ctrl+1")
    learner.click("speed:at-once")
    learner.key("s")
    learner.key("-", 3)
    _dial(learner, seconds / 2)
    learner.key("space")
    learner.key("=", 6)
    learner.key("space")
    learner.develop()


def test_a_learner_prints_an_evening(learner: Learner, tmp_path: Path) -> None:
    _frame_and_focus(learner)
    seconds = _strip(learner)
    _straight(learner, seconds)
    _dodged(learner)
    _split(learner, seconds)
    state = learner.driver.app.room.darkroom.evening.state
    assert [made.record.sheet.kind for made in state.sheets] == ["strip", "sheet", "sheet", "sheet"]
    assert sum(len(e.cards) for e in state.sheets[2].record.exposures) >= 1
    exposures = state.sheets[3].record.exposures
    assert len(exposures) == 2
    assert exposures[0].filter != exposures[1].filter
    _compare_and_nominate(learner)
    _same_print_at_the_command(learner, tmp_path)


def _compare_and_nominate(learner: Learner) -> None:
    learner.key("2")
    learner.at("wall")
    learner.key("1")
    learner.click("sheets:3")
    learner.key("n")
    assert learner.driver.app.room.darkroom.wall.nominated == (3,)
    learner.key("ctrl+4")
    learner.at("notebook")
    learner.click("export")
    learner.driver.frame()


def _same_print_at_the_command(learner: Learner, tmp_path: Path) -> None:
    from sim.command.main import main
    from sim.command.pictures import save_print

    wall = learner.driver.app.room.darkroom.wall
    exported = sorted((tmp_path / "evenings").rglob("*.json"))
    records = [file for file in exported if file.read_text(encoding="utf-8") == record_json(wall.record(3)) + "\n"]
    assert records, [str(file) for file in exported]
    record = tmp_path / "mine.json"
    shutil.copy(records[0], record)
    assert main(["print", str(record), "-o", str(tmp_path / "command.png")]) == 0
    save_print(tmp_path / "window.png", wall.sheet(3), viewing_lux=500.0, view="white")
    assert (tmp_path / "command.png").read_bytes() == (tmp_path / "window.png").read_bytes()
