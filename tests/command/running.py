"""Running the command inside this process and looking at what it wrote."""

from __future__ import annotations

import struct
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

import numpy as np
import pytest
from numpy.typing import NDArray
from PIL import Image

from sim.command.main import main

SMALL_SLEEVE = """format = 1
title = "Step wedge on small film"
teaches = "Quick to print: twenty-one even steps."
scene = "step-wedge"

[camera]
metered_cd_m2 = 50.0

[film]
stock = "slow"
frame_mm = [60.0, 12.0]
"""


@dataclass(frozen=True)
class Ran:
    """What a run of the command left: exit code and both streams."""

    code: int
    out: str
    err: str


Run = Callable[..., Ran]


def runner(capsys: pytest.CaptureFixture[str]) -> Run:
    def run(*words: str) -> Ran:
        capsys.readouterr()
        try:
            code = main(list(words))
        except SystemExit as stop:
            code = int(stop.code or 0)
        out, err = capsys.readouterr()
        return Ran(code, out, err)

    return run


def picture(path: Path) -> NDArray[np.uint8]:
    """Return a written PNG's pixels after looking at its signature, and that it ends where a PNG ends."""
    data = path.read_bytes()
    assert data.startswith(b"\x89PNG\r\n\x1a\n")
    assert data.endswith(struct.pack(">I", 0) + b"IEND\xaeB`\x82")
    with Image.open(path) as image:
        image.load()
        return np.asarray(image)


def left_over(folder: Path) -> list[str]:
    """Return half-written files left in a folder or below it."""
    return [p.name for p in folder.rglob("*") if p.suffix in (".part", ".link") or p.name.startswith(".")]
