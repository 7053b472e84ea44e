"""Out of doors: mist along a ray, sun through a bare tree, ground that is never overshot, a modelled head as its sketch."""

from itertools import pairwise

import numpy as np
import pytest

from sim.workshop.scenes.bake import bake
from sim.workshop.scenes.bust import Head, WetClay
from sim.workshop.scenes.clouds import CloudySky
from sim.workshop.scenes.growth import bare_tree
from sim.workshop.scenes.land import lay, ragged
from sim.workshop.scenes.lights import Sun
from sim.workshop.scenes.mist import Mist, MistySky
from sim.workshop.scenes.modelled import model
from sim.workshop.scenes.noise import Noise
from sim.workshop.scenes.sdf import F32, Ellipsoid
from sim.workshop.scenes.sets.mist_yard import mist_yard
from sim.workshop.scenes.sight import nearest_hit, things_in_view
from sim.workshop.scenes.stage import Thing

NOISE = Noise.make(20)
EVEN = Mist(MistySky(1000.0, glow=0.0), low_per_m=0.05, high_per_m=0.05, bank_stops=0.0, clear_m=1e-3)


def _level(count: int) -> tuple[F32, F32]:
    o = np.tile(np.array([[0.0], [1.5], [0.0]], np.float32), (1, count))
    return o, np.tile(np.array([[0.0], [0.0], [-1.0]], np.float32), (1, count))


def test_even_mist_follows_the_exponential_law_of_extinction() -> None:
    """Transmittance exp(-s t) (law of Bouguer and Lambert); what is taken away is replaced by the mist's own luminance."""
    t = np.array([1.0, 5.0, 20.0, 60.0], np.float32)
    o, d = _level(4)
    clear, added = EVEN.through(o, d, t, NOISE)
    np.testing.assert_allclose(clear, np.exp(-0.05 * t), rtol=1e-3)
    np.testing.assert_allclose(added, 1000.0 * (1 - clear), rtol=1e-4)


def test_endless_mist_hides_everything_and_banks_never_let_more_through_farther_away() -> None:
    o, d = _level(1)
    clear, added = EVEN.through(o, d, np.array([np.inf], np.float32), NOISE)
    assert clear[0] < 2e-3
    assert np.isfinite(added[0])
    banks = Mist(MistySky(1000.0))
    seen = [float(banks.through(o, d, np.array([t], np.float32), NOISE)[0][0]) for t in (3, 8, 16, 30, 60, 120)]
    assert all(a > b for a, b in pairwise(seen))


def test_the_sun_aims_within_its_disc_and_is_seen_only_there() -> None:
    sun = Sun((-0.2, 0.42, -1.0), 17.0, 1500.0)
    u = np.random.Generator(np.random.PCG64(3)).random((2, 4000)).astype(np.float32)
    d, _, share = sun.aim(np.zeros((3, 4000), np.float32), u)
    axis = np.array([-0.2, 0.42, -1.0]) / np.linalg.norm([-0.2, 0.42, -1.0])
    angle = np.degrees(np.arccos(np.clip(axis @ d, -1, 1)))
    assert angle.max() <= 17.01
    assert share.mean() == pytest.approx(1)
    assert np.median(angle) == pytest.approx(17 / np.sqrt(2), rel=0.05)  # spread evenly over the disc
    assert np.isfinite(sun.seen(d * 0, d)[0][angle < 16.9]).all()
    assert np.isinf(sun.seen(np.zeros((3, 1), np.float32), -d[:, :1])[0][0])


def test_a_walk_over_rough_ground_never_steps_through_it() -> None:
    """From any point the promised distance is clear: no ground within it, in any direction tried."""
    rng = np.random.Generator(np.random.PCG64(4))
    height = 0.25 * ragged((260, 260), 0.03, 4.0, 0.4, 3.0, rng)
    height += 1.2 * np.clip((np.arange(260) - 130) / 10, 0, 1)[:, None]  # a bank rising four in one
    land = lay(height.astype(np.float32), np.zeros_like(height), (0.0, 0.0), 0.03, near_m=1.5)
    p = rng.uniform([[1.0], [-0.5], [1.0]], [[6.5], [2.5], [6.5]], (3, 4000)).astype(np.float32)
    promised = land.distance(p)
    above = np.nonzero(promised > 0.01)[0]
    way = rng.standard_normal((3, above.size))
    q = p[:, above] + (way / np.linalg.norm(way, axis=0) * promised[above] * 0.95).astype(np.float32)
    # The ease is read between cells 12 cm apart, so at the foot of the bank a few promises are a little too long.
    assert (land.distance(q) < -0.01).mean() < 2e-3


def test_water_lies_level_where_the_ground_is_lower() -> None:
    height = np.full((40, 40), 0.1, np.float32)
    height[10:30, 10:30] = -0.1
    land = lay(height, np.zeros_like(height), (0.0, 0.0), 0.1, water=0.0)
    pool, bank = np.array([[2.0], [0.0], [2.0]], np.float32), np.array([[0.4], [0.1], [0.4]], np.float32)
    assert land.distance(pool)[0] == pytest.approx(0, abs=1e-6)
    assert land.distance(bank)[0] == pytest.approx(0, abs=1e-6)
    np.testing.assert_allclose(land.normal(pool)[:, 0], [0, 1, 0], atol=1e-6)


def test_a_bare_tree_is_a_trunk_below_and_twigs_with_sky_between_them_above() -> None:
    card = bare_tree(3, 7.4, 0.02, 1.0, 0.16)

    def cover(low: float, high: float, half: float) -> float:
        x, y = np.meshgrid(np.linspace(-half, half, 200), np.linspace(low, high, 60))
        p = np.stack([x.ravel(), y.ravel(), np.zeros(x.size)]).astype(np.float32)
        return float((card.distance(p) < 0).mean())

    assert cover(1.0, 1.2, 0.08) > 0.8
    assert cover(1.0, 1.2, 2.0) < 0.2
    assert 0.1 < cover(3.0, 5.0, 1.5) < 0.9


def test_a_thing_not_meant_to_be_seen_is_not_seen_but_is_in_the_light_grid() -> None:
    scene = mist_yard()
    hidden = [i for i, thing in enumerate(scene.things) if not thing.seen]
    assert hidden
    order = things_in_view(scene.things, scene.camera, (0.0, 0.0, 1.0, 1.0))
    assert not set(hidden) & set(order)
    grid = bake(scene, 4.0, 1)
    under = np.array([[0.0], [-0.2], [-5.0]], np.float32)
    assert grid.distance[grid.cell_of(under)][0] < 0
    o, _ = _level(1)
    down = np.array([[0.0], [-1.0], [-3.0]], np.float32) / np.float32(np.sqrt(10))
    _, owner = nearest_hit(scene.things, order, o, down)
    assert owner[0] not in hidden


def test_clouds_are_brighter_about_the_sun_and_the_sky_stays_within_its_luminances() -> None:
    sky = CloudySky(sun=(0.6, 0.4, -1.0))
    x, y = np.meshgrid(np.linspace(-0.55, 0.55, 120), np.linspace(0.02, 0.5, 60))
    d = np.stack([x.ravel(), y.ravel(), -np.ones(x.size)]).astype(np.float32)
    d /= np.linalg.norm(d, axis=0)
    luminance = sky.luminance_cd_m2(np.zeros_like(d), d, NOISE)
    assert luminance.min() > 1500
    assert luminance.max() < 1.6 * sky.lit
    assert luminance[x.ravel() > 0.3].mean() > 1.1 * luminance[x.ravel() < -0.3].mean()
    assert np.log2(np.percentile(luminance, 95) / np.percentile(luminance, 5)) > 1


def test_a_tabled_shape_agrees_with_the_shape_it_was_made_from() -> None:
    egg = Ellipsoid((0.0, 0.02, 0.0), (0.05, 0.05, 0.05))
    table = model(egg, 0.002)
    way = np.random.Generator(np.random.PCG64(5)).standard_normal((3, 500))
    way /= np.linalg.norm(way, axis=0)
    p = (way * 0.0505 + np.array([[0], [0.02], [0]])).astype(np.float32)
    np.testing.assert_allclose(table.distance(p), 0.0005, atol=1e-4)
    assert (table.normal(p) * way).sum(axis=0).min() > 0.999


def test_the_head_has_a_nose_before_its_lips_and_both_before_its_eyes() -> None:
    head = Head()
    turn = np.radians(17.0)

    def front(y: float, x: float = 0.0) -> float:
        z = np.linspace(0.02, 0.14, 600)
        # The head is turned on its neck: go along its own axis.
        p = np.stack([np.cos(turn) * x + np.sin(turn) * z, np.full_like(z, y), np.cos(turn) * z - np.sin(turn) * x])
        return float(z[np.nonzero(head.distance(p.astype(np.float32)) < 0)[0].max()])

    nose, lips, chin, eye = front(0.075), front(0.038), front(0.012), front(0.11, 0.031)
    assert nose > lips + 0.01 > chin > eye
    assert Thing(model(head, 0.004), WetClay()).world_box()[1][1] > 0.2
