"""Where a lesson says yes or no to somebody: what is right, what is luck, what is seen; just inside and just outside."""

from __future__ import annotations

from pathlib import Path
from types import SimpleNamespace
from typing import Any

import numpy as np
import pytest

import sim.teaching.drill_negatives as drill_negatives
import sim.teaching.drills as drills
import sim.teaching.fresh_negative as fresh
import sim.teaching.strip_texts as strip_texts
from sim.printing.record import Exposure
from sim.refusals import Refused
from sim.scoring.marks import Mark
from sim.teaching.drill_item import DrillItem, answer_item
from sim.teaching.drill_rounds import drill_round
from sim.teaching.lesson_looks import Verdict, came_true, tone_pair
from sim.teaching.lesson_marks import _seen
from sim.teaching.own_decisions import looks_lucky, tolerances_off
from sim.teaching.progress import DrillDone, Progress, Recalled, due_day, with_drill

RECORD: Any = SimpleNamespace(exposures=(Exposure(10.0, 8.0),))


def mark(place: str, wanted: float, miss: float = 0.0, missing: bool = False) -> Mark:
    return Mark(f"tone-{place}", "tone", place, wanted + miss, wanted, 0.03, "density", 1.0, 4.0, 4.0, missing=missing)


@pytest.mark.parametrize(
    ("seconds", "verdict", "right"),
    [
        ("17.0 s", Verdict("lighter", off_stops=1.0), True), ("16.6 s", Verdict("lighter", off_stops=1.0), False),
        ("23.6 s", Verdict("lighter", off_stops=1.0), True), ("24.1 s", Verdict("lighter", off_stops=1.0), False),
        ("11.8 s", Verdict("right"), True), ("12 s", Verdict("right"), False), ("8.5 s", Verdict("right"), True),
        ("8.3 s", Verdict("right"), False), ("12 s", Verdict("lighter"), True), ("11.8 s", Verdict("lighter"), False),
    ],
)  # fmt: skip
def test_seconds_that_were_predicted_are_right_within_a_quarter_of_a_stop(
    seconds: str, verdict: Verdict, right: bool
) -> None:
    assert came_true(seconds, verdict, RECORD) is right


@pytest.mark.parametrize(("apart", "told"), [(0.29, False), (0.31, True)])
def test_a_range_is_spoken_of_where_two_tones_are_wanted_three_tenths_apart(apart: float, told: bool) -> None:
    assert (tone_pair([mark("cup", 0.5), mark("wall", 0.5 + apart)]) is not None) is told


@pytest.mark.parametrize(("steps", "seen"), [(0.95, False), (-0.95, False), (1.05, True), (-1.05, True)])
def test_a_step_of_lightness_between_two_prints_is_seen_and_less_is_not(steps: float, seen: bool) -> None:
    assert bool(_seen(steps)) is seen


def test_a_sheet_is_near_within_four_tolerances() -> None:
    assert not looks_lucky([6.0, 3.9, 9.0, 0.5], [1, 2])
    assert looks_lucky([6.0, 4.1, 9.0, 0.5], [1, 2])


@pytest.mark.parametrize(("near", "lucky"), [(4, True), (5, False)])
def test_of_ten_other_sheets_half_must_have_come_near(near: int, lucky: bool) -> None:
    others = [2.0] * near + [9.0] * (10 - near)
    assert looks_lucky([6.0, *others, 0.5], list(range(1, 11))) is lucky


@pytest.mark.parametrize(("off", "counts"), [(18.0, 18.0), (24.0, 20.0)])
def test_no_tone_counts_as_further_off_than_twenty_tolerances(off: float, counts: float) -> None:
    """Paper white hides how far off it is. What is not there is as far off as anything."""
    assert tolerances_off([mark("cup", 0.5, off * 0.03)]) == pytest.approx(counts)
    assert tolerances_off([mark("cup", 0.5, missing=True)]) == 20.0


def item(**keys: Any) -> DrillItem:
    board = np.zeros((4, 4), dtype=np.uint8)
    return DrillItem("drill", "?", (), "an answer", **{"tolerance": 0.3, "board": board, "reason": "because", **keys})


def test_an_answer_in_another_world_is_twenty_tolerances_off_and_no_more() -> None:
    assert answer_item(item(answer_s=10.0), "600").error == pytest.approx(19.69, abs=0.01)
    assert answer_item(item(answer_s=10.0), "9999").error == 20.0


def test_half_a_filter_is_a_whole_tolerance_where_an_item_says_nothing() -> None:
    near, far = (answer_item(item(answer_filter="2"), name) for name in ("2.5", "3"))
    assert (near.right, near.error, far.right, far.error) == (True, 1.0, False, 2.0)


def test_the_first_item_is_as_fine_as_after_answers_nearly_one_and_a_half_tolerances_off() -> None:
    assert drills.difficulty([1.45]) < drills.difficulty([]) < drills.difficulty([1.35])


def test_one_wild_answer_counts_as_three_tolerances() -> None:
    assert drills.difficulty([3.5, 0.0, 0.0, 0.0]) == drills.difficulty([20.0, 0.0, 0.0, 0.0])
    assert drills.difficulty([2.8, 0.0, 0.0, 0.0]) > drills.difficulty([3.0, 0.0, 0.0, 0.0])


@pytest.mark.parametrize(("seen_l", "asked"), [(0.95, False), (1.05, True)])
def test_what_differs_by_less_than_a_step_of_lightness_is_not_asked(
    seen_l: float, asked: bool, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setitem(drills.DRILLS, "read-the-strip", ("?", lambda generator, hardness: item(seen_l=seen_l)))
    generator = np.random.Generator(np.random.PCG64(1))
    if asked:
        assert drills.draw_item("read-the-strip", generator).seen_l == seen_l
    else:
        with pytest.raises(Refused, match="none of 8 items"):
            drills.draw_item("read-the-strip", generator)


@pytest.mark.parametrize(("stops", "said"), [(0.095, False), (0.105, True)])
def test_what_bursts_cost_is_worth_a_word_from_a_tenth_of_a_stop_on(
    stops: float, said: bool, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(strip_texts, "lost_in_bursts", lambda record, step: stops)
    assert bool(strip_texts._about_bursts(SimpleNamespace(record=RECORD), "step-3")) is said  # type: ignore[arg-type]


@pytest.mark.parametrize(("share", "given"), [(0.94, False), (0.96, True)])
def test_a_negative_of_ones_own_can_be_printed_to_nearly_all_its_tones(
    share: float, given: bool, monkeypatch: pytest.MonkeyPatch
) -> None:
    tried: list[str] = []
    monkeypatch.setattr(fresh, "tone_share", lambda exercise, negative: share)
    monkeypatch.setattr(fresh, "find_negative", tried.append)
    monkeypatch.setattr(fresh, "_passes_as_shown", lambda folder, exercise, name: name == "shown")
    exercise: Any = SimpleNamespace(negatives=("shown",), also=(), on_negatives=lambda name: None)
    name = fresh.fresh_negative(Path("."), exercise, 3, ())
    assert name.startswith("shown~") is given
    assert len(tried) == (1 if given else 24)


def test_the_last_five_answers_decide_how_fine_the_next_item_is() -> None:
    done = DrillDone(day=1, errors=[9.0, 1.0, 2.0, 3.0, 4.0, 5.0], right=1)
    assert with_drill(Progress(), "read-the-strip", done).recent_errors("read-the-strip") == (1.0, 2.0, 3.0, 4.0, 5.0)


def test_two_hundred_rounds_of_a_drill_are_kept_and_the_oldest_gives_way() -> None:
    rounds = [DrillDone(day=day, errors=[1.0], right=1) for day in range(200)]
    full = Progress(drills={"read-the-strip": rounds})
    after = with_drill(full, "read-the-strip", DrillDone(day=200, errors=[1.0], right=1)).drills["read-the-strip"]
    assert (len(after), after[0].day, after[-1].day) == (200, 1, 200)


def test_a_round_has_ten_items(tmp_path: Path) -> None:
    assert len(drill_round("read-the-strip", tmp_path, "", 1).asked) == 10


def test_recall_comes_after_a_day_then_after_twice_as_many_each_time_up_to_two_months() -> None:
    assert [due_day(Recalled(day=0, in_a_row=row)) for row in range(9)] == [1, 2, 4, 8, 16, 32, 64, 64, 64]


@pytest.mark.parametrize(
    ("miss_l", "time_s", "draws"),
    [(3.9, 10.0, 1), (4.1, 10.0, 8), (1.0, 0.6, 1), (1.0, 0.4, 8), (1.0, 119.0, 1), (1.0, 121.0, 8)],
)  # fmt: skip
def test_a_drill_is_held_on_a_negative_that_one_exposure_prints(
    miss_l: float, time_s: float, draws: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    drawn: list[str] = []

    def draw(generator: np.random.Generator) -> Any:
        drawn.append("one")
        return SimpleNamespace(best=lambda: ("2", time_s, miss_l))

    monkeypatch.setattr(drill_negatives, "drawn_negative", draw)
    assert drill_negatives.printable_negative(np.random.Generator(np.random.PCG64(1)))[1:] == ("2", time_s)
    assert len(drawn) == draws
