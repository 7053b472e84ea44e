"""What drying adds to a paper of one's own is found from steps read wet and dry, and its prints dry down by it."""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from pathlib import Path

import numpy as np
import pytest
from laws.secret_papers import GENERIC, HEAD, fitted

from sim.calibration.drying import drying_of
from sim.calibration.next_strip import next_sheet
from sim.calibration.own_curves import curve_in_light
from sim.calibration.own_paper import light_behind
from sim.calibration.own_stock_file import Told, stock_data, toml_of
from sim.calibration.readings_csv import Wedge, read_readings
from sim.calibration.wedge_strips import PaperReadings, StepReading, Strip, WetReading
from sim.notebook.own_paper_page import own_paper_lines
from sim.paper.development import Development
from sim.paper.response import Response
from sim.paper.stock import STOCK_FOLDER, Stock, find_stock
from sim.reading import OutsideError, tables_in
from sim.refusals import Refused
from sim.shelf import PAPER, Shelf

SECRET_SHARE, NOISE = 0.42, 0.01
STOCK = replace(GENERIC.stock, wet_gelatin_share=SECRET_SHARE)


@cache
def read(seed: int = 8) -> PaperReadings:
    """Return two strips read dry, its light steps of each read wet before, with a densitometer's noise."""
    rng, strips, wet = np.random.Generator(np.random.PCG64(seed)), [], []
    developed = Development(STOCK.development.completion_time_s)
    for setting in ("00", "5"):
        blue, green = light_behind(STOCK, HEAD, setting)
        curve = curve_in_light(STOCK, blue, green)
        clear = round(curve.log_exposure_at_net(0.97 * curve.net_dmax) + 0.4, 1)
        under = 0.05 + 0.1 * np.arange(31)
        h = 10.0 ** (clear - under)
        dry, moist = (Response(STOCK, developed, wet=one).density(h * blue, h * green) for one in (False, True))
        noisy = dry + NOISE * rng.standard_normal(31)
        steps = (StepReading(k + 1, float(u), round(float(d), 2)) for k, (u, d) in enumerate(zip(under, noisy, strict=True)))
        strips.append(Strip(setting, clear, tuple(steps)))
        lights = np.flatnonzero((dry > 0.12) & (dry < 1.6))
        again = moist + NOISE * rng.standard_normal(31)
        wet += [WetReading(setting, int(k) + 1, round(float(again[k]), 2)) for k in lights]
    return PaperReadings(tuple(strips), (round(Response(STOCK, developed).base_plus_fog, 2),), wet=tuple(wet))


def test_the_share_is_found_within_its_error_in_four_of_five_draws() -> None:
    all_found = [drying_of(GENERIC.stock, read(seed)) for seed in (8, 9, 10, 11, 12)]
    off = [(one.gelatin_share - SECRET_SHARE) / one.error for one in all_found if one is not None]
    print([round(one, 2) for one in off])
    assert sum(abs(one) < 2.1 for one in off) >= 4
    assert abs(np.mean(off)) < 1.3  # drawn a little towards what papers are, as it must be


def test_prints_on_the_paper_dry_down_by_what_was_read(tmp_path: Path) -> None:
    own = fitted(read())
    folder = tmp_path / PAPER.folder
    folder.mkdir()
    data = stock_data(own, tables_in(STOCK_FOLDER / "glossy-fb-vc.toml"), Told("My own", "today"))
    (folder / "mine.toml").write_text(toml_of(data, "mine"), encoding="utf-8")
    paper = find_stock("own:mine", Shelf(own=tmp_path))
    truth, found, generic = (_dries_by(one) for one in (STOCK, paper, GENERIC.stock))
    assert found == pytest.approx(truth, abs=0.006)
    assert abs(generic - truth) > 0.014
    assert any(line.startswith("Drying: what reads 0.2") for line in own_paper_lines(own, next_sheet(own), ()))


def _dries_by(stock: Stock) -> float:
    """Return how much darker a light grey of 0.30 dry is than it was wet."""
    developed = Development(stock.development.completion_time_s)
    blue, green = light_behind(stock, HEAD, "2")
    h = 10.0 ** np.linspace(-2.0, 3.0, 1200)
    dry, wet = (Response(stock, developed, wet=one).density(h * blue, h * green) for one in (False, True))
    return float(0.30 - np.interp(0.30, dry, wet))


def test_a_step_darker_wet_than_dry_is_refused_and_one_within_a_readings_error_is_not() -> None:
    first = read().wet[0]
    dry = next(one.density for one in read().strips[0].readings if one.step == first.step)
    assert dry is not None
    drying_of(GENERIC.stock, replace(read(), wet=(replace(first, density=dry + 0.07), *read().wet[1:])))
    with pytest.raises(Refused, match=f"strip 00, step {first.step} must not read darker wet"):
        drying_of(GENERIC.stock, replace(read(), wet=(replace(first, density=dry + 0.09), *read().wet[1:])))


def test_wet_readings_that_no_swelling_explains_are_refused() -> None:
    half = tuple(replace(one, density=0.4 * one.density) for one in read().wet)
    with pytest.raises(Refused, match="steps read wet must go with"):
        drying_of(GENERIC.stock, replace(read(), wet=half))


@pytest.mark.parametrize(("row", "said"), [("wet 2,,0.5,", ""), ("wet 3,,0.5,0.5", "step 3 behind 00 must be read dry too"),
                                           ("wet 2,,0.5,0.5", "step 2 behind 5 must be read dry too")])  # fmt: skip
def test_a_wet_row_stands_beside_its_dry_one(tmp_path: Path, row: str, said: str) -> None:
    file = tmp_path / "read.csv"
    file.write_text(f"row,wedge,00,5\nseconds,,20,40\n1,0.05,2.1,2.2\n2,0.15,0.6,\n{row}\n", encoding="utf-8")
    if not said:
        assert read_readings(file).wet == (WetReading("00", 2, 0.5),)
        return
    with pytest.raises(OutsideError, match=said):
        read_readings(file)


@pytest.mark.parametrize("said", ["match 18,5%", "match 18.5 %"])
def test_a_card_is_said_with_a_point_or_a_comma(tmp_path: Path, said: str) -> None:
    file = tmp_path / "read.csv"
    file.write_text(f"row;wedge;00;5\nseconds;;20;40\nfirst tone;;17;11\n{said};;12,5;9\nblack;;3;6\n", encoding="utf-8")
    strip = read_readings(file, None, Wedge.even(21, 0.05, 0.15)).strips[0]
    assert strip.readings[1].density == pytest.approx(-np.log10(0.185))


def _only(share: float, dry: float) -> PaperReadings:
    """Return one step of a secret paper, read dry and wet without noise."""
    stock = replace(GENERIC.stock, wet_gelatin_share=share)
    blue, green = light_behind(stock, HEAD, "2")
    curve = curve_in_light(stock, blue, green)
    h = 10.0 ** float(np.interp(dry, curve.density, curve.log_exposure))
    developed = Development(stock.development.completion_time_s)
    exposed = np.array([h * blue]), np.array([h * green])
    both = [Response(stock, developed, wet=one).density(*exposed)[0] for one in (False, True)]
    strip = Strip("2", 1.0, (StepReading(1, 0.05, float(both[0])),))
    return PaperReadings((strip,), (), wet=(WetReading("2", 1, float(both[1])),))


def test_one_faint_step_leaves_the_share_to_what_papers_are() -> None:
    """A grey of 0.12 hardly tells: what is known before, half a natural logarithm either way, is what is left."""
    found = drying_of(GENERIC.stock, _only(GENERIC.stock.wet_gelatin_share, 0.075))
    assert found is not None
    assert 0.36 < found.error / found.gelatin_share < 0.53


def test_a_paper_that_hardly_swells_is_found_as_it_is() -> None:
    share = 0.75
    told = [_only(share, grey) for grey in (0.3, 0.45, 0.6, 0.8, 1.0, 1.2)]
    steps = tuple(replace(one.strips[0].readings[0], step=k + 1) for k, one in enumerate(told))
    wet = tuple(replace(one.wet[0], step=k + 1) for k, one in enumerate(told))
    found = drying_of(GENERIC.stock, PaperReadings((Strip("2", 1.0, steps),), (), wet=wet))
    assert found is not None
    assert found.gelatin_share == pytest.approx(share, rel=0.08)


def test_the_light_grey_that_is_told_wet_is_one_of_three_tenths_dry() -> None:
    found = drying_of(GENERIC.stock, read())
    assert found is not None
    assert found.light_grey_wet == pytest.approx(0.30 - _dries_by(STOCK), abs=0.006)
