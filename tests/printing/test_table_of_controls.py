"""The table of controls: complete, with words for every control, and a difference for everything a record can differ in."""

from __future__ import annotations

import argparse
from dataclasses import MISSING, fields, is_dataclass, replace
from typing import Any

import pytest

from sim.bench.dry_side import SetUp
from sim.command.setting_options import add_setting_options
from sim.control_ranges import CONTROLS
from sim.enlarger.filters import FilterSetting
from sim.enlarger.settings import set_up
from sim.negative.develop import find_negative
from sim.notebook.control_words import CONTROL_TITLES, CONTROL_WORDS
from sim.notebook.exposure_plan import bars
from sim.notebook.map_steps import steps_of
from sim.notebook.record_words import changes, describe
from sim.notebook.set_up_words import SET_UP_LINES
from sim.paper.stock import find_stock
from sim.printing.card_work import burnt_in, held_back
from sim.printing.controls import DIALLED, LOCKS, TABLE, differences, lock_of, number_in_range
from sim.printing.record import PrintingRecord
from sim.printing.setup import usual_setup
from sim.refusals import Refused
from sim.scoring.burn_stops import burn_stops
from sim.scoring.exercise import Start
from sim.scoring.exercise_file import find_exercise
from sim.scoring.start import locked_changes, start_record

# digests say which state of a thing was meant, notes are nobody's decision, and what a strip is stands in its exposures
NO_DECISION = {
    "format", "note", "negative_digest", "paper_digest", "head_digest", "strip", "step", "light_s", "light_by_second",
}  # fmt: skip


@pytest.fixture(scope="module")
def record() -> PrintingRecord:
    """A straight print."""
    return usual_setup(find_negative("morning-shelf"), find_stock("glossy-rc-vc"))


def other(value: Any) -> Any:
    """Return another value of the same kind, inside every range."""
    if isinstance(value, bool):
        return not value
    if isinstance(value, float):
        return value * 0.9 if value else 0.8
    if isinstance(value, str):
        return {"glass": "glassless", "warm": "cold", "sheet": "strip", "negative": "open"}.get(value, "another")
    if isinstance(value, tuple):
        return tuple(other(v) for v in value)
    raise AssertionError(value)


def with_each_field_changed(record: PrintingRecord):
    """Yield the name of every decision of a record, and the record with it taken otherwise."""
    first = record.exposures[0]
    for part in ("", "sheet", "enlarger", "development"):
        there = getattr(record, part) if part else record
        for field in fields(there):
            value = getattr(there, field.name)
            if field.name in NO_DECISION or is_dataclass(value) or value is None or field.name == "exposures":
                continue
            changed = replace(there, **{field.name: other(value)})
            yield f"{part}.{field.name}", replace(record, **{part: changed}) if part else changed
    for field in fields(first):
        value = getattr(first, field.name)
        if field.name not in NO_DECISION and field.name not in ("filter", "cards"):
            yield f"exposure.{field.name}", record.with_exposures(replace(first, **{field.name: other(value)}))
    yield "exposure.filter", record.with_exposures(replace(first, filter=FilterSetting("4")))
    yield "exposures", record.with_exposures(first, first)
    yield "cards", held_back(record, 0, 80.0, 80.0, 30.0, 0.5)


def test_every_decision_of_a_record_is_a_difference_with_words_in_the_notebook(record) -> None:
    told = {}
    for name, changed in with_each_field_changed(record):
        found = differences(record, changed)
        assert found, name
        if name not in ("sheet.paper", "enlarger.head", "enlarger.lens", "negative", ".negative"):
            told[name] = changes(record, changed)
            assert told[name], name
    assert "exposure.time_s" in told
    assert "sheet.image_shift_mm" in told
    assert told["exposure.f_number"][0].startswith("aperture f/8")


def test_two_equal_records_differ_in_nothing(record) -> None:
    assert differences(record, record) == ()
    assert changes(record, replace(record, note="kept", negative_digest="0" * 64)) == ()


def test_every_control_of_the_set_up_that_a_record_holds_has_a_line_of_words() -> None:
    spoken = {name for line in SET_UP_LINES for name in line.controls}
    assert spoken == {name for name, control in TABLE.items() if control.of is not None}


def test_controls_of_the_bench_have_titles_and_stand_in_its_set_up() -> None:
    assert set(CONTROL_TITLES) == set(DIALLED)
    held = {field.name for field in fields(SetUp)} | {"focus_offset_mm"}
    assert {field for name in DIALLED for field in (TABLE[name].fields or (name,))} <= held


def test_what_lessons_unlock_are_the_locks_of_the_table() -> None:
    assert set(LOCKS) == set(CONTROL_WORDS)
    assert lock_of("yellow") == "filter"
    assert lock_of("sheet_width_mm") == "sheet"
    assert lock_of("negative_tilt_deg") == "negative_tilt_deg"
    assert lock_of("red_filter") == ""


def test_numbers_are_refused_beyond_the_tables_ends_and_the_ends_are_those_of_the_quantities() -> None:
    for control in TABLE.values():
        if control.limits is None or control.kind != "number":
            continue
        assert number_in_range(control.name, control.limits[1]) == control.limits[1]
        with pytest.raises(Refused, match=f"{control.name} must be between"):
            number_in_range(control.name, control.limits[1] + 0.1)
        if control.name in CONTROLS and control.name not in ("yellow", "magenta"):
            assert control.limits == (CONTROLS[control.name].low, CONTROLS[control.name].high)


@pytest.mark.parametrize("f_number", [8.0, 11.0, 5.6])
def test_plan_notebook_and_map_tell_the_same_burn(record, f_number: float) -> None:
    """A burn at f/11 after f/8: f/11 stands for 11.31, and the burn adds to the exposure through its own filter."""
    soft = replace(record.exposures[0], filter=FilterSetting("0"))
    hard = replace(soft, time_s=6.0, filter=FilterSetting("4"))
    split = burnt_in(record.with_exposures(soft, hard), 1, 80.0, 80.0, 40.0, 0.6)
    burn = replace(split.exposures[-1], f_number=f_number)
    split = split.with_exposures(*split.exposures[:-1], burn)
    bench = set_up(split.enlarger, find_negative("morning-shelf"))
    stops = burn_stops(split.exposures, len(split.exposures) - 1)
    assert stops is not None
    (bar,) = (bar for bar in bars(split.exposures, 0, split.sheet, bench) if bar.kind == "burn")
    assert bar.stops == pytest.approx(stops, abs=0.005)
    assert any(f"burn in {stops:.2g} stop" in line for line in describe(split))
    marks = {(k, n): "x" for k, e in enumerate(split.exposures) for n in range(len(e.cards))}
    assert [step.stops for step in steps_of(split, bench, marks) if step.words.startswith("Burn in")] == [f"{stops:+.1f}"]
    assert any(f"burn in {stops:.2g} stop" in line for line in changes(record.with_exposures(soft, hard), split))


def test_every_room_begins_at_the_tables_usual_values(record) -> None:
    parser = argparse.ArgumentParser()
    add_setting_options(parser)
    options = vars(parser.parse_args([]))
    given = {"border_mm": "border", "f_number": "f_number", "filter": "filter", "yellow": "yellow", "magenta": "magenta"}
    assert {name: options[key] for name, key in given.items()} == {name: TABLE[name].usual for name in given}
    assert options["sheet"] == TABLE["sheet"].usual
    for there in (SetUp, Start):
        for field in fields(there):
            usual = TABLE[field.name].usual if field.name in TABLE else None
            if usual is not None and field.default not in (None, MISSING):
                assert field.default == usual, (there, field.name)
    for name in ("border_mm", "f_number", "time_s", "focus_offset_mm", "carrier", "temperature_c"):
        control = TABLE[name]
        value = control.of(record) if control.of else control.of_exposure(record.exposures[0])
        assert value == control.usual, name


def test_whatever_is_locked_and_stands_otherwise_in_a_record_is_found() -> None:
    """A stronger bath or a lamp at another voltage is found as well as another height: the table knows them all."""
    _, exercise = find_exercise("time-from-a-strip")
    negative = find_negative(exercise.negatives[0])
    start = start_record(exercise, negative, find_stock(exercise.paper))
    only_time = replace(exercise, unlocked=("time_s",))
    for part, there in (("enlarger", start.enlarger), ("development", start.development), ("sheet", start.sheet)):
        for field in fields(there):
            if field.name in NO_DECISION:
                continue
            moved = replace(start, **{part: replace(there, **{field.name: other(getattr(there, field.name))})})
            assert locked_changes(only_time, negative, moved), f"{part}.{field.name}"
    assert locked_changes(only_time, negative, start) == ()
    nearly = replace(start, enlarger=replace(start.enlarger, height_mm=start.enlarger.height_mm + 0.1))
    assert locked_changes(only_time, negative, nearly) == ()
