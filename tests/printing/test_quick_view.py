"""Pictures for the screen are the print's own densities on every way of drawing, to one screen level."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from sim.enlarger.filters import FilterSetting
from sim.negative.negative import Negative
from sim.paper.response import Response
from sim.paper.safelight import Safelight
from sim.paper.stock import find_stock
from sim.printing.card_work import burnt_above, burnt_in, held_back
from sim.printing.exposure import expose
from sim.printing.make_print import make_print
from sim.printing.quick_view import QuickView
from sim.printing.record import Exposure, PrintingRecord
from sim.printing.setup import usual_setup
from sim.viewing.lightness import screen_values


def small_negative(stain_share: float) -> Negative:
    ramp = np.linspace(0.05, 1.9, 120, dtype=np.float32)
    return Negative("ramp", np.tile(ramp, (150, 1)), 0.1, (95.0, 118.75), stain_share)


def records(negative: Negative, stock_name: str) -> dict[str, PrintingRecord]:
    base = usual_setup(negative, find_stock(stock_name), time_s=12.0)
    split = base.with_exposures(Exposure(6.0, 8.0, FilterSetting("00")), Exposure(10.0, 8.0, FilterSetting("5")))
    opener = Exposure(0.5, 8.0, FilterSetting("2"), through="open", dimmed_stops=6.0)
    return {
        "even": base,
        "one card": held_back(base, 0, 100.0, 120.0, 80.0, 0.8),
        "burnt in": burnt_above(base, 0, 90.0, 1.0),
        "split": split,
        "split, cards in both": burnt_in(held_back(split, 1, 90.0, 90.0, 60.0, 0.7), 0, 120.0, 160.0, 70.0, 1.2),
        "two apertures": base.with_exposures(Exposure(6.0, 8.0), Exposure(6.0, 11.0, FilterSetting("4"))),
        "pre-flash": base.with_exposures(opener, *base.exposures),
        "safelight": replace(base, safelight=Safelight("amber", 0.6, 600.0)),
        "reciprocity": replace(held_back(base, 0, 100.0, 120.0, 80.0, 0.8), reciprocity=True),
    }


@pytest.mark.parametrize("stock_name", ["glossy-rc-vc", "graded-fb-2"])
@pytest.mark.parametrize("stain_share", [0.0, 0.3])
def test_a_quick_picture_is_the_print_to_one_screen_level(stock_name: str, stain_share: float) -> None:
    negative, stock = small_negative(stain_share), find_stock(stock_name)
    for name, record in records(negative, stock_name).items():
        quick = QuickView(Response(stock, record.development), screen_values)
        picture = quick.picture(expose(negative, record, stock))
        off = np.abs(picture.astype(int) - screen_values(make_print(negative, record, stock).density).astype(int))
        assert off.max() <= 1, f"{name}: off by {off.max()} at {np.unravel_index(off.argmax(), off.shape)}"
        assert (off > 0).mean() < 0.2, name
