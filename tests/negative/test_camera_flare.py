"""The camera's flare: how much of a subject's range it takes, on shipped scenes and on an even run of tones."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from sim.negative.camera import Camera, veiled
from sim.negative.develop import scene_luminance_at
from sim.negative.scene_file import decoded_luminance, read_scene_codes
from sim.negative.sleeve import find_sleeve

PLAIN = Camera(1.0).flare_share
# log range from darkest to lightest place that must keep texture: 2.0 to 2.6
USUAL = ("sitting-4", "sitting-1", "sitting-3", "wheel-harsh", "firing-night")


def lost(light: np.ndarray, dark: float, bright: float, share: float) -> float:
    """Return the log range between two tones that the veil over a picture takes away."""
    veil = float(veiled(light, share)[0, 0] - light[0, 0])
    return float(np.log10(bright / dark) - np.log10((bright + veil) / (dark + veil)))


def lost_in_scene(name: str, share: float) -> tuple[float, float]:
    """Return a scene's log range between its end places, and what of it the veil takes."""
    sleeve = replace(find_sleeve(name), mirrored=False)
    codes, low, high = read_scene_codes(sleeve.scene)
    ends = [scene_luminance_at(sleeve, p, 1.5) for p in sleeve.places if p.part in ("lightest", "darkest")]
    light = decoded_luminance(codes, low, high)
    return float(np.log10(max(ends) / min(ends))), lost(light, min(ends), max(ends), share)


def test_a_subject_of_220_with_all_tones_alike_loses_about_040() -> None:
    tones = np.logspace(0.0, 2.2, 20000, dtype=np.float32).reshape(100, 200)
    assert lost(tones, 1.0, float(10**2.2), PLAIN) == pytest.approx(0.40, abs=0.08)


def test_shipped_scenes_of_a_usual_range_lose_about_040_on_average_and_the_brighter_ones_more() -> None:
    measured = {name: lost_in_scene(name, PLAIN) for name in USUAL}
    print({name: (round(span, 2), round(loss, 2)) for name, (span, loss) in measured.items()})
    assert all(1.9 <= span <= 2.6 for span, _ in measured.values())
    losses = [loss for _, loss in measured.values()]
    assert np.mean(losses) == pytest.approx(0.40, abs=0.10)
    assert measured["firing-night"][1] > 1.3 * measured["sitting-3"][1]


@pytest.mark.parametrize("factor", [0.3, 4.0])
def test_a_veil_of_the_old_strength_or_four_times_as_strong_is_seen(factor: float) -> None:
    losses = [lost_in_scene(name, factor * PLAIN)[1] for name in USUAL]
    assert abs(np.mean(losses) - 0.40) > 0.15


def test_the_veil_lies_evenly_and_is_a_share_of_the_mean() -> None:
    light = np.geomspace(0.01, 900.0, 600, dtype=np.float32).reshape(20, 30)
    veil = veiled(light, 0.02) - light
    assert veil == pytest.approx(0.02 * float(light.mean()), rel=1e-3)
