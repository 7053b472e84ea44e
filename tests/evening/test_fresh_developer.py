"""Fresh developer is a decision: it takes minutes and a litre, and the tired bath is gone for good."""

from __future__ import annotations

import shutil
from dataclasses import replace
from pathlib import Path

import pytest

from sim.evening.evening import Evening, EveningEnded
from sim.evening.evening_state import FRESH_DEVELOPER_L, POURING_S, state_of
from sim.evening.log import append_line, read_log
from sim.printing.record import PrintingRecord
from sim.printing.record_file import record_data
from sim.reading import ValueRefused, data_folder
from sim.refusals import Refused
from sim.scoring.start import locked_changes
from sim.teaching.lesson import LessonRun, NotNow
from tests.bench.darkrooms import OnlyTime, small_room
from tests.evening.test_evening import BOWL, PX_PER_MM, record


def after(used: float) -> PrintingRecord:
    return replace(record(), development=replace(record().development, sheets_before=used))


def opened(folder: Path, minutes: float = 60.0, exercise: str = "a-tired-developer") -> Evening:
    return Evening.open(folder / "evening.jsonl", minutes=minutes, exercise=exercise)


def test_pouring_takes_its_minutes_and_a_litre_and_stands_in_the_log(tmp_path: Path) -> None:
    with opened(tmp_path) as bench:
        before = bench.state.minutes_left
        bench.pour()
        assert before - bench.state.minutes_left == pytest.approx(POURING_S / 60.0)
        assert bench.state.poured_l == FRESH_DEVELOPER_L
        assert state_of(read_log(bench.file).lines, bench.file) == bench.state


@pytest.mark.parametrize(("spare_s", "there"), [(0.5, True), (-0.5, False)])
def test_an_evening_that_ends_sooner_has_no_time_for_it(spare_s: float, there: bool, tmp_path: Path) -> None:
    with opened(tmp_path, minutes=(POURING_S + spare_s) / 60.0) as bench:
        if there:
            bench.pour()
        else:
            with pytest.raises(EveningEnded, match="must have 4 minutes"):
                bench.pour()
        assert bool(bench.state.poured_l) is there


def test_a_sheet_goes_through_the_developer_that_stands_in_the_tray_and_through_no_other(tmp_path: Path) -> None:
    """A log that says otherwise is refused when it is read, too."""
    with opened(tmp_path) as bench:
        bench.make(BOWL, after(65.0), PX_PER_MM)
        with pytest.raises(ValueRefused, match="must be 65, as many as the developer in the tray has seen"):
            bench.make(BOWL, after(0.0), PX_PER_MM)
        bench.pour()
        with pytest.raises(ValueRefused, match="must be 0, as many"):
            bench.make(BOWL, after(65.0), PX_PER_MM)
        bench.make(BOWL, after(0.0), PX_PER_MM)
        given = record_data(bench.state.sheets[0].record)
        append_line(bench.file, "sheet", {"record": given}, bench.last)
    with pytest.raises(ValueRefused, match="must be 0, as many"):
        state_of(read_log(bench.file).lines, bench.file)


def test_at_the_bench_every_sheet_after_the_pouring_is_developed_fresh(tmp_path: Path) -> None:
    room = small_room(tmp_path)
    room._desk_file.keep(set_up=replace(room.desk.now, sheets_before=70.0))
    assert room.tray.tired
    for poured in (False, True):
        if poured:
            room.tray.pour_fresh()
        room.paper.take("sheet")
        room.paper.expose(6.0)
        room.tray.put_in()
        if not poured:
            with pytest.raises(Refused, match="let it come to its end"):
                room.tray.pour_fresh()
        room.tray.finish()
        room.tray.clear()
    assert [made.record.development.sheets_before for made in room.evening.state.sheets] == [70.0, 0.0]
    assert not room.tray.tired
    with pytest.raises(Refused, match="fresh already"):
        room.tray.pour_fresh()
    assert room.evening.state.poured_l == FRESH_DEVELOPER_L


def test_a_lesson_that_locks_it_says_so(tmp_path: Path) -> None:
    room = small_room(tmp_path, rules=OnlyTime())
    with pytest.raises(Refused, match="fresh_developer is not what is practised here"):
        room.tray.pour_fresh()


@pytest.fixture
def tired(tmp_path: Path) -> LessonRun:
    """The lesson on a tired developer, fresh developer open."""
    folder = tmp_path / "a-tired-developer"
    shutil.copytree(data_folder("lessons") / "a-tired-developer", folder)
    file = folder / "exercise.toml"
    text = file.read_text(encoding="utf-8")
    if '"fresh_developer"' not in text:
        text = text.replace('"development_time_s"]', '"development_time_s", "fresh_developer"]')
    file.write_text(text, encoding="utf-8")
    return LessonRun.open(tmp_path / "log.jsonl", str(folder), mode="solo")


def test_a_lesson_begins_in_the_tired_bath_and_goes_on_in_the_fresh_one(tired: LessonRun) -> None:
    used = tired.exercise.start.sheets_before
    assert used > 0.0
    assert tired.start().development.sheets_before == used
    assert "pour" in tired.step.allowed
    tired.predict("darker")
    other = replace(tired.start(), development=replace(tired.start().development, sheets_before=0.0))
    with pytest.raises(NotNow, match="pour a fresh one first"):
        tired.make(other)
    tired.pour()
    assert tired.start().development.sheets_before == 0.0
    assert "pour" not in tired.step.allowed
    with pytest.raises(NotNow, match="fresh already"):
        tired.pour()


def test_no_other_count_of_sheets_is_anybodys_to_choose(tired: LessonRun) -> None:
    start = tired.start()
    for used, moved in ((0.0, []), (30.0, ["fresh_developer"])):
        one = replace(start, development=replace(start.development, sheets_before=used))
        assert [each.control for each in locked_changes(tired.exercise, tired.negatives[0], one)] == moved
