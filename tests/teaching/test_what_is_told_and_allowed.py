"""What a lesson allows at a stage, what it says of an example's decisions, by which tones it reads, as a learner meets it."""

from __future__ import annotations

from dataclasses import replace
from types import SimpleNamespace
from typing import Any

import pytest

from sim.enlarger.filters import FilterSetting
from sim.enlarger.light_given import expected_light_s
from sim.enlarger.settings import head_of
from sim.paper.development import Development
from sim.printing.record import Sheet
from sim.printing.strips import lay_strip
from sim.scoring.advice_facts import Advice
from sim.scoring.marks import Mark
from sim.teaching.lesson_looks import print_choices, tone_pair, verdict_on_print
from sim.teaching.lesson_texts import allowed, litres_in_words, sheets_in_words
from sim.teaching.own_decisions import _fitting
from sim.teaching.strip_verdict import lost_in_bursts, wanted_tones
from sim.teaching.worked_example import decisions
from tests.scoring.small_exercise import FILM, PAPER, behind, criterion, exercise, record

ANSWER = record(time_s=8.0)


def run(stage: str, **changed: Any) -> Any:
    """A lesson so far: nothing printed, nothing chosen, in no examination, hints to be had."""
    told = {"graded": False, "exam": False, "shown_next": False, "may_pour": False, "hint": True, "sheets": (), "nominated": (),
            **changed}  # fmt: skip
    sheets = tuple(SimpleNamespace(record=SimpleNamespace(sheet=SimpleNamespace(kind=kind))) for kind in told["sheets"])
    state = SimpleNamespace(sheets=sheets, nominated=told["nominated"])
    return SimpleNamespace(
        stage=stage, graded=told["graded"], exam=told["exam"], shown_next=told["shown_next"], may_pour=told["may_pour"],
        evening=SimpleNamespace(state=state), no_hint=lambda: "" if told["hint"] else "none is left",
    )  # fmt: skip


@pytest.mark.parametrize(
    ("stage", "told", "acts"),
    [
        ("done", {}, ()), ("brief", {}, ("go-on", "predict", "hint")), ("brief", {"hint": False}, ("go-on", "predict")),
        ("brief", {"may_pour": True}, ("go-on", "predict", "pour", "hint")),
        ("make", {}, ("strip", "print", "predict", "hint")), ("make", {"shown_next": True}, ("play", "predict", "hint")),
        ("make", {"sheets": ("strip",)}, ("strip", "print", "predict", "hint")),
        ("make", {"sheets": ("strip", "sheet")}, ("strip", "print", "predict", "nominate", "hint")),
        ("make", {"sheets": ("sheet",), "shown_next": True}, ("play", "predict", "hint")),
        ("make", {"may_pour": True}, ("strip", "print", "predict", "pour", "hint")),
        ("see", {"sheets": ("sheet",), "may_pour": True}, ("see",)), ("explain", {"sheets": ("sheet",)}, ("why",)),
        ("marks", {"sheets": ("sheet",)}, ("predict", "hand-in", "nominate", "hint")),
        ("marks", {"sheets": ("sheet",), "may_pour": True}, ("predict", "hand-in", "nominate", "hint")),
        ("marks", {"sheets": ("sheet",), "graded": True, "nominated": (1,)}, ("hand-in",)),
        ("marks", {"sheets": ("sheet",), "nominated": (1,)}, ("predict", "hand-in", "nominate", "hint")),
        ("marks", {"sheets": ("sheet",), "graded": True, "exam": True, "nominated": (1,), "hint": False},
         ("predict", "hand-in", "nominate")),
        ("make", {"sheets": ("sheet",), "graded": True}, ("strip", "print", "predict", "nominate", "hint")),
    ],
)  # fmt: skip
def test_what_may_be_done_follows_from_the_stage(stage: str, told: dict[str, Any], acts: tuple[str, ...]) -> None:
    """Once sheets are named a graded lesson gives no hint more and takes no other choice; in an examination they may change."""
    assert allowed(run(stage, **told)) == acts


def test_nothing_is_said_of_what_stayed_as_it_was() -> None:
    assert decisions(ANSWER, ANSWER) == ("Nothing is changed against the start.",)


@pytest.mark.parametrize(
    ("changes", "said"),
    [
        ({"height_mm": 0.18}, ""), ({"height_mm": 0.22}, "goes up to"), ({"height_mm": -0.22}, "goes down to"),
        ({"focus_offset_mm": 0.2}, "focus magnifier"), ({"easel_tilt_deg": 1.0}, "set level"),
        ({"negative_tilt_deg": 0.5}, "set level"),
    ],
)  # fmt: skip
def test_every_part_of_the_set_up_that_moved_is_told_and_only_that(changes: dict[str, float], said: str) -> None:
    settings = ANSWER.enlarger
    moved = replace(settings, **{key: getattr(settings, key) + by for key, by in changes.items()})
    lines = decisions(ANSWER, replace(ANSWER, enlarger=moved))
    assert len(lines) == 1
    assert (said or "Nothing is changed") in lines[0]


def test_filter_time_mark_and_tray_are_told_each_in_a_line_of_its_own() -> None:
    first = ANSWER.exposures[0]
    made = replace(behind(ANSWER, "4"), development=Development(90.0))
    made = made.with_exposures(replace(made.exposures[0], time_s=16.0, f_number=11.0))
    lines = decisions(ANSWER, made)
    parts = ("90 s", f"f/{first.f_number:g} to f/11", "instead of", "16 s at f/11 instead of 8 s")
    assert [part in line for part, line in zip(parts, lines, strict=True)] == [True] * 4
    assert "4" in lines[2]
    assert "hardly any other light" in lines[3], "twice the seconds, half the light of the lens"
    assert not any("filter" in line for line in decisions(ANSWER, record(time_s=16.0)))


def test_the_lightest_exact_tone_decides_and_one_sided_wishes_and_carded_places_wait() -> None:
    task = exercise(
        criterion("at-most", "patch-1", wanted=0.1), criterion("tone", "patch-5", wanted=1.4),
        criterion("tone", "patch-3", wanted=0.6), criterion("tone", "patch-2", wanted=0.3, negative=2),
        criterion("sharp", "patch-4", wanted=0.3),
    )  # fmt: skip
    assert [tone.place for tone in wanted_tones(task, FILM, 0)] == ["patch-3", "patch-5", "patch-1"]
    assert [tone.place for tone in wanted_tones(task, FILM, 1)] == ["patch-2", "patch-3", "patch-5", "patch-1"]


@pytest.mark.parametrize(
    ("kind", "first", "many"),
    [
        ("softer-harder", "contrast", 3), ("filter", "filter 00", 12), ("seconds", "the cup", 4),
        ("lighter-darker", "the cup", 3),
    ],
)  # fmt: skip
def test_the_answers_about_a_print_are_those_of_what_was_asked(kind: str, first: str, many: int) -> None:
    choices = print_choices(kind, "cup")
    assert choices[0].words.startswith(first)
    assert len(choices) == many


def test_a_shown_print_is_looked_for_on_ones_own_negative_first_and_else_laid_on_it() -> None:
    mine, theirs = replace(ANSWER, negative="bowl"), replace(record(time_s=5.0), negative="cup")
    assert _fitting(exercise(), [mine, theirs], mine) == [mine]
    (there,) = _fitting(exercise(), [theirs], mine)
    assert (there.negative, there.exposures) == ("bowl", theirs.exposures)


@pytest.mark.parametrize(("step", "bursts"), [(1, 1), (2, 2), (3, 3)])
def test_what_bursts_lose_is_the_lamps_coming_once_for_every_switching_but_one(step: int, bursts: int) -> None:
    piece = replace(ANSWER, sheet=Sheet(PAPER, 40.0, 120.0))
    laid = lay_strip(piece, (2.0, 4.0, 6.0), 8.0, FilterSetting("2"), "bursts").record
    lost = lost_in_bursts(laid, step)
    whole, one = expected_light_s(2.0 * bursts, head_of(laid.enlarger)), expected_light_s(2.0, head_of(laid.enlarger))
    assert 2.0**lost == pytest.approx(whole / (bursts * one), rel=1e-6)
    assert (lost > 0.02) is (bursts > 1)
    assert lost_in_bursts(lay_strip(piece, (2.0, 4.0, 6.0), 8.0, FilterSetting("2")).record, step) == 0.0


def mark(place: str, wanted: float, miss: float = 0.0, kind: str = "tone", points: float = 4.0) -> Mark:
    return Mark(place, kind, place, wanted + miss, wanted, 0.03, miss, 1.0 if abs(miss) <= 0.03 else 0.0, points, points)


@pytest.mark.parametrize(("darker", "apart"), [(0.39, False), (0.41, True)])
def test_two_tones_show_contrast_where_they_are_three_tenths_apart(darker: float, apart: bool) -> None:
    pair = tone_pair([mark("wall", darker), mark("cup", 0.1)])
    assert (pair is not None) is apart
    if pair:
        assert [one.place for one in pair] == ["cup", "wall"]
    assert tone_pair([mark("cup", 0.1)]) is None
    assert tone_pair([mark("cup", 0.1), mark("wall", 0.9, kind="at-most")]) is None


@pytest.mark.parametrize(("direction", "stops"), [("more-light", 0.5), ("less-light", -0.5)])
def test_light_that_holds_is_said_by_its_own_stops_and_a_right_tone_wants_none(direction: str, stops: float) -> None:
    marks, of_light = [mark("cup", 0.1, 0.2)], Advice("exposure", direction, 0.5, "stops")
    of_contrast = Advice("contrast", "softer", 1.0, "grades")
    assert verdict_on_print(marks, (of_contrast, of_light), True).off_stops == stops
    assert verdict_on_print(marks, (of_contrast,), True).off_stops is None
    assert verdict_on_print([mark("cup", 0.1)], (), True).off_stops == 0.0


def test_one_litre_and_one_sheet_are_said_in_the_singular() -> None:
    assert [litres_in_words(many) for many in (1.0, 2.0, 0.5)] == ["1 litre", "2 litres", "0.5 litres"]
    assert [sheets_in_words(many) for many in (1.0, 1.25)] == ["1 sheet", "1.25 sheets"]
