"""A print is that of the shown settings again while its tones lie within half a tolerance of it, and one's own beyond."""

from __future__ import annotations

import pytest

from sim.teaching.own_decisions import _is_alike

from .small_exercise import FILM, LIGHTS, as_printed, exercise, record


@pytest.mark.parametrize("time_s", [8.4, 7.6])
@pytest.mark.parametrize(("tolerances", "copied"), [(0.46, True), (0.54, False)])
def test_what_lies_within_half_a_tolerance_of_a_shown_print_is_a_copy(time_s: float, tolerances: float, copied: bool) -> None:
    shown, own = record(time_s=8.0), record(time_s=time_s)
    (one,), (other,) = as_printed(shown, "patch-4"), as_printed(own, "patch-4")
    apart = abs(one.wanted - other.wanted)
    task = exercise(*as_printed(shown, "patch-4", tolerance=apart / tolerances))
    assert _is_alike(task, (FILM,), own, shown, LIGHTS) is copied
