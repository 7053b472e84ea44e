"""What whoever writes an exercise is told, from where on, and what a solver may use: just inside, just outside."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from sim.paper.development import Development
from sim.paper.response import Response
from sim.paper.stock import find_stock
from sim.printing.record import PrintingRecord
from sim.reading import OutsideError
from sim.scoring.checking import accident_problems, reference_problems
from sim.scoring.exercise import Box, Start
from sim.scoring.hints import brief_of
from sim.scoring.ladder_bench import LadderBench
from sim.scoring.passing import passing_width
from sim.scoring.reach import Reached, ReachOptions, reach
from sim.scoring.target_tones import Goal
from sim.scoring.trial import Change, Trial
from sim.scoring.what_binds import binding_limits
from sim.viewing.lightness import lightness

from .small_exercise import FILM, LIGHTS, PAPER, as_printed, criterion, exercise, patches, record

ONE_CONTROL = exercise(criterion("tone", "patch-3"), unlocked=("time_s",))
TWO_CONTROLS = exercise(criterion("tone", "patch-3"), unlocked=("time_s", "filter"))
PAPER_DEVELOPED = Response(find_stock(PAPER), Development(60.0))


@pytest.mark.parametrize(("share", "one", "two"), [
    (0.140, [], []), (0.143, ["gate-by-accident"], ["gate-by-accident"]), (0.15, ["gate-by-accident"], ["gate-by-accident"]),
    (0.151, ["passes-by-accident", "gate-by-accident"], ["gate-by-accident"]),
])  # fmt: skip
def test_passing_by_accident_is_told_from_so_many_in_a_hundred_on(share: float, one: list[str], two: list[str]) -> None:
    """Fifteen of a hundred random prints with one control, or two in a row in two of a hundred evenings."""
    assert [found.what for found in accident_problems(ONE_CONTROL, share)] == one
    assert [found.what for found in accident_problems(TWO_CONTROLS, share)] == two


@pytest.mark.parametrize(("beyond", "told"), [(0.97, []), (1.03, ["not-full-marks"])])
def test_a_reference_that_lacks_a_hundredth_of_its_marks_is_told(beyond: float, told: list[str]) -> None:
    (aim,) = as_printed(record(), "patch-3")
    task = exercise(replace(aim, wanted=aim.wanted + 0.03 * beyond))
    bench = LadderBench(task, (FILM,), LIGHTS)
    assert [found.what for found in reference_problems(task, bench, [record()])] == told


@pytest.mark.parametrize(("size", "met"), [(0.74, False), (0.76, True), (1.24, True), (1.26, False)])
def test_a_trials_size_is_met_within_a_quarter(size: float, met: bool) -> None:
    trial = Trial("too-dark", Change(time_stops=1.0), "exposure", "less-light", 1.0)
    assert trial.is_met_by("exposure", "less-light", size, "") is met


def test_a_trial_is_met_by_its_own_cause_and_of_a_card_at_its_own_place_only() -> None:
    burn = Trial("no-burn", Change(card_stops=-1.0), "local", "more-light-here", 1.0, "cup")
    for cause, direction, place, met in (
        ("local", "more-burn", "cup", True), ("local", "less-hold-back", "cup", True), ("local", "less-burn", "cup", False),
        ("local", "more-burn", "wall", False), ("exposure", "more-burn", "cup", False),
    ):  # fmt: skip
        assert burn.is_met_by(cause, direction, 1.0, place) is met


def test_an_exercise_that_says_nothing_else_is_on_eight_by_ten_inches_with_a_box_of_twenty_for_45_minutes() -> None:
    start, box = Start(), Box()
    assert (start.width_mm, start.height_mm, start.border_mm) == (8 * 25.4, 10 * 25.4, 6.0)
    assert (start.time_s, start.f_number, start.filter, start.temperature_c) == (10.0, 8.0, "2", 20.0)
    assert (box.sheets, box.minutes, box.expected_sheets) == (20, 45.0, 2.0)


def brief(folder: Path, *words: int, filler: int = 0) -> Path:
    steps = "".join(f"{n}. {'word ' * many}\n" for n, many in enumerate(words, 1))
    text = f"# Title\n\n{steps}"
    (folder / "brief.md").write_text(text + "#" * (filler - len(text) - 1) + "\n", encoding="utf-8")
    return folder


@pytest.mark.parametrize(("allowed", "refused"), [((60,), (61,)), ((52,) * 5, (52,) * 4 + (53,))])
def test_a_brief_has_sixty_words_a_step_and_260_in_all(
    allowed: tuple[int, ...], refused: tuple[int, ...], tmp_path: Path
) -> None:
    assert brief_of(brief(tmp_path, *allowed)).words == sum(allowed)
    with pytest.raises(OutsideError, match="at most"):
        brief_of(brief(tmp_path, *refused))


def test_a_brief_is_read_up_to_64_kilobytes(tmp_path: Path) -> None:
    assert brief_of(brief(tmp_path, 10, filler=65_500)).words == 10
    with pytest.raises(OutsideError, match="bytes"):
        brief_of(brief(tmp_path, 10, filler=65_560))


def test_how_far_off_still_passes_is_looked_for_two_stops_and_a_millimetre_to_either_side() -> None:
    wide = exercise(*as_printed(record(), "patch-4", tolerance=1.0), unlocked=("time_s", "focus_offset_mm"), pass_share=0.5)
    widths = passing_width(wide, LadderBench(wide, (FILM,), LIGHTS), [record()])
    assert widths == (("time_s", 4.0, "stops"), ("focus_offset_mm", 2.0, "mm"))


def bound(goals: list[tuple[str, float]], light: list[float], miss: float = -10.0) -> list[str]:
    """What is said to bind the second goal."""
    found = binding_limits(
        goals, [goals[0][1], goals[1][1] + 0.4], [0.0, miss], light, PAPER_DEVELOPED, ("2",), (), {}, 2.0
    )
    return [limit.binds.what for limit in found]


@pytest.mark.parametrize(("stops", "alike"), [(0.7, False), (-0.7, False), (0.8, True), (-0.8, True)])
def test_one_tone_wanted_of_places_three_quarters_of_a_stop_apart_is_said_to_be_impossible(stops: float, alike: bool) -> None:
    assert (bound([("a", 0.5), ("b", 0.5)], [2.0**stops, 1.0]) == ["wanted-alike"]) is alike


@pytest.mark.parametrize(("apart", "alike"), [(0.07, True), (0.09, False)])
def test_tones_within_eight_hundredths_are_wanted_alike(apart: float, alike: bool) -> None:
    assert (bound([("a", 0.5 + apart), ("b", 0.5)], [2.0, 1.0]) == ["wanted-alike"]) is alike


@pytest.mark.parametrize(
    ("light", "apart", "odds"), [(1.02, 0.1, False), (1.04, 0.1, True), (1.5, 0.0185, False), (1.5, 0.0215, True)]
)
def test_a_tone_is_out_of_order_where_light_and_tone_both_say_so(light: float, apart: float, odds: bool) -> None:
    assert (bound([("a", 0.5), ("b", 0.5 + apart)], [light, 1.0]) == ["wanted-lighter"]) is odds
    assert (bound([("a", 0.5), ("b", 0.5 - apart)], [1.0 / light, 1.0]) == ["wanted-darker"]) is odds


@pytest.mark.parametrize(
    ("light_off", "dark_off", "what"),
    [(0.27, 0.4, "range-too-long"), (0.29, 0.4, "curve"), (0.4, 0.27, "range-too-short"), (0.4, 0.29, "curve")],
)
def test_a_range_is_blamed_where_it_is_off_by_three_tenths_of_the_miss(light_off: float, dark_off: float, what: str) -> None:
    goals = [("a", 0.3), ("b", 0.9)]
    found = binding_limits(
        goals, [0.3 + light_off, 0.9 + dark_off], [0.0, -10.0], [1.0, 2.0], PAPER_DEVELOPED, ("2",), (), {}, 2.0
    )
    assert [limit.binds.what for limit in found] == [what]


@pytest.mark.parametrize(("below", "beyond"), [(0.006, False), (0.004, True)])
def test_a_tone_at_the_papers_black_is_beyond_it(below: float, beyond: bool) -> None:
    goals = [("a", 0.5), ("b", PAPER_DEVELOPED.black - below)]
    assert (bound(goals, [4.0, 1.0]) == ["paper-black"]) is beyond


@pytest.mark.parametrize(("miss", "holds"), [(1.9, True), (-1.9, True), (2.1, False), (-2.1, False)])
def test_a_print_holds_where_every_goal_is_met_within_two_steps_of_lightness(miss: float, holds: bool) -> None:
    density = next(d / 1e4 for d in range(2000, 12000) if float(lightness(d / 1e4)) <= float(lightness(0.6)) + miss)
    goals = tuple(Goal(FILM.place(name), 0.6) for name in ("patch-1", "patch-3"))
    assert Reached("one", record(), goals, (0.6, density)).holds is holds


def found_time_s(one: PrintingRecord, film_shift: float = 0.0) -> float:
    film = patches(shift=film_shift)
    goals = [Goal(film.place("patch-4"), as_printed(one, "patch-4", film=film)[0].wanted)]
    return reach(film, one, find_stock(PAPER), goals, options=ReachOptions(("2",)), lights=LIGHTS).record.exposures[0].time_s


def test_a_solver_uses_times_from_one_second_to_three_minutes() -> None:
    """Seconds of light: a lamp's slow coming is dialled besides."""
    assert found_time_s(record(time_s=1.4)) == pytest.approx(1.4, abs=0.05)
    assert found_time_s(record(time_s=0.9)) == pytest.approx(1.1, abs=0.12)
    assert found_time_s(record(time_s=172.0, f_number=22.0), 0.45) == pytest.approx(172.0, rel=0.02)
    assert found_time_s(record(time_s=205.0, f_number=22.0), 0.45) == pytest.approx(180.0, rel=0.01)


@pytest.mark.parametrize(("wanted", "used"), [(-0.9, -0.9), (-1.3, -1.0), (1.8, 1.8), (2.5, 2.0)])
def test_a_solvers_card_holds_back_one_stop_and_burns_in_two(wanted: float, used: float) -> None:
    one = record(time_s=4.0)
    plain = as_printed(one, "patch-2", "patch-4", "patch-5")
    (worked,) = as_printed(record(time_s=4.0 * 2.0**wanted), "patch-3")
    goals = [Goal(FILM.place(aim.spots[0].name), aim.wanted) for aim in (*plain, worked)]
    options = ReachOptions(("2",), card_places=("patch-3",))
    (factor,) = reach(FILM, one, find_stock(PAPER), goals, options=options, lights=LIGHTS).card_factors
    assert factor.stops == pytest.approx(used, abs=0.08)
