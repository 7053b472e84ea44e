"""Drills: true to the engine, quick, finer after near answers, marked with cause and direction."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from sim.enlarger.filters import GRADE_OF_FILTER, FilterSetting
from sim.printing.make_print import make_print
from sim.scoring.syllabus import read_syllabus
from sim.teaching.drill_boards import GAP_PX, SCALE_STEPS_L, step_scale_board
from sim.teaching.drill_item import MOST_ERROR, DrillItem, answer_item
from sim.teaching.drill_negatives import drawn_negative, printable_negative
from sim.teaching.drills import DRILLS, FIRST_DIFFICULTY, LEAST_SEEN_L, difficulty, draw_item, drill_for
from sim.teaching.drills_of_reckoning import RULE_STOPS, STEPS
from sim.teaching.lesson_step import Choice
from sim.viewing.densitometer import read_place

SEEDS = range(3)
HARD, EASY = [0.0], [9.0]


def rng(seed: int) -> np.random.Generator:
    return np.random.Generator(np.random.PCG64(seed))


def right_answer(item: DrillItem) -> str:
    parts = []
    if item.answer_s is not None:
        parts.append(f"{item.answer_s:.2f}")
    if item.answer_stops is not None:
        parts.append(f"{item.answer_stops:.2f}")
    if item.answer_filter is not None:
        parts.append(item.answer_filter)
    if item.answer_choice:
        parts.append(item.answer_choice)
    return " ".join(parts)


def test_the_syllabus_names_only_drills_there_are() -> None:
    syllabus = read_syllabus()
    assert {drill.slug for drill in syllabus.drills} <= set(DRILLS)
    assert {drill_for(skill) for skill in syllabus.skills} <= set(DRILLS)
    assert drill_for("something else") == "read-the-strip"


@pytest.fixture(scope="module")
def items() -> dict[tuple[str, bool], DrillItem]:
    """An easy and a fine item of every drill."""
    return {(drill, fine): draw_item(drill, rng(3), HARD if fine else EASY) for drill in DRILLS for fine in (False, True)}


@pytest.mark.parametrize("fine", [False, True])
@pytest.mark.parametrize("drill", DRILLS)
def test_every_item_is_a_picture_and_its_right_answer_is_right(
    drill: str, fine: bool, items: dict[tuple[str, bool], DrillItem]
) -> None:
    item = items[drill, fine]
    assert item.board.dtype == np.uint8
    assert min(item.board.shape) > 150
    assert item.board.std() > 10
    marked = answer_item(item, right_answer(item))
    assert marked.right
    assert marked.error < 0.2
    assert marked.words.startswith("Right")
    assert item.question.endswith("?")


@pytest.mark.parametrize("drill", [name for name in DRILLS if name != "beside-the-finished-print"])
def test_no_print_density_is_told_before_the_answer(drill: str, items: dict[tuple[str, bool], DrillItem]) -> None:
    for fine in (False, True):
        item = items[drill, fine]
        before = " ".join([item.question, *item.facts, *(choice.words for choice in item.choices)])
        assert "reads" not in before
        assert not any(number in before for text in item.numbers for number in text.split() if "." in number.strip(".,;"))
        assert all(text in answer_item(item, right_answer(item)).words for text in item.numbers)


def test_the_same_generator_draws_the_same_item(items: dict[tuple[str, bool], DrillItem]) -> None:
    first, second, other = items["read-the-strip", False], draw_item("read-the-strip", rng(3), EASY), None
    assert np.array_equal(first.board, second.board)
    assert first.answer_choice == second.answer_choice
    other = draw_item("read-the-strip", rng(4), EASY)
    assert first.board.shape != other.board.shape or not np.array_equal(first.board, other.board)


def test_items_grow_finer_when_answers_are_near() -> None:
    levels = [difficulty([error] * 5) for error in (5.0, 2.0, 1.0, 0.5, 0.0)]
    assert levels == sorted(levels)
    assert (levels[0], levels[-1]) == (0.0, 1.0)
    assert difficulty([]) == FIRST_DIFFICULTY


def test_the_step_called_right_holds_the_tone_by_the_solver() -> None:
    for seed in SEEDS:
        drawn = drawn_negative(rng(seed))
        item = draw_item("read-the-strip", rng(seed), HARD)
        wanted_s = drawn.time_s(drawn.aims[0], "2")
        read = [float(word.strip(",;")) for word in item.numbers[0].split()[4::2][:STEPS]]
        assert read == sorted(read)
        right = read[int(item.answer_choice) - 1]
        exposure = replace(drawn.record.exposures[0], time_s=wanted_s, filter=FilterSetting("2"))
        sheet = make_print(drawn.negative, drawn.record.with_exposures(exposure), drawn.stock)
        assert abs(read_place(sheet, drawn.lightest) - right) <= 0.035, "within half a step of the tone that is wanted"
        assert [answer_item(item, str(k)).right for k in range(1, STEPS + 1)].count(True) == 1


def test_a_burn_starts_from_a_light_that_is_too_light_by_it(items: dict[tuple[str, bool], DrillItem]) -> None:
    for fine in (False, True):
        item = items["say-the-burn", fine]
        words = item.numbers[0].replace(";", ",").split("reads ")[1].split(", ")
        read, wanted = [float(word) for word in words[:6]], float(words[6].split()[1].rstrip("."))
        assert read[0] < wanted - 0.02, "nothing to burn in otherwise"
        assert read == sorted(read)
        assert read[-1] > wanted
        step = 0.75 if fine else 0.5
        at = float(np.interp(wanted, read, [step * k for k in range(6)]))
        assert at == pytest.approx(item.answer_stops, abs=0.3)


def test_the_trades_rule_is_a_right_answer_and_every_round_comes_to_its_end() -> None:
    for seed in range(8):
        item = draw_item("new-aperture-new-seconds", rng(seed), (HARD, EASY)[seed % 2])
        assert item.rule_s is not None
        assert item.answer_s is not None
        assert abs(np.log2(item.rule_s / item.answer_s)) <= RULE_STOPS < item.tolerance
        assert answer_item(item, f"{item.rule_s:.1f}").right
        assert not answer_item(item, f"{2.0 * item.rule_s:.1f}").right


def test_of_two_prints_the_lighter_one_got_less_light(items: dict[tuple[str, bool], DrillItem]) -> None:
    for fine in (False, True):
        item = items["which-is-lighter", fine]
        half = item.board.shape[1] // 2
        means = {"left": item.board[:, :half].mean(), "right": item.board[:, half:].mean()}
        side = item.answer_choice.partition("-")[0]
        assert side == max(means, key=lambda key: means[key])
        assert abs(means["left"] - means["right"]) > LEAST_SEEN_L
        other = "left" if side == "right" else "right"
        assert not answer_item(item, f"{other} 0.5").right


def test_what_the_screen_cannot_show_is_not_asked() -> None:
    for least in (1.0, 6.0):
        for seed in SEEDS:
            item = draw_item("which-is-lighter", rng(seed), HARD, least)
            assert item.seen_l >= least
    with pytest.raises(ValueError, match="none of 8 items drawn differs by 99 L"):
        draw_item("which-is-lighter", rng(1), HARD, 99.0)


def test_the_step_scale_has_a_row_for_every_step_with_its_halves_apart() -> None:
    board = step_scale_board().astype(int)
    high = (board.shape[0] - GAP_PX) // len(SCALE_STEPS_L)
    apart = []
    for k in range(len(SCALE_STEPS_L)):
        row = board[GAP_PX + k * high + high // 2, GAP_PX + 30 :]
        apart.append(int(row[5] - row[40]))
    assert apart == sorted(apart, reverse=True)
    assert min(apart) >= 1


def test_of_nine_prints_only_the_one_described_is_right(items: dict[tuple[str, bool], DrillItem]) -> None:
    item = items["prints-in-a-ring", True]
    assert [answer_item(item, str(k)).right for k in range(1, 10)].count(True) == 1


def test_the_filter_found_is_the_one_whose_print_comes_nearest() -> None:
    drawn, name, time_s = printable_negative(rng(2))
    light, dark = drawn.aims
    misses = {}
    for other in ("0", "1", "2", "3", "4", "5", name):
        exposure = replace(drawn.record.exposures[0], filter=FilterSetting(other), time_s=drawn.time_s(light, other))
        sheet = make_print(drawn.negative, drawn.record.with_exposures(exposure), drawn.stock)
        misses[other] = abs(read_place(sheet, drawn.darkest) - dark)
    assert min(misses.values()) == misses[name]
    assert drawn.time_s(light, name) == pytest.approx(time_s)


def test_a_longer_range_wants_a_softer_filter() -> None:
    found = [printable_negative(rng(seed)) for seed in range(8)]
    ranges = [drawn.range_stops for drawn, _, _ in found]
    steps = [GRADE_OF_FILTER[name] for _, name, _ in found]
    assert np.corrcoef(ranges, steps)[0, 1] < -0.9


def time_item(**more: object) -> DrillItem:
    kept = {"answer_s": 10.0, "tolerance": 0.2, "reason": "because", "form": "seconds, such as 8.5"} | more
    board = np.zeros((4, 4), np.uint8)
    return DrillItem("d", "How many?", ("fact",), board=board, **kept)  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("text", "right", "error", "words"),
    [
        ("10", True, 0.0, "Right: 10.0 s."), ("9.99", True, 0.0, "Right: 10.0 s."),
        ("11 s", True, 0.69, "s (yours is 0.14 stop more)."),
        ("20s", False, 5.0, "1.0 stop too long"),
        ("5,", False, 5.0, "too short: it needs more light"), ("9999", False, MOST_ERROR, "too long"),
    ],
)  # fmt: skip
def test_a_time_is_marked_with_direction_and_size_in_stops(text: str, right: bool, error: float, words: str) -> None:
    marked = answer_item(time_item(), text)
    assert (marked.right, words in marked.words) == (right, True)
    assert marked.error == pytest.approx(error, abs=0.01)
    assert ("Because." in marked.words) == (not right)


def test_a_burn_and_a_filter_are_marked_in_their_own_units() -> None:
    burn = time_item(answer_s=None, answer_stops=1.0)
    assert "too little burn" in answer_item(burn, "0.5 stops").words
    assert "too much burn" in answer_item(burn, "1.5").words
    assert answer_item(burn, "0").error == 5.0
    assert answer_item(burn, "1").words.startswith("Right: 1 stop.")
    near = replace(burn, tolerance=0.5)
    assert answer_item(near, "0.75").words.startswith("Right: 1 stop (yours is 0.25 stop less).")
    assert "1.0 stop too much burn" in answer_item(burn, "2").words
    filters = time_item(answer_s=None, answer_filter="3")
    assert answer_item(filters, "filter 3").right
    assert "2 filter steps too soft" in answer_item(filters, "1").words
    assert "0.5 filter steps too hard" not in answer_item(filters, "3.5").words
    assert "too hard; right is filter 3" in answer_item(filters, "5").words


def test_of_time_and_filter_the_further_off_decides() -> None:
    both = time_item(answer_filter="2", tolerance=0.5)
    assert answer_item(both, "10 s, filter 2").right
    assert answer_item(both, "10 00").error == pytest.approx(5.0)
    wrong = answer_item(both, "40 2")
    assert "2.0 stops too long" in wrong.words
    assert "Right: filter 2." in wrong.words


def test_a_choice_is_taken_by_its_key_and_nothing_else_is() -> None:
    two = (Choice("left-0.5", "the left one"), Choice("right-1", "the right one"))
    item = time_item(answer_s=None, choices=two, answer_choice="right-1", off=(6.0, 0.0), form="side and stops")
    assert answer_item(item, "Right 1").right
    wrong = answer_item(item, "left 0.5")
    assert (wrong.right, wrong.error) == (False, 6.0)
    assert "right is the right one. Because." in wrong.words
    with pytest.raises(ValueError, match="the answer must be side and stops"):
        answer_item(item, "the upper one")


@pytest.mark.parametrize("text", ["", "dark", "10 20", "-3", "0", "1e5", "nan", "10 s 2 3", "٣", "\x00"])
def test_what_is_no_answer_is_refused_with_its_form(text: str) -> None:
    with pytest.raises(ValueError, match=r"the answer must be seconds, such as 8\.5"):
        answer_item(time_item(), text)
    if text != "0":  # that is a filter
        with pytest.raises(ValueError, match="the answer must be"):
            answer_item(time_item(answer_s=None, answer_filter="2"), text)


def test_an_unknown_drill_is_refused_with_those_there_are() -> None:
    with pytest.raises(ValueError, match="drill must be one of read-the-strip"):
        draw_item("juggle", rng(1))
