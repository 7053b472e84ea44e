"""Run by itself with a number of sizes: gives the window so many, at four places, and prints the memory it took as JSON."""

from __future__ import annotations

import gc
import json
import sys
import tempfile
from pathlib import Path

import numpy as np
import pygame
from driving import open_room
from evening_made import darkroom, expose, sheet
from test_random_events import _memory_mb

from sim.bounded_store import KeptWithin


def many_sizes(folder: Path, sizes: int) -> dict[str, float]:
    driver = open_room(folder, (1920, 1200), evening=True)
    dice = np.random.Generator(np.random.PCG64(2))
    for time_s in (6.0, 9.0):
        sheet(driver, time_s=time_s)
    expose(driver)
    darkroom(driver).tray.put_in()
    most = start = _memory_mb()
    for place in ("enlarger", "wet-bench", "wall", "notebook"):
        driver.go(place)
        for number in range(sizes // 4):
            size = (int(dice.integers(1024, 1921)), int(dice.integers(700, 1201)))
            driver.app.resize(size)
            driver.surface = pygame.Surface(size)
            driver.frame()
            if number % 10 == 9:
                most = max(most, _memory_mb())
    stores = [thing for thing in gc.get_objects() if isinstance(thing, KeptWithin)]
    over = [store for store in stores if store.bytes > store.most_bytes]  # a single large thing may be, none is here
    kept_mb = sum(store.bytes for store in stores) / 2**20
    return {"start_mb": start, "most_mb": most, "kept_mb": kept_mb, "stores": len(stores), "over_their_bound": len(over)}


if __name__ == "__main__":
    with tempfile.TemporaryDirectory() as kept:
        print(json.dumps(many_sizes(Path(kept), int(sys.argv[1]))))
