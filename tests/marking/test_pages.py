"""Charts, and what a sheet changed, in words."""

from __future__ import annotations

import re
from dataclasses import replace
from typing import Literal
from xml.etree import ElementTree

import pytest
from class_room import ClassRoom
from made_results import results, row

from sim.enlarger.filters import FilterSetting
from sim.marking.changes import changes_between
from sim.marking.charts import attempt_curves, lying_bars, standing_bars, tolerance_gauge
from sim.marking.class_page import cause_words
from sim.marking.feedback_page import feedback_text
from sim.marking.pages import file_name, number, page_text, points_text
from sim.marking.statuses import WORDS, said_status
from sim.printing.card_work import held_back
from sim.printing.record import Exposure
from sim.printing.strips import lay_strip
from sim.viewing.plain_names import plain_name


def drawn(svg: str, kind: str) -> list[dict[str, str]]:
    """Return the elements of a kind in a drawing; fails where it is no well-formed XML."""
    return [dict(one.attrib) for one in ElementTree.fromstring(svg).iter(kind)]


def test_bars_are_as_tall_as_they_should_be_and_empty_ones_are_left_out() -> None:
    bars = drawn(standing_bars("t", [("0", 2), ("10", 0), ("20", 4)], "axis"), "rect")
    assert [float(b["height"]) for b in bars] == [48.0, 96.0]


def test_lying_bars_share_one_scale() -> None:
    lengths = [float(b["width"]) for b in drawn(lying_bars("t", [("a", 1.0, "1"), ("b", 0.25, "2")], 1.0), "rect")]
    assert lengths == [240.0, 240.0, 240.0, 60.0]


def test_curves_go_through_their_points() -> None:
    (one, mean) = drawn(attempt_curves("t", [(0.0, 1.0)], (0.0, 0.5)), "polyline")
    assert one["points"] == "52.0,132.0 326.0,12.0"
    assert mean["points"] == "52.0,132.0 326.0,72.0"


@pytest.mark.parametrize(("measured", "x"), [(0.6, 60.0), (0.65, 74.0), (0.4, 4.0), (0.0, 4.0), (2.0, 116.0)])
def test_the_gauge_points_at_the_reading_and_stays_inside(measured: float, x: float) -> None:
    (mark,) = drawn(tolerance_gauge(measured, 0.6, 0.05), "circle")
    assert float(mark["cx"]) == pytest.approx(x, abs=0.06)


def test_texts_in_charts_are_escaped() -> None:
    for svg in (standing_bars("<x>", [("<a>", 1)], "&"), lying_bars("<x>", [("<a&b>", 1.0, "<1>")])):
        assert "<a" not in svg
        ElementTree.fromstring(svg)


def test_a_name_missing_in_a_template_is_an_error_and_no_empty_place() -> None:
    from jinja2 import UndefinedError

    with pytest.raises(UndefinedError):
        page_text("class.html", {"title": "x"})


def test_file_names_tell_learners_apart_on_any_disk() -> None:
    names = ["kk01", "Kk01", "KK01", "a/b", "a\\b", "..", ".", "con<", "ä", "x" * 300, "x" * 301, ""]
    found = [file_name(name) for name in names]
    assert len({name.lower() for name in found}) == len(names)
    assert all(re.fullmatch(r"[a-z0-9][a-z0-9._-]{0,80}|-+-[0-9a-f]{8}|-[a-z0-9-]+", name) for name in found), found
    assert found[0] == "kk01"


def test_numbers_for_people() -> None:
    assert (number(None), number(-0.004), number(-1.5), points_text(80.0), points_text(66.666)) == (
        "", "0.00", "\N{MINUS SIGN}1.50", "80", "66.7",
    )  # fmt: skip


def test_a_first_sheet_says_how_it_was_exposed(room: ClassRoom) -> None:
    (words,) = changes_between(None, room.record(5.0))
    assert "5.0 s" in words
    assert "filter 2" in words


def test_a_strip_of_many_steps_is_not_read_out(room: ClassRoom) -> None:
    steps = room.record(5.0).with_exposures(*[Exposure(2.0, 8.0)] * 7)
    words = changes_between(None, steps)
    assert len(words) == 5
    assert words[-1] == "and 3 exposures more"


@pytest.mark.parametrize("way", ["bursts", "covered", "same-place"])
def test_a_strip_is_told_by_its_steps_and_not_as_burns(
    room: ClassRoom, way: Literal["bursts", "covered", "same-place"]
) -> None:
    record = room.record(5.0)
    sheet = replace(record, sheet=replace(record.sheet, kind="strip"))
    steps, hard = (4.0, 8.0, 16.0), FilterSetting(graded="5")
    told = "3 steps: 4.0, 8.0, 16.0 s at f/8, filter 5"
    assert changes_between(None, lay_strip(sheet, steps, 8.0, hard, way).record) == [told]
    soft = Exposure(7.5, 8.0, FilterSetting(graded="00"))
    words = changes_between(None, lay_strip(sheet, steps, 8.0, hard, way, each=(soft,)).record)
    assert words == [told, "over it: 7.5 s at f/8, filter 00"]


def test_what_changed_is_said_with_its_size(room: ClassRoom) -> None:
    first = room.record(5.0)
    wider = replace(first.exposures[0], time_s=10.0, filter=FilterSetting("3"))
    assert changes_between(first, first) == ["nothing changed: the same decisions again"]
    time, filters = changes_between(first, first.with_exposures(wider))
    assert "+1.00 stop" in time
    assert "3" in filters
    (card,) = changes_between(first, held_back(first, 0, 20.0, 15.0, 10.0, 0.5))
    assert "card added" in card


def test_names_from_files_are_said_without_hyphens() -> None:
    assert plain_name("lightest-tone") == "lightest tone"
    assert plain_name("pit-under-clouds~second") == "pit under clouds, second"


def test_states_and_causes_on_pages_are_words() -> None:
    assert [said_status(state) for state in ("marked", "late", "out-of-range", "failed(time)", "missing")] == [
        "marked", "marked, late", "out of range", "failed (time)", "missing",
    ]  # fmt: skip
    assert said_status("failed", "memory") == "failed (memory)"
    assert (cause_words("local"), cause_words("exposure")) == ("burning in and holding back", "exposure")
    assert not any("-" in said_status(state) for state in WORDS)


def test_excused_work_is_no_bar_and_no_part_of_what_a_learners_total_is_out_of() -> None:
    names = ("one", "two", "three", "four")
    rows = [row("a", None, 50.0, exercise=name) for name in names[:3]]
    rows.append(row("a", None, None, exercise="four", status="excused"))
    page = feedback_text(results(*rows, exercises=names), "a", lambda content: None)
    assert "150 of 300 points in all." in page
    assert page.count("<li>Exercise") == 3


@pytest.mark.parametrize(("points", "shown"), [(6.55, "6.6"), (7.55, "7.6"), (0.05, "0.1"), (2.25, "2.3"), (6.549, "6.5")])
def test_half_a_tenth_is_rounded_up_wherever_points_stand(points: float, shown: str) -> None:
    from sim.marking.pages import number, points_text

    assert (number(points, 1), points_text(points)) == (shown, shown)
