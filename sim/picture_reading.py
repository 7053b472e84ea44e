"""Reading pictures: the shipped scenes whole, and what people bring in bands, bounded and refused in words.

Whatever it is, its header is read first (``sim.picture_header``) and the decoder gets nothing but what was checked there.
Pillow reads the shipped grey pictures; libvips people's own scans, a band of rows at a time, with all their sixteen bits.
"""

from __future__ import annotations

import io
import warnings
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from sim.picture_header import MAX_IMAGE_BYTES, MAX_OWN_PICTURE_BYTES, Bytes, PictureHeader, picture_header
from sim.picture_tags import unreadable
from sim.plain_text import one_line
from sim.reading import FileRefused, OutsideError, Problem, read_bytes

BAND_ROWS = 128
LEAST_SIDE_PX = 16


def read_grey_image(path: Path) -> tuple[NDArray[Any], int]:
    """Return a grey image as a uint8 or uint16 array [row, col] and its bit depth. Raises FileRefused.

    Width and height are read before any pixel; caps are 40 megapixels and 16,384 px a side.
    """
    header, data = picture_header(path, read_bytes(path, MAX_IMAGE_BYTES), ("PNG", "TIFF"))
    if header.kind == "TIFF" and (header.colours != "grey" or header.channels != 1):
        raise FileRefused(path, [Problem("", "must be an 8- or 16-bit grey PNG or TIFF", header.colours)])
    if header.kind == "TIFF" and header.packed:  # pillow's own unpacking of these speaks to the terminal by itself
        return _whole(_checked(Picture(path, header, data))), header.bits
    from PIL import Image

    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")
            with Image.open(io.BytesIO(data), formats=("PNG", "TIFF")) as image:
                if image.mode not in ("L", "I;16", "I;16B", "I"):
                    raise FileRefused(path, [Problem("", "must be an 8- or 16-bit grey PNG or TIFF", image.mode)])
                pixels = np.asarray(image)
    except OutsideError:
        raise
    except Exception as error:  # a decoder fed with damaged bytes raises whatever it stumbles over
        raise unreadable(path, _reason(error)) from None
    if pixels.dtype == np.uint8:
        return pixels, 8
    if pixels.min() < 0 or pixels.max() > 65535:
        raise FileRefused(path, [Problem("", "must hold 16-bit values", "larger ones")])
    return pixels.astype(np.uint16), 16


@dataclass(frozen=True)
class Picture:
    """A picture somebody brought, not yet unpacked: ``rows`` x ``cols``, in RGB or grey, ``bits`` 8 or 16."""

    path: Path
    header: PictureHeader
    data: Bytes

    @property
    def shape(self) -> tuple[int, ...]:
        """The shape of the whole as an array: [row, col] for grey, [row, col, 3] for RGB."""
        size = (self.header.height_px, self.header.width_px)
        return (*size, 3) if self.header.colours == "RGB" else size

    @property
    def dtype(self) -> type[np.uint8] | type[np.uint16]:
        return np.uint8 if self.header.bits == 8 else np.uint16

    def bands(self) -> Iterator[NDArray[Any]]:
        """Yield the picture from the top in bands of rows, uint8 or uint16, alpha dropped. Raises FileRefused."""
        try:
            yield from self._unpacked()
        except FileRefused:
            raise
        except Exception as error:  # decoders of outside bytes fail in many ways; each is a refusal, none a crash
            raise unreadable(self.path, _reason(error)) from None

    def _unpacked(self) -> Iterator[NDArray[Any]]:
        pyvips = _decoder()
        source = pyvips.Source.new_from_memory(self.data)
        load = {"PNG": "pngload_source", "TIFF": "tiffload_source", "JPEG": "jpegload_source"}[self.header.kind]
        # our own bounds stand in the header; the decoder's would refuse a plain scan kept in one strip
        more = {"unlimited": True} if self.header.kind == "TIFF" else {}
        image = getattr(pyvips.Image, load)(source, access="sequential", fail_on="error", **more)
        found = (image.height, image.width, image.format)
        if found != (*self.shape[:2], "uchar" if self.header.bits == 8 else "ushort") or image.bands > 4:
            raise unreadable(self.path, f"it is not what its header says: {found}")
        region, colours = pyvips.Region.new(image), 3 if len(self.shape) == 3 else 1
        if image.bands < colours:
            raise unreadable(self.path, f"it has {image.bands} channels")
        for top in range(0, image.height, BAND_ROWS):
            rows = min(BAND_ROWS, image.height - top)
            band = np.frombuffer(region.fetch(0, top, image.width, rows), self.dtype).reshape(rows, image.width, -1)
            yield band[:, :, :3] if colours == 3 else band[:, :, 0]


def open_picture(path: Path) -> Picture:
    """Return a picture somebody brought: 8- or 16-bit grey or RGB, PNG, TIFF or JPEG. Raises FileRefused.

    An alpha channel is dropped; palettes, other colour spaces and floating point are refused.
    """
    return _checked(Picture(path, *picture_header(path, read_bytes(path, MAX_OWN_PICTURE_BYTES))))


def _checked(picture: Picture) -> Picture:
    """Refuse what is no scan, by its header."""
    path, header = picture.path, picture.header
    if header.colours not in ("grey", "RGB"):
        raise FileRefused(path, [Problem("", "must be grey or RGB", header.colours)])
    if header.bits not in (8, 16) or not header.whole_numbers or (header.kind == "JPEG" and header.bits != 8):
        what = f"{header.bits} bits" + ("" if header.whole_numbers else ", not whole or below zero")
        raise FileRefused(path, [Problem("", "must hold 8- or 16-bit whole numbers", what)])
    if header.channels not in ((1, 2) if header.colours == "grey" else (3, 4)):
        raise FileRefused(path, [Problem("", "must be grey or RGB", f"{header.channels} channels")])
    if min(header.height_px, header.width_px) < LEAST_SIDE_PX:
        size = f"{header.width_px}x{header.height_px} px"
        raise FileRefused(path, [Problem("", f"must be at least {LEAST_SIDE_PX} px each way", size)])
    return picture


def _whole(picture: Picture) -> NDArray[Any]:
    pixels, top = np.empty(picture.shape, picture.dtype), 0
    for band in picture.bands():
        pixels[top : top + len(band)] = band
        top += len(band)
    return pixels


def _decoder() -> Any:
    """Return libvips, told to keep nothing it has read and to say nothing by itself."""
    import logging

    logging.getLogger("pyvips").setLevel(logging.CRITICAL)
    import pyvips

    pyvips.cache_set_max(0)
    return pyvips


def _reason(error: Exception) -> str:
    return one_line(str(error))[:120]
