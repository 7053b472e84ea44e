"""A named place stands for an area: a card over its dot wins nothing; a rim costs, a feathered card does not."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from scipy.ndimage import gaussian_filter, label

from sim.enlarger.filters import FilterSetting
from sim.negative.develop import find_negative
from sim.negative.negative import Place
from sim.paper.stock import find_stock
from sim.printing.card_work import burnt_above, burnt_in, held_back
from sim.printing.exposure import LightCache
from sim.printing.make_print import frame_on_sheet
from sim.printing.place_print import PlacePrint
from sim.printing.record import Exposure, PrintingRecord
from sim.scoring.judged import judge
from sim.scoring.marks import score
from sim.scoring.place_areas import (
    AREA_SHARE,
    LEAST_RADIUS,
    POINTS,
    SPOT_SHARE,
    TONE_DENSITY,
    USUAL_AREA,
    _area,
    area_points,
)
from sim.scoring.points import RIM_SEEN, alike_tolerance
from sim.scoring.readings import PlaceReadings
from sim.scoring.start import with_card
from sim.scoring.trial import with_light

from .small_exercise import FILM, LIGHTS, PAPER, as_printed, criterion, exercise, held_still, judged, patches, record

PLACE = FILM.place("patch-2")
FACES = ("head-half-lit", "pit-under-clouds", "racks-side-light", "morning-shelf")


def middle_mm() -> tuple[float, float]:
    left, top, width, height = frame_on_sheet(FILM, record())
    return left + PLACE.x * width, top + PLACE.y * height


def reads(one: PrintingRecord) -> float:
    return PlaceReadings(FILM, one, find_stock(PAPER), LIGHTS, (PLACE,)).spot(PLACE)


def dot(one: PrintingRecord) -> float:
    """What a densitometer reads on the place's own spot."""
    return float(PlacePrint(FILM, one, find_stock(PAPER), LIGHTS).readings(PLACE)[0])


@pytest.mark.parametrize("name", FACES)
def test_an_area_is_several_unnamed_points_always_the_same(name: str) -> None:
    negative = find_negative(name)
    for place in negative.places:
        points = area_points(negative, place)
        assert 8 <= len(points) <= POINTS
        assert np.array_equal(points, area_points(find_negative(name), place))
        off = np.hypot(*((points - [place.x, place.y]) * negative.frame_mm).T) / max(negative.frame_mm)
        assert off.min() > 0.005, "the dot itself is none of them"
        assert np.median(off) > 0.02, "spread further than a card of a few millimetres reaches"


def test_an_area_ends_where_the_picture_has_an_edge() -> None:
    points = area_points(FILM, PLACE)
    cols, rows = (points[:, 0] * 3).astype(int), (points[:, 1] * 2).astype(int)
    assert set(zip(cols, rows, strict=True)) == {(1, 0)}, "patch 2 lies in the middle of the upper row"


@pytest.mark.parametrize("size_mm", [4.0, 8.0, 12.0])
def test_a_card_of_a_few_millimetres_over_the_dot_moves_no_reading(size_mm: float) -> None:
    for worked in (burnt_in(record(), 0, *middle_mm(), size_mm, 1.5, card_height_mm=20.0),
                   held_back(record(), 0, *middle_mm(), size_mm, 1.0, card_height_mm=20.0)):  # fmt: skip
        assert abs(dot(worked) - dot(record())) > 0.1
        assert reads(worked) == pytest.approx(reads(record()), abs=0.012)


def test_a_first_exposure_through_a_pinhole_is_no_way_round() -> None:
    burn = burnt_in(record(), 0, *middle_mm(), 6.0, 1.5, card_height_mm=20.0)
    turned = burn.with_exposures(*reversed(burn.exposures))
    assert reads(turned) == pytest.approx(reads(record()), abs=0.012)


def test_a_card_over_the_whole_area_counts_as_it_always_did() -> None:
    for stops in (-0.7, 0.8):
        worked = with_card(FILM, record(), PLACE, stops, tool=1.3)
        assert reads(worked) == pytest.approx(dot(worked), abs=0.01)


def test_prints_without_cards_read_to_the_last_bit_what_the_spot_reads() -> None:
    for one in (record(), with_light(record(), 1.0), record(filter="4")):
        assert reads(one) == dot(one)


def carded() -> list[PrintingRecord]:
    x, y = middle_mm()
    flash = Exposure(0.6, 16.0, FilterSetting("0"), through="open", dimmed_stops=4.0)
    pair = record().with_exposures(*record().exposures, Exposure(6.0, 8.0, FilterSetting("5")))
    return [
        with_card(FILM, record(), PLACE, -0.7), with_card(FILM, record(), PLACE, 0.8),
        burnt_above(record(), 0, y + 12.0, 0.8), held_still(burnt_in(record(), 0, x + 8.0, y, 20.0, 1.0)),
        held_back(record().with_exposures(flash, *record().exposures), 1, x, y, 30.0, 0.6), held_back(pair, 1, x, y, 25.0, 0.8),
    ]  # fmt: skip


@pytest.mark.parametrize("number", range(6))
def test_whole_prints_and_places_read_the_same_under_every_kind_of_card(number: int) -> None:
    """Held back, burnt in, past an edge, on a border, after a pre-exposure, in one of two exposures."""
    worked = carded()[number]
    task = exercise(*as_printed(record(), "patch-1", "patch-2", "patch-3"), unlocked=("time_s", "cards"))
    whole, places = (
        score(judge(task, (FILM,), (worked,), 1.0, lights=LIGHTS, only_places=only), task) for only in (False, True)
    )
    for a, b in zip(whole.marks, places.marks, strict=True):
        assert a.measured == pytest.approx(b.measured, abs=0.0015)
        assert a.rim == b.rim


def test_a_rim_costs_the_tone_that_the_card_made_and_no_other() -> None:
    moved = with_card(FILM, record(), PLACE, -0.8)
    still = held_still(moved)
    for worked, whole in ((moved, True), (still, False)):
        aims = as_printed(worked, "patch-2", "patch-4", tolerance=0.03)
        one, other = score(judged(exercise(*aims, unlocked=("time_s", "cards")), worked), exercise(*aims)).marks
        assert (one.share == 1.0) is whole
        assert (other.share, other.rim) == (1.0, 0.0)
        assert (one.rim > RIM_SEEN) is not whole


def test_where_evenness_has_points_of_its_own_tones_do_not_pay_twice() -> None:
    still = held_still(with_card(FILM, record(), PLACE, -0.8))
    task = exercise(
        *as_printed(still, "patch-2"), criterion("even", "patch-2", wanted=0.06, tolerance=0.02), unlocked=("time_s", "cards")
    )
    tone, even = score(judged(task, still), task).marks
    assert tone.share == 1.0
    assert even.share < 0.5


def test_texture_hides_an_edge() -> None:
    """The same card over a wall and over gravel: the eye finds its edge on the wall."""
    rough = patches("rough")
    grain = np.random.Generator(np.random.PCG64(1)).normal(0.0, 0.25, np.array(rough.silver_density.shape) // 2 + 1)
    grain = np.kron(grain, np.ones((2, 2)))[: rough.silver_density.shape[0], : rough.silver_density.shape[1]]
    rough = replace(rough, silver_density=(rough.silver_density + grain).astype(np.float32))
    seen = []
    for film in (FILM, rough):
        still = held_still(with_card(film, record(film), PLACE, -0.6))
        traces = PlaceReadings(film, still, find_stock(PAPER), LightCache()).traces
        assert traces is not None
        seen.append(traces.rim)
    assert seen[1] < 0.5 * seen[0]


def test_texture_pushed_into_paper_white_or_full_black_is_lost() -> None:
    negative, stock, lights = find_negative("racks-side-light"), find_stock(PAPER), LightCache()
    start = record(negative, width_mm=203.2, height_mm=254.0)
    width, height = start.sheet.width_mm, start.sheet.height_mm
    for stops, least in ((-5.0, 0.02), (0.2, -1.0), (4.5, 0.02)):
        work = held_back if stops < 0 else burnt_in
        traces = PlaceReadings(negative, work(start, 0, width / 2, height / 2, 90.0, abs(stops)), stock, lights).traces
        assert traces is not None
        assert traces.lost > least
        assert traces.lost < 0.004 or abs(stops) > 1.0


def test_alike_follows_the_eye_from_the_lights_to_the_blacks() -> None:
    found = [alike_tolerance(density, 0.08) for density in (0.1, 0.75, 1.2, 2.1)]
    assert found == sorted(found)
    assert 0.01 <= found[0] <= 0.02
    assert found[1] == pytest.approx(0.03, abs=0.011)
    assert found[2] == pytest.approx(0.04, abs=0.01)
    assert found[3] == 0.08
    assert alike_tolerance(2.1, 0.02) == 0.02


def test_a_difference_seen_in_a_highlight_counts_before_a_larger_one_in_a_black() -> None:
    films = (patches("one"), patches("two"))
    task = replace(exercise(criterion("match-series", "patch-1", "patch-6", tolerance=0.08)), negatives=("one", "two"))
    first = record(films[0])
    apart = score(judged(task, first, with_light(record(films[1]), 0.35), films=films), task).marks[0]
    assert apart.place == "patch-1"
    assert apart.tolerance < 0.025
    assert apart.share < 1.0


def _area_over_the_whole(tone: np.ndarray, place: Place, row: int, col: int) -> np.ndarray:
    """Return a place's area looked for all over the raster, as the rule has it."""
    rows, cols = tone.shape
    down, across = np.mgrid[:rows, :cols]
    width, height = place.area or USUAL_AREA
    half_w, half_h = max(0.5 * AREA_SHARE * width * cols, 1.0), max(0.5 * AREA_SHARE * height * rows, 1.0)
    within = np.hypot((across - col) / half_w, (down - row) / half_h) <= 1.0
    distance = np.hypot(down - row, across - col)
    parts, _ = label(within & (np.abs(tone - tone[row, col]) <= TONE_DENSITY))
    area, disc = (parts == parts[row, col]) & within, distance <= LEAST_RADIUS * max(rows, cols)
    area = area | disc if area.sum() < disc.sum() else area
    outside = area & (distance > SPOT_SHARE * max(rows, cols))
    return outside if outside.any() else area


def test_an_area_is_the_same_wherever_it_is_looked_for() -> None:
    rng = np.random.Generator(np.random.PCG64(4))
    for number in range(60):
        shape = (201, 160) if number % 3 else (int(rng.integers(2, 60)), int(rng.integers(2, 60)))
        tone = (gaussian_filter(rng.random(shape), rng.uniform(0.3, 6.0)) * rng.uniform(0.5, 6.0)).astype(np.float32)
        area = None if number % 2 else (float(rng.uniform(0.01, 1.0)), float(rng.uniform(0.01, 1.0)))
        place = Place("x", float(rng.random()), float(rng.random()), area=area)
        row, col = int(place.y * shape[0]), int(place.x * shape[1])
        assert np.array_equal(_area(tone, place, row, col), _area_over_the_whole(tone, place, row, col))
