"""Pictures: sizes are read before pixels, modes are checked, and damage of any kind is refused in words."""

from __future__ import annotations

import io
import struct
from pathlib import Path

import numpy as np
import pytest
from hostile import png, write
from pictures_made import tiff, whole_picture
from PIL import Image
from test_hostile_files import refused

from sim.picture_header import refuse_large_image
from sim.picture_reading import read_grey_image
from sim.reading import FileRefused


def saved(mode: str, kind: str = "PNG", size: tuple[int, int] = (40, 30)) -> bytes:
    buffer = io.BytesIO()
    Image.new(mode, size).save(buffer, kind)
    return buffer.getvalue()


def cut(data: bytes, share: float) -> bytes:
    return data[: int(len(data) * share)]


def flipped(data: bytes, at: int) -> bytes:
    return data[:at] + bytes([data[at] ^ 0xFF]) + data[at + 1 :]


HUGE = "must not be larger than 40 megapixels or 16384 px a side, got "
EITHER: dict[str, tuple[bytes, str]] = {
    "empty": (b"", "must be a PNG|is not a readable image"),
    "text": (b"format = 1\n", "must be a PNG|is not a readable image"),
    "signature-only": (b"\x89PNG\r\n\x1a\n", "is not a readable"),
    "half-a-header": (png()[:20], "is not a readable"),
    "four-hundred-megapixels": (png(20_000, 20_000, rows=b"\0" * 100), HUGE + "20000x20000 px|is not a readable"),
    "a-long-ribbon": (png(17_000, 2, rows=b"\0" * 100), HUGE + "17000x2 px"),
    "a-tall-ribbon": (png(2, 17_000, rows=b"\0" * 100), HUGE + "2x17000 px"),
    "forty-one-megapixels": (png(6_400, 6_420, rows=b"\0" * 100), HUGE + "6400x6420 px"),
    "no-width": (png(0, 30, rows=b"\0" * 100), HUGE + "0x30 px|is not a readable"),
    "two-thousand-million-wide": (png(2**31 - 1, 1, rows=b"\0" * 9), HUGE + "2147483647x1 px|is not a readable"),
    "cut-in-half": (cut(png(400, 300), 0.5), "is not a readable"),
    "no-pixels": (png(rows=b""), "is not a readable"),
    "palette": (png(bits=8, colour=3), "must be"),
    "gif": (saved("L", "GIF"), "must be a PNG|is not a readable image"),
    "floating-point-tiff": (saved("F", "TIFF"), "must"),
    "cut-tiff": (cut(saved("L", "TIFF", (400, 300)), 0.5), "is not a readable"),
    "cmyk-tiff": (saved("CMYK", "TIFF"), "must be"),
    "tiff-signature-only": (b"II*\0", "is not a readable"),
    "tiff-pointing-nowhere": (b"II*\0\xff\xff\xff\x7f", "is not a readable"),
}
GREY_ONLY: dict[str, tuple[bytes, str]] = {
    "jpeg": (saved("L", "JPEG"), "must be a PNG or TIFF picture"),
    "colour": (saved("RGB"), "must be an 8- or 16-bit grey PNG or TIFF, got RGB"),
    "alpha": (saved("LA"), "must be an 8- or 16-bit grey PNG or TIFF, got LA"),
    "one-bit": (saved("1"), "must be an 8- or 16-bit grey PNG or TIFF, got 1"),
    "negative-numbers": (
        (lambda b: (Image.fromarray(np.full((30, 40), -5, np.int32)).save(b, "TIFF"), b.getvalue())[1])(io.BytesIO()),
        "must hold 16-bit values, got larger ones",
    ),
}


@pytest.mark.parametrize("kind", ["image", "picture"])
@pytest.mark.parametrize("case", EITHER)
def test_a_bad_picture_is_refused(case: str, kind: str, tmp_path: Path) -> None:
    data, words = EITHER[case]
    error = refused(kind, write(tmp_path, kind, data), family=FileRefused)
    assert any(word in str(error) for word in words.split("|")), str(error)


@pytest.mark.parametrize("case", GREY_ONLY)
def test_what_is_not_grey_is_refused(case: str, tmp_path: Path) -> None:
    data, words = GREY_ONLY[case]
    refused("image", write(tmp_path, "image", data), words, family=FileRefused)


def test_sixteen_and_eight_bits_are_kept_as_they_are(tmp_path: Path) -> None:
    deep = np.arange(1200, dtype=np.uint16).reshape(30, 40) * 50
    for values, bits in ((deep, 16), ((deep >> 8).astype(np.uint8), 8)):
        for kind in ("PNG", "TIFF"):
            file = tmp_path / f"{bits}.{kind.lower()}"
            Image.fromarray(values).save(file, kind)
            pixels, found = read_grey_image(file)
            assert found == bits
            np.testing.assert_array_equal(pixels, values)
            np.testing.assert_array_equal(whole_picture(file), values)


def test_a_tiff_whose_zero_is_white_is_turned_the_right_way(tmp_path: Path) -> None:
    values = np.arange(1200, dtype=np.uint16).reshape(30, 40)
    (tmp_path / "white.tiff").write_bytes(tiff(65535 - values, {262: 0}))
    np.testing.assert_array_equal(whole_picture(tmp_path / "white.tiff"), values)


def test_the_caps_themselves_are_allowed(tmp_path: Path) -> None:
    refuse_large_image(tmp_path, 16_384, 2_441)
    with pytest.raises(FileRefused, match="16385x1 px"):
        refuse_large_image(tmp_path, 16_385, 1)


@pytest.mark.parametrize("name", [b"zTXt", b"iCCP", b"eXIf", b"tRNS"])
def test_a_chunk_that_unpacks_without_end_is_no_danger(name: bytes, tmp_path: Path) -> None:
    import zlib

    body = b"a\0\0" + zlib.compress(b"\0" * 50_000_000)
    chunk = struct.pack(">I", len(body)) + name + body + struct.pack(">I", zlib.crc32(name + body))
    good = png()
    file = write(tmp_path, "image", good[:33] + chunk + good[33:])
    try:
        shape = read_grey_image(file)[0].shape
    except FileRefused as error:
        words = str(error)
    else:
        words = f"{file} {shape}"
    assert words.startswith(str(file))
    assert words.endswith(("(30, 40)", ")"))
