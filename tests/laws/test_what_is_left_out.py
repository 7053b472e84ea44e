"""Where the product spares itself work: just inside and just outside each limit the print is the same to the eye."""

from __future__ import annotations

import numpy as np
import pytest

from sim.enlarger import easel_light, focus
from sim.enlarger.equipment import find_head
from sim.enlarger.filament import Filament, radiance, switching
from sim.enlarger.filters import FilterSetting
from sim.enlarger.fine_detail import fine_detail
from sim.enlarger.focus import traced_transfer
from sim.negative.negative import Negative, Place
from sim.printing import exposure
from sim.printing.exposure import LightCache
from sim.printing.make_print import make_print
from sim.printing.place_print import PlacePrint
from sim.viewing.densitometer import read_place

from .small import STOCKS, negative, shot, straight

HARD = FilterSetting("5")
FAULTLESS_WITHIN = 0.0002  # of contrast
MOST_MISSED = 0.0005  # density: 0.0001 found


def test_a_sheet_is_spared_the_colour_of_its_light_and_a_loupe_is_not() -> None:
    """Sheets have at most 12 pixels a mm, a loupe 20: the limit of 15 lies between, and in contact there is no lens."""
    assert fine_detail(14.9, HARD, 25.0, contact=False).filtration == FilterSetting()
    assert fine_detail(15.0, HARD, 25.0, contact=False).filtration == HARD
    assert fine_detail(15.0, HARD, 25.0, contact=True).filtration == FilterSetting()


@pytest.mark.parametrize("late", [(0.0, 1.0), (1.0, 0.0), (-1.15, 1.0)])
def test_a_lens_that_counts_as_faultless_is_so_within_two_ten_thousandths(
    late: tuple[float, float], monkeypatch: pytest.MonkeyPatch
) -> None:
    frequency, colours = np.linspace(0.5, 20.0, 40), (0.45e-3, 0.55e-3)
    paths = [tuple(waves * 0.45e-3 * part for part in late) for waves in np.geomspace(1e-4, 0.3, 25)]
    spared = [traced_transfer(frequency, 40.0, colours, *path) for path in paths]
    monkeypatch.setattr(focus, "LEAST_WAVES", 0.0)
    traced = [traced_transfer(frequency, 40.0, colours, *path) for path in paths]
    assert np.abs(np.subtract(spared, traced)).max() < FAULTLESS_WITHIN
    assert np.abs(traced[-1] - traced[0]).max() > 50 * FAULTLESS_WITHIN  # a third of a wave does show


@pytest.mark.parametrize("head", ["diffusion-small", "condenser-small", "diffusion-sheet"])
def test_where_a_dying_filament_is_given_up_nothing_of_its_light_is_left(head: str) -> None:
    lamp = find_head(head)
    assert lamp.temperature_k is not None
    course = switching(Filament.of_lamp(lamp.temperature_k, lamp.rated_volts or 0.0, lamp.rated_watts or 0.0), 1.0)
    seen = np.array([450.0, 545.0, 600.0])
    left = radiance(seen, course.fall_k[-1]) / radiance(seen, course.settled_k)
    assert left.max() < 1e-6
    assert course.fall_s[-1] > 0.4  # and it has been followed until then


def dark_in_clear() -> Negative:
    """Return a dense patch, some 40 mm of print wide, in clear film: nowhere does more light come in from beyond a piece."""
    silver = np.zeros((150, 200), dtype=np.float32)
    silver[50:100, 70:130] = 1.9
    return negative(silver)


def test_deep_in_clear_film_a_piece_reads_as_the_sheet_does_for_light_from_far_off_is_counted(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """Even a faultless lens throws a little of its light further than any margin; here it all comes from clear film."""
    film, place = dark_in_clear(), Place("patch", 0.5, 0.5, 3.0)
    record = straight().with_exposures(shot(40.0, "2", 5.6))
    stock = STOCKS[record.sheet.paper]
    whole = read_place(make_print(film, record, stock), place)

    def read() -> float:
        return float(PlacePrint(film, record, stock, LightCache()).readings(place)[0])

    near = read()
    monkeypatch.setattr(easel_light, "light_from_beyond", lambda *of_the_piece: np.float32(0.0))
    without = read()
    assert 0.2 < whole < 1.8
    assert abs(near - whole) < MOST_MISSED
    assert whole - without > 4.0 * MOST_MISSED


@pytest.mark.parametrize("margin_mm", [exposure.MARGIN_MM, 1.0])
def test_beside_clear_film_a_piece_reads_as_the_sheet_does_however_little_is_projected_around_it(
    margin_mm: float, monkeypatch: pytest.MonkeyPatch
) -> None:
    film, place = dark_in_clear(), Place("by the rim", 0.40, 0.5, 3.0)
    record = straight().with_exposures(shot(40.0, "2", 5.6))
    stock = STOCKS[record.sheet.paper]
    monkeypatch.setattr(exposure, "MARGIN_MM", margin_mm)
    found = float(PlacePrint(film, record, stock, LightCache()).readings(place)[0])
    assert abs(found - read_place(make_print(film, record, stock), place)) < MOST_MISSED
