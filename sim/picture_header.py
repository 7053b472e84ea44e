"""What a picture's own bytes say, before any decoder sees them: one header, how large, how deep, how it is cut up.

A decoder believes its file. So sizes, depths, strips and tiles are read here first and held to bounds, and what the decoder is
then given is only what holds the picture: comments, profiles, thumbnails, further pages stay outside.

Sources: PNG specification, third edition, clauses 5 and 11; TIFF 6.0, sections 2, 3, 8 and 15; ITU-T T.81, annex B.
"""

from __future__ import annotations

import struct
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from sim.picture_tags import MOST_UNPACKED_BYTES, PLAIN, tiff_directory, tiff_with_one_directory, unreadable
from sim.refusals import FileRefused, Problem

MEGABYTE = 1024 * 1024
MAX_IMAGE_SIDE_PX = 16_384
MAX_IMAGE_PX = 40_000_000
MAX_IMAGE_BYTES = 200 * MEGABYTE
MAX_OWN_PICTURE_BYTES = 340 * MEGABYTE  # 40 megapixels of 16-bit RGB with alpha, not packed, and room for the rest

Bytes = bytes | bytearray

PNG_SIGNATURE = b"\x89PNG\r\n\x1a\n"
JPEG_SIGNATURE = b"\xff\xd8\xff"
TIFF_SIGNATURES = (b"II*\0", b"MM\0*")
WHITE_IS_ZERO, BLACK_IS_ZERO, RGB = 0, 1, 2  # TIFF 6.0, PhotometricInterpretation
MOST_CHUNKS = 200_000
MOST_SEGMENTS = 1_000
MOST_SCANS = 24  # a progressive picture is unpacked once for each

_PNG_CHANNELS = {0: (1, "grey"), 2: (3, "RGB"), 3: (1, "palette"), 4: (2, "grey"), 6: (4, "RGB")}
_PNG_DEPTHS = {0: (1, 2, 4, 8, 16), 2: (8, 16), 3: (1, 2, 4, 8), 4: (8, 16), 6: (8, 16)}
_TIFF_MEANINGS = {WHITE_IS_ZERO: "grey", BLACK_IS_ZERO: "grey", RGB: "RGB", 3: "palette", 5: "CMYK", 6: "YCbCr", 8: "CIELAB"}


@dataclass(frozen=True)
class PictureHeader:
    """What a picture is before it is unpacked: ``channels`` with alpha, ``bits`` of each, ``colours`` as words say it."""

    kind: str  # PNG, TIFF or JPEG
    width_px: int
    height_px: int
    channels: int
    bits: int
    colours: str  # grey or RGB; anything else in its own word
    whole_numbers: bool = True
    packed: bool = True


def refuse_large_image(path: Path, width_px: int, height_px: int) -> None:
    """Raise FileRefused when an image is larger than the caps."""
    if max(width_px, height_px) > MAX_IMAGE_SIDE_PX or width_px * height_px > MAX_IMAGE_PX or min(width_px, height_px) < 1:
        rule = f"must not be larger than {MAX_IMAGE_PX // 10**6} megapixels or {MAX_IMAGE_SIDE_PX} px a side"
        raise FileRefused(path, [Problem("", rule, f"{width_px}x{height_px} px")])


def picture_header(path: Path, data: bytes, kinds: tuple[str, ...] = ("PNG", "TIFF", "JPEG")) -> tuple[PictureHeader, Bytes]:
    """Return a picture's header, and the bytes that may be given to a decoder. Raises FileRefused."""
    kind, read = _reader_of(data)
    if kind not in kinds:
        words = f"must be a {', '.join(kinds[:-1])} or {kinds[-1]} picture"
        raise FileRefused(path, [Problem("", words, "another kind of file")])
    try:
        return read(path, data)
    except (struct.error, IndexError):
        raise unreadable(path, "it is cut short") from None


def _reader_of(data: bytes) -> tuple[str, Callable[[Path, bytes], tuple[PictureHeader, Bytes]]]:
    if data.startswith(PNG_SIGNATURE):
        return "PNG", _png
    if data.startswith(JPEG_SIGNATURE):
        return "JPEG", _jpeg
    return ("TIFF" if data[:4] in TIFF_SIGNATURES else ""), _tiff


def _png(path: Path, data: bytes) -> tuple[PictureHeader, Bytes]:
    """Read the one IHDR; what goes on is signature, header, picture data and end."""
    header: PictureHeader | None = None
    kept, dropped, at = [memoryview(data)[:8]], False, 8
    for _ in range(MOST_CHUNKS):
        length, name = struct.unpack_from(">I4s", data, at)
        end = at + 12 + length
        if (name == b"IHDR") != (header is None):
            raise unreadable(path, "it must begin with its header and hold only one")
        if header is None:
            if length != 13:
                raise unreadable(path, "its header has a wrong length")
            header = _png_facts(path, *struct.unpack_from(">IIBB", data, at + 8))
        if end > len(data):
            raise unreadable(path, "it is cut short")
        if name in (b"IHDR", b"IDAT", b"IEND"):
            kept.append(memoryview(data)[at:end])
        elif not name[0] & 0x20 and name != b"PLTE":
            raise unreadable(path, "it needs something that no PNG has")
        else:
            dropped = True
        at = end
        if name == b"IEND":
            return header, b"".join(kept) if dropped else data
    raise unreadable(path, f"it has more than {MOST_CHUNKS} chunks")


def _png_facts(path: Path, width: int, height: int, bits: int, colour: int) -> PictureHeader:
    refuse_large_image(path, width, height)
    if bits not in _PNG_DEPTHS.get(colour, ()):
        raise unreadable(path, f"no PNG has {bits} bits with colour type {colour}")
    channels, colours = _PNG_CHANNELS[colour]
    return PictureHeader("PNG", width, height, channels, bits, colours)


def _tiff(path: Path, data: bytes) -> tuple[PictureHeader, Bytes]:
    """Read the first page's directory; what goes on has that directory alone."""
    tags = tiff_directory(path, data)
    width, height = tags.width_px, tags.height_px
    refuse_large_image(path, width, height)
    if len(set(tags.bits)) != 1 or not 1 <= tags.samples <= 8 or len(tags.bits) not in (1, tags.samples):
        raise FileRefused(path, [Problem("", "must have the same bits in each of at most 8 channels", f"{tags.bits[:8]}")])
    tags.refuse_bad_pieces(path, len(data), MOST_UNPACKED_BYTES)
    colours = _TIFF_MEANINGS.get(tags.meaning, f"colours of kind {tags.meaning}")
    whole = set(tags.formats) == {1}
    header = PictureHeader("TIFF", width, height, tags.samples, tags.bits[0], colours, whole, tags.packing != PLAIN)
    return header, tiff_with_one_directory(data, tags)


def _jpeg(path: Path, data: bytes) -> tuple[PictureHeader, Bytes]:
    """Read the one frame header; what goes on has neither thumbnails nor profiles nor comments."""
    header: PictureHeader | None = None
    kept, at = [memoryview(data)[:2]], 2
    for _ in range(MOST_SEGMENTS):
        mark, code = data[at], data[at + 1]
        if mark != 0xFF or code in (0x00, 0x01, 0xD8, 0xD9) or 0xD0 <= code <= 0xD7:
            raise unreadable(path, "a segment does not begin where the one before it ends")
        if code == 0xFF:  # a filling byte
            at += 1
            continue
        (length,) = struct.unpack_from(">H", data, at + 2)
        end = at + 2 + length
        if length < 2 or end > len(data):
            raise unreadable(path, "it is cut short")
        if 0xC0 <= code <= 0xCF and code not in (0xC4, 0xC8, 0xCC):
            if header is not None or code > 0xC2:
                raise unreadable(path, "it must have one frame, baseline or progressive")
            header = _jpeg_facts(path, data, at + 4, length)
        if code == 0xDA:
            if header is None:
                raise unreadable(path, "it has no frame header")
            if data.count(b"\xff\xda", at) > MOST_SCANS:
                raise FileRefused(path, [Problem("", f"must not hold more than {MOST_SCANS} scans", "more")])
            return header, b"".join([*kept, memoryview(data)[at:]])
        if code in (0xE0, 0xEE) or not (0xE0 <= code <= 0xEF or code == 0xFE):
            kept.append(memoryview(data)[at:end])
        at = end
    raise unreadable(path, f"it has more than {MOST_SEGMENTS} segments")


def _jpeg_facts(path: Path, data: bytes, at: int, length: int) -> PictureHeader:
    bits, height, width, channels = struct.unpack_from(">BHHB", data, at)
    refuse_large_image(path, width, height)
    if length != 8 + 3 * channels:
        raise unreadable(path, "its frame header has a wrong length")
    colours = {1: "grey", 3: "RGB", 4: "CMYK"}.get(channels, f"{channels} channels")
    return PictureHeader("JPEG", width, height, channels, bits, colours)
