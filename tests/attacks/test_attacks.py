"""Who looks for points instead of a print wins nothing; who prints as people do loses nothing.

Small draws here; ``python -m tests.attacks.measured`` and ``python -m tests.attacks.search`` do the same at length.
"""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from sim.enlarger.filters import FilterSetting
from sim.negative.develop import find_negative
from sim.paper.stock import find_stock
from sim.printing.flash import flashes
from sim.scoring.checking import negatives_of
from sim.scoring.derived import read_reference, read_shown
from sim.scoring.exercise_file import find_exercise
from sim.scoring.ladder_bench import LadderBench
from sim.scoring.start import start_record
from sim.scoring.trial import with_light
from sim.teaching.lesson import LessonRun, NotNow
from sim.teaching.own_decisions import looks_lucky, tolerances_off
from sim.teaching.progress import Progress, evening_done, with_evening

from .one_filter import Attack, OneFilter
from .printers import blind_box, by_hand, millimetre_cards, with_a_tenth_of_a_second
from .search import genes_of, printed

HONEST = 6


def bench_of(name: str) -> tuple[Path, LadderBench]:
    folder, exercise = find_exercise(name)
    return folder, LadderBench(exercise, negatives_of(exercise))


@pytest.mark.parametrize("name", ["holding-back-a-face", "burning-a-sky"])
def test_millimetre_cards_over_the_named_places_do_not_pass_and_a_hands_work_does(name: str) -> None:
    folder, bench = bench_of(name)
    assert not bench.marks_of(millimetre_cards(bench)).passed(bench.exercise)
    rng = np.random.Generator(np.random.PCG64(4))
    reference = read_reference(folder)
    passed = [bench.marks_of(by_hand(reference, rng)).passed(bench.exercise) for _ in range(HONEST)]
    assert sum(passed) == HONEST


def test_a_second_exposure_of_a_tenth_of_a_second_wins_nothing() -> None:
    _, bench = bench_of("soft-and-hard")
    start = start_record(bench.exercise, bench.negatives[0], find_stock(bench.exercise.paper))
    for stops in (-1.0, 0.0, 1.0):
        one = bench.marks_of([with_light(start, stops)])
        two = bench.marks_of(with_a_tenth_of_a_second([with_light(start, stops)]))
        assert two.share == pytest.approx(one.share, abs=0.03)


def test_a_box_laid_blind_looks_like_luck_and_work_by_strips_does_not() -> None:
    _, bench = bench_of("holding-back-a-face")
    rng = np.random.Generator(np.random.PCG64(7))
    off = [tolerances_off(bench.marks_of(records).marks) for records in blind_box(bench, rng)]
    best = int(np.argmin(off))
    assert looks_lucky([*off[:best], 0.5, *off[best + 1 :]], [k for k in range(1, len(off)) if k != best])
    assert not looks_lucky([6.0, 2.5, 0.4], [1])
    assert not looks_lucky([9.0, 7.5, 5.0, 0.4], [1, 2]), "steadily nearer is no luck"
    assert not looks_lucky([0.4], [])


def lesson(tmp_path: Path, name: str, *records: object, mode: str = "solo", negatives: tuple[str, ...] = ()) -> LessonRun:
    run = LessonRun.open(tmp_path / f"{len(list(tmp_path.iterdir()))}.jsonl", name, mode=mode, negatives=negatives)
    for record in records:
        run.predict("right")
        run.make(record, 0.8)  # type: ignore[arg-type]
        run.see("right")
        run.why("as-planned")
    run.nominate(run.made)
    return run


def test_replaying_what_was_shown_masters_nothing(tmp_path: Path) -> None:
    name = "time-from-a-strip"
    folder, exercise = find_exercise(name)
    (shown,) = read_shown(folder)
    there = evening_done(lesson(tmp_path, name, shown, negatives=(shown.negative,)), 1)
    assert (there.passed, there.not_counted) == (True, "shown"), "the shown print made again on its own negative"
    here = evening_done(lesson(tmp_path, name, replace(shown, negative=exercise.negatives[0], negative_digest="")), 1)
    assert not here.passed, "the shown seconds on the negative that is practised on"
    assert with_evening(with_evening(Progress(), name, there), name, here).met == {}
    (reference,) = read_reference(folder)
    own = evening_done(lesson(tmp_path, name, with_light(reference, 0.07)), 1)
    assert (own.passed, own.not_counted) == (True, ""), "a print of its own, a fourteenth of a stop away"


def test_one_lucky_sheet_among_sheets_far_off_masters_nothing(tmp_path: Path) -> None:
    name = "time-from-a-strip"
    (reference,) = read_reference(find_exercise(name)[0])
    near = with_light(reference, 0.07)
    lucky = evening_done(lesson(tmp_path, name, *(with_light(reference, s) for s in (2.0, -1.5, 1.2)), near), 1)
    assert (lucky.passed, lucky.not_counted) == (True, "by-chance")
    worked = evening_done(lesson(tmp_path, name, *(with_light(reference, s) for s in (2.0, -0.3)), near), 1)
    assert (worked.passed, worked.not_counted) == (True, "")


def test_graded_work_ends_with_its_marks(tmp_path: Path) -> None:
    name = "a-print-of-your-own"
    negative = find_negative(find_exercise(name)[1].negatives[0])
    start = start_record(find_exercise(name)[1], negative, find_stock(find_exercise(name)[1].paper))
    run = lesson(tmp_path, name, start, with_light(start, 0.5))
    assert "nominate" not in run.step.allowed
    with pytest.raises(NotNow, match="marks of this graded evening have been shown"):
        run.nominate(1)
    with pytest.raises(NotNow, match="marks of this graded evening have been shown"):
        run.predict("right")


@pytest.mark.parametrize(("name", "mark"), [("thin-film-in-two-halves", True), ("flash-before-the-print", False)])
def test_the_search_turns_aperture_and_flash_where_the_lesson_leaves_them_open(name: str, mark: bool) -> None:
    _, bench = bench_of(name)
    exercise, negative = bench.exercise, bench.negatives[0]
    genes = np.full(genes_of(exercise), 0.1)
    marks, flashes_there = set(), []
    for gene in (0.0, 0.2, 0.21, 0.999, 1.0):
        genes[5:7] = gene
        record = printed(exercise, negative, genes)
        marks.add(record.exposures[0].f_number)
        flashes_there.append(len(flashes(record)))
    assert (len(marks) > 2) is mark
    assert flashes_there == ([0] * 5 if mark else [0, 0, 1, 1, 1])


def bred_quickly(name: str, most_cards: int, filters: tuple[str, ...]) -> tuple[float, float]:
    """Return the best real share found behind a few filters, and what passes."""
    folder, bench = bench_of(name)
    (first, *_) = read_reference(folder)
    printer = OneFilter(bench, 0, first.exposures[0].f_number, most_cards)
    rng = np.random.Generator(np.random.PCG64(23))
    found = [(worth, name, genes) for name in filters for worth, genes in printer.bred(name, 60, rng)[:1]]
    attack = Attack(bench, (first.exposures[0].f_number,), most_cards)
    return max(attack.share_of(printer, name, genes) for _, name, genes in found), bench.exercise.pass_share


@pytest.mark.parametrize("name", ["a-card-in-one-exposure", "thin-film-alone"])
def test_one_filter_and_an_ordinary_card_do_not_pass_where_a_card_in_one_half_is_taught(name: str) -> None:
    best, asked = bred_quickly(name, 1, ("0.5", "2", "3", "3.5"))
    assert 0.25 < best < asked, "near enough to be a search, and below what passes"


def test_the_search_for_a_trick_finds_one_where_there_is_one() -> None:
    best, asked = bred_quickly("soft-and-hard", 0, ("1", "1.5", "2"))
    assert best >= asked, "a pair over a whole sheet equals one filter, as that lesson says"


def test_what_one_filter_prints_is_predicted_as_it_is_marked() -> None:
    folder, bench = bench_of("a-card-in-one-exposure")
    printer = OneFilter(bench, 0, read_reference(folder)[0].exposures[0].f_number, 1)
    genes = [4.1, *(value for place in printer.places for value in (1.2 if place.name == "window-sky" else 0.0, 0.5))]
    marks = bench.marks_of([printer.record("3.5", genes)]).marks
    read = dict(zip((aim.criterion for aim in printer.asked.aims), printer.readings(FilterSetting("3.5"), genes), strict=True))
    for mark in marks:
        assert read[mark.name] == pytest.approx(mark.measured, abs=mark.tolerance), mark.name
