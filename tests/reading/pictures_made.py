"""Pictures written from the formats' own rules, so that a header may say what no honest writer would."""

from __future__ import annotations

import io
import struct
import zlib
from collections.abc import Mapping, Sequence
from pathlib import Path

import numpy as np
from PIL import Image

from sim.picture_reading import open_picture

Chunk = tuple[bytes, bytes]
Field = tuple[int, int, Sequence[int]]  # tag, type (3 SHORT, 4 LONG), values


def png_of(chunks: Sequence[Chunk]) -> bytes:
    """Return a PNG of these chunks, lengths and check sums right."""
    out = b"\x89PNG\r\n\x1a\n"
    for name, body in chunks:
        out += struct.pack(">I", len(body)) + name + body + struct.pack(">I", zlib.crc32(name + body))
    return out


def png_header(width: int, height: int, bits: int = 16, colour: int = 0, interlace: int = 0) -> Chunk:
    return b"IHDR", struct.pack(">IIBBBBB", width, height, bits, colour, 0, 0, interlace)


def png_chunks(pixels: np.ndarray) -> list[Chunk]:
    """Return the chunks of a grey or RGB picture, uint8 or uint16."""
    rows = b"".join(b"\0" + row.astype(row.dtype.newbyteorder(">")).tobytes() for row in pixels)
    colour = {1: 0, 2: 4, 3: 2, 4: 6}[1 if pixels.ndim == 2 else pixels.shape[2]]
    head = png_header(pixels.shape[1], pixels.shape[0], pixels.dtype.itemsize * 8, colour)
    return [head, (b"IDAT", zlib.compress(rows)), (b"IEND", b"")]


def tiff_of(fields: Sequence[Field], pieces: Sequence[bytes], next_page: int = 0, order: str = "<") -> bytes:
    """Return a TIFF: header, pieces of picture, one directory. Offsets given as 0, 1, 2 … mean the pieces in turn."""
    out = (b"II*\0" if order == "<" else b"MM\0*") + b"\0\0\0\0"
    places = []
    for piece in pieces:
        places.append(len(out))
        out += piece + b"\0" * (len(piece) % 2)
    at, more = len(out), b""
    directory = struct.pack(order + "H", len(fields))
    apart = at + 2 + 12 * len(fields) + 4
    for tag, kind, given in fields:
        values = [places[v] if tag in (273, 324) and v < len(places) else v for v in given]
        packed = struct.pack(order + "HI"[kind == 4] * len(values), *values)
        if len(packed) > 4:
            packed, more = struct.pack(order + "I", apart + len(more)), more + packed + b"\0" * (len(packed) % 2)
        directory += struct.pack(order + "HHI", tag, kind, len(values)) + packed.ljust(4, b"\0")
    out += directory + struct.pack(order + "I", next_page) + more
    return out[:4] + struct.pack(order + "I", at) + out[8:]


def tiff_fields(
    pixels: np.ndarray, pieces: Sequence[bytes], rows: int, planar: bool = False, packed: bool = False
) -> list[Field]:
    samples = 1 if pixels.ndim == 2 else pixels.shape[2]
    return [
        (256, 4, [pixels.shape[1]]), (257, 4, [pixels.shape[0]]), (258, 3, [pixels.dtype.itemsize * 8] * samples),
        (259, 3, [8 if packed else 1]), (262, 3, [2 if samples >= 3 else 1]), (273, 4, list(range(len(pieces)))),
        (277, 3, [samples]), (278, 4, [rows]), (279, 4, [len(piece) for piece in pieces]),
        (284, 3, [2 if planar else 1]),
    ]  # fmt: skip


def tiff_pieces(pixels: np.ndarray, rows: int, planar: bool = False, packed: bool = False, order: str = "<") -> list[bytes]:
    planes = [pixels] if not planar else [pixels[:, :, k] for k in range(pixels.shape[2])]
    cut = [plane[top : top + rows] for plane in planes for top in range(0, plane.shape[0], rows)]
    plain = [piece.astype(piece.dtype.newbyteorder(order)).tobytes() for piece in cut]
    return [zlib.compress(piece) for piece in plain] if packed else plain


def tiff(
    pixels: np.ndarray, changed: Mapping[int, int] | None = None, rows: int | None = None, planar: bool = False,
    packed: bool = False, order: str = "<",
) -> bytes:  # fmt: skip
    """Return a TIFF in strips, with single values of some tags ``changed``."""
    rows = rows or pixels.shape[0]
    pieces = tiff_pieces(pixels, rows, planar, packed, order)
    fields = tiff_fields(pixels, pieces, rows, planar, packed)
    kinds = {tag: (kind, values) for tag, kind, values in fields}
    for tag, value in (changed or {}).items():
        kinds[tag] = (kinds.get(tag, (4, []))[0], [value])
    return tiff_of([(tag, kind, values) for tag, (kind, values) in sorted(kinds.items())], pieces, order=order)


def tiled_tiff(pixels: np.ndarray, side: int, said: tuple[int, int] | None = None) -> bytes:
    """Return a TIFF in square tiles, the last ones filled up; ``said`` is the tile size that it states."""
    down, across = (-(-size // side) for size in pixels.shape[:2])
    full = np.zeros((down * side, across * side, *pixels.shape[2:]), pixels.dtype)
    full[: pixels.shape[0], : pixels.shape[1]] = pixels
    pieces = [
        full[r * side : (r + 1) * side, c * side : (c + 1) * side].tobytes() for r in range(down) for c in range(across)
    ]
    fields = [f for f in tiff_fields(pixels, pieces, 1) if f[0] not in (273, 278, 279)]
    width, height = said or (side, side)
    fields += [(322, 4, [width]), (323, 4, [height]), (324, 4, list(range(len(pieces)))), (325, 4, [len(p) for p in pieces])]
    return tiff_of(sorted(fields), pieces)


def jpeg(pixels: np.ndarray, progressive: bool = False) -> bytes:
    buffer = io.BytesIO()
    Image.fromarray(pixels).save(buffer, "JPEG", quality=95, progressive=progressive)
    return buffer.getvalue()


def jpeg_segments(data: bytes) -> list[tuple[int, bytes]]:
    """Return the segments before the picture's scans (code, body); the last holds the first scan header and all after it."""
    at, found = 2, []
    while True:
        code, length = data[at + 1], struct.unpack_from(">H", data, at + 2)[0]
        if code == 0xDA:
            return [*found, (code, data[at + 2 :])]
        found.append((code, data[at + 4 : at + 2 + length]))
        at += 2 + length


def jpeg_of(segments: Sequence[tuple[int, bytes]]) -> bytes:
    """Return a JPEG of these segments, lengths right."""
    out = b"\xff\xd8"
    for code, body in segments:
        out += bytes([0xFF, code]) + (body if code == 0xDA else struct.pack(">H", min(len(body) + 2, 65535)) + body)
    return out


def whole_picture(path: Path) -> np.ndarray:
    """Return a picture somebody brought, read band by band and put together."""
    return np.concatenate([*open_picture(path).bands()])
