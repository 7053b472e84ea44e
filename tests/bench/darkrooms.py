"""Darkrooms for the tests: a small negative developed quickly, and an evening's worth of paper."""

from __future__ import annotations

from pathlib import Path

import numpy as np

from sim.bench.darkroom import Darkroom
from sim.bench.house_rules import HouseRules
from sim.negative.negative import Negative, Place

SIZE = (150, 190)


def small_negative(name: str = "morning-shelf", stain_share: float = 0.0) -> Negative:
    """Return a picture of 100 x 80 pixels with tones from thin to dense and a fine pattern, on a 6x7 frame standing upright."""
    across, down = np.meshgrid(np.linspace(0, 1, 80), np.linspace(0, 1, 100))
    silver = 0.15 + 0.9 * across + 0.35 * np.sin(9.0 * down) ** 2
    silver[:20, :30] += 0.3 * (np.indices((20, 30)).sum(axis=0) % 2)  # fine detail in the top left corner
    places = (
        Place("cup", 0.9, 0.5, 4.0, "lightest"), Place("wall", 0.5, 0.5, 4.0, "tone"), Place("dark", 0.1, 0.5, 4.0, "darkest"),
    )  # fmt: skip
    return Negative(name, silver.astype(np.float32), 0.25, (56.0, 70.0), stain_share=stain_share, places=places, digest="small")


def small_room(folder: Path, rules: HouseRules | None = None, stain_share: float = 0.0, **box: object) -> Darkroom:
    """Return a darkroom whose shelf negative is the small one, set up as is usual for it."""
    room = Darkroom.open(folder, rules=rules, **box)  # type: ignore[arg-type]
    room._negatives["morning-shelf"] = small_negative(stain_share=stain_share)
    if not room.evening.state.sheets and room.paper.piece is None and room.tray.stage == "":
        room.desk.usual()
        room.desk._before.clear()
    return room
