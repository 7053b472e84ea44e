"""The directory of a TIFF picture: which tags matter, what its strips or tiles would unpack to, and a clean copy of it.

TIFF 6.0, sections 2 (structure), 8 (baseline fields), 15 (tiles). Only the first page is looked at; where the file points
on, to other pages, thumbnails or private data, nobody follows.
"""

from __future__ import annotations

import struct
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from sim.refusals import FileRefused, Problem

MOST_UNPACKED_BYTES = 256 * 1024 * 1024  # a strip, or one row of tiles
MOST_TAGS = 500
PLAIN, LZW, DEFLATE, OLD_DEFLATE, PACKBITS = 1, 5, 8, 32946, 32773  # Compression
PACKINGS = (PLAIN, LZW, DEFLATE, OLD_DEFLATE, PACKBITS)

_WIDTH, _HEIGHT, _BITS, _PACKING, _MEANING, _OFFSETS = 256, 257, 258, 259, 262, 273
_ORIENTATION, _SAMPLES, _ROWS, _COUNTS, _PLANAR, _PREDICTOR = 274, 277, 278, 279, 284, 317
_TILE_WIDTH, _TILE_HEIGHT, _TILE_OFFSETS, _TILE_COUNTS, _EXTRA, _FORMATS = 322, 323, 324, 325, 338, 339
_KNOWN = frozenset(
    {_WIDTH, _HEIGHT, _BITS, _PACKING, _MEANING, _OFFSETS, _ORIENTATION, _SAMPLES, _ROWS, _COUNTS, _PLANAR, _PREDICTOR,
     _TILE_WIDTH, _TILE_HEIGHT, _TILE_OFFSETS, _TILE_COUNTS, _EXTRA, _FORMATS}
)  # fmt: skip
_TYPES = {1: "u1", 3: "u2", 4: "u4"}  # BYTE, SHORT, LONG; the baseline fields have no other


@dataclass(frozen=True)
class TiffTags:
    """The checked fields of one page; ``values`` holds them all as whole numbers."""

    order: str  # < or >
    values: dict[int, NDArray[np.uint32]]

    def one(self, tag: int, default: int) -> int:
        """Return a field that has one value."""
        return int(self.values[tag][0]) if tag in self.values else default

    def several(self, tag: int, default: int) -> tuple[int, ...]:
        return tuple(int(v) for v in self.values[tag]) if tag in self.values else (default,)

    @property
    def width_px(self) -> int:
        return self.one(_WIDTH, 0)

    @property
    def height_px(self) -> int:
        return self.one(_HEIGHT, 0)

    @property
    def samples(self) -> int:
        return self.one(_SAMPLES, 1)

    @property
    def bits(self) -> tuple[int, ...]:
        return self.several(_BITS, 1)

    @property
    def formats(self) -> tuple[int, ...]:
        return self.several(_FORMATS, 1)

    @property
    def meaning(self) -> int:
        return self.one(_MEANING, -1)

    @property
    def packing(self) -> int:
        return self.one(_PACKING, PLAIN)

    @property
    def tiled(self) -> bool:
        return _TILE_WIDTH in self.values or _TILE_OFFSETS in self.values

    def piece_px(self) -> tuple[int, int]:
        """Return width and height of one strip or tile."""
        if self.tiled:
            return self.one(_TILE_WIDTH, 0), self.one(_TILE_HEIGHT, 0)
        return self.width_px, min(self.one(_ROWS, 2**32 - 1), self.height_px)

    def refuse_bad_pieces(self, path: Path, file_bytes: int, most_bytes: int) -> None:
        """Refuse strips and tiles that would unpack to too much, do not cover the picture, or lie outside the file."""
        if self.packing not in PACKINGS:
            what = f"kind {self.packing}"
            raise FileRefused(path, [Problem("", "must be plain or packed by LZW, deflate or PackBits", what)])
        width, height = self.piece_px()
        planar = self.one(_PLANAR, 1)
        if min(width, height) < 1 or max(width, height) > 16_384 or planar not in (1, 2):
            raise unreadable(path, "its strips or tiles have no sensible size")
        across, down = -(-self.width_px // width), -(-self.height_px // height)
        at_once = across * width * height * self.samples * max(self.bits) // 8
        if at_once > most_bytes:
            rule = f"a strip or a row of tiles must not unpack to more than {most_bytes // 2**20} MB"
            raise FileRefused(path, [Problem("", rule, f"{at_once // 2**20} MB")])
        wanted = across * down * (self.samples if planar == 2 else 1)
        offsets = self.values.get(_TILE_OFFSETS if self.tiled else _OFFSETS)
        counts = self.values.get(_TILE_COUNTS if self.tiled else _COUNTS)
        if offsets is None or counts is None or len(offsets) != wanted or len(counts) != wanted:
            raise unreadable(path, f"its {wanted} strips or tiles are not all listed")
        ends = offsets.astype(np.int64) + counts
        if int(ends.max()) > file_bytes or int(counts.astype(np.int64).sum()) > file_bytes:
            raise unreadable(path, "its strips or tiles reach beyond the file or lie over one another")


def unreadable(path: Path, why: str) -> FileRefused:
    """Return the refusal of damaged bytes."""
    return FileRefused(path, [Problem("", f"is not a readable picture ({why})", "")])


def tiff_directory(path: Path, data: bytes) -> TiffTags:
    """Return the fields of the first page. Raises FileRefused, or struct.error where the file is cut short."""
    order = "<" if data[:2] == b"II" else ">"
    (at,) = struct.unpack_from(order + "I", data, 4)
    (count,) = struct.unpack_from(order + "H", data, at)
    if not 1 <= count <= MOST_TAGS:
        raise unreadable(path, f"a page must have 1 to {MOST_TAGS} tags")
    values: dict[int, NDArray[np.uint32]] = {}
    for index in range(count):
        entry = at + 2 + 12 * index
        tag, kind, length = struct.unpack_from(order + "HHI", data, entry)
        if tag not in _KNOWN:
            continue
        if tag in values:
            raise unreadable(path, f"tag {tag} stands twice")
        if kind not in _TYPES or length < 1:
            raise unreadable(path, f"tag {tag} is no whole number")
        size = np.dtype(_TYPES[kind]).itemsize * length
        (start,) = (entry + 8,) if size <= 4 else struct.unpack_from(order + "I", data, entry + 8)
        if start + size > len(data):
            raise unreadable(path, "it is cut short")
        values[tag] = np.frombuffer(data, order + _TYPES[kind], length, start).astype(np.uint32)
    return TiffTags(order, values)


def tiff_with_one_directory(data: bytes, tags: TiffTags) -> bytearray:
    """Return the picture with a directory of only the checked fields, and none after it."""
    out = bytearray(data)
    if len(out) % 2:
        out += b"\0"
    fields = dict(tags.values)
    if not tags.tiled:
        fields[_ROWS] = np.array([tags.piece_px()[1]], np.uint32)
        fields = {tag: v for tag, v in fields.items() if tag not in (_TILE_HEIGHT, _TILE_COUNTS)}
    else:
        fields = {tag: v for tag, v in fields.items() if tag not in (_OFFSETS, _ROWS, _COUNTS)}
    at = len(out)
    apart = at + 2 + 12 * len(fields) + 4
    directory, values = bytearray(struct.pack(tags.order + "H", len(fields))), bytearray()
    for tag in sorted(fields):
        long = tag in (_WIDTH, _HEIGHT, _OFFSETS, _ROWS, _COUNTS, _TILE_WIDTH, _TILE_HEIGHT, _TILE_OFFSETS, _TILE_COUNTS)
        kind = 4 if long else 3
        packed = fields[tag].astype(tags.order + _TYPES[kind]).tobytes()
        if len(packed) <= 4:
            place = packed.ljust(4, b"\0")
        else:
            place = struct.pack(tags.order + "I", apart + len(values))
            values += packed + b"\0" * (len(packed) % 2)
        directory += struct.pack(tags.order + "HHI", tag, kind, len(fields[tag])) + place
    out += directory + b"\0\0\0\0" + values
    out[4:8] = struct.pack(tags.order + "I", at)
    return out
