"""The loupe shows what the formula says: sharpness of rendered detail, and apertures that can be told apart."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from sim.enlarger.filters import FilterSetting
from sim.negative.negative import Negative
from sim.negative.targets import focus_target
from sim.paper.stock import find_stock
from sim.printing.record import Exposure, PrintingRecord
from sim.printing.setup import usual_setup
from sim.quantities import exact_f_number
from sim.viewing.loupe import loupe, sharpness_at
from tests.enlarger.knife_edge import bench_of, edge_contrast

STOCK = find_stock("glossy-rc-vc")
SMALL = Negative("small target", focus_target(2500, 2000), 0.1, (24.0, 30.0))
FAINT = Negative("faint target", 0.5 + 0.1 * SMALL.silver_density, 0.1, (24.0, 30.0))  # detail of a seventh of a density


def at_mark(f_number: float, filter_name: str = "2") -> PrintingRecord:
    """Return the record of small film enlarged to 8x10 in, equally exposed at every mark."""
    record = usual_setup(SMALL, STOCK, time_s=10.0)
    light_s = 10.0 * (exact_f_number(f_number) / 8.0) ** 2
    return record.with_exposures(Exposure(light_s, f_number, FilterSetting(filter_name), light_s=light_s))


def detail(f_number: float) -> float:
    """Return how steeply densities change at the hub of the middle spokes as the loupe shows them."""
    record = at_mark(f_number)
    density = loupe(FAINT, record, STOCK, record.sheet.width_mm / 2, record.sheet.height_mm / 2).density
    return float(np.sqrt((np.diff(density[160:240, 160:240], axis=1) ** 2).mean()))


def test_widest_best_and_smallest_marks_can_be_told_apart_on_small_film() -> None:
    widest, best, smallest = detail(2.8), detail(4.0), detail(16.0)
    assert best > 1.1 * widest
    assert best > 1.25 * smallest


@pytest.mark.parametrize("f_number", [2.8, 4.0, 8.0, 16.0])
@pytest.mark.parametrize("filter_name", ["00", "5"])
def test_sharpness_in_the_middle_is_that_of_a_rendered_edge(f_number: float, filter_name: str) -> None:
    record = at_mark(f_number, filter_name)
    sheet = record.sheet
    magnification = bench_of("50-mm", 8.0).magnification
    record = replace(record, enlarger=replace(record.enlarger, height_mm=50.0 * (2 + magnification + 1 / magnification)))
    told = sharpness_at(SMALL, record, sheet.width_mm / 2, sheet.height_mm / 2)
    assert edge_contrast(bench_of("50-mm", 8.0), f_number, 5.0, filter_name) == pytest.approx(told, abs=0.006)


@pytest.mark.parametrize("f_number", [2.8, 5.6, 16.0])
def test_sharpness_in_a_corner_is_the_mean_of_both_directions(f_number: float) -> None:
    record = at_mark(f_number)
    sheet, bench = record.sheet, bench_of("50-mm", 8.0)
    record = replace(record, enlarger=replace(record.enlarger, height_mm=bench.settings.height_mm))
    told = sharpness_at(SMALL, record, sheet.width_mm / 2 - 80.0, sheet.height_mm / 2 - 80.0)
    assert edge_contrast(bench, f_number, 5.0, "2", -80.0, -80.0) == pytest.approx(told, abs=0.01)


def test_a_corner_is_less_sharp_than_the_middle_and_gains_by_stopping_down() -> None:
    def lost(f_number: float) -> float:
        record = at_mark(f_number)
        sheet = record.sheet
        return 1.0 - sharpness_at(SMALL, record, 8.0, 8.0) / sharpness_at(
            SMALL, record, sheet.width_mm / 2, sheet.height_mm / 2
        )

    assert lost(2.8) > 2 * lost(5.6) > 0.0
