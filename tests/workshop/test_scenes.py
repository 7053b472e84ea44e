"""The scene renderer: honest light, whole shapes, the same picture whoever renders it."""

from functools import lru_cache

import numpy as np
import pytest

from sim.workshop.scenes.bake import bake
from sim.workshop.scenes.camera import Camera
from sim.workshop.scenes.catalogue import SCENES, scene_names
from sim.workshop.scenes.denoise import compose
from sim.workshop.scenes.forms import BOWL
from sim.workshop.scenes.lights import Sun, Window, rectangle_factor
from sim.workshop.scenes.materials import Plain
from sim.workshop.scenes.noise import Noise
from sim.workshop.scenes.render import TILE_TOLERANCE_LOG10, SceneImage, render_scene, render_tile
from sim.workshop.scenes.sampling import TILE_PX, blue_offsets, sequence
from sim.workshop.scenes.sdf import F32, Box, Capsule, Ellipsoid, Joined
from sim.workshop.scenes.sight import local_normal, nearest_hit
from sim.workshop.scenes.stage import GridBox, Scene, Thing
from sim.workshop.scenes.tracer import DIMENSIONS, Frame, World, trace_tile
from sim.workshop.scenes.vessels import throw

COARSE = 3.0
PASSES = 4  # with one, the deepest hundredth of a picture of narrow gaps is mostly noise


@lru_cache
def small(name: str) -> SceneImage:
    landscape = SCENES[name]().camera.landscape
    wide, high = (100, 80) if landscape else (80, 100)
    return render_scene(name, wide, high, PASSES, 3, coarser=COARSE)


@pytest.mark.parametrize("name", scene_names())
def test_luminance_is_finite_positive_and_spans_the_range_the_scene_declares(name: str) -> None:
    luminance = small(name).luminance_cd_m2
    assert luminance.dtype == np.float32
    assert np.isfinite(luminance).all()
    assert luminance.min() > 0
    low, high = np.percentile(luminance, [1, 99])
    band = SCENES[name]().stops
    # Few passes over coarse voxels leave noise in the deepest shadows: a stop of grace at either end.
    assert band[0] - 1 <= np.log2(high / low) <= band[1] + 1


@pytest.mark.parametrize("name", scene_names())
def test_named_places_lie_inside_the_frame_and_span_the_tones(name: str) -> None:
    image = small(name)
    assert 6 <= len(image.places) <= 12
    assert all(0.01 < x < 0.99 and 0.01 < y < 0.99 for x, y in image.places.values())
    rows, cols = image.luminance_cd_m2.shape
    readings = [image.luminance_cd_m2[int(y * rows), int(x * cols)] for x, y in image.places.values()]
    assert np.log2(max(readings) / min(readings)) > 0.5 * SCENES[name]().stops[0]


def test_two_processes_make_the_same_picture_as_one() -> None:
    alone = small("glaze-shelf").luminance_cd_m2
    shared = render_scene("glaze-shelf", 80, 100, PASSES, 3, processes=2, coarser=COARSE).luminance_cd_m2
    np.testing.assert_array_equal(alone, shared)


def test_another_seed_makes_another_picture_of_the_same_subject() -> None:
    one = small("glaze-shelf").luminance_cd_m2
    other = render_scene("glaze-shelf", 80, 100, PASSES, 4, coarser=COARSE).luminance_cd_m2
    assert not np.array_equal(one, other)
    assert abs(np.log2(np.median(one) / np.median(other))) < 0.15


def test_a_tile_rendered_alone_agrees_with_the_picture() -> None:
    whole = render_scene("kiln-mouth", 200, 70, 1, 5, coarser=4.0).luminance_cd_m2
    for row, col in ((0, 0), (0, 2), (1, 1)):
        tile = render_tile("kiln-mouth", 200, 70, 1, 5, row, col, coarser=4.0)
        part = whole[row * TILE_PX : (row + 1) * TILE_PX, col * TILE_PX : (col + 1) * TILE_PX]
        assert tile.shape == part.shape
        assert np.abs(np.log10(tile / part)).max() <= TILE_TOLERANCE_LOG10


def test_progress_is_told_of_every_tile() -> None:
    told: list[tuple[int, int]] = []
    render_scene("glaze-shelf", 80, 100, 1, 3, progress=lambda done, total: told.append((done, total)), coarser=COARSE)
    assert told == [(1, 4), (2, 4), (3, 4), (4, 4)]


def test_wrong_requests_name_the_value_received() -> None:
    with pytest.raises(KeyError, match="no-such-scene"):
        render_scene("no-such-scene", 80, 100, 1, 3)
    with pytest.raises(ValueError, match="passes must be between 1 and 64, got 0"):
        render_scene("glaze-shelf", 80, 100, 0, 3)
    with pytest.raises(ValueError, match="got 9, 0"):
        render_tile("glaze-shelf", 80, 100, 1, 3, 9, 0, coarser=COARSE)


# Shapes


def test_simple_shapes_tell_the_exact_distance() -> None:
    rng = np.random.Generator(np.random.PCG64(1))
    p = rng.uniform(-1, 1, (3, 400)).astype(np.float32)
    sphere = Ellipsoid((0.1, 0, 0), (0.3, 0.3, 0.3)).distance(p)
    np.testing.assert_allclose(sphere, np.linalg.norm(p - np.array([[0.1], [0], [0]]), axis=0) - 0.3, atol=2e-6)
    stick = Capsule((0, 0, 0), (0, 0.5, 0), 0.1, 0.1).distance(p)
    nearest = np.stack([np.zeros(400), np.clip(p[1], 0, 0.5), np.zeros(400)])
    np.testing.assert_allclose(stick, np.linalg.norm(p - nearest, axis=0) - 0.1, atol=2e-6)
    box = Box((0.2, 0.3, 0.4), 0.0).distance(p)
    outside = (np.abs(p) > np.array([[0.2], [0.3], [0.4]])).any(axis=0)
    reach = np.linalg.norm(np.maximum(np.abs(p) - np.array([[0.2], [0.3], [0.4]]), 0), axis=0)
    np.testing.assert_allclose(box[outside], reach[outside], atol=2e-6)


def test_a_solid_thrown_ball_tells_the_exact_distance_and_normal() -> None:
    turn = np.linspace(-np.pi / 2, 0.9, 24)
    ball = throw(
        tuple((0.1 * float(np.cos(t)), 0.1 + 0.1 * float(np.sin(t))) for t in turn), solid=True, ring_m=0.0, oval=0.0
    )
    rng = np.random.Generator(np.random.PCG64(2))
    way = rng.standard_normal((3, 300))
    way = way / np.linalg.norm(way, axis=0)
    way[1] = -np.abs(way[1])  # the lower half: the top is cut flat at the lip
    away = rng.uniform(0.07, 0.11, 300)
    p = (way * away + np.array([[0], [0.1], [0]])).astype(np.float32)
    np.testing.assert_allclose(ball.distance(p), away - 0.1, atol=1.5e-4)
    normal = local_normal(Thing(ball, Plain(0.5)), p)
    assert (normal * way).sum(axis=0).min() > 0.998


def test_a_bowl_is_hollow_with_a_wall_of_the_thickness_asked_for() -> None:
    bowl = throw(BOWL, wall_m=0.005, ring_m=0.0, oval=0.0)
    r = np.linspace(0, 0.13, 2601, dtype=np.float32)
    inside = bowl.distance(np.stack([r, np.full_like(r, 0.08), np.zeros_like(r)])) < 0
    wall_along_r = inside.sum() * (r[1] - r[0])
    slant = np.hypot(0.014, 0.026) / 0.026  # the outer profile runs from (0.096, 0.058) to (0.110, 0.084) there
    assert wall_along_r / slant == pytest.approx(0.005, rel=0.12)
    assert bowl.distance(np.array([[0], [0.05], [0]], np.float32))[0] > 0.02


def test_distance_never_promises_more_than_there_is() -> None:
    """Sphere tracing is safe only if distance changes by no more than the step taken (Lipschitz constant one)."""
    rng = np.random.Generator(np.random.PCG64(3))
    shapes = (
        throw(BOWL),
        Joined((Ellipsoid((0, 0, 0), (0.1, 0.1, 0.1)), Capsule((0, 0, 0), (0.2, 0, 0), 0.03, 0.03)), 0.02),
    )
    for shape in shapes:
        lo, hi = shape.box()
        a = rng.uniform(lo[:, None] - 0.03, hi[:, None] + 0.03, (3, 3000)).astype(np.float32)
        b = a + rng.uniform(-0.02, 0.02, a.shape).astype(np.float32)
        change = np.abs(shape.distance(a) - shape.distance(b)) / np.linalg.norm(a - b, axis=0)
        assert np.percentile(change, 99.5) < 1.03


def test_the_camera_projects_what_its_rays_meet() -> None:
    camera = Camera((0.3, 1.4, 2.0), (0.0, 1.0, 0.0), 180.0, 11.0, 1.9)
    x = np.array([0.2, 0.5, 0.83], np.float32)
    y = np.array([0.7, 0.5, 0.11], np.float32)
    o, d = camera.rays(x, y, np.array([[0.4, 0.9, 0.1], [0.3, 0.6, 0.8]], np.float32))
    _, _, forward = camera.axes()
    depth = forward @ (o - np.array([[0.3], [1.4], [2.0]], np.float32))
    in_focus = o + d * ((1.9 - depth) / (forward @ d))
    px, py, _ = camera.project(in_focus.astype(np.float32))
    np.testing.assert_allclose(np.stack([px, py]), np.stack([x, y]), atol=1e-5)


# Light


def _parallel_corner_factor(a: float, b: float, c: float) -> float:
    """Configuration factor from a patch to a parallel rectangle a x b whose corner lies c straight above the patch
    (configuration factor of a parallel rectangle, standard radiometry)."""
    x, y = a / c, b / c
    sx, sy = np.sqrt(1 + x * x), np.sqrt(1 + y * y)
    return float((x / sx * np.arctan(y / sx) + y / sy * np.arctan(x / sy)) / (2 * np.pi))


def test_a_window_lights_a_parallel_patch_by_the_configuration_factor() -> None:
    a, b, c, luminance = 0.7, 1.1, 0.9, 3000.0
    window = Window(
        (0.0, 0.0, c), (0.0, b, 0.0), (a, 0.0, 0.0), luminance
    )  # u x v points to -z: it shines down at the patch
    p, n = np.zeros((3, 1), np.float32), np.array([[0], [0], [1]], np.float32)
    assert window.illuminance_lux(p, n)[0] == pytest.approx(
        np.pi * luminance * _parallel_corner_factor(a, b, c), rel=1e-4
    )
    behind = np.array([[0], [0], [2 * c]], np.float32)
    assert window.illuminance_lux(behind, -n)[0] == 0


def test_a_window_cut_by_the_horizon_of_a_tilted_patch_agrees_with_brute_force() -> None:
    corners = np.array([[-0.5, -0.4, 0.6], [0.8, -0.4, 0.6], [0.8, 0.9, 0.6], [-0.5, 0.9, 0.6]], np.float32)
    u, v = (g.ravel() for g in np.meshgrid((np.arange(800) + 0.5) / 800, (np.arange(800) + 0.5) / 800))
    spot = np.stack([-0.5 + 1.3 * u, -0.4 + 1.3 * v, np.full(u.size, 0.6)])
    far2 = (spot**2).sum(axis=0)
    for normal in ((0.0, 0.0, 1.0), (0.9, 0.1, 0.42), (0.2, -0.95, 0.1), (-0.6, -0.6, -0.2)):
        n = np.array(normal) / np.linalg.norm(normal)
        cos = np.maximum((n[:, None] * spot).sum(axis=0), 0) / np.sqrt(far2)
        brute = (cos * 0.6 / np.sqrt(far2) / far2).mean() * 1.3 * 1.3
        exact = rectangle_factor(corners, np.zeros((3, 1), np.float32), n[:, None].astype(np.float32))[0]
        assert exact == pytest.approx(brute, rel=2e-3, abs=1e-4)


def test_the_sun_gives_its_illuminance_face_on_and_its_disc_adds_up_to_it() -> None:
    sun = Sun((0.0, 1.0, 0.2), 0.27, 80000.0)
    up = np.array([[0.0], [1.0], [0.2]], np.float32) / np.float32(np.sqrt(1.04))
    assert sun.illuminance_lux(np.zeros((3, 1), np.float32), up)[0] == pytest.approx(80000, rel=1e-4)
    assert sun.mean_luminance_cd_m2 * np.pi * np.sin(np.radians(0.27)) ** 2 == pytest.approx(80000, rel=1e-6)


class Furnace:
    """Surroundings of one luminance everywhere."""

    def luminance_cd_m2(self, o: F32, d: F32, noise: Noise) -> F32:
        return np.full(o.shape[1], 100.0, np.float32)

    def glow_cd_m2(self, o: F32, d: F32) -> F32:
        return np.full(o.shape[1], 100.0, np.float32)


def _furnace(reflectance: float) -> F32:
    camera = Camera((0.0, 0.0, 1.2), (0.0, 0.0, 0.0), 180.0, 64.0, 1.2, level=False)
    ball = Thing(Ellipsoid((0, 0, 0), (0.2, 0.2, 0.2)), Plain(reflectance, dirt_stops=0.0))
    scene = Scene(camera, (ball,), (), Furnace(), GridBox((-0.4, -0.4, -0.4), (0.4, 0.4, 0.4), 0.02), {}, (0, 1), 1e4)
    world = World(scene, bake(scene, 1.0, 1), Noise.make(2), blue_offsets(1, DIMENSIONS))
    return compose(trace_tile(world, Frame(TILE_PX, TILE_PX, 8, 1), 0, 0))


def test_a_ball_in_an_evenly_bright_world_shows_its_reflectance_and_makes_no_light() -> None:
    """White furnace: under luminance L from everywhere a convex matt ball of reflectance rho has luminance rho L."""
    middle = slice(TILE_PX // 2 - 8, TILE_PX // 2 + 8)
    for reflectance in (0.2, 0.8):
        picture = _furnace(reflectance)
        assert picture[middle, middle].mean() == pytest.approx(100 * reflectance, rel=0.03)
        assert picture.max() < 101


def test_the_light_grid_throws_a_shadow_where_the_thing_stands_in_the_way() -> None:
    board = Thing(Box((0.3, 0.02, 0.3)), Plain(0.5), at=(0.0, 0.5, 0.0))
    camera = Camera((0.0, 0.4, 2.0), (0.0, 0.4, 0.0), 180.0, 16.0, 2.0)
    scene = Scene(camera, (board,), (), Furnace(), GridBox((-0.8, -0.1, -0.8), (0.8, 1.0, 0.8), 0.02), {}, (0, 1), 1e4)
    grid = bake(scene, 1.0, 1)
    o = np.array([[0.0, 0.1, 0.6], [0.0, 0.0, 0.0], [0.0, 0.2, 0.0]], np.float32)
    up = np.tile(np.array([[0], [1], [0]], np.float32), (1, 3))
    t = grid.march(o, up, np.full(3, 10, np.float32), np.zeros((3, 3), np.float32))
    np.testing.assert_allclose(t[:2], 0.48, atol=0.02)
    assert np.isinf(t[2])


def test_rays_marched_together_arrive_where_each_arrives_alone() -> None:
    """Finished rays are parked while the others go on; the parking place must never count as a hit."""
    scene = SCENES["glaze-shelf"]()
    grid = bake(scene, 4.5, 1)
    rng = np.random.Generator(np.random.PCG64(6))
    start = np.array([[0.1], [1.2], [0.2]], np.float32)
    o = np.tile(start, (1, 300))
    d, far, _ = scene.lights[0].aim(o, rng.random((2, 300), np.float32))
    shake = rng.random((3, 300), np.float32) - np.float32(0.5)
    together = grid.march(o, d, far, shake)
    alone = [grid.march(o[:, [i]], d[:, [i]], far[[i]], shake[:, [i]])[0] for i in range(300)]
    np.testing.assert_array_equal(together, alone)
    assert 0.02 < np.isfinite(together).mean() < 0.6
    assert grid.distance[grid.cell_of(grid.lo[:, None] + grid.quiet[:, None] * np.float32(grid.voxel_m))] > 2


def test_the_nearest_of_two_things_is_seen() -> None:
    near = Thing(Ellipsoid((0, 0, 0), (0.1, 0.1, 0.1)), Plain(0.5), at=(0, 0, 0.5))
    far = Thing(Box((0.3, 0.3, 0.3), 0.0), Plain(0.5), yaw_deg=45.0)
    o = np.array([[0.0, 0.2], [0, 0], [2, 2]], np.float32)
    d = np.tile(np.array([[0], [0], [-1]], np.float32), (1, 2))
    t, owner = nearest_hit((far, near), [0, 1], o, d)
    assert owner.tolist() == [1, 0]
    np.testing.assert_allclose(t, [1.4, 2 - (0.3 * np.sqrt(2) - 0.2)], atol=1e-3)


# Even sampling


def test_passes_cover_the_pixel_evenly() -> None:
    points = sequence(12, 6, 1)
    for column in range(12):
        assert len(np.unique((points[:, column] * 6).astype(int))) == 6
        assert points[:, column].mean() == pytest.approx(0.5, abs=0.08)


def test_neighbouring_offsets_differ_more_than_chance() -> None:
    field = blue_offsets(1, 1)[0]
    assert field.mean() == pytest.approx(0.5, abs=0.01)
    step = np.abs(field - np.roll(field, 1, axis=0)).mean()
    assert step > 1.15 / 3  # white noise: one third


def test_noise_repeats_only_with_its_period_and_its_slope_is_its_slope() -> None:
    noise = Noise.make(4)
    rng = np.random.Generator(np.random.PCG64(5))
    p = rng.uniform(0, 1, (3, 20000)).astype(np.float32)
    value = noise.stain(p, 0.5)
    assert abs(value.mean()) < 0.15
    assert value.std() == pytest.approx(1, abs=0.15)
    shifted = noise.stain(p + np.array([[0.5], [0], [0]], np.float32), 0.5)
    assert np.corrcoef(value, shifted)[0, 1] < 0.4  # the volume is turned: a wall does not repeat along its length
    height, slope = noise.relief(p, 0.5)
    e = np.float32(2e-4)
    rise = (noise.relief(p + np.array([[e], [0], [0]], np.float32), 0.5)[0] - height) / e
    assert np.corrcoef(rise, slope[0])[0, 1] > 0.97
