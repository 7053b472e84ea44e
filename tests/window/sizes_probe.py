"""Run by itself with a number of sizes: gives the window so many, at four places, and prints the memory it took as JSON."""

from __future__ import annotations

import gc
import json
import sys
import tempfile
from pathlib import Path

import numpy as np
import pygame
from hands_in_room import in_room
from test_random_events import _memory_mb

from sim.bounded_store import KeptWithin


def many_sizes(folder: Path, sizes: int) -> dict[str, float]:
    hands = in_room(folder, (1920, 1200))
    dark = hands.window.room.darkroom
    dice = np.random.Generator(np.random.PCG64(2))
    dark.desk.set("focus_light", False)
    for time_s in (6.0, 9.0, 7.0):
        dark.paper.take("sheet")
        dark.paper.expose(time_s)
        dark.tray.put_in()
        if time_s != 7.0:
            dark.tray.finish()
            dark.tray.clear()
    most = start = _memory_mb()
    for keys in (("alt+2",), ("alt+3",), ("alt+4",), ("f2",)):
        for key in keys:
            hands.press(key)
        for number in range(sizes // 4):
            size = (int(dice.integers(1024, 1921)), int(dice.integers(700, 1201)))
            hands.window.resize(size)
            hands.surface = pygame.Surface(size)
            hands.frame()
            if number % 10 == 9:
                most = max(most, _memory_mb())
    stores = [thing for thing in gc.get_objects() if isinstance(thing, KeptWithin)]
    over = [store for store in stores if store.bytes > store.most_bytes]  # a single large thing may be, none is here
    kept_mb = sum(store.bytes for store in stores) / 2**20
    return {"start_mb": start, "most_mb": most, "kept_mb": kept_mb, "stores": len(stores), "over_their_bound": len(over)}


if __name__ == "__main__":
    with tempfile.TemporaryDirectory() as kept:
        print(json.dumps(many_sizes(Path(kept), int(sys.argv[1]))))
