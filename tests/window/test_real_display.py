"""On a real display: the window opens, hands of the window system work it, and what is seen is what is on record.

Where there is no X server for tests (Xvfb) and nothing that moves its pointer (xdotool), these are passed over.
"""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

import sim
from sim.bench.darkroom import LOG_NAME
from sim.evening.evening import Evening
from sim.window.preferences import Preferences, read_preferences, write_preferences

ROOT = Path(sim.__file__).parent.parent
NEEDED = ("Xvfb", "xdotool")
pytestmark = pytest.mark.skipif(
    any(shutil.which(name) is None for name in NEEDED), reason="no X server for tests: Xvfb and xdotool are not both installed"
)
PATIENCE_S = 60.0
AGAIN_S = 8.0  # a key that nothing came of is pressed again after so long: a busy machine may have lost it


class Display:
    """A window on a real X server, and hands that work it."""

    def __init__(self, folder: Path, number: int):
        self.folder, name = folder, f":{number}"
        self.env = {k: v for k, v in os.environ.items() if k not in ("SDL_VIDEODRIVER", "WAYLAND_DISPLAY")}
        self.env |= {"DISPLAY": name, "PYTHONPATH": str(ROOT), "SDL_VIDEODRIVER": "x11", "SDL_AUDIODRIVER": "dummy"}
        server = ["Xvfb", name, "-screen", "0", "1300x900x24", "-nolisten", "tcp"]
        self.server = subprocess.Popen(server, stderr=subprocess.DEVNULL)
        time.sleep(1.0)
        words = [sys.executable, "-m", "sim.command.main", "window", "--folder", str(folder), "--scale", "100"]
        self.said = folder / "said.txt"
        with open(self.said, "w", encoding="utf-8") as said:
            self.window = subprocess.Popen(words, env=self.env, stderr=said)

    def do(self, *words: str) -> str:
        """Let the hands do something."""
        done = subprocess.run(["xdotool", *words], env=self.env, capture_output=True, text=True, check=False, timeout=30)
        time.sleep(0.3)
        return done.stdout.strip()

    def until(self, holds: Callable[[], object], what: str, key: str = "") -> None:
        """Wait until something is so, a key pressed for it before and, if nothing came of it, now and then again."""
        end, pressed = time.monotonic() + PATIENCE_S, -AGAIN_S
        while time.monotonic() < end:
            if holds():
                return
            assert self.window.poll() is None, self.said.read_text(encoding="utf-8")
            if key and time.monotonic() - pressed > AGAIN_S:
                pressed = time.monotonic()
                self.do("key", key)
            time.sleep(0.3)
        raise AssertionError(f"waited in vain for {what}")

    def close(self) -> None:
        """End what was started here, by its own id."""
        for process in (self.window, self.server):
            if process.poll() is None:
                process.terminate()
            process.wait(20)


@pytest.fixture
def display(tmp_path: Path) -> Iterator[Display]:
    write_preferences(tmp_path, Preferences(window=(1100, 720), reduced_motion=True))
    shown = Display(tmp_path, 90 + os.getpid() % 800)
    try:
        yield shown
    finally:
        shown.close()


@pytest.mark.slow
def test_hands_make_a_print_on_a_real_display(display: Display) -> None:
    """The keys of a first print, typed into a real window: evening, sheet, foot, trays, line, wall; then it is left."""
    display.until(lambda: display.do("search", "--class", ".*"), "the window")
    seen = display.do("search", "--class", ".*").split()[-1]
    display.do("windowfocus", seen)
    log = display.folder / "evenings" / "0001" / LOG_NAME
    display.until(log.exists, "the evening", "n")
    desk = log.with_name("desk.json")
    display.until(desk.exists, "the desk")

    def lies(words: str) -> bool:
        return words in desk.read_text(encoding="utf-8")

    display.until(lambda: lies('"kind": "sheet"'), "a sheet on the easel", "s")
    display.until(lambda: lies('"burning": {'), "the lamp to burn", "space")
    display.until(lambda: lies('"burning": null'), "the lamp to go out")
    display.do("key", "alt+3")
    display.do("key", "Return")
    display.do("key", "k")
    display.until(lambda: len(Evening.look(log).state.sheets) == 1, "the print")
    made = Evening.look(log).state.sheets[0].record
    assert made.exposures[0].time_s == pytest.approx(7.8, abs=0.3), "the meter's seconds, by a real clock"
    display.do("key", "ctrl+q")
    display.window.wait(30)
    assert display.window.returncode == 0
    assert read_preferences(display.folder)[0].window[:2] == (1100, 720)
