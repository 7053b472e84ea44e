"""Two thousand random keys and presses: no exception reaches the surface, memory stays, and what must hold holds."""

from __future__ import annotations

import contextlib
import ctypes
import gc
import logging
from pathlib import Path

import numpy as np
import pytest
from hands_in_room import Hands, in_room
from night import turns

from sim.evening.evening import Evening
from sim.window.kit.events import Key, Pointer
from sim.window.standing.standing import ALONG_THE_BENCH

EVENTS, DRAW_EVERY = 2000, 50
SEEDS = turns("TONEWRIGHT_SEEDS", 1, 5)
MOST_GROWTH_MB = 50.0
NAMES = (
    "tab", "return", "space", "escape", "left", "right", "up", "down", "home", "end", "pageup", "pagedown", "backspace",
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


def _held_mb() -> float:
    """Return the memory that is held: what was let go of is given back to the system first, where that can be asked for."""
    gc.collect()
    with contextlib.suppress(OSError, AttributeError):
        ctypes.CDLL("libc.so.6").malloc_trim(0)
    return _memory_mb()


def _random_event(hands: Hands, rng: np.random.Generator, down: set[int]) -> None:
    window, kind = hands.window, rng.random()
    width, height = window.glass
    at = (int(rng.integers(-5, width + 5)), int(rng.integers(-5, height + 5)))
    if kind < 0.25 and hands.canvas and hands.canvas.hits:  # most of what can be clicked is small: aim at it
        rect = hands.canvas.hits[int(rng.integers(len(hands.canvas.hits)))][1]
        at = rect.center
    if kind < 0.45:
        button = int(rng.choice([1, 1, 1, 2, 3]))
        down.add(button)
        window.handle(Pointer("down", at, button, buttons=frozenset(down)))
        if rng.random() < 0.8:
            down.discard(button)
            window.handle(Pointer("up", at, button, buttons=frozenset(down)))
    elif kind < 0.60:
        window.handle(Pointer("move", at, buttons=frozenset(down)))
    elif kind < 0.66:
        window.handle(Pointer("wheel", at, steps=int(rng.integers(-3, 4)), shift=bool(rng.random() < 0.2)))
    else:
        name = str(rng.choice(NAMES))
        control, shift, alt = (bool(rng.random() < share) for share in (0.08, 0.15, 0.03))
        if (control, name) == (True, "q"):
            return
        text = name if len(name) == 1 and not (control or alt) else ""
        window.handle(Key(name, True, shift, control, alt, text))
        if rng.random() < 0.9:
            window.handle(Key(name, False, shift, control, alt))


def _hold(hands: Hands) -> None:
    """What must hold at every frame."""
    window = hands.window
    assert window.room.standing.place in ALONG_THE_BENCH
    ids = [thing.id for thing in window.things() if thing.shown]
    assert len(set(ids)) == len(ids)
    darkroom = window.room.darkroom
    assert darkroom.sheets_left >= -1e-9
    assert darkroom.minutes_left >= -1e-9
    state = darkroom.evening.state
    assert [made.number for made in state.sheets] == list(range(1, len(state.sheets) + 1))
    assert all(1 <= n <= len(state.sheets) for n in state.nominated)
    assert not (darkroom.white_light and darkroom.paper.piece is not None)


@pytest.mark.parametrize("seed", range(1, 1 + SEEDS))
def test_random_events_harm_nothing(tmp_path: Path, seed: int) -> None:
    hands = in_room(tmp_path / "evenings", (1100, 720), exports=str(tmp_path / "pages"))
    hands.window.room.work.begin = lambda *more: None  # type: ignore[method-assign]  # pages are tried elsewhere
    faults = _Faults()
    hands.window.room.log.addHandler(faults)
    rng = np.random.Generator(np.random.PCG64(seed))
    down: set[int] = set()
    at_start = 0.0
    for number in range(EVENTS):
        _random_event(hands, rng, down)
        hands.window.leaving = False
        hands.window.update(float(rng.choice([0.0, 1 / 60, 0.2])))
        if number % DRAW_EVERY == 0:
            hands.frame()
            _hold(hands)
            assert faults.found == [], faults.found[0]
        if number == EVENTS // 2:  # by then every place was stood in, and what is made once has been made
            at_start = _held_mb()
    assert _held_mb() - at_start < MOST_GROWTH_MB
    darkroom = hands.window.room.darkroom
    kept = Evening.look(darkroom.evening.file).state
    assert kept.sheets == darkroom.evening.state.sheets
    assert kept.nominated == darkroom.evening.state.nominated
    hands.window.close()
