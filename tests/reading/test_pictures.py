"""Scans people bring: every honest form comes back value by value, and what would unpack to too much is never unpacked."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path

import numpy as np
import pytest
from night import drawn
from pictures_made import (
    jpeg,
    jpeg_of,
    jpeg_segments,
    png_chunks,
    png_header,
    png_of,
    tiff,
    tiff_of,
    tiff_pieces,
    tiled_tiff,
    whole_picture,
)

from sim.picture_header import picture_header
from sim.picture_reading import open_picture, read_grey_image
from sim.reading import FileRefused

BITS = np.random.Generator(np.random.PCG64(1))
RGB16 = BITS.integers(0, 65536, (70, 50, 3)).astype(np.uint16)
RGB8, GREY16, GREY8 = (RGB16 >> 8).astype(np.uint8), RGB16[:, :, 0].copy(), (RGB16[:, :, 0] >> 8).astype(np.uint8)
RGBA16 = np.dstack([RGB16, GREY16])
HONEST: dict[str, tuple[bytes, np.ndarray]] = {
    "png-rgb-16": (png_of(png_chunks(RGB16)), RGB16),
    "png-rgb-8": (png_of(png_chunks(RGB8)), RGB8),
    "png-grey-16": (png_of(png_chunks(GREY16)), GREY16),
    "png-rgb-alpha-16": (png_of(png_chunks(RGBA16)), RGB16),
    "tiff-rgb-16": (tiff(RGB16), RGB16),
    "tiff-rgb-8-strips": (tiff(RGB8, rows=7), RGB8),
    "tiff-rgb-alpha-16": (tiff(RGBA16), RGB16),
    "tiff-planes-16": (tiff(RGB16, planar=True), RGB16),
    "tiff-planes-strips-packed": (tiff(RGB16, rows=9, planar=True, packed=True), RGB16),
    "tiff-other-byte-order": (tiff(RGB16, rows=20, order=">"), RGB16),
    "tiff-packed-grey": (tiff(GREY8, rows=16, packed=True), GREY8),
    "tiff-tiles": (tiled_tiff(RGB16, 32), RGB16),
    "tiff-tiles-grey-8": (tiled_tiff(GREY8, 16), GREY8),
}


@pytest.mark.parametrize("case", HONEST)
def test_every_honest_form_of_a_scan_comes_back_value_by_value(case: str, tmp_path: Path) -> None:
    data, pixels = HONEST[case]
    (tmp_path / "scan").write_bytes(data)
    found = whole_picture(tmp_path / "scan")
    assert found.dtype == pixels.dtype
    np.testing.assert_array_equal(found, pixels)


@pytest.mark.parametrize("progressive", [False, True])
def test_a_photograph_of_a_negative_may_be_a_jpeg(progressive: bool, tmp_path: Path) -> None:
    ramp = np.repeat(np.linspace(20, 230, 64).astype(np.uint8)[None, :, None], 48, axis=0).repeat(3, axis=2)
    (tmp_path / "scan.jpg").write_bytes(jpeg(ramp, progressive))
    assert np.abs(whole_picture(tmp_path / "scan.jpg").astype(int) - ramp).max() <= 4


def test_a_scan_comes_in_bands_and_never_whole(tmp_path: Path) -> None:
    tall = np.arange(400 * 20, dtype=np.uint16).reshape(400, 20)
    (tmp_path / "tall.png").write_bytes(png_of(png_chunks(tall)))
    bands = list(open_picture(tmp_path / "tall.png").bands())
    assert max(len(band) for band in bands) <= 128
    np.testing.assert_array_equal(np.vstack(bands), tall)


SMALL_HEAD, PIXELS, END = png_chunks(GREY16)
HUGE_ROWS = tiff_pieces(GREY16, 70)
SEGMENTS = jpeg_segments(jpeg(RGB8))
DISHONEST: dict[str, tuple[bytes, str]] = {
    "a-second-header-far-larger": (png_of([SMALL_HEAD, png_header(16_000, 2_400, 16, 6), PIXELS, END]), "only one"),
    "a-header-after-the-picture": (png_of([SMALL_HEAD, PIXELS, png_header(16_000, 2_400), END]), "only one"),
    "a-header-that-comes-late": (png_of([(b"gAMA", b"\0\0\xb1\x8f"), SMALL_HEAD, PIXELS, END]), "must begin with its header"),
    "a-header-too-short": (png_of([(b"IHDR", SMALL_HEAD[1][:9]), PIXELS, END]), "wrong length"),
    "an-end-that-is-missing": (png_of([SMALL_HEAD, PIXELS]), "is cut short"),
    "bits-that-no-png-has": (png_of([png_header(50, 70, 16, 3), PIXELS, END]), "no PNG has 16 bits with colour type 3"),
    "one-bit": (png_of([png_header(50, 70, 1, 0), PIXELS, END]), "8- or 16-bit whole numbers, got 1 bits"),
    "a-critical-chunk-of-nobody": (png_of([SMALL_HEAD, (b"XXXX", b""), PIXELS, END]), "needs something that no PNG has"),
    "a-tile-of-a-gigabyte": (tiled_tiff(RGB16, 32, (16_384, 16_384)), "must not unpack to more than 256 MB, got 1536 MB"),
    "a-tile-beyond-reason": (tiled_tiff(RGB16, 32, (2**31, 2**31)), "no sensible size"),
    "tiles-of-nothing": (tiled_tiff(RGB16, 32, (0, 32)), "no sensible size"),
    "sixty-thousand-channels": (tiff(GREY16, {277: 60_000}), "same bits in each of at most 8 channels"),
    "five-channels": (tiff(GREY16, {277: 5, 258: 16}), "got 5 channels"),
    "sixty-four-bits": (tiff(GREY16, {258: 64}), "must hold 8- or 16-bit whole numbers, got 64 bits"),
    "floating-point": (tiff(GREY16, {339: 3}), "not whole or below zero"),
    "planes-that-are-not-there": (tiff(RGB16, {284: 2}), "3 strips or tiles are not all listed"),
    "a-strip-beyond-the-file": (tiff(GREY16, {279: 10**6}), "reach beyond the file or lie over one another"),
    "strips-over-one-another": (
        tiff_of([(256, 4, [50]), (257, 4, [70]), (258, 3, [16]), (259, 3, [8]), (262, 3, [1]), (273, 4, [0] * 70),
                 (277, 3, [1]), (278, 4, [1]), (279, 4, [7000] * 70)], HUGE_ROWS), "lie over one another"),
    "a-strip-of-no-rows": (tiff(GREY16, {278: 0}), "no sensible size"),
    "a-packing-of-nobody": (tiff(GREY16, {259: 50_000}), "must be plain or packed"),
    "a-picture-inside-the-picture": (tiff(GREY8, {259: 7}), "must be plain or packed"),
    "a-tag-that-stands-twice": (
        tiff_of([(256, 4, [50]), (256, 4, [16_000]), (257, 4, [70]), (258, 3, [16]), (259, 3, [1]), (262, 3, [1]),
                 (273, 4, [0]), (277, 3, [1]), (278, 4, [70]), (279, 4, [7000])], HUGE_ROWS), "tag 256 stands twice"),
    "no-width": (tiff(GREY16, {256: 0}), "must not be larger"),
    "four-hundred-megapixels": (tiff(GREY16, {256: 20_000, 257: 20_000}), "must not be larger"),
    "one-pixel-too-many": (tiff(GREY16, {256: 6_325, 257: 6_325}), "must not be larger"),
    "two-frames": (jpeg_of([*SEGMENTS[:-1], *[s for s in SEGMENTS if s[0] == 0xC0], SEGMENTS[-1]]), "must have one frame"),
    "a-frame-without-loss": (jpeg_of([(0xC3 if c == 0xC0 else c, b) for c, b in SEGMENTS]), "baseline or progressive"),
    "no-frame": (jpeg_of([s for s in SEGMENTS if s[0] != 0xC0]), "no frame header"),
    "ten-thousand-scans": (jpeg(RGB8) + b"\xff\xda\0\x02" * 10_000, "must not hold more than 24 scans"),
    "segments-without-end": (jpeg_of([(0xFE, b"")] * 2_000 + SEGMENTS), "more than 1000 segments"),
    "twelve-bits": (jpeg_of([(c, b"\x0c" + b[1:] if c == 0xC0 else b) for c, b in SEGMENTS]), "8- or 16-bit"),
    "a-jpeg-cut-in-half": (jpeg(np.kron(RGB8, np.ones((4, 4, 1), np.uint8)))[:9_000], "is not a readable picture"),
}  # fmt: skip


@pytest.mark.parametrize("case", DISHONEST)
def test_a_picture_that_says_one_thing_and_is_another_is_refused(case: str, tmp_path: Path) -> None:
    data, words = DISHONEST[case]
    file = tmp_path / "scan"
    file.write_bytes(data)
    with pytest.raises(FileRefused) as refused:
        whole_picture(file)
    assert words in str(refused.value)
    assert str(refused.value).startswith(str(file))


def test_what_is_not_picture_never_reaches_the_decoder(tmp_path: Path) -> None:
    """A profile that unpacks to gigabytes, a comment, a second page: the decoder is not shown them."""
    bomb = b"x\0\0" + b"\x78\xda" + b"\0" * 5_000
    _, kept = picture_header(tmp_path, png_of([SMALL_HEAD, (b"iCCP", bomb), (b"zTXt", bomb), PIXELS, END]))
    assert kept == png_of([SMALL_HEAD, PIXELS, END])
    _, kept = picture_header(tmp_path, jpeg_of([(0xE1, b"Exif"), (0xFE, b"words"), *SEGMENTS]))
    assert kept == jpeg_of([s for s in SEGMENTS if s[0] != 0xE1 and s[0] != 0xFE])
    pages = tiff(GREY16)
    at = int.from_bytes(pages[4:8], "little")
    looped = bytearray(pages)
    looped[at + 2 + 12 * 10 : at + 6 + 12 * 10] = at.to_bytes(4, "little")  # the next page is this page
    _, kept = picture_header(tmp_path, bytes(looped))
    at = int.from_bytes(kept[4:8], "little")
    count = int.from_bytes(kept[at : at + 2], "little")
    assert kept[at + 2 + 12 * count : at + 6 + 12 * count] == b"\0\0\0\0"
    (tmp_path / "looped.tif").write_bytes(looped)
    np.testing.assert_array_equal(whole_picture(tmp_path / "looped.tif"), GREY16)
    np.testing.assert_array_equal(read_grey_image(tmp_path / "looped.tif")[0], GREY16)


def in_its_own_process(*words: str) -> dict[str, float]:
    """Return what the probe measured; a decoder that dies takes only that process with it."""
    probe = Path(__file__).with_name("picture_probe.py")
    done = subprocess.run([sys.executable, str(probe), *words], capture_output=True, text=True, check=False, timeout=900)
    assert done.returncode == 0, done.stderr[-2000:]
    assert done.stderr == ""  # no decoder may speak to the terminal by itself
    found: dict[str, float] = json.loads(done.stdout)
    return found


def test_a_thousand_pictures_bent_along_their_own_structure_are_read_or_refused() -> None:
    found = in_its_own_process("mutations", "1000", "7")
    assert found["tracebacks"] == 0
    assert found["read"] > 50  # some are bent where it does not matter
    assert found["refused"] > 300
    assert found["slowest_cpu_s"] < 1.0
    assert found["grown_mb"] < 200


@pytest.mark.slow
@pytest.mark.parametrize("form", drawn(["planes", "png", "strips", "one-strip"], 1, "form of a scan of forty megapixels"))
def test_a_legal_scan_of_forty_megapixels_stays_under_a_gigabyte(form: str, tmp_path: Path) -> None:
    found = in_its_own_process("large", form, str(tmp_path))
    assert found["peak_mb"] < 1000
    assert found["cpu_s"] < 10.0
