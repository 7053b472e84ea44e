"""Two thousand random keys and presses: no exception reaches the surface, memory stays, and what must hold holds."""

from __future__ import annotations

import gc
import logging
from pathlib import Path

import numpy as np
import pytest
from driving import Driver, open_room

from sim.window.kit.events import Key, Pointer
from sim.window.stations import BESIDE, PLACES

EVENTS, DRAW_EVERY = 2000, 50
MOST_GROWTH_MB = 50.0
NAMES = (
    "tab", "return", "space", "escape", "left", "right", "up", "down", "home", "end", "page up", "page down", "backspace",
    "f1", "f2", "f3", "f4", "[", "]", ",", ".", "-", "+", "delete", "insert", *"abcdefghijklmnopqrstuvwxyz0123456789",
)  # fmt: skip


class _Faults(logging.Handler):
    """Collects what was logged as a fault of ours."""

    def __init__(self) -> None:
        super().__init__(logging.ERROR)
        self.found: list[str] = []

    def emit(self, record: logging.LogRecord) -> None:
        from traceback import format_exception

        error = record.exc_info[1] if record.exc_info else None
        self.found.append("".join(format_exception(error)) if error else record.getMessage())


def _memory_mb() -> float:
    status = Path("/proc/self/status")
    if not status.exists():
        pytest.skip("memory is read from /proc")
    line = next(one for one in status.read_text(encoding="ascii").splitlines() if one.startswith("VmRSS"))
    return int(line.split()[1]) / 1024


def _random_event(driver: Driver, rng: np.random.Generator, down: set[int]) -> None:
    app, kind = driver.app, rng.random()
    width, height = app.size
    at = (int(rng.integers(-5, width + 5)), int(rng.integers(-5, height + 5)))
    if kind < 0.25 and driver.canvas and driver.canvas.hits:  # most of what can be clicked is small: aim at it
        rect = driver.canvas.hits[int(rng.integers(len(driver.canvas.hits)))][1]
        at = rect.center
    if kind < 0.45:
        button = int(rng.choice([1, 1, 1, 2, 3]))
        down.add(button)
        app.handle(Pointer("down", at, button, buttons=frozenset(down)))
        if rng.random() < 0.8:
            down.discard(button)
            app.handle(Pointer("up", at, button, buttons=frozenset(down)))
    elif kind < 0.60:
        app.handle(Pointer("move", at, buttons=frozenset(down)))
    elif kind < 0.66:
        app.handle(Pointer("wheel", at, steps=int(rng.integers(-3, 4)), shift=bool(rng.random() < 0.2)))
    else:
        name = str(rng.choice(NAMES))
        control, shift, alt = (bool(rng.random() < share) for share in (0.08, 0.15, 0.03))
        if (control, name) == (True, "q"):
            return
        text = name if len(name) == 1 and not (control or alt) else ""
        app.handle(Key(name, True, shift, control, alt, text))
        if rng.random() < 0.9:
            app.handle(Key(name, False, shift, control, alt))


def _hold(driver: Driver) -> None:
    """What must hold at every frame."""
    app = driver.app
    assert app.place in {name for name, _ in PLACES} | set(BESIDE)
    assert len({c.id for c in app.screen.controls}) == len(app.screen.controls)
    darkroom = app.room.darkroom
    if darkroom is not None:
        assert darkroom.sheets_left >= -1e-9
        assert darkroom.minutes_left >= -1e-9
        state = darkroom.evening.state
        assert [made.number for made in state.sheets] == list(range(1, len(state.sheets) + 1))
        assert all(1 <= n <= len(state.sheets) for n in state.nominated)
        assert not (darkroom.white_light and darkroom.paper.piece is not None)
    focus = app.screen.focus
    assert focus is None or focus in [*app.screen.controls, *app.room.frame]


@pytest.mark.parametrize("seed", [1, 2])
def test_random_events_harm_nothing(tmp_path: Path, seed: int) -> None:
    driver = open_room(tmp_path, (1100, 720), evening=True)
    faults = _Faults()
    driver.app.room.log.addHandler(faults)
    rng = np.random.Generator(np.random.PCG64(seed))
    down: set[int] = set()
    at_start = 0.0
    for number in range(EVENTS):
        _random_event(driver, rng, down)
        driver.app.leaving = False
        driver.app.update(float(rng.choice([0.0, 1 / 60, 0.2])))
        if number % DRAW_EVERY == 0:
            driver.frame()
            _hold(driver)
            assert faults.found == [], faults.found[0]
        if number == EVENTS // 2:  # by then every place was stood in, and what is made once has been made
            gc.collect()
            at_start = _memory_mb()
    gc.collect()
    assert _memory_mb() - at_start < MOST_GROWTH_MB
    _same_again(driver, tmp_path)


def _same_again(driver: Driver, folder: Path) -> None:
    """The evening is on disk as it stood: opened again it holds the same sheets."""
    from sim.evening.evening import Evening

    darkroom = driver.app.room.darkroom
    kept = Evening.look(darkroom.evening.file).state
    assert kept.sheets == darkroom.evening.state.sheets
    assert kept.nominated == darkroom.evening.state.nominated
