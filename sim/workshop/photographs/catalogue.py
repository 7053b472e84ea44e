"""The photographs by name: which file describes each, how long its longer side is, and how much work it gets."""

from __future__ import annotations

from dataclasses import dataclass, replace
from importlib import import_module

import numpy as np
from numpy.typing import NDArray

from sim.refusals import Refused
from sim.workshop.photographs.scene import Scene
from sim.workshop.photographs.stored import steps_of
from sim.workshop.photographs.tracer import PREVIEW, Quality, trace

PREVIEW_PX = 480  # longer side


@dataclass(frozen=True)
class Plate:
    """One photograph: the file of its place, the function there that describes it (and its number there), longer side, work."""

    place: str
    view: str = "scene"
    long_px: int = 2500
    quality: Quality = Quality()


PLATES = {"glaze-shelf": Plate("glaze_shelf", long_px=3000), "kiln-mouth": Plate("kiln_close"),
    "clay-pit": Plate("clay_pit", long_px=3000), "wheel-window": Plate("wheel_window"),
    "white-on-white": Plate("white_on_white"), "black-on-black": Plate("black_on_black"),
    "drying-racks": Plate("ware_board", long_px=3000), "packing-room": Plate("packing_room"),
    "racks-small-film": Plate("drying_racks", "small_film", long_px=3000),
    "mist-yard": Plate("mist_yard"), "clay-head": Plate("clay_head"), "cup-close": Plate("cup_close"),
    "sitting-1": Plate("sitting", "plate:1"), "sitting-2": Plate("sitting", "plate:2"),
    "sitting-3": Plate("sitting", "plate:3"), "sitting-4": Plate("sitting", "plate:4"), "throwing": Plate("throwing"),
    **{f"walk-{n:02d}": Plate("walk", f"frame:{n}", long_px=900) for n in range(1, 13)}}

# Described better since they were made: what is kept is of the earlier description until `generate` makes them anew, so a
# window traced again would differ.
AWAITING = ("glaze-shelf", "cup-close")


def described(name: str) -> Scene:
    """Return the description of a photograph. Raises Refused for a name that is not in the catalogue."""
    if name not in PLATES:
        raise Refused(f"scene must be one of {', '.join(PLATES)}, got {name!r}")
    plate = PLATES[name]
    view, _, number = plate.view.partition(":")
    describe = getattr(import_module(f"sim.workshop.photographs.sets.{plate.place}"), view)
    return describe(int(number)) if number else describe()


def size_px(scene: Scene, long_px: int) -> tuple[int, int]:
    """Width and height of a photograph whose longer side has so many pixels; the film's own proportions."""
    wide, high = scene.camera.film_mm
    return round(long_px * min(1.0, wide / high)), round(long_px * min(1.0, high / wide))


def photograph(name: str, threads: int = 2) -> NDArray[np.uint16]:
    """Make a photograph: its steps as they are kept, [row, col]."""
    scene, plate = described(name), PLATES[name]
    return steps_of(trace(scene, *size_px(scene, plate.long_px), replace(plate.quality, threads=threads)))


def preview(name: str, threads: int = 2) -> NDArray[np.uint8]:
    """Make a small rough photograph to judge light and composition by: 8-bit grey, as a straight print would show it.

    A soft curve through the middle of the picture's log luminance (chosen, for looking only).
    """
    scene = described(name)
    seen = np.maximum(trace(scene, *size_px(scene, PREVIEW_PX), replace(PREVIEW, threads=threads)), 1e-3)
    log = np.log10(seen)
    middle = 0.5 * np.median(log) + 0.25 * (np.percentile(log, 2) + np.percentile(log, 99.5))
    light = 10.0 ** (1.15 * (log - middle))
    return np.asarray(255.0 * (light / (light + 2.2)) ** (1 / 2.2), dtype=np.uint8)
