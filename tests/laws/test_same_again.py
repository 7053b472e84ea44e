"""The same decisions give the same print, bit for bit; and every way of computing it agrees."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from sim.enlarger.filters import FilterSetting
from sim.evening.evening import Evening
from sim.paper.response import Response
from sim.paper.safelight import Safelight
from sim.paper.stock import find_stock
from sim.printing.exposure import LightCache, expose
from sim.printing.make_print import make_print
from sim.printing.record import Card, Circling, Exposure
from sim.printing.record_file import record_data, record_from_data
from sim.printing.tone_tables import densities_of, plane_densities

from .small import LAW, STOCKS, even, filters, negative, scenes, shot, stocks, straight, times_s

TOOL = Card("disc", Circling(70.0, 60.0, 8.0, 1.7), 90.0, 40.0, 40.0, wire_mm=1.5)
carded = st.booleans()


@LAW
@given(scenes, stocks, filters, times_s, carded, st.sampled_from((0.0, 0.3)), st.booleans())
def test_two_prints_of_one_record_are_identical_with_or_without_kept_light(
    silver, paper, name, light_s, with_card, stain_share, reciprocity
) -> None:
    film = negative(silver, stain_share)
    cards = (TOOL,) if with_card else ()
    exposures = (shot(light_s, name, cards=cards), shot(light_s, "00", f_number=11.0))
    record = replace(straight(paper).with_exposures(*exposures), reciprocity=reciprocity)
    lights = LightCache()
    first, second = (make_print(film, record, STOCKS[paper]).density for _ in range(2))
    kept = [make_print(film, r, STOCKS[paper], lights=lights).density for r in (record, straight(paper), record)]
    for other in (second, kept[0], kept[2]):
        assert np.array_equal(first, other)


@LAW
@given(scenes, stocks, filters, times_s, carded)
def test_a_record_that_went_through_its_file_form_prints_the_same_bit_for_bit(
    silver, paper, name, light_s, with_card
) -> None:
    record = straight(paper).with_exposures(shot(light_s, name, cards=(TOOL,) if with_card else ()))
    again = record_from_data(Path("record.json"), record_data(record))
    assert again == record
    film = negative(silver)
    assert np.array_equal(make_print(film, record, STOCKS[paper]).density, make_print(film, again, STOCKS[paper]).density)


def test_an_evening_replayed_from_its_log_gives_every_print_bit_for_bit(tmp_path: Path) -> None:
    generator = np.random.Generator(np.random.PCG64(11))
    film = negative(generator.uniform(0.0, 1.8, (13, 15)).astype(np.float32))
    evening = Evening.open(tmp_path / "evening.jsonl", "glossy-fb-vc", sheets=12, minutes=600.0, seed=5)
    made = []
    for k in range(6):
        exposures = tuple(
            Exposure(float(generator.uniform(2.0, 20.0)), 8.0, FilterSetting(name), (TOOL,) if k % 2 else ())
            for name in (("2",), ("00", "5"))[k % 2]
        )
        made.append(evening.make(film, straight("glossy-fb-vc").with_exposures(*exposures)).density)
    evening.close()
    again = Evening.open(tmp_path / "evening.jsonl", "glossy-fb-vc")
    assert [one.number for one in again.state.sheets] == list(range(1, 7))
    for one, density in zip(again.state.sheets, made, strict=True):
        assert np.array_equal(make_print(film, one.record, find_stock(one.record.sheet.paper)).density, density)


@LAW
@given(scenes, stocks, filters, times_s, st.sampled_from((None, "red")))
def test_light_codes_planes_and_the_exact_sum_over_grain_classes_agree(silver, paper, name, light_s, safelight) -> None:
    """Even sheet within 0.0005 of the exact sum (its codes are steps of light), planes within 0.001."""
    record = straight(paper).with_exposures(shot(light_s, name))
    record = replace(record, safelight=Safelight(safelight, 1.0, 600.0) if safelight else None)
    exposure = expose(negative(silver), record, STOCKS[paper])
    response = Response(STOCKS[paper], record.development)
    assert exposure.light is not None
    passed = np.append(10.0**-exposure.light.levels, 0.0)[exposure.light.codes]
    exact = response.density(
        passed * float(exposure.blue) + exposure.even_blue, passed * float(exposure.green) + exposure.even_green
    )
    assert densities_of(exposure, response) == pytest.approx(exact, abs=2e-4)
    assert plane_densities(*exposure.planes(), response) == pytest.approx(exact, abs=1e-3)


@LAW
@given(stocks, st.floats(-3.0, 3.0), st.floats(-3.5, 3.5), st.floats(0.05, 2.0))
def test_planes_agree_with_the_exact_sum_at_any_mixture_of_blue_and_green(paper, log_total, log_ratio, share) -> None:
    stock = STOCKS[paper]
    record = straight(paper, development_s=share * stock.development.completion_time_s)
    response = Response(stock, record.development)
    log_totals = log_total + np.linspace(-0.5, 0.5, 41)
    blue = (10.0**log_totals / (1.0 + 10.0**log_ratio)).astype(np.float32)[None, :]
    green = (blue * np.float32(10.0**log_ratio)).astype(np.float32)
    assert plane_densities(blue, green, response) == pytest.approx(response.density(blue, green), abs=1e-3)


@LAW
@given(st.floats(0.0, 2.0), stocks, filters, times_s)
def test_an_exposure_with_an_idle_card_prints_like_one_without(density, paper, name, light_s) -> None:
    """A card far off the sheet: the plane path against the code path."""
    far = Card("disc", Circling(900.0, 900.0, 5.0, 2.0), 50.0, 20.0, 20.0)
    film, record = even(density), straight(paper)
    plain, idle = (
        make_print(film, record.with_exposures(e), STOCKS[paper]).density
        for e in (shot(light_s, name), shot(light_s, name, cards=(far,)))
    )
    assert idle == pytest.approx(plain, abs=1.2e-3)
