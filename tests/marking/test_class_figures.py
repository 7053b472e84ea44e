"""What the class page says, against a class of four reckoned with pencil and paper."""

from __future__ import annotations

import pytest
from made_results import four_learners, results, row, submission

from sim.marking.class_figures import exercise_figures


def test_the_numbers_of_four_learners() -> None:
    found = exercise_figures(four_learners(), "one")
    assert found.statuses == (("marked", 3), ("missing", 1))
    assert found.distribution == (0, 0, 0, 0, 1, 0, 1, 0, 1, 0)
    assert (found.mean_points, found.median_points) == (60.0, 60.0)
    assert (found.counted, found.passed) == (3, 1)
    assert [(c.name, round(c.mean_share, 6), c.below_half, c.count) for c in found.criteria] == [
        ("shade", 0.25, 2, 3), ("cup", round(2.5 / 3, 6), 0, 3),
    ]  # fmt: skip
    assert found.hardest is not None
    assert found.hardest.name == "shade"
    assert found.causes == (("exposure", 2), ("contrast", 1))
    assert found.commonest_cause == "exposure"
    assert found.curves == ((0.4, 0.8), (0.2, 0.3, 0.4), (0.6,))
    assert found.mean_curve == pytest.approx((0.3, 0.55, 0.4))  # (0.6,) never tried again
    assert found.sheets_used == ((2, 1), (3, 1), (4, 1))


def test_full_points_fall_into_the_last_tenth_and_none_into_the_first() -> None:
    rows = [row(str(n), submission((1.0, 1.0), "exposure", 1.0), p) for n, p in enumerate((100.0, 99.9, 0.0, 10.0, 110.0))]
    assert exercise_figures(results(*rows), "one").distribution == (1, 1, 0, 0, 0, 0, 0, 0, 0, 3)


def test_an_even_class_has_a_median_between_two() -> None:
    rows = [row(str(n), submission((1.0, 1.0), "exposure", 1.0), p) for n, p in enumerate((10.0, 20.0, 40.0, 90.0))]
    assert exercise_figures(results(*rows), "one").median_points == 30.0


def test_nobody_yet() -> None:
    found = exercise_figures(results(row("d", None, None)), "one")
    assert (found.mean_points, found.median_points, found.hardest, found.commonest_cause) == (None, None, None, "")
    assert found.sheets_used == ()
