"""What the hostile cases share: good files to spoil, and the readers that must refuse what is spoilt."""

from __future__ import annotations

import json
import os
import struct
import zlib
from collections.abc import Callable
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path
from typing import Any

import numpy as np
from pictures_made import whole_picture

from sim.enlarger.equipment import read_equipment
from sim.enlarger.filters import graded_filter_set
from sim.evening.evening_state import state_of
from sim.evening.log import append_line, read_log
from sim.negative.negative import Negative, Place
from sim.negative.sleeve import read_sleeve
from sim.paper.stock import STOCK_FOLDER, read_stock
from sim.picture_reading import read_grey_image
from sim.printing.record_file import read_record, record_data
from sim.printing.setup import usual_setup
from sim.reading import FileRefused, SyntaxRefused, ValueRefused, read_toml
from sim.scoring.target_tones import read_targets
from sim.workshop.recipes import RecipeBook

GOOD = Path(__file__).with_name("good")  # copies: the shipped files may be tuned without spoiling these cases
Reader = Callable[[Path], object]


def negative() -> Negative:
    places = (Place("lit", 0.5, 0.5, 3.0, "lightest"), Place("dark", 0.2, 0.8, 3.0, "darkest"))
    ramp = np.linspace(0.1, 1.6, 60 * 75, dtype=np.float32).reshape(60, 75)
    return Negative("bowl", ramp, 0.2, (100.0, 80.0), places=places)


@lru_cache(maxsize=1)
def good_record() -> str:
    stock = read_stock(STOCK_FOLDER / "glossy-rc-vc.toml")
    data = record_data(usual_setup(negative(), stock))
    still = {"kind": "still", "x_mm": 100.0, "y_mm": 90.0}
    path = {"kind": "path", "points": [[0.0, 10.0, 20.0], [2.0, 30.0, 40.0]]}
    card = {"shape": "disc", "motion": still, "card_height_mm": 150.0, "width_mm": 60.0}
    edge = {"shape": "edge", "motion": path, "card_height_mm": 20.0, "angle_deg": 90.0, "note": "sky"}
    data["exposures"][0]["cards"] = [card, edge]
    data["safelight"] = {"kind": "red", "distance_m": 1.5, "time_s": 60.0}
    return json.dumps(data, indent=1)


GOOD_TARGETS = """format = 1

[[target]]
place = "lit"
density = 0.12
tolerance_density = 0.03
points = 6.0

[[target]]
place = "corner"
x = 0.9
y = 0.1
spot_mm = 2.0
density = 1.4
kind = "at-least"
"""


@lru_cache(maxsize=1)
def good_log() -> bytes:
    import tempfile

    with tempfile.TemporaryDirectory() as folder:
        file = Path(folder) / "evening.jsonl"
        record = json.loads(good_record())
        steps: list[tuple[str, dict[str, Any]]] = [
            ("opened", {"paper": "glossy-rc-vc", "sheets": 10, "minutes": 90.0, "seed": 3}),
            ("sheet", {"record": record}), ("note", {"text": "sky too light"}), ("nominated", {"sheet": 1}),
        ]  # fmt: skip
        last = None
        for kind, data in steps:
            last = append_line(file, kind, data, last)
        return file.read_bytes()


def read_evening(file: Path) -> object:
    """Read a log as an evening does; damage counts as a refusal here."""
    loaded = read_log(file)
    if loaded.damage is not None:
        assert loaded.damage.startswith(str(file))
        raise ValueRefused(file, [])
    return state_of(loaded.lines, file) if loaded.lines else None


def png(width: int = 40, height: int = 30, bits: int = 16, colour: int = 0, rows: bytes | None = None) -> bytes:
    """Return a PNG made by hand, so that its header may say what its rows do not hold."""
    channels = {0: 1, 2: 3, 3: 1, 4: 2, 6: 4}.get(colour, 1)
    if rows is None:
        line = b"\0" + bytes(range(256)) * ((width * channels * bits // 8 + 255) // 256)
        rows = line[: 1 + (width * channels * bits + 7) // 8] * height
    chunks = [(b"IHDR", struct.pack(">IIBBBBB", width, height, bits, colour, 0, 0, 0))]
    if colour == 3:
        chunks.append((b"PLTE", bytes(range(48)) * 16))
    chunks += [(b"IDAT", zlib.compress(rows)), (b"IEND", b"")]
    out = b"\x89PNG\r\n\x1a\n"
    for name, body in chunks:
        out += struct.pack(">I", len(body)) + name + body + struct.pack(">I", zlib.crc32(name + body))
    return out


@dataclass(frozen=True)
class Outside:
    """One kind of outside file: a good example and the reader."""

    name: str
    good: Callable[[], bytes]
    read: Reader
    suffix: str

    def text(self) -> str:
        return self.good().decode("utf-8")


KINDS: dict[str, Outside] = {
    kind.name: kind
    for kind in (
        Outside("record", lambda: good_record().encode(), read_record, ".json"),
        Outside("stock", lambda: (GOOD / "stock.toml").read_bytes(), read_stock, ".toml"),
        Outside("sleeve", lambda: (GOOD / "sleeve.toml").read_bytes(), read_sleeve, ".toml"),
        Outside("targets", lambda: GOOD_TARGETS.encode(), lambda file: read_targets(file, negative()), ".toml"),
        Outside("recipes", lambda: (GOOD / "recipes.toml").read_bytes(),
                lambda file: read_toml(file, RecipeBook), ".toml"),
        Outside("filters", lambda: (GOOD / "filters.toml").read_bytes(),
                lambda file: graded_filter_set.__wrapped__(file), ".toml"),
        Outside("equipment", (GOOD / "equipment.toml").read_bytes, lambda file: read_equipment.__wrapped__(file), ".toml"),
        Outside("log", good_log, read_evening, ".jsonl"),
        Outside("image", png, read_grey_image, ".png"),
        Outside("picture", lambda: png(colour=2), whole_picture, ".png"),
    )
}  # fmt: skip
TOML = tuple(name for name, kind in KINDS.items() if kind.suffix == ".toml")
TEXT = (*TOML, "record")
OUTSIDE = (FileRefused, SyntaxRefused, ValueRefused)


def spoilt(kind: str, old: str, new: str) -> bytes:
    """Return the good file of a kind with one piece of text replaced."""
    text = KINDS[kind].text()
    assert old in text, f"{old!r} does not stand in the good {kind}"
    return text.replace(old, new, 1).encode("utf-8", "surrogatepass")


def write(folder: Path, kind: str, data: bytes) -> Path:
    file = folder / f"spoilt-{kind}{KINDS[kind].suffix}"
    file.write_bytes(data)
    return file


def fifo(path: Path) -> Path:
    os.mkfifo(path)
    return path
