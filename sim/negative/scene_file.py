"""Reads a stored scene: a 16-bit grey picture of log luminance, whose scale stands in the manifest beside it."""

from __future__ import annotations

from functools import lru_cache
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from sim.picture_reading import read_grey_image
from sim.reading import (
    MAX_RECORD_BYTES,
    FileRefused,
    Problem,
    ValueRefused,
    data_folder,
    parse_json,
    read_text,
    shown,
)
from sim.shelf import SCENE

LOG10_LOW, LOG10_HIGH = -3.0, 5.0  # cd/m2; one code is 0.00012 log, 0.0004 stop


def encode_log_luminance(luminance_cd_m2: NDArray[np.float32]) -> NDArray[np.uint16]:
    """Return log luminance as 16-bit codes on the fixed scale from 0.001 to 100,000 cd/m2."""
    log = np.log10(np.clip(luminance_cd_m2.astype(np.float64), 10.0**LOG10_LOW, 10.0**LOG10_HIGH))
    return np.asarray(np.round((log - LOG10_LOW) / (LOG10_HIGH - LOG10_LOW) * 65535.0), dtype=np.uint16)


def decoded_luminance(codes: NDArray[np.uint16], low: float, high: float) -> NDArray[np.float32]:
    """Return luminance in cd/m2 of 16-bit codes: one table look-up."""
    table = (10.0 ** np.linspace(low, high, 65536)).astype(np.float32)
    return np.asarray(table.take(codes))


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
    low, high = _scale_of(entry, root / "manifest.json", f"files.scenes/{name}.png.scale")
    codes.setflags(write=False)
    return codes, low, high


def _scale_of(entry: dict[str, Any], file: Path, key: str) -> tuple[float, float]:
    """Return the ends of a scene's scale, log10 cd/m2. Raises ValueRefused."""
    scale = entry.get("scale", {})
    ends = [scale.get("low_log10"), scale.get("high_log10")] if isinstance(scale, dict) else []
    numbers = [float(end) for end in ends if isinstance(end, int | float) and not isinstance(end, bool)]
    if len(numbers) != 2 or not -12.0 <= numbers[0] < numbers[1] <= 12.0:
        rule = "must state low_log10 and high_log10, rising and between -12 and 12"
        raise ValueRefused(file, [Problem(key, rule, shown(scale))])
    return numbers[0], numbers[1]
