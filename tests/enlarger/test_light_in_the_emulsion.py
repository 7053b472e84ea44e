"""Light that scatters among the paper's grains before the curve: in contact, under the lens, and where it is spared."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from sim.enlarger.filters import FilterSetting
from sim.enlarger.fine_detail import FineDetail, fine_detail
from sim.enlarger.settings import EnlargerSettings
from sim.enlarger.sharpness import paper_spread_shown
from sim.negative.negative import Negative
from sim.paper.development import Development
from sim.paper.stock import Stock, find_stock, stock_names
from sim.printing.exposure import expose
from sim.printing.record import Exposure, PrintingRecord, Sheet

FILM_MM = 24.0
STOCK = find_stock("glossy-rc-vc")


def grating(lp_mm: float, px_per_mm: float) -> Negative:
    """Return a negative whose light swings by a fifth, so many times a millimetre from left to right."""
    x = (np.arange(round(FILM_MM * px_per_mm)) + 0.5) / px_per_mm
    light = 0.5 * (1.0 + 0.2 * np.cos(2 * np.pi * lp_mm * x))
    silver = np.broadcast_to(-np.log10(light), (len(x), len(x))).astype(np.float32)
    return Negative("grating", np.ascontiguousarray(silver), 0.1, (FILM_MM, FILM_MM))


def swing(lp_mm: float, stock: Stock = STOCK, contact: bool = True, filters: tuple[str, ...] = ("2",)) -> float:
    """Return the swing of blue light that the paper gets from a grating on film, over that of its negative."""
    film = grating(lp_mm, 40.0 if contact else 80.0)
    record = PrintingRecord(
        "grating", Sheet(stock.name, 20.0, 20.0, 0.0), EnlargerSettings("diffusion-small", "50-mm", 300.0, contact=contact),
        tuple(Exposure(10.0, 8.0, FilterSetting(name)) for name in filters), Development(60.0),
    )  # fmt: skip
    blue, _ = expose(film, record, stock, 40.0).planes()
    middle = blue[300:500, 200:600].mean(axis=0).astype(float)  # the lamp's fall-off is even enough so near the axis
    scale = 1.0 if contact else 1.0 / 3.7320508  # 300 mm under a 50 mm lens
    x = np.arange(400) / 40.0
    whole = int(np.floor(10.0 * lp_mm * scale) / (lp_mm * scale) * 40.0)
    wave = np.exp(-2j * np.pi * lp_mm * scale * x[:whole])
    return float(2 * abs((middle[:whole] * wave).sum()) / middle[:whole].sum() / 0.2)


@pytest.mark.parametrize("name", stock_names())
def test_every_paper_passes_half_contrast_at_20_to_30_lp_mm(name: str) -> None:
    assert 20.0 <= find_stock(name).half_contrast_lp_mm <= 30.0


@pytest.mark.parametrize("lp_mm", [2.0, 5.0, 10.0])
def test_a_contact_print_keeps_what_the_emulsion_leaves(lp_mm: float) -> None:
    assert swing(lp_mm) == pytest.approx(1.0 / (1.0 + (lp_mm / 25.0) ** 2), abs=0.01)


def test_twice_the_spread_is_noticed() -> None:
    coarser = replace(STOCK, half_contrast_lp_mm=12.5)
    assert swing(10.0, coarser) < swing(10.0) - 0.1


def test_under_the_lens_paper_and_lens_multiply() -> None:
    ideal = replace(STOCK, half_contrast_lp_mm=200.0)
    on_paper = 20.0 / 3.7320508
    both = swing(20.0, contact=False) / swing(20.0, ideal, contact=False)
    assert both == pytest.approx((1 + (on_paper / 200.0) ** 2) / (1 + (on_paper / 25.0) ** 2), abs=0.01)


def test_two_exposures_are_spread_as_one() -> None:
    assert swing(10.0, filters=("00", "5")) == pytest.approx(swing(10.0), abs=0.002)


def test_a_sheet_too_coarse_to_show_it_is_spared_the_spread() -> None:
    assert paper_spread_shown(25.0, 5.2) == 0.0
    assert paper_spread_shown(25.0, 8.7) == 0.0
    assert paper_spread_shown(25.0, 8.9) == 25.0
    assert fine_detail(5.2, FilterSetting("5"), 25.0, contact=False) == FineDetail()


def test_a_grid_fine_enough_knows_its_filter_and_contact_does_not_ask() -> None:
    assert fine_detail(20.0, FilterSetting("5"), 25.0, contact=False) == FineDetail(FilterSetting("5"), 25.0)
    assert fine_detail(20.0, FilterSetting("5"), 25.0, contact=True) == FineDetail(FilterSetting(), 25.0)


def test_a_hard_filter_prints_finer_than_a_soft_one() -> None:
    assert swing(20.0, contact=False, filters=("5",)) > swing(20.0, contact=False, filters=("00",)) + 0.01
