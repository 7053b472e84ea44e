"""What a miss costs where nothing is said of it, told by the mark: just inside all of it, just outside not all."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import numpy as np
import pytest

from sim.paper.development import Development
from sim.paper.stock import find_stock
from sim.printing.record import PrintingRecord
from sim.reading import OutsideError
from sim.refusals import Refused
from sim.scoring.criterion_keys import criterion_form
from sim.scoring.criterion_measures import measure
from sim.scoring.exercise import Criterion, Spread
from sim.scoring.exercise_file import parse_exercise
from sim.scoring.judged import completed
from sim.scoring.marks import Mark, score
from sim.scoring.points import rim_share, share_for_miss
from sim.scoring.start import with_card
from sim.viewing.lightness import lightness

from .small_exercise import FILM, criterion, exercise, held_still, judged, record

TEXT = (Path(__file__).parent / "tone-only" / "exercise.toml").read_text(encoding="utf-8")


def as_written(kind: str, *places: str, **keys: Any) -> Criterion:
    """A criterion as a file gives it that says nothing else."""
    where = {} if not places else {"place": places[0]} if len(places) == 1 else {"places": places}
    return criterion_form().model_validate({"kind": kind, "points": 4.0, **where, **keys}).criterion()


def mark_of(one: PrintingRecord, asked: Criterion) -> Mark:
    task = exercise(asked, unlocked=("time_s", "cards", "development_time_s"))
    return score(judged(task, one), task).marks[0]


def reads(place: str, one: PrintingRecord) -> float:
    return mark_of(one, criterion("tone", place)).measured


def printed_to(place: str, density: float) -> PrintingRecord:
    """A print on which a place reads a density, found by its time."""
    low, high = 0.2, 400.0
    for _ in range(11):
        middle = (low * high) ** 0.5
        low, high = (middle, high) if reads(place, record(time_s=middle)) < density else (low, middle)
    return record(time_s=(low * high) ** 0.5)


def paper_ends() -> tuple[float, float]:
    paper = completed(judged(exercise(criterion("tone", "patch-1"))).stock)
    return paper.base_plus_fog, paper.black


@pytest.mark.parametrize(("tolerances", "share"), [(0.99, 1.0), (2.5, 0.5), (3.94, 0.02), (4.0, 0.0), (4.1, 0.0)])
def test_a_miss_costs_evenly_from_one_tolerance_to_four(tolerances: float, share: float) -> None:
    for side in (-1.0, 1.0):
        assert share_for_miss(side * tolerances * 0.03, 0.03) == pytest.approx(share, abs=1e-9)


@pytest.mark.parametrize("side", [-1.0, 1.0])
def test_a_tone_is_met_within_one_and_a_half_steps_of_lightness(side: float) -> None:
    densities = np.linspace(0.0, 2.0, 8001)
    read = reads("patch-3", record())
    for steps, full in ((1.4, True), (1.6, False)):
        wanted = float(np.interp(-(float(lightness(read)) + side * steps), -lightness(densities), densities))
        assert (mark_of(record(), as_written("tone", "patch-3", density=wanted)).share == 1.0) is full


def test_a_black_is_met_from_six_hundredths_below_nine_tenths_of_the_papers() -> None:
    white, black = paper_ends()
    for short, full in ((0.05, True), (0.07, False)):
        one = printed_to("patch-6", white + 0.9 * (black - white) - short)
        assert (mark_of(one, as_written("black", "patch-6")).share == 1.0) is full


def test_a_white_may_be_five_hundredths_above_the_papers_in_all() -> None:
    white, _ = paper_ends()
    for net, full in ((0.047, True), (0.053, False)):
        assert (mark_of(printed_to("patch-1", white + net), as_written("white", "patch-1")).share == 1.0) is full


@pytest.mark.parametrize(("short", "full"), [(0.0285, True), (0.0315, False)])
def test_separation_and_sharpness_have_three_hundredths_to_spare(short: float, full: bool) -> None:
    apart = reads("patch-4", record()) - reads("patch-2", record())
    assert (mark_of(record(), as_written("separation", "patch-2", "patch-4", density=apart + short)).share == 1.0) is full
    sharp = mark_of(record(), criterion("sharp", "patch-2", wanted=0.5)).measured
    asked = as_written("sharp", "patch-2", contrast_5_lp_mm=sharp + short)
    assert (mark_of(record(), asked).share == 1.0) is full


@pytest.mark.parametrize(("more", "full"), [(0.0095, True), (0.0105, False)])
def test_evenness_has_a_hundredth_to_spare(more: float, full: bool) -> None:
    still = held_still(with_card(FILM, record(), FILM.place("patch-2"), -0.8))
    seen = mark_of(still, criterion("even", "patch-2", wanted=0.5)).measured
    assert (mark_of(still, as_written("even", "patch-2", most_density=seen - more)).share == 1.0) is full


@pytest.mark.parametrize(("mm", "full"), [(-2.1, False), (-1.9, True), (1.9, True), (2.1, False)])
def test_a_size_has_two_millimetres_to_spare(mm: float, full: bool) -> None:
    width = mark_of(record(), criterion("size", wanted=100.0)).measured
    assert (mark_of(record(), as_written("size", image_width_mm=width + mm)).share == 1.0) is full


@pytest.mark.parametrize(("share", "full"), [(0.915, False), (0.925, True), (2.04, True), (2.06, False)])
def test_development_is_complete_from_ninety_two_hundredths_of_it_to_twice_its_time(share: float, full: bool) -> None:
    one = replace(record(), development=Development(60.0 * share))
    assert (mark_of(one, as_written("developed")).share == 1.0) is full


@pytest.mark.parametrize(("apart", "full"), [(0.078, True), (0.082, False)])
def test_two_blacks_further_than_eight_hundredths_apart_are_not_alike(apart: float, full: bool) -> None:
    """However little the eye sees there: a tenth and more of a density, so deep."""
    one = record(time_s=300.0)
    black = reads("patch-6", one)
    assert black > 2.04
    asked = as_written("match-print", "patch-6", "patch-6", densities=[black, black + apart])
    assert (mark_of(one, asked).share == 1.0) is full


@pytest.mark.parametrize(("seen", "share"), [(0.079, 1.0), (0.0825, 0.96), (0.139, 0.02), (0.141, 0.0)])
def test_a_rim_costs_from_eight_hundredths_on_and_all_at_fourteen(seen: float, share: float) -> None:
    assert rim_share(seen) == pytest.approx(share, abs=0.01)
    assert (rim_share(seen) == 1.0) is (share == 1.0)


@pytest.mark.parametrize(("moved", "full"), [(0.009, True), (-0.009, True), (0.011, False), (-0.011, False)])
def test_a_rim_costs_only_the_tones_that_the_card_moved_by_a_hundredth(moved: float, full: bool) -> None:
    """Stands in for a card whose rim is plain to see and which shades one place by that much."""
    traces = SimpleNamespace(change=lambda place: moved, seen=0.3)
    one: Any = SimpleNamespace(negative=0, readings=SimpleNamespace(spot=lambda place: 0.6, traces=traces))
    print_of: Any = SimpleNamespace(negatives=(FILM,), rims_cost=True, stock=find_stock("glossy-rc-vc"))
    assert (measure(criterion("tone", "patch-3", wanted=0.6), print_of, one).share == 1.0) is full


def test_a_criterion_that_says_nothing_of_points_is_worth_one() -> None:
    right = replace(as_written("tone", "patch-3", density=reads("patch-3", record()), points=None), name="right")
    wrong = as_written("tone", "patch-3", density=2.5, points=3.0)
    task = exercise(right, wrong)
    assert score(judged(task, record()), task).share == 0.25


TWENTY = str(["darkest"] * 20).replace("'", '"')
TONE = 'kind = "tone"\nplace = "darkest"\ndensity = 1.9\npoints = 4.0'


def with_criterion(text: str) -> str:
    assert TONE in TEXT
    return TEXT.replace(TONE, text)


@pytest.mark.parametrize(
    ("text", "allowed", "refused"),
    [
        ('kind = "tone"\nplace = "darkest"\ndensity = {}', "3.0", "3.05"),
        ('kind = "tone"\nplace = "darkest"\ndensity = 1.9\ntolerance_density = {}', "1.0", "1.02"),
        ('kind = "black"\nplace = "darkest"\nshare = {}', "1.0", "1.02"),
        ('kind = "white"\nplace = "darkest"\nnet_density = {}', "1.0", "1.02"),
        ('kind = "time-window"\nleast_s = 300.0\nmost_s = {}', "600.0", "602.0"),
        ('kind = "developed"\nmost_share = {}', "8.0", "8.1"),
        ('kind = "size"\nmagnification = {}', "1.0", "0.98"),
        ('kind = "size"\nmagnification = {}', "40.0", "40.5"),
        ('kind = "size"\nimage_width_mm = {}', "10.0", "9.9"),
        ('kind = "size"\nimage_width_mm = {}', "700.0", "701.0"),
        ('kind = "size"\nimage_width_mm = 90.0\ntolerance_mm = {}', "50.0", "50.5"),
        ('kind = "match-series"\nplaces = {}', TWENTY, TWENTY.replace("[", '["lightest", ')),
        ('kind = "tone"\nplace = "darkest"\ndensity = 1.9\npoints = {}', "1000.0", "1001.0"),
        ('kind = "tone"\nplace = "darkest"\ndensity = 1.9\nnegative = {}', "12", "13"),
        ('kind = "tone"\nplace = {{ name = "a", x = 0.5, y = 0.5, spot_mm = {} }}\ndensity = 1.9', "0.2", "0.19"),
        ('kind = "tone"\nplace = {{ name = "a", x = 0.5, y = 0.5, spot_mm = {} }}\ndensity = 1.9', "50.0", "50.5"),
        ('kind = "tone"\nplace = "darkest"\nnet_density = {}', "2.0", "2.02"),
        ('kind = "tone"\nplace = "darkest"\nshare = {}', "1.0", "1.02"),
    ],
)  # fmt: skip
def test_what_a_criterion_may_ask_for_ends_where_its_form_says(text: str, allowed: str, refused: str) -> None:
    file, targets = Path("exercise.toml"), {"tone-darkest": 1.8}
    assert parse_exercise(file, with_criterion(text.format(allowed)), targets).criterion
    with pytest.raises(OutsideError):
        parse_exercise(file, with_criterion(text.format(refused)), targets)


@pytest.mark.parametrize(
    ("old", "new", "allowed", "refused"),
    [
        ("version = 1\nt", "version = {}\nt", "10000", "10001"), ("pass_share = 0.75", "pass_share = {}", "1.0", "1.02"),
        ("sheets = 6", "sheets = {}", "100", "101"), ("minutes = 45", "minutes = {}", "600", "601"),
        ('title = "Two tones of the shelf"', "title = {}", f'"{"a" * 120}"', f'"{"a" * 121}"'),
        ('mode = "solo"', 'mode = "solo"\ncopies = {}', "12", "13"), ('mode = "solo"', 'mode = "solo"\ncopies = {}', "1", "0"),
        ("version = 1\nt", "version = {}\nt", "1", "0"),
    ],
)  # fmt: skip
def test_what_an_exercise_may_ask_for_ends_where_its_form_says(old: str, new: str, allowed: str, refused: str) -> None:
    file = Path("exercise.toml")
    assert old in TEXT
    assert parse_exercise(file, TEXT.replace(old, new.format(allowed)))
    with pytest.raises(OutsideError):
        parse_exercise(file, TEXT.replace(old, new.format(refused)))


@pytest.mark.parametrize(
    ("allowed", "refused"),
    [
        ({"f_number": (4.0, 22.0)}, {"f_number": (4.0, 200.0)}), ({"column_mm": (300.0, 500.0)}, {"column_mm": (1.0, 500.0)}),
        ({"focus_offset_mm": (-1.0, 1.0)}, {"focus_offset_mm": (-90.0, 1.0)}),
        ({"easel_tilt_deg": (-2.0, 2.0)}, {"easel_tilt_deg": (-2.0, 80.0)}),
        ({"filter": ("00", "5")}, {"filter": ("00", "6")}), ({"time_stops": (-1.0, 1.0)}, {"time_stops": (1.0, 1.0)}),
    ],
)  # fmt: skip
def test_random_starts_stay_within_what_the_controls_can_do(allowed: dict[str, Any], refused: dict[str, Any]) -> None:
    assert Spread(**allowed)
    with pytest.raises(Refused):
        Spread(**refused)
