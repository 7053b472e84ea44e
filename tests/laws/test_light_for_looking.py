"""The light a print is looked at in: how much brighter more light makes it, by a colour appearance model that is a standard."""

from __future__ import annotations

import numpy as np
import pytest

from sim.viewing.lightness import PRACTICAL_LUX, viewing_gain

WITHIN = 0.02  # of brightness: what an exponent of one digit leaves over all lights that a print may hang in


def brightness_of_white(lux: float) -> float:
    """Return the brightness Q of a print's white in a light, by CIE 159:2004 (CIECAM02).

    The eye is used to a grey of 20 % in that light. White is equal-energy, so that the three cones answer alike.
    """
    adapting = 0.2 * lux / np.pi
    k = 1.0 / (5.0 * adapting + 1.0)
    level = 0.2 * k**4 * 5.0 * adapting + 0.1 * (1.0 - k**4) ** 2 * (5.0 * adapting) ** (1.0 / 3.0)
    answer = 400.0 * level**0.42 / (level**0.42 + 27.13) + 0.1
    white = (2.0 + 1.0 + 1.0 / 20.0) * answer - 0.305
    return float((white + 4.0) * level**0.25)


@pytest.mark.parametrize("lux", [100.0, 200.0, 1000.0, 2000.0, 4000.0])
def test_more_light_brightens_a_print_as_the_standard_model_of_appearance_says(lux: float) -> None:
    wanted = brightness_of_white(lux) / brightness_of_white(PRACTICAL_LUX)
    assert viewing_gain(lux) == pytest.approx(wanted, rel=WITHIN)
