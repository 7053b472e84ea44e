"""A learner's own scan comes back as the densities that were on the film, and absurd files are refused in words."""

from __future__ import annotations

import struct
from pathlib import Path

import numpy as np
import pytest
from PIL import Image

from sim.command.main import main
from sim.negative.develop import develop
from sim.negative.scan import (
    ScanEncoding,
    WedgeInFrame,
    calibrated,
    decode_density,
    encode_density,
    linear_light,
    scanned_density,
)
from sim.negative.sleeve import read_sleeve
from sim.negative.targets import step_wedge
from sim.picture_reading import open_picture
from sim.reading import FileRefused

HUGE_HEADER = b"\x89PNG\r\n\x1a\n\0\0\0\rIHDR" + struct.pack(">IIBBBBB", 20000, 20000, 8, 0, 0, 0, 0)
TRUE = 0.05 + 0.15 * np.arange(21)


def film(width: int = 840, height: int = 300) -> np.ndarray:
    """Densities of a frame with clear base on top and a 21-step wedge below."""
    density = np.zeros((height, width))
    density[150:] = step_wedge(height - 150, width)
    return density


def scanned(density: np.ndarray, gamma: float, offset: float, bits: int) -> np.ndarray:
    """What a scanner writes: light, to a gamma, on a black offset, in whole numbers."""
    full = 2**bits - 1
    value = offset + (1.0 - offset) * (10.0**-density) ** (1.0 / gamma)
    return np.round(value * full).astype(np.uint8 if bits == 8 else np.uint16)


def steps_of(density: np.ndarray) -> np.ndarray:
    width = density.shape[1] / 21
    return np.array([density[200:280, int((k + 0.3) * width) : int((k + 0.7) * width)].mean() for k in range(21)])


@pytest.mark.parametrize(("gamma", "offset", "bits"), [(2.2, 0.03, 8), (1.8, 0.0, 8), (1.0, 0.01, 16), (2.4, 0.05, 16)])
def test_a_known_wedge_comes_back_within_three_hundredths(gamma: float, offset: float, bits: int) -> None:
    light = linear_light(scanned(film(), gamma, offset, bits), ScanEncoding(gamma, offset))
    read = steps_of(scanned_density(light))
    within = (TRUE >= 0.1) & (TRUE <= 2.0)
    assert np.abs(read - TRUE)[within].max() < 0.03


def test_linear_eight_bits_cannot_hold_two_densities() -> None:
    """The reason for a gamma: in linear 8 bits the dense steps fall into one another."""
    light = linear_light(scanned(film(), 1.0, 0.0, 8), ScanEncoding(1.0))
    assert np.abs(steps_of(scanned_density(light)) - TRUE)[12:].max() > 0.03


def test_a_wedge_in_the_frame_mends_a_wrong_gamma() -> None:
    light = linear_light(scanned(film(), 2.2, 0.0, 16), ScanEncoding(1.6))
    bent = scanned_density(light)
    assert np.abs(steps_of(bent) - TRUE).max() > 0.2
    mended = calibrated(bent, WedgeInFrame(0.0, 0.55, 1.0, 0.95, 21))
    assert np.abs(steps_of(mended) - TRUE)[:14].max() < 0.01


def test_a_wedge_laid_the_wrong_way_round_is_refused() -> None:
    density = film()[:, ::-1]
    with pytest.raises(ValueError, match="denser from left to right"):
        calibrated(density, WedgeInFrame(0.0, 0.55, 1.0, 0.95, 21))


def test_density_codes_round_trip() -> None:
    density = np.linspace(0, 4, 1001)
    assert np.abs(decode_density(encode_density(density)) - density).max() < 5e-5


@pytest.mark.parametrize(
    ("name", "data", "words"),
    [
        ("text.png", b"not a picture", "must be a PNG, TIFF or JPEG"),
        ("cut.png", b"\x89PNG\r\n\x1a\n\0\0", "is not a readable picture"),
        ("huge.png", HUGE_HEADER, "must not be larger"),
        ("cut.tif", b"II*\0\xff\xff\xff\x7f", "is not a readable picture"),
        ("empty.tif", b"", "must be a PNG, TIFF or JPEG"),
    ],
)
def test_absurd_files_are_refused_in_words(tmp_path: Path, name: str, data: bytes, words: str) -> None:
    file = tmp_path / name
    file.write_bytes(data)
    with pytest.raises(FileRefused, match=words):
        [*open_picture(file).bands()]


def test_the_command_makes_a_sleeve_that_prints(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    Image.fromarray(scanned(film(), 2.2, 0.03, 8)).save(tmp_path / "My Negative.png")
    words = ["scan", str(tmp_path / "My Negative.png"), "-o", str(tmp_path), "--gamma", "2.2", "--black-offset", "0.03"]
    assert main([*words, "--film", "95x120"]) == 0
    negative = develop(read_sleeve(tmp_path / "my-negative.toml"))
    assert np.abs(steps_of(negative.silver_density) - TRUE)[1:14].max() < 0.03
    assert negative.frame_mm == (120.0, 95.0)  # turned the way the scan lies
    sleeve, out = str(tmp_path / "my-negative.toml"), str(tmp_path / "print.png")
    assert main(["print", "--negative", sleeve, "-o", out, "--json"]) == 0
    assert (tmp_path / "print.png").exists()
    assert main(["scan", str(tmp_path / "nothing.png")]) == 2
    assert "cannot be opened" in capsys.readouterr().err
