"""The tray: two agents, alkali and bromide. Temperature, tiring and the factor of the first tones come out of it."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from sim.paper.developer import print_developer
from sim.paper.development import Development
from sim.paper.response import Response
from sim.paper.stock import find_stock

PAPERS = ("glossy-fb-vc", "glossy-rc-vc")
EXPOSURES = 10.0 ** np.linspace(-2.0, 1.5, 141)


def done(name: str, **changes: float) -> Development:
    """Return a development for the paper's own time."""
    return Development(find_stock(name).development.completion_time_s, **changes)


def tones(name: str, development: Development) -> np.ndarray:
    return Response(find_stock(name), development).density(EXPOSURES, EXPOSURES)


def by_factor(name: str, **changes: float) -> Development:
    """Return a development timed by the first tones: their time in this bath, times the paper's factor."""
    paper, bath = find_stock(name).development, done(name, **changes)
    return replace(bath, time_s=paper.emergence_time_s(bath) * paper.completion_time_s / paper.emergence_time_s(done(name)))


@pytest.mark.parametrize("name", PAPERS)
def test_at_its_own_time_in_fresh_developer_at_20_degrees_a_paper_is_complete(name: str) -> None:
    paper, stage = find_stock(name).development, find_stock(name).development.stage(done(name))
    assert paper.progress(done(name)) == pytest.approx(1.0)
    assert paper.image_share(stage) == pytest.approx(1.0)
    assert paper.log_shift(stage) == pytest.approx(0.0, abs=1e-12)
    assert paper.fog_density(stage) == 0.0
    assert paper.time_to_completion_s(done(name)) == pytest.approx(paper.completion_time_s)


@pytest.mark.parametrize("temperature_c", [15.0, 17.5, 22.5, 25.0])
@pytest.mark.parametrize("name", PAPERS)
def test_a_factor_times_the_first_tones_gives_the_same_print_cold_or_warm(name: str, temperature_c: float) -> None:
    """Factorial development (common practice): 0.03 where the same time would be 0.1 in the cold."""
    normal = tones(name, done(name))
    by_first_tones = np.abs(tones(name, by_factor(name, temperature_c=temperature_c)) - normal).max()
    same_time = np.abs(tones(name, done(name, temperature_c=temperature_c)) - normal).max()
    assert by_first_tones < 0.03
    assert same_time > 1.5 * by_first_tones


def test_the_pace_goes_by_the_agents_and_doubles_in_ten_degrees_near_twenty() -> None:
    """Metol kind 1.3-1.6 times, hydroquinone kind 2.2-2.8, together about twice (handbooks, rule of thumb)."""
    bath = print_developer()
    cool, warm = bath.work(15.0, 0.0), bath.work(25.0, 0.0)
    assert 1.3 <= warm.start / cool.start <= 1.75
    assert warm.build / cool.build == pytest.approx(2.1, abs=0.15)


def test_a_bath_tires_by_what_silver_takes_out_of_it() -> None:
    """50 to 100 sheets of 8x10 in per litre of print developer (common practice): there it works at about half its pace."""
    bath = print_developer()
    paces = np.array([bath.work(20.0, float(n)).build for n in range(0, 301, 10)])
    assert (np.diff(paces) <= 0.0).all()
    half_at = np.interp(-0.5, -paces, np.arange(0, 301, 10))
    assert 50.0 < half_at < 100.0
    assert bath.work(20.0, 40.0).bromide == pytest.approx(2.52, abs=0.05)  # 7.6 mmol of bromide to 5 in the litre
    assert bath.work(20.0, 5000.0).build == 0.0


def test_twice_the_time_in_a_tired_bath_is_not_the_fresh_baths_print() -> None:
    """Bromide keeps the faintest lights from starting: they stay white however long the sheet lies there."""
    name = "glossy-fb-vc"
    paper, fresh = find_stock(name).development, tones(name, done(name))
    tired = done(name, sheets_before=70.0)
    assert paper.stage(replace(tired, time_s=240.0)).built == pytest.approx(1.0, abs=0.1)
    doubled = tones(name, replace(tired, time_s=240.0))
    lights = (fresh > 0.09) & (fresh < 0.3)
    assert (fresh - doubled)[lights].min() > 0.015
    four_times = tones(name, replace(tired, time_s=480.0))
    assert (fresh - four_times)[lights].min() > 0.01, "nor does twice that again"
    worn = Response(find_stock(name), done(name, sheets_before=120.0))
    assert Response(find_stock(name), done(name)).black - worn.black > 0.3
    longer = Response(find_stock(name), replace(worn.development, time_s=240.0))
    assert Response(find_stock(name), done(name)).black - longer.black > 0.03


def test_a_litre_tires_a_tenth_as_fast_as_a_decilitre_and_old_developer_is_slow_but_not_restrained() -> None:
    name = "glossy-rc-vc"
    paper = find_stock(name).development
    assert paper.stage(done(name, sheets_before=6.0, bath_l=0.1)) == paper.stage(done(name, sheets_before=60.0))
    old = paper.stage(done(name, age_h=24.0))
    assert old.built == pytest.approx(0.5 * (1 - 0.18) / (1 - 0.09), abs=0.01)
    assert old.bromide == 1.0


def test_strength_and_time_trade_against_each_other() -> None:
    name = "glossy-fb-vc"
    weak = replace(done(name, strength=0.5), time_s=2 * find_stock(name).development.completion_time_s)
    assert tones(name, weak) == pytest.approx(tones(name, done(name)), abs=1e-9)


def test_black_is_not_there_at_half_the_time_and_fog_comes_after_twice() -> None:
    """L. P. Clerc, sections 556-557: black not reached before the time, unchanged to 1.4 times, fog at twice."""
    name = "glossy-fb-vc"
    stock = find_stock(name)

    def at(share: float) -> Response:
        return Response(stock, replace(done(name), time_s=share * 120.0))

    assert at(1.0).black - at(0.5).black > 0.15
    assert at(200 / 140).black - at(1.0).black < 0.03
    assert at(2.0).base_plus_fog - at(1.0).base_plus_fog < 0.002
    assert 0.012 < at(3.0).base_plus_fog - at(1.0).base_plus_fog < 0.06, "seen on white, yet no grey veil"


def test_dead_developer_develops_nothing() -> None:
    stock = find_stock("glossy-rc-vc")
    dead = replace(done("glossy-rc-vc"), sheets_before=500.0, bath_l=0.1)
    assert Response(stock, dead).black == pytest.approx(Response(stock, Development(0.0)).black, abs=1e-9)
