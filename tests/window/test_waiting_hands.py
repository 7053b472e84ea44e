"""Long work with the real worker: while it has the bench the window neither works it nor looks at it, and says so."""

from __future__ import annotations

import threading
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pygame
import pytest
from driving import Driver, open_room
from evening_made import expose
from layouts import faults

from sim.bench.darkroom import Darkroom
from sim.bench.tray import Tray
from sim.evening.evening import Evening
from sim.teaching.lesson import LessonRun
from sim.window.kit.events import Key, Pointer


class Watch:
    """Holds a job back until it is let go, and notes who looks at the bench meanwhile."""

    def __init__(self, monkeypatch: pytest.MonkeyPatch, owner: type, name: str):
        self.running, self.gate = threading.Event(), threading.Event()
        self.clashes: list[str] = []
        self.workers: set[int] = set()
        real = getattr(owner, name)

        def held(*given: Any, **more: Any) -> Any:
            self.workers.add(threading.get_ident())
            self.running.set()
            assert self.gate.wait(60)
            try:
                return real(*given, **more)
            finally:
                self.running.clear()

        monkeypatch.setattr(owner, name, held)
        for kind in (Darkroom, Evening, LessonRun, Tray):
            monkeypatch.setattr(kind, "__getattribute__", self._spy(kind), raising=False)

    def _spy(self, kind: type) -> Callable[[Any, str], Any]:
        real = kind.__getattribute__

        def spy(one: Any, name: str) -> Any:
            if self.running.is_set() and threading.get_ident() not in self.workers:
                self.clashes.append(f"{kind.__name__}.{name}")
            return real(one, name)

        return spy


def _begun(driver: Driver, watch: Watch) -> None:
    for _ in range(400):
        driver.frame()
        if watch.running.wait(0.01):
            return
    raise AssertionError("the work never began")


def _until_free(driver: Driver) -> None:
    for _ in range(3000):
        driver.frame()
        if not driver.app.room.busy:
            return
        threading.Event().wait(0.01)
    raise AssertionError("the work never ended")


def _bombard(driver: Driver) -> None:
    """Everything a pair of impatient hands does."""
    app = driver.app
    for chord in ("return", "space", "tab", "k", "w", "f1", "f3", "ctrl+1", "ctrl+3", "ctrl+4", "page down", "up", "escape"):
        driver.press(chord)
        driver.frame()
    for x in range(20, app.size[0], 90):
        for y in range(10, app.size[1], 70):
            app.handle(Pointer("move", (x, y)))
            app.handle(Pointer("wheel", (x, y), steps=1))
            app.handle(Pointer("down", (x, y), 1, buttons=frozenset({1})))
            app.handle(Pointer("up", (x, y), 1))
    app.go("enlarger")
    for size in ((1100, 720), (1280, 800)):
        app.resize(size)
        driver.surface = pygame.Surface(size)
        driver.frame(0.2, times=3)


def test_nobody_touches_the_bench_while_a_sheet_is_developed(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    driver = open_room(tmp_path, evening=True)
    expose(driver)
    driver.go("wet-bench")
    driver.press("return")
    driver.frame(0.25, times=4)
    room, tray = driver.app.room, driver.app.room.darkroom.tray
    assert tray.stage == "developer"
    before = pygame.surfarray.array3d(driver.surface)
    watch = Watch(monkeypatch, Tray, "next")
    room.at_once = False
    driver.press("return")
    _begun(driver, watch)
    _bombard(driver)
    assert driver.app.place == "wet-bench"
    assert "One moment" in driver.said()
    assert room.busy_words in driver.said()
    middle = driver.app.screen.view.rect.inflate(-40, -40)
    after = pygame.surfarray.array3d(driver.surface)
    part = (slice(middle.x, middle.right), slice(middle.y, middle.bottom))
    assert after[part].std() > 1.0
    assert before[part].std() > 1.0
    assert watch.clashes == []
    watch.gate.set()
    _until_free(driver)
    assert watch.clashes == []
    assert tray.stage == "stop"
    assert faults(driver.frame()) == []
    driver.press("ctrl+1")
    assert driver.app.place == "enlarger"


def test_a_lesson_can_make_its_sheet_while_hands_are_impatient(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    driver = open_room(tmp_path)
    driver.go("lessons")
    driver.click("begin")
    driver.click("go-on")
    driver.click("answers:step-3")
    driver.click("go-on")
    room = driver.app.room
    assert room.lesson.stage == "make"
    watch = Watch(monkeypatch, LessonRun, "play")
    room.at_once = False
    driver.press("g")
    _begun(driver, watch)
    _bombard(driver)
    assert driver.app.place == "lessons"
    assert watch.clashes == []
    watch.gate.set()
    _until_free(driver)
    assert watch.clashes == []
    assert room.lesson.stage == "see"
    assert len(room.darkroom.evening.state.sheets) == 1
    assert driver.app.screen.sheet.surface is not None, "the sheet's picture came with it"


def test_what_was_let_go_meanwhile_is_let_go_afterwards(tmp_path: Path) -> None:
    driver = open_room(tmp_path, evening=True)
    room, app = driver.app.room, driver.app
    gate = threading.Event()
    app.handle(Key("2", True, text="2"))
    held = dict(app.screen._held)
    room.at_once = False
    room.later(lambda: gate.wait(60), lambda _: None, "Something long")
    driver.frame(times=3)
    app.handle(Key("2", False))
    assert dict(app.screen._held) == held
    gate.set()
    _until_free(driver)
    driver.frame()
    assert "2" not in app.screen._held


def test_the_key_list_and_the_beat_need_no_bench(tmp_path: Path) -> None:
    driver = open_room(tmp_path, evening=True)
    room, gate = driver.app.room, threading.Event()
    room.at_once = False
    room.later(lambda: gate.wait(60), lambda _: None, "Something long")
    driver.frame(times=3)
    assert room.bench_taken
    driver.press("f4")
    assert room.beat.on
    driver.press("f2")
    assert driver.app.over is not None
    driver.press("escape")
    driver.press("ctrl+q")
    assert driver.app.leaving
    gate.set()
    driver.app.close()
    assert room.work.idle


def test_pictures_are_made_while_the_bench_is_worked(tmp_path: Path) -> None:
    driver = open_room(tmp_path, evening=True)
    room, gate, seen = driver.app.room, threading.Event(), []
    room.at_once = False
    room.later(lambda: gate.wait(60), seen.append, bench=False)
    driver.frame(times=3)
    assert room.busy
    assert not room.bench_busy
    driver.press("ctrl+4")
    assert driver.app.place == "notebook"
    gate.set()
    _until_free(driver)
    assert seen == [True]


def test_work_begins_even_where_nobody_draws(tmp_path: Path) -> None:
    driver = open_room(tmp_path, evening=True)
    room, seen = driver.app.room, []
    room.at_once = False
    room.later(lambda: 7, seen.append)
    for _ in range(300):
        driver.app.update(1 / 60)
        threading.Event().wait(0.01)
        if seen:
            break
    assert seen == [7]
