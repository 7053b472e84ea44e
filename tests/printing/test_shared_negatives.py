"""Tests that print share what was developed once: it is the negative that developing anew would give, and stays so."""

from __future__ import annotations

import numpy as np
import pytest

from sim.negative.develop import develop, find_negative
from sim.negative.sleeve import find_sleeve
from sim.paper.stock import find_stock
from sim.printing.make_print import make_print
from sim.printing.setup import usual_setup

NAME = "step-wedge"


def test_a_shared_negative_is_the_one_that_is_developed_anew() -> None:
    shared, anew = find_negative(NAME), develop(find_sleeve(NAME))
    assert find_negative(NAME) is shared
    assert (shared.digest, shared.places) == (anew.digest, anew.places)
    np.testing.assert_array_equal(shared.silver_density, anew.silver_density)
    make_print(shared, usual_setup(shared, find_stock("glossy-rc-vc")), find_stock("glossy-rc-vc"))
    np.testing.assert_array_equal(shared.silver_density, anew.silver_density)


def test_nobody_can_write_on_a_shared_negative() -> None:
    with pytest.raises(ValueError, match="read-only"):
        find_negative(NAME).silver_density[0, 0] = 1.0
