"""Every sleeve is a printable problem of its own, and what it claims is what the solver finds."""

from __future__ import annotations

from functools import lru_cache

import numpy as np
import pytest

from sim.enlarger.filters import GRADED_NAMES
from sim.negative.develop import develop, scene_luminance_at
from sim.negative.negative import Negative
from sim.negative.sleeve import find_sleeve, sleeve_names
from sim.negative.sleeve_contents import Sleeve
from sim.negative.targets import TARGETS
from sim.notebook.limit_words import limit_words
from sim.paper.response import Response
from sim.paper.stock import find_stock
from sim.printing.setup import usual_setup
from sim.scoring.best_print_of_a_negative import best_print
from sim.scoring.reach import Reached, reach
from sim.scoring.target_tones import Goal, aim_tones
from sim.words import Words

PICTURES = [name for name in sleeve_names() if find_sleeve(name).scene not in ("", *TARGETS)]  # a roll is of others' frames
STOCK = find_stock("glossy-fb-vc")


@lru_cache(maxsize=2)
def opened(name: str) -> tuple[Sleeve, Negative]:
    sleeve = find_sleeve(name)
    return sleeve, develop(sleeve)


def solved(negative: Negative, way: str) -> Reached:
    base = usual_setup(negative, STOCK)
    goals = [Goal(aim.place, aim.density) for aim in aim_tones(negative, Response(STOCK, base.development))]
    return reach(negative, base, STOCK, goals, "one") if way == "one" else best_print(negative, base, STOCK, goals)


def test_there_are_enough_problems() -> None:
    assert len(PICTURES) >= 16
    assert {"step-wedge", "tone-patches", "focus-target"} <= set(sleeve_names())


@pytest.mark.parametrize("name", PICTURES)
def test_a_sleeve_says_what_a_printer_needs(name: str) -> None:
    sleeve, negative = opened(name)
    parts = [place.part for place in sleeve.places]
    assert parts.count("lightest") >= 1
    assert parts.count("darkest") >= 1
    assert len(sleeve.places) >= 4
    assert all(place.what for place in sleeve.places)
    assert 40 <= len(sleeve.teaches) <= 400
    density = negative.silver_density
    assert density.min() >= 0.0
    assert density.max() < 3.6
    luminances = [scene_luminance_at(sleeve, place, 1.5) for place in sleeve.places]
    assert 0.01 < min(luminances) < max(luminances) < 12000


@pytest.mark.parametrize("name", PICTURES)
def test_the_lightest_place_is_denser_than_the_darkest(name: str) -> None:
    from sim.viewing.densitometer import negative_density

    _, negative = opened(name)
    light = [negative_density(negative, p) for p in negative.places if p.part == "lightest"]
    dark = [negative_density(negative, p) for p in negative.places if p.part == "darkest"]
    assert min(light) > max(dark) + 0.2


# `derive --check` holds every sleeve to its claim; here a third are, by another way through the solver.
@pytest.mark.parametrize("name", PICTURES[::3])
def test_the_claim_is_what_reach_finds(name: str) -> None:
    """A claimed filter is within half a filter step of the solver's; 'no single exposure' fails with one, holds with a card."""
    sleeve, negative = opened(name)
    found = solved(negative, "one")
    if sleeve.wants_filter is None:
        assert not found.holds, f"one exposure at filter {found.record.exposures[0].filter.name} holds it"
        assert solved(negative, "best").holds, [limit_words(limit, Words()) for limit in solved(negative, "best").limits]
        return
    assert found.holds, [limit_words(limit, Words()) for limit in found.limits]
    got = found.record.exposures[0].filter.graded
    steps = abs(GRADED_NAMES.index(got) - GRADED_NAMES.index(sleeve.wants_filter))
    assert steps <= 1, f"claims filter {sleeve.wants_filter}, reach finds {got}"


def test_the_series_is_one_sitting_of_four() -> None:
    series: dict[str, list[str]] = {}
    for name in PICTURES:
        if find_sleeve(name).series:
            series.setdefault(find_sleeve(name).series, []).append(name)
    assert any(len(names) == 4 for names in series.values())


def test_some_dense_negative_wants_a_harder_filter_than_some_thin_one() -> None:
    """Density decides the time, range the filter: the two do not go together over the file."""
    rows = []
    for name in PICTURES:
        sleeve, negative = opened(name)
        if sleeve.wants_filter:
            mean = float(np.mean(negative.silver_density)) + negative.base_density
            rows.append((mean, GRADED_NAMES.index(sleeve.wants_filter)))
    assert any(a[0] > b[0] + 0.4 and a[1] > b[1] + 3 for a in rows for b in rows)


def test_two_runs_give_the_same_densities() -> None:
    sleeve = find_sleeve(PICTURES[0])
    assert np.array_equal(develop(sleeve).silver_density, develop(sleeve).silver_density)


def test_wedge_densities_are_exact() -> None:
    wedge = develop(find_sleeve("step-wedge"))
    width = wedge.silver_density.shape[1] / 21
    for k in range(21):
        step = wedge.silver_density[:, int(k * width + 2) : int((k + 1) * width - 2)]
        assert np.abs(step - (0.05 + 0.15 * k)).max() < 0.002
