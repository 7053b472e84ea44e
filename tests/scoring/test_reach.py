"""Reach: what can be printed. It finds prints that are known to exist, and names what stops it by the right size."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from sim.enlarger.equipment import Head
from sim.enlarger.filters import GRADED_NAMES, FilterSetting
from sim.enlarger.light_given import coming_of, expected_light_s
from sim.enlarger.settings import EnlargerSettings, head_of
from sim.negative.negative import Negative, Place
from sim.notebook.limit_words import binds_words, limit_words
from sim.paper.development import Development
from sim.paper.safelight import Safelight
from sim.paper.stock import Stock, find_stock
from sim.printing.make_print import frame_on_sheet, make_print
from sim.printing.record import Card, Exposure, PrintingRecord, Sheet, Still
from sim.scoring.reach import Reached, ReachOptions, nearest_step, reach
from sim.scoring.target_tones import Goal
from sim.viewing.densitometer import read_place
from sim.viewing.easel_meter import time_for_density
from sim.words import Words

FOUND_WITHIN = 0.02
PAPERS = ("glossy-rc-vc", "glossy-fb-vc", "matt-fb-vc")
COLS, ROWS, PATCH = 3, 2, 21
NAMES = tuple(f"patch-{k + 1}" for k in range(ROWS * COLS))
PLACES = tuple(
    Place(name, (k % COLS + 0.5) / COLS, (k // COLS + 0.5) / ROWS, 12.0, area=(1 / COLS, 1 / ROWS))
    for k, name in enumerate(NAMES)
)


def patches(*densities: float, stain_share: float = 0.0) -> Negative:
    """Return a negative of six even patches, two rows of three."""
    silver = np.kron(np.reshape(densities, (ROWS, COLS)), np.ones((PATCH, PATCH))).astype(np.float32)
    return Negative("patches", silver, 0.25, (56.25, 37.5), stain_share=stain_share, places=PLACES)


def record(paper: str, head: str = "diffusion-small") -> PrintingRecord:
    """Return a record without exposures that matter, the whole frame on the sheet."""
    completed = Development(find_stock(paper).development.completion_time_s)
    settings = EnlargerSettings(head, "80-mm", 390.0)
    return PrintingRecord("patches", Sheet(paper, 160.0, 120.0), settings, (Exposure(10.0, 8.0),), completed)


def readings(film: Negative, decisions: PrintingRecord, stock: Stock) -> np.ndarray:
    """Return what the densitometer reads on make_print's print, place by place."""
    sheet = make_print(film, decisions, stock)
    return np.array([read_place(sheet, place) for place in film.places])


def goals_of(densities: np.ndarray) -> list[Goal]:
    """Return the readings of all places as goals."""
    return [Goal(place, float(density)) for place, density in zip(PLACES, densities, strict=True)]


def cover(film: Negative, decisions: PrintingRecord, name: str, lets_through: str = "outside") -> Card:
    """Return a bar as large as a patch, close above the paper over that patch."""
    left, top, width, height = frame_on_sheet(film, decisions)
    place = film.place(name)
    middle = Still(left + place.x * width, top + place.y * height)
    return Card("bar", middle, 2.0, width / COLS, height / ROWS, lets_through=lets_through)  # type: ignore[arg-type]


def when_come(share: float, time_s: float, head: Head) -> float:
    """Return the second at which so much of an exposure's light has come: a lamp's rise is lost at the start."""
    coming = coming_of(head)
    moments = np.linspace(0.0, time_s, 4001)
    return share * time_s if coming is None else float(
        np.interp(share, [coming.passed_share(float(m), time_s) for m in moments], moments)
    )


def with_factors(film: Negative, found: Reached) -> PrintingRecord:
    """Return the record found, its card factors carried out by bars over whole patches."""
    exposures = list(found.record.exposures)
    for factor in found.card_factors:
        shot = exposures[factor.exposure]
        head = head_of(found.record.enlarger)
        light_s = expected_light_s(shot.time_s, head)
        if factor.stops < 0:
            card = cover(film, found.record, factor.place)
            held = replace(card, stop_s=when_come(1.0 - 2.0**factor.stops, shot.time_s, head))
            exposures[factor.exposure] = replace(shot, cards=(*shot.cards, held))
        else:
            more_s = light_s * (2.0**factor.stops - 1.0)
            hole = cover(film, found.record, factor.place, "inside")
            exposures.append(Exposure(max(more_s, 0.1), shot.f_number, shot.filter, (hole,), light_s=more_s))
    return found.record.with_exposures(*exposures)


def random_film(generator: np.random.Generator, stain_share: float, longest: float = 1.5) -> Negative:
    """Return six patches in any order over a range that paper can hold."""
    low, span = generator.uniform(0.0, 0.4), generator.uniform(0.5, longest)
    return patches(*generator.permutation(low + span * np.linspace(0.0, 1.0, 6)), stain_share=stain_share)


def known_print(seed: int, way: str) -> tuple[Negative, PrintingRecord, Stock]:
    """Return a negative and a record whose print is known to exist; odd seeds have a stained negative."""
    generator = np.random.Generator(np.random.PCG64([seed, len(way)]))
    film = random_film(generator, (0.0, 0.3)[seed % 2])
    paper = str(generator.choice(PAPERS))
    head = str(generator.choice(["diffusion-small", "condenser-small"]))
    thickness = 10.0 ** float(np.median(film.silver_density))
    if way == "one":
        name = str(generator.choice(GRADED_NAMES))
        shots = [Exposure(float(min(2.0 * thickness * generator.uniform(0.6, 1.8), 150.0)), 8.0, FilterSetting(name))]
    else:
        shots = [
            Exposure(float(min(max(thickness * generator.uniform(0.8, 2.0), 1.5), 150.0)), 8.0, FilterSetting(name))
            for name in ("00", "5")
        ]
    return film, record(paper, head).with_exposures(*shots), find_stock(paper)


@pytest.mark.parametrize("seed", range(20))
def test_the_nearest_step_of_a_strip_is_found_without_looking_at_every_step(seed: int) -> None:
    """As if every step had been read, on strips that begin white for many steps, end black for many, or have steps alike."""
    generator = np.random.Generator(np.random.PCG64(seed))
    strip = np.round(np.clip(np.cumsum(generator.exponential(0.08, 61)) - 1.0, 0.06, 2.1), 2)
    looked_at: list[int] = []

    def read(step: int) -> float:
        looked_at.append(step)
        return float(strip[step])

    for wanted in (0.0, 0.06, *generator.uniform(0.0, 2.2, 20), 2.1, 2.5):
        looked_at.clear()
        assert nearest_step(read, len(strip), float(wanted)) == int(np.argmin(np.abs(strip - wanted)))
        assert len(looked_at) <= 12


@pytest.mark.parametrize("seed", range(12))
def test_one_exposure_that_exists_is_found(seed: int) -> None:
    film, decisions, stock = known_print(seed, "one")
    wanted = readings(film, decisions, stock)
    found = reach(film, decisions, stock, goals_of(wanted), "one")
    assert readings(film, found.record, stock) == pytest.approx(wanted, abs=FOUND_WITHIN)
    assert found.densities == pytest.approx(wanted, abs=FOUND_WITHIN)
    assert found.holds
    assert not found.limits


@pytest.mark.parametrize("seed", range(14))
def test_a_pair_that_exists_is_found(seed: int) -> None:
    film, decisions, stock = known_print(seed, "pair")
    wanted = readings(film, decisions, stock)
    found = reach(film, decisions, stock, goals_of(wanted), "pair")
    assert readings(film, found.record, stock) == pytest.approx(wanted, abs=FOUND_WITHIN)
    assert found.holds
    assert not found.limits


@pytest.mark.parametrize("seed", range(10))
def test_a_print_with_a_card_that_exists_is_found(seed: int) -> None:
    """A pair with one patch held back or burnt in during the soft or the hard exposure; carried out with a real card."""
    film, decisions, stock = known_print(seed + 100, "pair")
    generator = np.random.Generator(np.random.PCG64([seed, 3]))
    name, which = str(generator.choice(NAMES)), seed % 2
    shots = list(decisions.exposures)
    if seed % 4 < 2:
        held = replace(cover(film, decisions, name), stop_s=shots[which].time_s * float(generator.uniform(0.2, 0.45)))
        shots[which] = replace(shots[which], cards=(held,))
    else:
        more_s = shots[which].time_s * float(generator.uniform(0.3, 1.5))
        shots.append(replace(shots[which], time_s=more_s, cards=(cover(film, decisions, name, "inside"),)))
    wanted = readings(film, decisions.with_exposures(*shots), stock)
    options = ReachOptions(card_places=(name,), card_exposures=(which,))
    found = reach(film, decisions, stock, goals_of(wanted), "pair", options)
    assert found.densities == pytest.approx(wanted, abs=FOUND_WITHIN)
    assert readings(film, with_factors(film, found), stock) == pytest.approx(wanted, abs=FOUND_WITHIN)


@pytest.mark.parametrize("change", [{"reciprocity": True}, {"safelight": Safelight("red", 0.6, 900.0)}])
@pytest.mark.parametrize("seed", [1, 4])
def test_reach_and_meter_count_reciprocity_failure_and_safelight_as_the_print_does(seed: int, change: dict) -> None:
    film, decisions, stock = known_print(seed, "pair")
    decisions = replace(decisions, **change)
    wanted = readings(film, decisions, stock)
    found = reach(film, decisions, stock, goals_of(wanted), "pair")
    assert readings(film, found.record, stock) == pytest.approx(wanted, abs=FOUND_WITHIN)
    shot = replace(decisions.exposures[0], filter=FilterSetting("2"))
    time_s = time_for_density(film, decisions, PLACES[0], stock, shot, 0.8)
    metered = readings(film, decisions.with_exposures(replace(shot, time_s=time_s)), stock)
    assert metered[0] == pytest.approx(0.8, abs=FOUND_WITHIN)


RC = find_stock("glossy-rc-vc")
LONG = patches(0.0, 0.5, 1.0, 1.6, 2.1, 2.6)
SHORT = patches(0.60, 0.64, 0.68, 0.72, 0.76, 0.80)
USUAL = patches(0.1, 0.3, 0.5, 0.7, 0.9, 1.1)
ONE, LAST = PLACES[0], PLACES[5]


def limits_by_place(found: Reached, film: Negative) -> dict[str, str]:
    """Return what binds, by place, after checking every size against the print of the record found."""
    assert not found.holds
    measured = dict(zip(NAMES, readings(film, found.record, RC), strict=True))
    wanted = {goal.place.name: goal.density for goal in found.goals}
    for limit in found.limits:
        assert limit.reached == pytest.approx(measured[limit.place], abs=FOUND_WITHIN)
        assert limit.miss_density == pytest.approx(measured[limit.place] - wanted[limit.place], abs=FOUND_WITHIN)
        side = "dark" if limit.miss_density > 0 else "light"
        assert f"{abs(limit.miss_density):.2f} too {side}" in limit_words(limit, Words())
    return {limit.place: binds_words(limit.binds, Words()) for limit in found.limits}


@pytest.mark.parametrize("way", ["one", "pair"])
def test_a_range_too_long_is_named(way) -> None:
    found = reach(LONG, record("glossy-rc-vc"), RC, [Goal(ONE, 1.6), Goal(LAST, 0.35)], way)
    binds = limits_by_place(found, LONG)
    assert binds
    assert all("too long" in why and "filter 00 prints" in why for why in binds.values())


@pytest.mark.parametrize("way", ["one", "pair"])
def test_a_range_too_short_is_named(way) -> None:
    found = reach(SHORT, record("glossy-rc-vc"), RC, [Goal(ONE, 1.9), Goal(LAST, 0.1)], way)
    binds = limits_by_place(found, SHORT)
    assert binds
    assert all("too short" in why and "filter 5 prints" in why for why in binds.values())


def test_a_pair_is_never_further_off_than_either_of_its_ends() -> None:
    for goals in ([Goal(ONE, 1.0), Goal(LAST, 0.6)], [Goal(ONE, 1.9), Goal(LAST, 0.1)], [Goal(ONE, 0.3), Goal(LAST, 0.06)]):
        for film in (LONG, SHORT, USUAL):
            pair = reach(film, record("glossy-rc-vc"), RC, goals, "pair")
            for end in ("00", "5"):
                alone = reach(film, record("glossy-rc-vc"), RC, goals, "one", ReachOptions(filters=(end,)))
                assert pair.rms_lightness <= alone.rms_lightness + 1e-3


def test_tones_out_of_order_are_named() -> None:
    found = reach(USUAL, record("glossy-rc-vc"), RC, [Goal(ONE, 0.3), Goal(LAST, 1.2)], "one")
    binds = limits_by_place(found, USUAL)
    assert binds
    for place, why in binds.items():
        other = LAST.name if place == ONE.name else ONE.name
        assert why.startswith(other)
        assert "only a card" in why


def test_a_tone_beyond_black_and_one_beyond_white_are_named() -> None:
    found = reach(USUAL, record("glossy-rc-vc"), RC, [Goal(ONE, 2.6), Goal(PLACES[3], 0.8)], "one")
    binds = limits_by_place(found, USUAL)
    assert "black is 2.1" in binds[ONE.name]
    found = reach(USUAL, record("glossy-rc-vc"), RC, [Goal(LAST, 0.0), Goal(ONE, 1.8)], "one")
    assert found.holds or "white is 0.05" in limits_by_place(found, USUAL)[LAST.name]


def test_a_time_too_short_and_a_time_too_long_are_named() -> None:
    goal = [Goal(ONE, 0.4)]
    quick = reach(USUAL, record("glossy-rc-vc"), RC, goal, "one", ReachOptions(time_limits_s=(40.0, 180.0)))
    assert "shortest time of 40 s" in limits_by_place(quick, USUAL)[ONE.name]
    assert quick.limits[0].miss_density > 0
    slow = reach(LONG, record("glossy-rc-vc"), RC, [Goal(LAST, 1.2)], "one", ReachOptions(time_limits_s=(1.0, 20.0)))
    assert "longest time of 20 s" in limits_by_place(slow, LONG)[LAST.name]
    assert slow.limits[0].miss_density < 0


def test_a_cards_limit_is_named() -> None:
    """A patch that should print as dark as those with three stops more light: a card may give two."""
    options = ReachOptions(filters=("2",), card_places=(LAST.name,))
    film = patches(0.1, 0.1, 0.1, 0.1, 0.1, 1.0)
    goals = [Goal(place, 0.8) for place in PLACES]
    found = reach(film, record("glossy-rc-vc"), RC, goals, "one", options)
    limits = {limit.place: limit for limit in found.limits}
    assert "card's limit of +2.0 stops in exposure 1" in binds_words(limits[LAST.name].binds, Words())
    assert limits[LAST.name].miss_density < 0
    assert all(limit.binds.what == "card" for limit in found.limits)
    carried_out = readings(film, with_factors(film, found), RC)
    assert limits[LAST.name].reached == pytest.approx(carried_out[5], abs=FOUND_WITHIN)


@pytest.mark.parametrize(("allowed", "name"), [(0, "00"), (1, "5")])
def test_a_pair_that_comes_down_to_one_exposure_keeps_cards_out_of_the_other(allowed: int, name: str) -> None:
    """Goals far brighter than two shortest exposures leave: one end alone remains, with a card only where allowed."""
    goals = [Goal(ONE, 0.12), Goal(LAST, 0.12)]
    options = ReachOptions(time_limits_s=(2.0, 60.0), card_places=(LAST.name,), card_exposures=(allowed,))
    found = reach(patches(0.0, 0.1, 0.2, 0.3, 0.4, 0.5), record("glossy-rc-vc"), RC, goals, "pair", options)
    assert len(found.record.exposures) == 1
    assert bool(found.card_factors) == (allowed == 0)  # the soft exposure remains
    for factor in found.card_factors:
        assert found.record.exposures[factor.exposure].filter == FilterSetting(name)


def test_reach_wants_goals_and_places_on_the_sheet() -> None:
    with pytest.raises(ValueError, match="at least one goal"):
        reach(USUAL, record("glossy-rc-vc"), RC, [])
    small = replace(record("glossy-rc-vc"), sheet=Sheet("glossy-rc-vc", 40.0, 40.0))
    with pytest.raises(ValueError, match="patch-1"):
        reach(USUAL, small, RC, [Goal(ONE, 0.5)])
