"""A lamp that is asked what it gives: what rushes in, and what can be asked of a lamp without a filament."""

from __future__ import annotations

import pytest

from sim.enlarger.equipment import find_head
from sim.enlarger.lamp_told import lamp_told
from sim.refusals import Refused


def test_at_half_the_voltage_half_the_current_rushes_into_the_cold_wire() -> None:
    """Ohm's law: a cold wire has the same resistance at any voltage."""
    head = find_head("condenser-small")
    full, half = lamp_told(head).inrush, lamp_told(head, 0.5).inrush
    assert full is not None
    assert half == pytest.approx(0.5 * full, rel=1e-6)


@pytest.mark.parametrize("name", ["led-sheet", "cold-cathode-sheet"])
@pytest.mark.parametrize("asked", [{"voltage_share": 0.5}, {"current_share": 0.5}])
def test_a_lamp_without_a_filament_is_asked_at_its_rated_voltage_only(name: str, asked: dict[str, float]) -> None:
    with pytest.raises(Refused, match="has no filament: its supply holds it steady"):
        lamp_told(find_head(name), **asked)
    assert lamp_told(find_head(name)).flux_share == 1.0
