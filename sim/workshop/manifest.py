"""The manifest: what every generated file holds, by the digest of its decoded values rather than of its bytes."""

from __future__ import annotations

import hashlib
import json
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray
from PIL import Image

from sim.picture_header import refuse_large_image
from sim.reading import MAX_RECORD_BYTES, FileRefused, Problem, ValueRefused, parse_json, read_text, shown
from sim.workshop.photographs.stored import LOG10_LOW, STEP_LOG10
from sim.workshop.recipes import Recipe
from sim.writing import write_text

MANIFEST_FORMAT = 1


def decoded(path: Path) -> NDArray[Any]:
    """Return a generated picture's values as an array. Raises FileRefused."""
    try:
        with Image.open(path) as image:
            refuse_large_image(path, image.width, image.height)
            pixels = np.asarray(image)
    except FileRefused:
        raise
    except Exception as error:  # a decoder fed with damaged bytes raises whatever it stumbles over
        raise FileRefused(path, [Problem("", f"is not a readable image ({str(error)[:120]})", "")]) from None
    return pixels.astype(np.uint16) if pixels.dtype == np.int32 else pixels


def digest_of_values(values: NDArray[Any]) -> str:
    """Return the SHA-256 of shape, type and values (compressors differ, values do not)."""
    head = f"{values.shape} {values.dtype.str}".encode()
    return hashlib.sha256(head + np.ascontiguousarray(values).tobytes()).hexdigest()


def entry_for(path: Path, recipe: Recipe) -> dict[str, Any]:
    """Return what the manifest says about a file."""
    from sim.version import VERSION

    values = decoded(path)
    entry: dict[str, Any] = {
        "maker": recipe.maker,
        "shape": list(values.shape),
        "dtype": str(values.dtype),
        "min": int(values.min()),
        "max": int(values.max()),
        "sha256": digest_of_values(values),
        "recipe": recipe.digest,
        "sim_version": VERSION,
        "numpy_version": np.__version__,
    }
    if recipe.maker == "photograph":
        entry["scale"] = {"low_log10": LOG10_LOW, "step_log10": STEP_LOG10, "unit": "log10 cd/m2, numbers of steps"}
    return entry


def read_manifest(folder: Path) -> dict[str, dict[str, Any]]:
    """Return the manifest's files, or an empty table when there is none yet. Raises OutsideError."""
    file = folder / "manifest.json"
    if not file.exists():
        return {}
    data = parse_json(file, read_text(file, MAX_RECORD_BYTES))
    files = data.get("files") if isinstance(data, dict) else None
    if not isinstance(files, dict) or not all(isinstance(entry, dict) for entry in files.values()):
        raise ValueRefused(file, [Problem("files", "must be a table with one table for each file", shown(data))])
    return files


def write_manifest(folder: Path, files: dict[str, dict[str, Any]]) -> None:
    """Write the manifest, files in order of name."""
    data = {"format": MANIFEST_FORMAT, "files": {name: files[name] for name in sorted(files)}}
    write_text(folder / "manifest.json", json.dumps(data, indent=1) + "\n")
