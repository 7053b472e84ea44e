"""A loupe at any point of print and easel: the picture and its grain at their own size, blades and paper's edge in place."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from sim.negative.develop import find_negative
from sim.negative.negative import Negative
from sim.paper.stock import find_stock
from sim.printing.make_print import make_print
from sim.printing.record import PrintingRecord
from sim.printing.setup import usual_setup
from sim.refusals import Refused
from sim.viewing.densitometer import spot_density
from sim.viewing.loupe import loupe, on_easel

STOCK = find_stock("glossy-rc-vc")


def grainy(frame_mm: tuple[float, float], px_per_mm: float = 20.0) -> Negative:
    """Return even film of density 0.7 with the grain of a fast film, its pixels coarse."""
    rows, cols = round(frame_mm[1] * px_per_mm), round(frame_mm[0] * px_per_mm)
    silver = np.full((rows, cols), 0.7, dtype=np.float32)
    bare = Negative("even", silver, 0.1, frame_mm, rms_granularity=15.0, clump_mm=0.007, grain_key=3)
    return replace(bare, silver_density=bare.grain.laid_on(bare.silver_density, 1.0 / px_per_mm, (0, 0)))


SMALL, LARGE = grainy((24.0, 30.0)), grainy((95.0, 120.0), 8.0)


def record_of(negative: Negative, f_number: float = 5.6, focus_offset_mm: float = 0.0) -> PrintingRecord:
    record = usual_setup(negative, STOCK, time_s=6.0, f_number=f_number)
    return replace(record, enlarger=replace(record.enlarger, focus_offset_mm=focus_offset_mm))


def fluctuation(light: np.ndarray, many: int = 1) -> float:
    """Return how much light fluctuates between squares of so many pixels, as a density."""
    size = light.shape[0] // many * many
    small = light[:size, :size].reshape(size // many, many, size // many, many).mean(axis=(1, 3))
    return float(np.log10(small).std())


def test_grain_on_the_easel_is_as_coarse_as_the_enlargement() -> None:
    """Seen through squares of 1 mm, grain fluctuates as the enlargement (Selwyn): 1 mm is 0.125 mm of small film."""
    small, large = (fluctuation(on_easel(n, record_of(n), 100.0, 125.0, 48.0, 960), 20) for n in (SMALL, LARGE))
    scales = [max(record_scale(n)) for n in (SMALL, LARGE)]
    assert small / large == pytest.approx(scales[0] / scales[1], rel=0.12)
    at_08 = 0.015 * ((0.7 + 0.02) / 1.02) ** 0.45 * np.sqrt(np.pi / 4) * 0.048  # density mm of film
    assert small == pytest.approx(at_08 * scales[0] / 1.0, rel=0.15)


def record_scale(negative: Negative) -> tuple[float, ...]:
    sheet = make_print(negative, record_of(negative), STOCK, 1.0)
    return tuple(size / side for size, side in zip(sheet.frame_mm[2:], negative.frame_mm, strict=True))


def test_out_of_focus_grain_goes_first_and_most_with_the_lens_open() -> None:
    def grain(f_number: float, focus_offset_mm: float) -> float:
        return fluctuation(on_easel(SMALL, record_of(SMALL, f_number, focus_offset_mm), 60.0, 80.0, 4.0, 240))

    open_left = grain(4.0, 0.12) / grain(4.0, 0.0)
    closed_left = grain(8.0, 0.12) / grain(8.0, 0.0)
    assert open_left < 0.5
    assert open_left < closed_left - 0.2


def test_a_loupe_that_is_moved_finds_the_same_grain() -> None:
    record = record_of(SMALL)
    here = on_easel(SMALL, record, 100.0, 120.0, 12.0, 240)
    there = on_easel(SMALL, record, 103.0, 118.0, 12.0, 240)
    same = here[20:200, 80:220], there[60:240, 20:160]
    assert np.corrcoef(same[0].ravel(), same[1].ravel())[0, 1] > 0.98
    assert np.corrcoef(here[:200, :200].ravel(), there[:200, :200].ravel())[0, 1] < 0.1


@pytest.mark.parametrize("name", ["racks-small-film", "morning-shelf", "focus-target"])
def test_what_the_loupe_shows_is_as_dark_as_the_sheet(name: str) -> None:
    negative = find_negative(name)
    record = record_of(negative, 8.0)
    sheet = make_print(negative, record, STOCK)
    for x_mm, y_mm in ((60.0, 70.0), (101.0, 127.0), (150.0, 200.0)):
        crop = loupe(negative, record, STOCK, x_mm, y_mm)
        row, col = ((n - 1) / 2 / 20.0 + 0.025 for n in crop.density.shape)
        assert spot_density(crop, col, row, 12.0) == pytest.approx(spot_density(sheet, x_mm, y_mm, 12.0), abs=0.02)


def test_blades_and_the_papers_edge_are_where_they_are() -> None:
    record = record_of(SMALL)
    corner = loupe(SMALL, record, STOCK, 3.0, 4.0).density  # border of 6 mm, loupe of 20 mm: 13 x 14 mm of paper
    assert corner.shape == (280, 260)
    white = make_print(SMALL, record, STOCK, 2.0).base_plus_fog
    assert np.abs(corner[:118, :] - white).max() < 0.01
    assert np.abs(corner[:, :118] - white).max() < 0.01
    assert corner[125:, 125:].mean() > white + 0.1


def test_the_loupe_stands_on_the_sheet() -> None:
    with pytest.raises(Refused, match="must stand on the sheet of 203 x 254 mm, got 300, 10"):
        loupe(SMALL, record_of(SMALL), STOCK, 300.0, 10.0)


def test_a_negative_turned_over_shows_its_own_picture_turned_over() -> None:
    negative = find_negative("focus-target")
    right = record_of(negative)
    turned = replace(right, enlarger=replace(right.enlarger, flipped=True))
    for x_mm in (50.0, 40.0):  # spokes, and ground with nothing but grain on it
        seen = on_easel(negative, right, x_mm, 127.0 if x_mm == 50.0 else 100.0, 10.0, 200)
        there = right.sheet.width_mm - x_mm, 127.0 if x_mm == 50.0 else 100.0
        mirrored = on_easel(negative, turned, *there, 10.0, 200)[:, ::-1]
        assert np.corrcoef(seen.ravel(), mirrored.ravel())[0, 1] > 0.98


def test_a_tilted_easel_shows_the_same_place_less_sharp_at_its_end() -> None:
    negative = find_negative("focus-target")
    flat = record_of(negative)
    tilted = replace(flat, enlarger=replace(flat.enlarger, easel_tilt_deg=5.0))
    middle = [on_easel(negative, r, 101.5, 127.0, 10.0, 200) for r in (flat, tilted)]
    assert middle[0].std() == pytest.approx(middle[1].std(), rel=0.05)


def test_on_film_turned_or_tilted_the_picture_under_the_loupe_lies_where_the_sheet_has_it() -> None:
    negative = find_negative("morning-shelf")
    for settings in ({"flipped": True}, {"easel_tilt_deg": 4.0}, {"negative_tilt_deg": 1.0}):
        record = record_of(negative, 16.0)
        record = replace(record, enlarger=replace(record.enlarger, **settings))
        sheet = make_print(negative, record, STOCK)
        crop = loupe(negative, record, STOCK, 60.0, 180.0)
        for dx, dy in ((-5.0, -5.0), (5.0, 5.0), (5.0, -5.0)):
            there = spot_density(sheet, 60.0 + dx, 180.0 + dy, 4.0)
            assert spot_density(crop, 10.0 + dx, 10.0 + dy, 4.0) == pytest.approx(there, abs=0.03)
