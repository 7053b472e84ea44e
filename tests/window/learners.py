"""Learners who take a lesson in the room: one has the keyboard alone, one the mouse alone; both see only what is drawn."""

from __future__ import annotations

import math
from pathlib import Path

from hands_in_room import Hands

from sim.teaching.lesson import LessonRun
from sim.teaching.lesson_step import Step
from sim.window.kit.events import Pointer
from sim.window.teacher.drill_sheet import DrillSheet
from sim.window.teacher.lesson_shelf import LessonShelf
from sim.window.teacher.teacher import Teacher

MOST = 60


class Learner:
    """What both do, each with hands of its own."""

    def __init__(self, hands: Hands):
        self.hands = hands

    @property
    def teacher(self) -> Teacher:
        """The teacher beside them."""
        return self.hands.window.teacher

    @property
    def run(self) -> LessonRun:
        """The lesson under way."""
        run = self.hands.window.room.lesson
        assert run is not None, self.hands.said
        return run

    @property
    def step(self) -> Step:
        """Where it stands."""
        return self.run.step

    def frame(self) -> None:
        """Look: nothing may be cut."""
        self.hands.frame()
        self.hands.frame(0.0)
        bad = self.hands.cut()
        assert bad == [], bad

    @property
    def asked(self) -> bool:
        """Whether the note asks."""
        line = self.teacher.line
        return line is not None and line.asks and not self.teacher.away

    def seconds_now(self) -> float:
        """What the timer stands at."""
        return float(self.hands.window.room.darkroom.desk.now.time_s)

    def burn(self) -> None:
        """Step on the foot, and wait until the lamp is off."""
        self.step_on_foot()
        assert self.hands.window.room.burning, self.hands.said
        for _ in range(MOST):
            if not self.hands.window.room.burning:
                break
            self.hands.wait(4.0)
        assert not self.hands.window.room.burning

    def step_on_foot(self) -> None:
        raise NotImplementedError


class WithKeys(Learner):
    """The keyboard alone."""

    def press(self, chord: str, times: int = 1) -> None:
        for _ in range(times):
            self.hands.press(chord)
        self.hands.frame()

    def begin(self, slug: str) -> None:
        self.press("alt+1")
        self.press("l")
        shelf = self.hands.window.over
        assert isinstance(shelf, LessonShelf)
        for _ in range(MOST):
            if shelf.chosen.slug == slug:
                break
            self.press("down")
        self.press("j")
        self.frame()

    def on(self) -> None:
        self.press("j")
        self.frame()

    def answer(self, key: str) -> None:
        for _ in range(MOST):
            if self.asked and self.hands.window.hands.focus in self.teacher.answers:
                break
            self.on()
        for _ in range(MOST):
            focus = self.hands.window.hands.focus
            if focus is not None and focus.id == f"answer {key}":
                break
            self.press("right")
        assert focus is not None
        assert focus.id == f"answer {key}", [one.id for one in self.teacher.answers]
        self.press("return")
        self.frame()

    def focus(self, id: str) -> None:
        for _ in range(MOST):
            focus = self.hands.window.hands.focus
            if focus is not None and focus.id == id:
                return
            self.press("tab")
        raise AssertionError(f"{id} cannot be reached")

    def strip_over(self, x_mm: float, y_mm: float) -> None:
        self.press("t")
        paper = self.hands.window.room.darkroom.paper
        assert paper.piece is not None, self.hands.said
        self.focus("easel")
        for _ in range(200):
            piece = paper.piece
            assert piece is not None
            right, down = x_mm - piece.x_mm - piece.width_mm / 2, y_mm - piece.y_mm - piece.height_mm / 2
            if max(abs(right), abs(down)) <= 1.5:
                return
            if abs(right) > 1.5:
                self.hands.press("right" if right > 0 else "left")
            if abs(down) > 1.5:
                self.hands.press("down" if down > 0 else "up")

    def sheet(self) -> None:
        self.press("s")

    def seconds(self, seconds: float) -> None:
        self.focus("timer")
        for digit in f"{seconds:.1f}":
            self.hands.press(digit)
        self.press("return")

    def go(self, place: str) -> None:
        self.press(f"alt+{('shelf', 'enlarger', 'trays', 'wall').index(place) + 1}")
        self.frame()

    def step_on_foot(self) -> None:
        self.press("space")

    def develop(self) -> None:
        self.hands.develop()

    def cord(self) -> None:
        self.press("w")

    def counts(self, number: int) -> None:
        self.focus(f"print {number}")
        self.press("return")
        self.press("n")
        self.frame()

    def press_plate(self, id: str) -> None:
        self.focus(id)
        self.press("return")
        self.frame()

    def hand_in(self, folder: Path) -> None:
        self.press_plate("hand in")
        self.press_plate("folder")
        for _ in range(400):
            self.hands.press("backspace")
        for letter in str(folder):
            self.hands.press("space" if letter == " " else letter, text=letter)
        self.press("return")
        self.press_plate("hand in here")


class WithTheMouse(Learner):
    """The mouse alone."""

    def begin(self, slug: str) -> None:
        self.hands.touch("to shelf")
        self.hands.touch("lessons")
        for _ in range(8):
            if any(name == f"lesson {slug}" for name, _ in self.hands.frame(0.0).hits):
                break
            self.hands.touch("rows on")
        self.hands.touch(f"lesson {slug}")
        self.hands.touch("begin lesson")
        self.frame()

    def unfold(self) -> None:
        """Touch a note that folded to its line, and it opens."""
        if "note folded" in {name for name, _ in self.hands.frame(0.0).hits}:
            self.hands.touch("note folded")
            self.frame()

    def on(self) -> None:
        self.unfold()
        self.hands.touch("note on")
        self.frame()

    def answer(self, key: str) -> None:
        there = {name for name, _ in self.hands.frame(0.0).hits}
        if f"spot {key}" in there:
            self.hands.touch(f"spot {key}", (0.5, 0.3))
        else:
            for _ in range(MOST):
                if self.asked:
                    break
                self.on()
            self.unfold()
            self.hands.touch(f"answer {key}")
        self.frame()

    def strip_over(self, x_mm: float, y_mm: float) -> None:
        self.hands.drag(self.hands.where("strips").center, self.hands.enlarger.easel.plan.to_px(x_mm, y_mm))
        assert self.hands.window.room.darkroom.paper.piece is not None, self.hands.said

    def sheet(self) -> None:
        self.hands.touch("paper box")

    def seconds(self, seconds: float) -> None:
        for _ in range(4):
            rect = self.hands.where("timer")
            stops = math.log2(seconds / self.seconds_now())
            dx = round(max(-2.5, min(2.5, stops)) / 3.0 * rect.w)
            if abs(dx) < 4:
                break
            start = (rect.x + 12 if dx > 0 else rect.right - 12, rect.y + 8)
            self.hands.drag(start, (start[0] + dx, start[1]))

    def go(self, place: str) -> None:
        self.hands.touch(f"to {place}")
        self.frame()

    def step_on_foot(self) -> None:
        self.hands.touch("foot")

    def develop(self) -> None:
        for name in ("to trays", "sheet in hand", "hang up", "to the wall"):
            self.hands.touch(name)
            self.hands.frame()
        self.hands.frame()

    def cord(self) -> None:
        self.hands.touch("cord")
        self.hands.frame()

    def counts(self, number: int) -> None:
        self.hands.touch(f"print {number}", (0.5, 0.06))
        self.hands.touch("counts")
        self.frame()

    def press_plate(self, id: str) -> None:
        self.unfold()
        self.hands.touch(id)
        self.frame()


def wheel(hands: Hands, name: str, steps: int) -> None:
    """Turn the wheel over something and let it rest."""
    at = hands.where(name).center
    hands.window.handle(Pointer("move", at))
    hands.window.handle(Pointer("wheel", at, steps=steps))
    hands.wait(0.6)


def drills(hands: Hands) -> DrillSheet:
    """Return the drills that lie over the room."""
    over = hands.window.over
    assert isinstance(over, DrillSheet), hands.said
    return over
