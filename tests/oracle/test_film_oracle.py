"""Negatives against the slow way: meter, camera flare, film curve, speed, fog and gamma at several developments."""

from __future__ import annotations

from unittest.mock import patch

import numpy as np
import pytest

from sim.negative.camera import Camera
from sim.negative.develop import develop
from sim.negative.sleeve_contents import Sleeve

from .film import Curve, film_data, light_on_film

FILM_AGREES_WITHIN = 0.001
LOW, HIGH = -1.0, 3.0  # log cd/m2: from deep in the toe to well into the shoulder
CASES = {
    f"{film}, {development:g}": (film, development, stops)
    for film, development, stops in [
        ("medium", 1.0, 0.0), ("medium", 0.6, 1.0), ("medium", 1.5, -1.0), ("slow", 0.8, 0.5), ("fast", 1.2, 0.0),
        ("old", 1.0, 2.0),
    ]
}  # fmt: skip


def tones() -> np.ndarray:
    """Return a 20 x 60 picture of codes: every tone of the scale once, shuffled in no way, each 2 mm wide on the film."""
    return np.linspace(0, 65535, 1200).round().astype(np.uint16).reshape(20, 60)


def sleeve(film: str, development: float, stops: float) -> Sleeve:
    """Return a sleeve of the tones, half a plate large, so that neighbours stay apart."""
    camera = Camera(30.0, stops, forgotten_magnification=0.2, flare_share=0.02)
    return Sleeve("tones", "Tones", "All tones once.", "tones", camera, film, (120.0, 40.0), development)


def misses(name: str) -> tuple[np.ndarray, float, float]:
    """Return by how much silver, base+fog and gamma differ from the slow way's."""
    film, development, stops = CASES[name]
    own, codes = sleeve(film, development, stops), tones()
    with (
        patch("sim.negative.develop.read_scene_codes", return_value=(codes, LOW, HIGH)),
        patch("sim.negative.develop.grain_field", side_effect=lambda shape, _: np.zeros(shape, np.float32)),
    ):
        negative = develop(own)
    data = film_data(film)
    curve = Curve(data, development)
    luminance = 10.0 ** (LOW + (HIGH - LOW) * codes.astype(float) / 65535.0)
    silver = curve.silver(light_on_film(luminance, own.camera, data["iso_speed"]))
    return (
        np.abs(negative.silver_density - silver),
        abs(negative.base_density - curve.base_fog()),
        abs(negative.gamma - curve.gamma()),
    )


def worst_on_film() -> float:
    """Return the largest density by which any case differs, base and fog counted by itself."""
    found = [misses(name) for name in CASES]
    return max(max(float(silver.max()), fog) for silver, fog, _ in found)


@pytest.mark.parametrize("name", CASES)
def test_a_negative_agrees_with_the_slow_way(name: str) -> None:
    silver, fog, gamma = misses(name)
    assert silver.max() <= FILM_AGREES_WITHIN
    assert fog <= 1e-6
    assert gamma <= 1e-4
