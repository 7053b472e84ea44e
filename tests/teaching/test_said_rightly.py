"""What a lesson says of numbers: contrasts by what the eye sees, shares never rounded up to a pass, amounts in their number."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from sim.command.lesson_lines import read_line
from sim.command.lesson_show import wanted_words
from sim.command.lesson_talk import Talk
from sim.enlarger.filters import FilterSetting
from sim.refusals import Refused
from sim.scoring.advice import Advice
from sim.scoring.marks import Mark
from sim.scoring.points import rim_share
from sim.teaching import lesson_marks
from sim.teaching.lesson import LessonRun
from sim.teaching.lesson_looks import came_true, checked_choice, compared, said, verdict_on_print
from sim.teaching.lesson_texts import _within, holding, percent_reached, sheets_in_words
from sim.teaching.strip_texts import _follows
from sim.teaching.strip_verdict import WantedTone
from sim.viewing.strip_reading import StripReading

COARSE = 0.8


def tone(place: str, measured: float, wanted: float = 1.0) -> Mark:
    return Mark(place, "tone", place, measured, wanted, 0.02, "density", 1.0, 1.0, 1.0)


def test_prints_are_contrasted_by_lightness_not_by_density(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    run = LessonRun.open(tmp_path / "log.jsonl", "filter-for-a-normal-negative", mode="solo")
    start = run.start()
    for name in ("4", "3"):
        run.predict("softer")
        run.make(start.with_exposures(replace(start.exposures[0], filter=FilterSetting(name))), COARSE)
        run.see("softer")
        run.why("contrast")
    run.nominate(2)
    reads = {1: (tone("glaze", 0.08), tone("hollow", 1.70)), 2: (tone("glaze", 0.18), tone("hollow", 2.00))}
    read = lambda e, n, s, made, lights, advised: lesson_marks.SheetRead(reads[made.number])  # noqa: E731
    monkeypatch.setattr(lesson_marks, "read_sheet", read)
    (contrast,) = lesson_marks.contrasts(run.exercise, run.negatives, run.evening.state, run.lights)
    told = " ".join(contrast.words)
    assert "sees that most in the glaze and least in the hollow" in told, "three times the density, and less to the eye"
    assert "8 steps of lightness darker" in told


@pytest.mark.parametrize(
    ("share", "told"), [(0.7496, "74.9"), (0.75, "75"), (0.745, "74"), (0.9951, "100"), (0.0, "0")]
)
def test_what_does_not_pass_at_75_percent_is_not_called_75_percent(share: float, told: str) -> None:
    assert percent_reached(share, 0.75) == told


def test_one_sheet_is_one_sheet() -> None:
    assert [sheets_in_words(n) for n in (1.0, 1.25, 4.0)] == ["1 sheet", "1.25 sheets", "4 sheets"]


def test_with_no_sheet_made_none_between_1_and_0_is_asked_for(tmp_path: Path) -> None:
    run = LessonRun.open(tmp_path / "log.jsonl", "time-from-a-strip", mode="solo")
    for act in (lambda: run.nominate(1), lambda: run.readings(1), lambda: run.record_of(1)):
        with pytest.raises(Refused, match="there is none yet"):
            act()


def test_a_tone_may_be_pointed_at_by_its_place_and_is_held_against_that_place() -> None:
    assert checked_choice("White-Cup=Lighter") == "white-cup=lighter"
    assert said("white-cup=lighter") == "the white cup lighter than wanted"
    verdict = verdict_on_print((tone("white-cup", 0.9), tone("plaster", 1.0)), (), contrast_free=False)
    record = None
    assert came_true("white-cup=lighter", verdict, record) is True  # type: ignore[arg-type]
    assert came_true("plaster=darker", verdict, record) is False  # type: ignore[arg-type]
    assert came_true("moon=darker", verdict, record) is None  # type: ignore[arg-type]
    with pytest.raises(Refused, match="white-cup=lighter"):
        checked_choice("white-cup=blue")


TOO_HARD, TOO_SOFT = Advice("contrast", "softer", 1.0, "filter grades"), Advice("contrast", "harder", 1.0, "filter grades")


def told(predicted: str, seen: str, marks: tuple[Mark, ...], holds: tuple[Advice, ...], asked: str) -> str:
    return "\n".join(compared(predicted, seen, verdict_on_print(marks, holds, contrast_free=True), None, asked))  # type: ignore[arg-type]


def test_a_place_that_is_as_wanted_may_be_called_so_though_the_contrast_is_not() -> None:
    """What is offered reads "the near bowl: as wanted"; whoever takes it speaks of the bowl."""
    soft = (tone("near-bowl", 0.13, 0.12), tone("under-board", 1.62, 1.90))
    lines = told("", "right", soft, (TOO_SOFT,), "light")
    assert "You saw: the near bowl as wanted. Your eye and the densitometer agree." in lines
    assert "the range from the near bowl to the under board is softer (flatter) than wanted." in lines
    assert "differ" in told("", "right", (tone("near-bowl", 0.3, 0.12), soft[1]), (TOO_SOFT,), "light")


def test_a_contrast_that_is_as_wanted_may_be_foretold_though_the_light_is_off() -> None:
    dark = (tone("near-bowl", 0.30, 0.12), tone("under-board", 2.05, 1.90))
    assert "You predicted: contrast as wanted. The readings agree." in told("right", "", dark, (), "contrast")
    assert "The readings say otherwise." in told("right", "", dark, (), "light")
    long = (dark[0], tone("under-board", 2.15, 1.90))
    assert "The readings say otherwise." in told("right", "", long, (TOO_HARD,), "contrast")


LATER = "(the contrast is judged once the light is right)"


@pytest.mark.parametrize(
    ("light", "dark", "holds", "now", "left"),
    [
        (0.05, 1.19, (), "reads softer (flatter) than wanted now", LATER),
        (0.05, 0.98, (TOO_HARD,), "reads softer (flatter) than wanted now", LATER),
        (0.24, 2.02, (TOO_SOFT,), "reads as wanted now", LATER),
        (0.12, 2.30, (), "reads harder than wanted now", ", and with the rest put right would be as wanted"),
    ],
)
def test_a_range_is_called_what_its_readings_say_and_never_the_opposite(
    light: float, dark: float, holds: tuple[Advice, ...], now: str, left: str
) -> None:
    """Too little light shortens a range that a filter made too long: the numbers beside it are what the learner sees."""
    marks = (tone("near-bowl", light, 0.12), tone("under-board", dark, 1.90))
    seen = "harder" if "harder" in now else "softer"
    lines = told("", seen, marks, holds, "light")
    assert f"the range from the near bowl to the under board {now}{' ' if left is LATER else ''}{left}" in lines
    assert "Your eye and the densitometer agree." in lines, "who calls a short range soft has seen rightly"


def test_what_loupe_and_ruler_show_can_be_said_of_a_print() -> None:
    sharp = replace(tone("near-bowl", 0.4, 0.7), kind="sharp", share=0.0)
    size = replace(tone("", 180.0, 200.0), kind="size", share=0.0)
    verdict = verdict_on_print((tone("near-bowl", 1.0), sharp, size), (), contrast_free=False)
    assert [came_true(choice, verdict, None) for choice in ("unsharp", "too-small", "too-large", "card-shows")] == [  # type: ignore[arg-type]
        True, True, False, False
    ]  # fmt: skip
    assert "not sharp under the loupe" in verdict.words
    assert "too small" in verdict.words


def test_the_second_of_two_true_causes_is_a_true_answer_and_what_does_not_hold_is_none() -> None:
    filter_first = Advice("contrast", "softer", 1.0, "filter grades")
    light, hand = Advice("exposure", "less-light", 0.5, "stops"), Advice("hand", "smaller", 0.05, "density", "cheek")
    holds = (filter_first, light, hand)
    assert holding("contrast", holds) is filter_first
    assert holding("exposure", holds) is light
    assert holding("evenness", holds) is hand
    assert holding("local", holds) is None
    assert holding("as-planned", holds) is None


def test_go_on_is_understood_as_it_is_said() -> None:
    act = read_line("go on")
    assert act is not None
    assert act.verb == "go-on"


def test_without_a_screen_a_lesson_is_looked_at_in_words_by_meter_film_and_loupe(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    run = LessonRun.open(tmp_path / "log.jsonl", "time-from-a-strip", mode="solo")
    talk = Talk(run, tmp_path)
    for line in ("tell", "film", "meter white-cup bottle-body", "meter moon"):
        talk.line(line)
    out = capsys.readouterr().out
    assert "there is none yet" in out
    assert "On the light table" in out
    assert "stops brighter" in out
    assert "meter must be one of" in out
    run.predict("right")
    run.make(run.start(), COARSE)
    talk.line("tell")
    told = capsys.readouterr().out
    assert "The white cup is lost in the white of the paper." in told
    assert not any(character.isdigit() for character in told)
    assert run.stage == "see", "telling is no looking: the learner still says what is seen"
    talk.line("loupe 1 white-cup")
    assert "the lens draws" in capsys.readouterr().out
    assert (tmp_path / "01-loupe-white-cup.png").exists()


@pytest.mark.parametrize(("rim", "told"), [(0.079, False), (0.081, True)])
def test_the_edge_of_a_card_is_spoken_of_where_it_costs_and_not_before(rim: float, told: bool) -> None:
    """A print that earns everything is not said to show its card."""
    made = replace(tone("cloud", 0.13, 0.13), rim=rim, share=rim_share(rim))
    assert ("card-shows" in verdict_on_print((made,), (), contrast_free=False).besides) is told


def test_in_the_terminal_task_and_ruler_tell_what_a_window_shows(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Width asked for, and how wide it would be, before any paper is used; nothing is asked that stays untold."""
    talk = Talk(LessonRun.open(tmp_path / "log.jsonl", "height-size-and-time", mode="solo"), tmp_path)
    talk.line("task")
    told = capsys.readouterr().out
    (asked,) = (c for c in talk.run.exercise.criteria if c.kind == "size")
    assert f"{asked.wanted:g}" in told
    assert "Free: the exposure time, the height on the column." in told
    start_mm = talk.run.start().enlarger.height_mm
    widths = []
    for height_mm in (start_mm, start_mm + 100.0):
        talk.line(f"ruler height={height_mm:.1f}")
        told = capsys.readouterr().out
        widths.append(float(told.partition("picture is ")[2].partition(" mm")[0]))
    assert widths[1] > widths[0] + 20.0
    talk.line("ruler lens=50-mm")
    assert "Not so: the lens is locked" in capsys.readouterr().out
    assert not talk.run.made


@pytest.mark.parametrize(
    ("densities", "told"),
    [((0.05, 0.102, 0.17), "at step 2"), ((0.05, 0.1018, 0.17), "between step 2 and step 3, nearer to step 2"),
     ((0.05, 0.1382, 0.30), "between step 1 and step 2, nearer to step 2"), ((0.05, 0.138, 0.30), "at step 2")],
)  # fmt: skip
def test_a_time_between_two_steps_is_told_as_between_them(densities: tuple[float, ...], told: str) -> None:
    """Wanted is 0.12, as near as 0.0151: a step within 1.2 times that is the step."""
    reading = StripReading((2.0, 2.8, 4.0), densities)
    assert _follows(reading, WantedTone("cup", 0.12, 0.0151)) == told


def test_a_tone_outside_its_tolerance_is_not_said_to_lie_within_it() -> None:
    """A print may be worth no change though a tone of few points is off: then that tone is named."""
    near, off = tone("white-cup", 1.01), tone("crock-mouth", 1.10)
    assert _within((near, replace(near, place="plaster"))) == "every tone lies within its tolerance."
    assert _within((near, off)) == "what is left is little: the crock mouth reads 1.10, 0.10 too dark."
    assert "within" in _within((near, replace(off, kind="black"))), "blacker than asked for is not off"


def test_whose_aperture_makes_the_seconds_too_long_names_the_aperture_rightly() -> None:
    seconds = Advice("time", "shorter-time", 0.5, "stops", measured=44.0)
    assert holding("sharpness", (seconds,)) is seconds


def test_what_only_one_side_of_costs_is_shown_as_the_bound_it_is() -> None:
    black, even = replace(tone("bottle", 2.24, 2.0), kind="black"), replace(tone("cheek", 0.03, 0.08), kind="even")
    assert [wanted_words(mark) for mark in (tone("egg", 0.1, 0.13), black, even)] == ["0.13", "at least 2.00", "at most 0.08"]


def test_a_cause_that_the_first_takes_along_is_owned_true_without_a_size_to_dial_besides(tmp_path: Path) -> None:
    """A sheet that came out early is light too; whoever corrects both by their sizes overshoots."""
    run = LessonRun.open(tmp_path / "log.jsonl", "developed-to-the-end", mode="solo")
    start = run.start()
    right = start.with_exposures(replace(start.exposures[0], time_s=9.1))
    run.predict("right")
    run.make(replace(right, development=replace(right.development, time_s=80.0)), COARSE)
    run.see("lighter")
    run.why("exposure")
    first, comes_first, told_first = run.step.texts[:3]
    assert first.startswith("Yes")
    assert "stop" not in first
    assert comes_first.startswith("But this comes first")
    assert "too early" in told_first
