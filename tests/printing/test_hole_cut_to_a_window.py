"""A hole cut into a card for one window: what lies in the panes is burnt in, the wall beside them is not."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from sim.negative.develop import find_negative
from sim.negative.negative import Place
from sim.negative.sleeve_contents import Crop, seen_through
from sim.paper.stock import find_stock
from sim.printing.make_print import frame_on_sheet, make_print, place_on_sheet
from sim.printing.record import Circling, PrintingRecord
from sim.printing.setup import usual_setup
from sim.refusals import Refused
from sim.scoring.best_print_of_a_negative import through_its_hole
from sim.scoring.start import carded

NEGATIVE, STOCK = find_negative("against-the-window"), find_stock("glossy-fb-vc")
SKY = NEGATIVE.place("window-sky")


def _density(record: PrintingRecord, x: float, y: float) -> float:
    """Return the mean density of a few mm of the print around a place, given as fractions of the frame."""
    sheet = make_print(NEGATIVE, record, STOCK, px_per_mm=1.0)
    left, top, width, height = frame_on_sheet(NEGATIVE, record)
    row, col = sheet.at(left + x * width, top + y * height)
    return float(np.mean(sheet.density[row - 1 : row + 2, col - 1 : col + 2]))


@pytest.mark.parametrize("hole", [SKY.hole, None])
def test_a_hole_cut_to_the_panes_spills_less_over_the_wall_than_an_oval(hole: tuple[float, float, float, float] | None) -> None:
    """Twelve mm above the panes (5 % of the frame's width) the wall keeps its tone; through the oval it does not."""
    base = usual_setup(NEGATIVE, STOCK, time_s=10.0)
    burnt = (through_its_hole if hole else carded)(NEGATIVE, base, SKY, 2.0)
    assert SKY.hole is not None
    above, hill = (0.50, SKY.hole[1] - 0.06), (NEGATIVE.place("tree-line").x, NEGATIVE.place("tree-line").y)
    assert _density(burnt, *hill) > _density(base, *hill) + 0.1
    spilt = _density(burnt, *above) - _density(base, *above)
    assert spilt < 0.02 if hole else spilt > 0.1


def test_the_hole_goes_with_crop_and_mirror_and_must_lie_around_its_place() -> None:
    place = Place("pane", 0.4, 0.3, hole=(0.3, 0.2, 0.7, 0.5))
    assert seen_through(place, Crop(), True).hole == pytest.approx((0.3, 0.2, 0.7, 0.5))
    assert seen_through(place, Crop(left=0.2, right=1.0), False).hole == pytest.approx((0.125, 0.2, 0.625, 0.5))
    with pytest.raises(Refused, match="hole must be left, top, right, bottom around the place"):
        replace(place, hole=(0.5, 0.2, 0.7, 0.5))


def test_a_crop_that_passes_the_place_by_takes_its_hole_away_and_nothing_else() -> None:
    place = Place("pane", 0.4, 0.3, hole=(0.3, 0.2, 0.7, 0.5))
    assert seen_through(place, Crop(left=0.45, right=1.0), False).hole is None


def test_the_hole_goes_where_a_turned_negative_puts_the_place() -> None:
    base = usual_setup(NEGATIVE, STOCK, time_s=10.0)
    for flipped in (False, True):
        record = replace(base, enlarger=replace(base.enlarger, flipped=flipped))
        x_mm, y_mm = place_on_sheet(NEGATIVE, record, SKY)
        card = through_its_hole(NEGATIVE, record, SKY, 1.0).exposures[-1].cards[0]
        assert isinstance(card.motion, Circling)
        assert abs(card.motion.x_mm - x_mm) < card.width_mm / 2
        assert abs(card.motion.y_mm - y_mm) < card.length_mm / 2
        assert (card.motion.x_mm < x_mm) is not flipped, "the place lies to the right of the panes' middle, turned to the left"
