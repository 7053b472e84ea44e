"""Patches of known reflectance under every kind of light, against hand calculation; forms and storage checked by law.

The path tracer comes with the extra "scenes"; without it only what needs no light is checked.
"""

from __future__ import annotations

import numpy as np
import pytest

from sim.workshop.photographs import thrown
from sim.workshop.photographs.firelight import glow_cd_m2
from sim.workshop.photographs.form import Form, block, outward, rod, sheet
from sim.workshop.photographs.scene import Camera, Light, Panel, Scene, Sky, Sun, Thing
from sim.workshop.photographs.stored import STEP_LOG10, luminance_of, steps_of
from sim.workshop.photographs.surface import Cloudy, Material

REFLECTANCE = 0.5
FROM_ABOVE = Camera((0.0, -0.1, 3.0), (0.0, 0.0, 0.0), 150.0, (20.0, 20.0), 32.0, (0.0, 0.0, 0.0))


def _patch(lights: list[Light], sky: Sky | None = None, even: float = 0.0) -> float:
    pytest.importorskip("bpy")
    from sim.workshop.photographs.tracer import Quality, trace

    scene = Scene(FROM_ABOVE, [Thing(sheet(1.0, 1.0), Material(REFLECTANCE, refraction=1.0))], lights, sky, even)
    return float(trace(scene, 16, 16, Quality(paths=512, noise=0.001, threads=1, denoise=False))[6:10, 6:10].mean())


def test_under_an_even_sky_a_sheet_shows_its_reflectance_times_the_skys_luminance() -> None:
    assert _patch([], even=1000.0) == pytest.approx(REFLECTANCE * 1000.0, rel=0.005)


def test_a_sky_given_as_a_picture_lights_like_an_even_one_of_the_same_luminance() -> None:
    assert _patch([], Sky(np.full((16, 32), 1000.0))) == pytest.approx(REFLECTANCE * 1000.0, rel=0.01)


def test_the_bright_half_of_a_sky_lights_the_side_of_a_thing_that_faces_it() -> None:
    pytest.importorskip("bpy")
    from sim.workshop.photographs.tracer import Quality, trace

    to_minus_y = np.tile(np.repeat([1000.0, 0.0, 1000.0], [8, 16, 8]), (16, 1))
    wall = Thing(sheet(1.0, 1.0), Material(REFLECTANCE, refraction=1.0), lean_deg=90)  # faces -y, towards the lens
    camera = Camera((0.0, -3.0, 0.0), (0.0, 0.0, 0.0), 150.0, (20.0, 20.0), 32.0, (0.0, 0.0, 0.0))
    quality = Quality(paths=256, threads=1, denoise=False)
    facing, behind = (trace(Scene(camera, [wall], sky=Sky(sky)), 16, 16, quality)[6:10, 6:10].mean()
        for sky in (to_minus_y, 1000.0 - to_minus_y))
    assert facing == pytest.approx(REFLECTANCE * 1000.0, rel=0.05)
    assert behind < 0.05 * facing


def test_low_sun_lights_a_level_sheet_by_the_sine_of_its_height() -> None:
    assert _patch([Sun(10_000.0, 30.0, 90.0)]) == pytest.approx(REFLECTANCE * 10_000.0 * 0.5 / np.pi, rel=0.01)


def test_a_window_lights_a_sheet_as_the_sum_of_its_parts() -> None:
    part = (np.arange(200) + 0.5) / 200 - 0.5
    x, y = np.meshgrid(part, part)
    far = x**2 + y**2 + 4.0
    lux = 4000.0 * np.mean(4.0 / far**2)  # both cosines are 2 m over the distance
    assert _patch([Panel((0.0, 0.0, 2.0), (0.0, 0.0, -1.0), 1.0, 1.0, 4000.0)]) == pytest.approx(
        REFLECTANCE * lux / np.pi, rel=0.02
    )


def _lit_by_a_wall(wall: Material) -> float:
    """A level sheet behind a black screen, on which only what a sunlit wall sends back falls."""
    pytest.importorskip("bpy")
    from sim.workshop.photographs.tracer import Quality, trace

    things = [
        Thing(sheet(0.6, 0.6), Material(REFLECTANCE, refraction=1.0)),
        Thing(sheet(2.0, 2.0), Material(0.0, refraction=1.0), (-0.5, 0.0, 0.0), lean_deg=90, turn_deg=90, seen=False),
        Thing(sheet(2.0, 3.0), wall, (1.0, 0.0, 1.5), lean_deg=90, turn_deg=-90),
    ]
    scene = Scene(FROM_ABOVE, things, [Sun(10_000.0, 30.0, -90.0)])
    return float(trace(scene, 16, 16, Quality(paths=1024, threads=1, denoise=False))[6:10, 6:10].mean())


def test_a_mottled_rough_wall_sends_back_as_much_as_an_even_one_of_its_mean_tone() -> None:
    mottled = Material(Cloudy(0.05, 0.3, 0.7), 0.9, 1.3, (Cloudy(0.02, -0.001, 0.001),))
    even = _lit_by_a_wall(Material(0.5, 0.9, 1.3))
    assert even > 10.0
    assert _lit_by_a_wall(mottled) == pytest.approx(even, rel=0.03)
    assert _lit_by_a_wall(Material(0.25, 0.9, 1.3)) < 0.6 * even


def test_sun_from_the_right_throws_shadows_to_the_left() -> None:
    pytest.importorskip("bpy")
    from sim.workshop.photographs.tracer import Quality, trace

    post = Thing(block(0.02, 0.02, 0.1), Material(0.5), (0.0, 0.0, 0.05))
    scene = Scene(FROM_ABOVE, [Thing(sheet(1.0, 1.0), Material(0.5)), post], [Sun(10_000.0, 45.0, 90.0)])
    seen = trace(scene, 64, 64, Quality(paths=32, threads=1, denoise=False))
    right, left = FROM_ABOVE.in_frame((0.06, 0.0, 0.0)), FROM_ABOVE.in_frame((-0.06, 0.0, 0.0))
    assert seen[int(64 * left[1]), int(64 * left[0])] < 0.05 * seen[int(64 * right[1]), int(64 * right[0])]


def test_places_are_where_the_renderer_shows_them_whatever_the_shift_of_the_film() -> None:
    pytest.importorskip("bpy")
    from sim.workshop.photographs.tracer import Quality, trace

    camera = Camera(
        (0.4, -2.0, 1.0), (0.0, 0.0, 0.4), 150.0, (95.0, 118.75), 32.0, (0.0, 0.0, 0.0), rise=0.11, cross=-0.07
    )
    spot = (0.11, 0.05, 0.34)
    lamp = Thing(block(0.03, 0.03, 0.03), Material(0.0, refraction=1.0, glow_cd_m2=500.0), spot)
    seen = trace(Scene(camera, [lamp]), 160, 200, Quality(paths=16, threads=1, denoise=False))
    rows, cols = np.nonzero(seen > 250.0)
    x, y = camera.in_frame(spot)
    assert (cols.mean() + 0.5) / 160 == pytest.approx(x, abs=0.004)
    assert (rows.mean() + 0.5) / 200 == pytest.approx(y, abs=0.004)


def test_a_white_hot_kiln_glows_as_published_for_a_black_body() -> None:
    """Platinum at its freezing point, 2,042 K, is the old standard of light: 60 cd/cm2 as a black body (CGPM 1948)."""
    assert glow_cd_m2(2042.0, emissivity=1.0) == pytest.approx(600_000.0, rel=0.02)


def test_a_stored_scene_differs_from_the_true_one_by_a_step_at_most_and_its_mean_not_at_all() -> None:
    luminance = np.geomspace(0.01, 90_000.0, 200_000, dtype=np.float32).reshape(400, 500)
    off = np.log10(luminance_of(steps_of(luminance))) - np.log10(luminance)
    assert 0.003 <= STEP_LOG10 <= 0.005
    assert np.abs(off).max() <= 1.01 * STEP_LOG10
    assert abs(float(off.mean())) < 0.02 * STEP_LOG10


@pytest.mark.parametrize(
    "form",
    [block(0.2, 0.1, 0.06, 0.004, 8), rod([(0, 0, 0), (0, 0.1, 0.3)], 0.02), thrown.thrown(thrown.JUG, fineness=64)],
)
def test_the_skin_of_a_form_faces_outwards(form: Form) -> None:
    """Such a skin encloses a positive volume (sum of the cones from the middle to its faces)."""
    middle, volume = form.points.mean(0), 0.0
    for faces in (form.quads, form.triangles):
        p = form.points[faces] - middle
        for k in range(1, faces.shape[1] - 1):
            volume += float(np.einsum("ij,ij->i", p[:, 0], np.cross(p[:, k], p[:, k + 1])).sum() / 6)
    assert volume > 0
    assert np.isfinite(outward(form)).all()


def test_the_same_seed_throws_the_same_pot_and_another_seed_another() -> None:
    first, again, other = (
        thrown.thrown(thrown.CUP, seed=3),
        thrown.thrown(thrown.CUP, seed=3),
        thrown.thrown(thrown.CUP, seed=4),
    )
    assert (first.points == again.points).all()
    assert not np.allclose(first.points, other.points, atol=1e-5)
