"""How fast the window is: from process start to the first frame, a frame of each place, an event. Run by hand:

python -m pytest -s -n 0 tests/benchmarks/bench_window.py
"""

from __future__ import annotations

import os
import subprocess
import sys
import time
from pathlib import Path

import pytest

import sim

ROOT = Path(sim.__file__).parent.parent
sys.path.insert(0, str(ROOT / "tests" / "window"))
MOST_FIRST_FRAME_S = 1.0
MOST_FRAME_MS = 25.0
MOST_DODGING_MS = 8.0  # of processor time, 95 of 100 frames


def test_the_first_frame_comes_within_a_second(tmp_path: Path) -> None:
    code = (
        "from pathlib import Path\nfrom sim.window.main_loop import run_window\n"
        f"run_window(Path({str(tmp_path)!r}), frames=1)"
    )
    environment = {**os.environ, "PYTHONPATH": str(ROOT), "SDL_VIDEODRIVER": "dummy"}
    found = []
    for _ in range(5):
        start = time.perf_counter()
        subprocess.run([sys.executable, "-c", code], check=True, capture_output=True, env=environment)
        found.append(time.perf_counter() - start)
    print(f"\nprocess start to first frame and out again: best {min(found):.2f} s, worst {max(found):.2f} s")
    assert min(found) < MOST_FIRST_FRAME_S


def test_a_frame_of_every_place(tmp_path: Path) -> None:
    from hands_in_room import in_room

    hands = in_room(tmp_path)
    for place, key in (("shelf", "alt+1"), ("enlarger", "alt+2"), ("trays", "alt+3"), ("wall", "alt+4")):
        hands.press(key)
        hands.frame()
        times = []
        for _ in range(30):
            start = time.perf_counter()
            hands.frame()
            times.append(1000 * (time.perf_counter() - start))
        median = sorted(times)[len(times) // 2]
        print(f"{place:12s} {median:6.2f} ms a frame (median of 30)")
        assert median < MOST_FRAME_MS, place


def test_opening_a_free_evening(tmp_path: Path) -> None:
    from hands_in_room import in_room

    hands = in_room(tmp_path, evening=False)
    start = time.perf_counter()
    hands.press("n")
    hands.frame()
    print(f"\na free evening opened and drawn: {time.perf_counter() - start:.2f} s")
    assert hands.place == "enlarger"


@pytest.mark.parametrize("card", ["2", "5", "7"])
def test_a_frame_of_dodging(tmp_path: Path, card: str) -> None:
    """A disc, an edge and a hole moved in the light on a large window: shadow, penumbra, card, seconds, all drawn anew."""
    import numpy as np
    from hands_in_room import in_room

    hands = in_room(tmp_path, (1920, 1200))
    hands.window.room.darkroom.desk.set("time_s", 300.0)
    for key in ("s", card, "space"):
        hands.press(key)
    hands.frame(times=3)
    easel = hands.enlarger.easel
    wall, work = [], []
    for n in range(400):
        at = easel.plan.to_px(110 + 40 * np.cos(n / 5), 130 + 60 * np.sin(n / 5))
        start, busy = time.perf_counter(), time.process_time()
        hands.point(at)
        hands.frame(1 / 60)
        wall.append(1000 * (time.perf_counter() - start))
        work.append(1000 * (time.process_time() - busy))
    assert hands.window.room.burning
    wide, high = easel.rect.size
    for name, times in (("on the clock", wall), ("of processor", work)):
        middle, slow = np.percentile(times, [50, 95])
        print(f"\ncard {card}, easel {wide} x {high} px: median {middle:.1f} ms, 95th percentile {slow:.1f} ms {name}")
    assert np.percentile(work, 95) < MOST_DODGING_MS


def test_from_a_changed_setting_to_the_dry_print(tmp_path: Path) -> None:
    from hands_in_room import in_room

    hands = in_room(tmp_path, (1600, 1000))
    room = hands.window.room.darkroom
    room.desk.set("focus_light", False)
    times = []
    for height_mm in (676.0, 650.0, 700.0, 720.0, 690.0):
        start = time.perf_counter()
        room.desk.set("height_mm", height_mm)
        room.desk.focus()
        room.paper.take("sheet")
        room.paper.expose(8.0)
        room.tray.put_in()
        room.tray.finish()
        room.tray.clear()
        hands.press("alt+4")
        hands.frame()
        times.append(time.perf_counter() - start)
        hands.press("alt+2")
        hands.frame()
    print(f"\nnew height, focus, sheet, developed, on the wall: median {sorted(times)[2]:.2f} s, worst {max(times):.2f} s")
    assert sorted(times)[2] < 1.0


def _resident_mb() -> float:
    for line in Path("/proc/self/status").read_text().splitlines():
        if line.startswith("VmRSS"):
            return int(line.split()[1]) / 1024.0
    return 0.0


def test_memory_over_an_evening(tmp_path: Path) -> None:
    """Two hours with TONEWRIGHT_MINUTES=120; ten minutes otherwise. Quarter-second frames, a card moved at every sheet."""
    from hands_in_room import in_room

    minutes = float(os.environ.get("TONEWRIGHT_MINUTES", "10"))
    hands = in_room(tmp_path)
    room = hands.window.room.darkroom
    room.desk.set("focus_light", False)
    pause_s = max(30.0, 60.0 * minutes / 23.0 - 75.0)  # the box lasts the evening
    passed_s, sheets, marks = 0.0, 0, []

    def wait(seconds: float) -> None:
        nonlocal passed_s
        hands.frame(0.25, times=int(4 * seconds))
        passed_s += seconds

    while passed_s < 60.0 * minutes and room.sheets_left >= 1:
        hands.press("alt+2")
        hands.frame()
        room.desk.set("filter", ("1", "2", "3")[sheets % 3])
        room.paper.take("sheet")
        hands.frame()
        for chord in ("1", "space"):
            hands.press(chord)
        for k in range(40):
            hands.press(("left", "right", "up", "down")[k % 4])
            wait(0.25)
        hands.press("alt+3")
        hands.press("return")
        wait(65.0)
        room.tray.finish()
        room.tray.clear()
        hands.press("alt+4")
        hands.frame()
        wait(pause_s)
        sheets += 1
        marks.append(_resident_mb())
    early = marks[min(4, len(marks) - 1)]
    print(f"\n{passed_s / 60:.0f} minutes, {sheets} sheets: {marks[0]:.0f} MB after the first, {early:.0f} after the fifth, "
          f"{marks[-1]:.0f} at the end, {max(marks):.0f} at most")  # fmt: skip
    assert marks[-1] - early < 60.0
