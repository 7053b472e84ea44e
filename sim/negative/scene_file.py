"""Reads a stored scene: a 16-bit grey picture of log luminance, whose scale stands in the manifest beside it.

Two scales are read: 65,536 codes spread between two ends (``low_log10``, ``high_log10``), and codes that are numbers of steps
which film cannot show (``low_log10``, ``step_log10``), of which a picture uses some two thousand.
"""

from __future__ import annotations

from functools import lru_cache
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from sim.bands import looked_up
from sim.picture_reading import read_grey_image
from sim.reading import MAX_RECORD_BYTES, FileRefused, Problem, ValueRefused, data_folder, parse_json, read_text, shown
from sim.shelf import SCENE

MOST_LOG10 = 12.0  # either way: beyond that it is no scene
LEAST_STEP_LOG10, MOST_STEP_LOG10 = 0.0001, 0.01  # log10 cd/m2: finer steps have no use, coarser ones show in a smooth sky


def decoded_luminance(codes: NDArray[np.uint16], low: float, high: float) -> NDArray[np.float32]:
    """Return luminance in cd/m2 of 16-bit codes on a scale between two ends, log10 cd/m2: one table look-up."""
    used = np.linspace(low, high, 65536)[: int(codes.max(initial=0)) + 1]
    return looked_up((10.0**used).astype(np.float32), codes)


@lru_cache(maxsize=8)
def _manifest(file: Path, stamp: tuple[int, int]) -> dict[str, Any]:
    data = parse_json(file, read_text(file, MAX_RECORD_BYTES))
    if not isinstance(data, dict) or not isinstance(data.get("files"), dict):
        raise ValueRefused(file, [Problem("files", "must be a table of generated files", type(data).__name__)])
    return data["files"]


def manifest_entry(folder: Path, name: str) -> dict[str, Any]:
    """Return what the manifest of generated files says about one of them. Raises OutsideError."""
    file = folder / "manifest.json"
    try:
        status = file.stat()
    except OSError:
        raise FileRefused(file, [Problem("", "is missing; run `tonewright generate`", "")]) from None
    entry = _manifest(file, (status.st_mtime_ns, status.st_size)).get(name)
    if not isinstance(entry, dict):
        raise ValueRefused(file, [Problem(f"files.{name}", "is not in the manifest; run `tonewright generate`", "")])
    return entry


def scene_names(folder: Path | None = None) -> tuple[str, ...]:
    """Return the scenes that have been rendered."""
    scenes = (folder or data_folder("assets_generated")) / "scenes"
    return SCENE.lying_in(scenes)


@lru_cache(maxsize=4)
def read_scene_codes(name: str, folder: Path | None = None) -> tuple[NDArray[np.uint16], float, float]:
    """Return a scene's log-luminance codes [row, col] and the scale's ends (log10 cd/m2). Raises OutsideError."""
    root = folder or data_folder("assets_generated")
    if name not in scene_names(root):
        known = ", ".join(scene_names(root)) or "none rendered yet"
        raise ValueRefused("sleeve", [Problem("scene", f"must be one of {known}", repr(name)[:80])])
    picture = SCENE.file(root / "scenes", name)
    entry = manifest_entry(root, f"scenes/{name}.png")
    codes, bits = read_grey_image(picture)
    if bits != 16:
        raise FileRefused(picture, [Problem("", "must be a 16-bit picture", f"{bits} bits")])
    low, high = scale_of(entry, root / "manifest.json", f"files.scenes/{name}.png.scale")
    brightest = low + (high - low) / 65535.0 * float(codes.max(initial=0))
    if brightest > MOST_LOG10:
        raise FileRefused(picture, [Problem("", f"must end below {MOST_LOG10:g} log10 cd/m2", f"{brightest:.1f}")])
    codes.setflags(write=False)
    return codes, low, high


def scale_of(entry: dict[str, Any], file: Path, key: str) -> tuple[float, float]:
    """Return the ends of a scene's scale of 65,536 codes, log10 cd/m2 (of steps most are unused). Raises ValueRefused."""
    scale = entry.get("scale", {})
    low, high, step = (_number(scale, name) for name in ("low_log10", "high_log10", "step_log10"))
    if low is not None and abs(low) <= MOST_LOG10:
        if high is None and step is not None and LEAST_STEP_LOG10 <= step <= MOST_STEP_LOG10:
            return low, low + 65535.0 * step
        if high is not None and step is None and low < high <= MOST_LOG10:
            return low, high
    rule = (
        f"must state low_log10 and high_log10, rising and between -{MOST_LOG10:g} and {MOST_LOG10:g}, or low_log10 and "
        f"step_log10 from {LEAST_STEP_LOG10:g} to {MOST_STEP_LOG10:g}"
    )
    raise ValueRefused(file, [Problem(key, rule, shown(scale))])


def _number(scale: object, name: str) -> float | None:
    value = scale.get(name) if isinstance(scale, dict) else None
    return float(value) if isinstance(value, int | float) and not isinstance(value, bool) else None
