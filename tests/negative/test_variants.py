"""Variants go through camera and film, are the same everywhere, and keep to their range."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from sim.negative.camera import Camera
from sim.negative.develop import develop, find_negative
from sim.negative.sleeve import find_sleeve
from sim.negative.variants import VariantRange, variant

SLEEVE = find_sleeve("morning-shelf")
KEYS = [f"k{n}" for n in range(400)]


def test_a_key_gives_the_same_negative_every_time() -> None:
    first, second = find_negative("morning-shelf~k1"), develop(variant(SLEEVE, "k1"))
    assert first.digest == second.digest
    assert first.digest != find_negative("morning-shelf~k2").digest


def test_the_recipe_of_a_key_never_changes() -> None:
    """Courses rely on it: these values were written down when the recipe was first made."""
    made = variant(SLEEVE, "golden")
    own = (made.camera.error_stops, made.development / SLEEVE.development, made.mirrored)
    assert own == pytest.approx(GOLDEN, abs=0.01)


GOLDEN = (1.0833, 0.991, False)


def test_variants_fill_their_range_and_stay_inside() -> None:
    made = [variant(SLEEVE, key) for key in KEYS]
    stops = np.array([m.camera.error_stops - SLEEVE.camera.error_stops for m in made])
    factor = np.array([m.development / SLEEVE.development for m in made])
    assert stops.min() >= -1.5
    assert stops.max() <= 1.5
    assert np.ptp(stops) > 2.7
    assert factor.min() > 0.69
    assert factor.max() < 1.41
    assert 0.4 < np.mean([m.mirrored for m in made]) < 0.6
    assert all(0.0 <= m.crop.left < m.crop.right <= 1.0 for m in made)
    assert all((m.crop.right - m.crop.left) >= 0.87 for m in made)


def test_less_exposure_compresses_the_shadows_as_film_does() -> None:
    """Two stops less light take more contrast from the dark places than from the light ones."""
    less = replace(SLEEVE, camera=replace(SLEEVE.camera, error_stops=-2.0))  # the toe is half a log unit long
    normal, thin = develop(SLEEVE).silver_density, develop(less).silver_density

    def ranges(density: np.ndarray) -> tuple[float, float]:
        low, middle, high = np.percentile(density, (5, 50, 95))
        return float(middle - low), float(high - middle)

    (dark, light), (thin_dark, thin_light) = ranges(normal), ranges(thin)
    assert thin_dark / dark < 0.85
    assert thin_dark / dark < thin_light / light - 0.05


def test_a_variant_without_exposure_or_development_changes_is_only_recut() -> None:
    still = VariantRange(0.0, 1.0, 1.0, 0.0, 0.0, False)
    made = develop(variant(SLEEVE, "k3", still))
    own = develop(SLEEVE)
    assert np.abs(made.silver_density - own.silver_density).mean() < 0.02  # only the grain lies elsewhere


def test_places_follow_crop_and_mirror() -> None:
    mirrored = replace(SLEEVE, mirrored=True)
    for own, turned in zip(develop(SLEEVE).places, develop(mirrored).places, strict=True):
        assert turned.x == pytest.approx(1.0 - own.x)
        assert turned.y == own.y


def test_a_bad_key_is_refused_in_words() -> None:
    with pytest.raises(ValueError, match="must be 1 to 64 small letters"):
        variant(SLEEVE, "No Such Key!")


def test_camera_falloff_darkens_one_side() -> None:
    even, uneven = develop(SLEEVE), develop(replace(SLEEVE, camera=replace(SLEEVE.camera, falloff_stops=2.0)))
    change = uneven.silver_density - even.silver_density
    assert change[:, -50:].mean() < change[:, :50].mean() - 0.15
    assert isinstance(SLEEVE.camera, Camera)
