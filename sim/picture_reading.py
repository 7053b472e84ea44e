"""Reading pictures people bring: 8- and 16-bit grey or RGB, PNG or TIFF, bounded and refused in words.

Beside ``reading.py`` because it needs decoders: pillow for everything it keeps whole, pypng and tifffile for 16-bit RGB,
which pillow would cut down to 8 bits.
"""

from __future__ import annotations

import io
import struct
import warnings
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from sim.reading import MAX_IMAGE_BYTES, FileRefused, Problem, read_bytes, refuse_large_image

PNG_SIGNATURE = b"\x89PNG\r\n\x1a\n"
TIFF_SIGNATURES = (b"II*\0", b"MM\0*")
WHITE_IS_ZERO, BLACK_IS_ZERO, RGB = 0, 1, 2  # TIFF 6.0, PhotometricInterpretation


def read_picture(path: Path) -> NDArray[Any]:
    """Return a picture as uint8 or uint16, [row, col] for grey or [row, col, 3] for RGB. Raises FileRefused.

    An alpha channel is dropped; palettes, other colour spaces and floating point are refused.
    """
    data = read_bytes(path, MAX_IMAGE_BYTES)
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")
            if data.startswith(PNG_SIGNATURE):
                pixels = _png(path, data)
            elif data[:4] in TIFF_SIGNATURES:
                pixels = _tiff(path, data)
            else:
                raise FileRefused(path, [Problem("", "must be a PNG or TIFF picture", "another kind of file")])
    except FileRefused:
        raise
    except Exception as error:  # decoders of outside bytes fail in many ways; each is a refusal, none a crash
        raise FileRefused(path, [Problem("", f"is not a readable picture ({str(error)[:120]})", "")]) from None
    return _plain(path, pixels)


def _png(path: Path, data: bytes) -> NDArray[Any]:
    width, height, bits, colour = struct.unpack(">IIBB", data[16:26])
    refuse_large_image(path, width, height)
    if colour == 3:
        raise FileRefused(path, [Problem("", "must be grey or RGB", "a palette")])
    if bits == 16 and colour in (2, 6):
        import png

        w, h, rows, _ = png.Reader(bytes=data).read()
        return np.vstack([np.asarray(row, dtype=np.uint16) for row in rows]).reshape(h, w, -1)
    return _with_pillow(path, data, "PNG")


def _tiff(path: Path, data: bytes) -> NDArray[Any]:
    import tifffile

    with tifffile.TiffFile(io.BytesIO(data)) as tiff:
        page = tiff.pages[0]
        shape = page.shape
        refuse_large_image(path, int(shape[1]), int(shape[0]))
        if page.dtype not in (np.uint8, np.uint16):
            raise FileRefused(path, [Problem("", "must hold 8- or 16-bit whole numbers", str(page.dtype))])
        meaning = int(page.photometric)
        if meaning not in (WHITE_IS_ZERO, BLACK_IS_ZERO, RGB):
            raise FileRefused(path, [Problem("", "must be grey or RGB", getattr(page.photometric, "name", str(meaning)))])
        if page.compression != 1 and page.dtype == np.uint8:
            return _with_pillow(path, data, "TIFF")
        pixels = np.asarray(page.asarray())
        return np.iinfo(pixels.dtype).max - pixels if meaning == WHITE_IS_ZERO else pixels


def _with_pillow(path: Path, data: bytes, kind: str) -> NDArray[Any]:
    from PIL import Image

    with Image.open(io.BytesIO(data), formats=(kind,)) as image:
        refuse_large_image(path, image.width, image.height)
        if image.mode not in ("L", "LA", "RGB", "RGBA", "I;16", "I;16B", "I"):
            raise FileRefused(path, [Problem("", "must be grey or RGB", image.mode)])
        return np.asarray(image)


def _plain(path: Path, pixels: NDArray[Any]) -> NDArray[Any]:
    """Drop alpha, settle types, refuse what is left over."""
    if pixels.ndim == 3 and pixels.shape[2] in (2, 4):
        pixels = pixels[:, :, :-1]
    if pixels.ndim == 3 and pixels.shape[2] == 1:
        pixels = pixels[:, :, 0]
    if pixels.ndim not in (2, 3) or (pixels.ndim == 3 and pixels.shape[2] != 3):
        raise FileRefused(path, [Problem("", "must be grey or RGB", f"an array of shape {pixels.shape}")])
    if pixels.dtype == np.int32:
        pixels = np.clip(pixels, 0, 65535).astype(np.uint16)
    if pixels.dtype not in (np.uint8, np.uint16):
        raise FileRefused(path, [Problem("", "must hold 8- or 16-bit whole numbers", str(pixels.dtype))])
    if min(pixels.shape[:2]) < 16:
        raise FileRefused(path, [Problem("", "must be at least 16 px each way", str(pixels.shape[:2]))])
    return pixels
