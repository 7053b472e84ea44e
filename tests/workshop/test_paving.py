"""The paved floor of the drying room: joints lie low, slip lies where it was spilt, soles leave less clay at every step."""

from __future__ import annotations

import numpy as np
import pytest

from sim.workshop.photographs.paving import Paving

SPILL = (0.2, 0.8, 0.20, 0.30)
FLOOR = Paving(-0.6, 3.5, [SPILL], [(-0.8, 1.9, 0.3, 0.3)], [(-0.5, 0.5, 0.0, 1.0), (0.9, 2.5, 30.0, 0.4)],
    [(0.9, 0.2, 0.02)], 3)


def _net(x: float, y: float, half: float, count: int = 41) -> tuple[np.ndarray, np.ndarray]:
    across, down = np.meshgrid(np.linspace(x - half, x + half, count), np.linspace(y - half, y + half, count))
    return across.ravel(), down.ravel()


def test_joints_lie_lower_than_the_slabs_beside_them_and_slabs_are_as_large_as_two_people_lift() -> None:
    x, y = _net(0.0, 1.5, 1.2, 201)
    far, number, _ = FLOOR.slabs(x, y)
    high = FLOOR.height(x, y)
    assert high[far < 0.003].mean() < high[far > 0.03].mean() - 0.005
    assert np.ptp(high) < 0.05, "people walk on it"
    share = np.bincount(np.unique(number, return_inverse=True)[1]) * (2.4 / 200) ** 2  # m2
    assert 0.1 < share.max() < 0.80 * 0.56


def test_slip_lies_where_it_was_spilt_and_nowhere_else() -> None:
    assert FLOOR.slip(*_net(SPILL[0], SPILL[1], 0.02)).min() == 1.0
    assert FLOOR.slip(*_net(-0.9, 3.0, 0.2)).max() == 0.0
    assert FLOOR.slip(*_net(0.9, 0.2, 0.002)).min() > 0.9, "a drop"
    assert FLOOR.damp(*_net(-0.8, 1.9, 0.02)).min() == 1.0


def test_a_sole_prints_sole_and_heel_with_a_gap_between_and_less_clay_at_the_second_step() -> None:
    middle = FLOOR.trodden(*_net(-0.5, 0.55, 0.02)).max()
    gap = FLOOR.trodden(np.linspace(-0.53, -0.47, 9), np.full(9, 0.452)).max()
    assert middle > 4 * gap
    assert FLOOR.trodden(*_net(0.9, 2.5, 0.12)).max() < 0.7 * FLOOR.trodden(*_net(-0.5, 0.5, 0.12)).max()


def test_the_floor_before_a_camera_carries_what_lies_on_it() -> None:
    form = FLOOR.before((0.0, -2.5), (-14.0, 14.0), 2.4, 6.0)
    x, y, z = form.points.T
    near = np.hypot(x - SPILL[0], y - SPILL[1]) < 0.05
    assert form.values["slip"][near].min() > 0.9
    some = slice(None, None, 5003)
    assert z[some] == pytest.approx(FLOOR.height(x[some], y[some]), abs=1e-12)
