"""A card in one of two exposures: all that lies under it is known, so that its fault is named and not the light's."""

from __future__ import annotations

from dataclasses import replace
from functools import lru_cache

import numpy as np
import pytest

from sim.notebook.advice_words import advice_words
from sim.printing.flash import flash_share, flashed_by
from sim.printing.record import PrintingRecord
from sim.refusals import Refused
from sim.scoring.advice import Advice, advise
from sim.scoring.checking import negatives_of
from sim.scoring.derived import read_reference
from sim.scoring.exercise import Exercise, Spread
from sim.scoring.exercise_file import find_exercise
from sim.scoring.judged import judge
from sim.scoring.ladder_bench import LadderBench
from sim.scoring.marks import score
from sim.scoring.start import Dials, Half, random_dials
from sim.scoring.trial import with_light
from sim.scoring.under_a_card import DARKEST, stops_there
from sim.words import Words

LESSONS = {"thin-film-in-two-halves": (0, "low-crock", "soft"), "thin-film-alone": (1, "cup-shade", "hard")}


@lru_cache(maxsize=3)
def lesson(name: str) -> tuple[Exercise, LadderBench, PrintingRecord]:
    folder, exercise = find_exercise(name)
    return exercise, LadderBench(exercise, negatives_of(exercise)), read_reference(folder)[0]


def told(name: str, record: PrintingRecord) -> tuple[Advice, ...]:
    exercise, bench, _ = lesson(name)
    judged = judge(exercise, bench.negatives, (record,), 1.0, lights=bench.lights, only_places=True)
    return advise(exercise, judged, score(judged, exercise))


def without_card(record: PrintingRecord) -> PrintingRecord:
    return record.with_exposures(*(replace(one, cards=()) for one in record.exposures))


def in_the_other_half(record: PrintingRecord, half: int) -> PrintingRecord:
    one, other = record.exposures[half], record.exposures[1 - half]
    (card,) = one.cards
    moved = replace(card, stop_s=card.stop_s * other.time_s / one.time_s)
    exposures = [replace(one, cards=()), replace(other, cards=(moved,))]
    return record.with_exposures(*(exposures if half == 0 else exposures[::-1]))


@pytest.mark.parametrize("name", LESSONS)
def test_where_only_the_card_is_missing_it_is_the_card_that_is_named_and_its_half(name: str) -> None:
    _, place, which = LESSONS[name]
    (first, *more) = told(name, without_card(lesson(name)[2]))
    assert (first.cause, first.direction, first.place, first.exposure) == ("local", "more-hold-back", place, which)
    assert [one.cause for one in more if one.cause in ("exposure", "contrast")] == []
    assert f"in the {which} exposure" in advice_words(first, Words())


@pytest.mark.parametrize("name", LESSONS)
def test_where_the_card_worked_in_the_other_half_that_is_named(name: str) -> None:
    half, place, which = LESSONS[name]
    first = told(name, in_the_other_half(lesson(name)[2], half))[0]
    assert (first.cause, first.direction, first.place, first.exposure) == ("place", "other-exposure", place, which)


@pytest.mark.parametrize("name", LESSONS)
def test_where_only_one_half_is_too_long_no_card_is_blamed(name: str) -> None:
    for exposure, which in ((0, "soft"), (1, "hard")):
        first = told(name, with_light(lesson(name)[2], 0.5, exposure))[0]
        assert (first.cause, first.direction, first.exposure) == ("exposure", "less-light", which)


def test_a_share_of_a_card_does_that_share_of_its_work() -> None:
    assert stops_there(1.0, -1.5) == pytest.approx(-1.5)
    assert stops_there(0.5, -1.0) == pytest.approx(np.log2(0.75))
    assert stops_there(0.5, 1.0) == pytest.approx(np.log2(1.5))
    assert stops_there(0.0, -3.0) == 0.0


def test_no_card_shuts_out_all_light() -> None:
    """Just inside the limit it is reckoned, just outside held there."""
    limit = float(np.log2(DARKEST))
    assert stops_there(1.0, limit + 0.1) == pytest.approx(limit + 0.1)
    assert stops_there(1.5, -2.0) == pytest.approx(limit)


def test_random_starts_of_a_pair_have_their_card_in_either_half() -> None:
    exercise, bench, _ = lesson("thin-film-in-two-halves")
    rng = np.random.Generator(np.random.PCG64(3))
    drawn = [random_dials(exercise, bench.negatives[0], rng) for _ in range(40)]
    assert all(one.second is not None and one.second.filter == "5" for one in drawn)
    halves = {(bool(one.cards), bool(one.second and one.second.cards)) for one in drawn}
    assert halves == {(True, False), (False, True)}


def test_a_second_half_is_one_more_exposure_of_the_whole_sheet_at_the_same_aperture() -> None:
    exercise, bench, _ = lesson("thin-film-in-two-halves")
    start = replace(exercise.start, f_number=32.0, time_s=10.0)
    made = Dials(start, second=Half("5", 40.0, (("low-crock", -1.0),))).record(bench.negatives[0], exercise.stock)
    assert [(e.time_s, e.f_number, e.filter.graded, len(e.cards)) for e in made.exposures] == [
        (10.0, 32.0, "00", 0), (40.0, 32.0, "5", 1),
    ]  # fmt: skip


def test_seconds_of_a_second_half_stand_only_beside_its_filter() -> None:
    with pytest.raises(Refused, match="second_stops"):
        Spread(second_stops=(0.0, 1.0))
    with pytest.raises(Refused, match="second_filter"):
        Spread(second_filter=("7",))



def test_flash_is_asked_for_where_only_it_is_missing_and_less_where_it_fogs() -> None:
    name = "flash-before-the-print"
    exercise, bench, record = lesson(name)
    negative, stock = bench.negatives[0], exercise.stock
    share = flash_share(negative, record, stock)
    for other, direction in ((0.0, "more-flash"), (share + 0.4, "less-flash")):
        (first, *_) = told(name, flashed_by(negative, record, stock, other))
        assert (first.cause, first.direction) == ("flash", direction)
        assert first.size == pytest.approx(abs(share - other), rel=0.25)
        assert "what this paper bears unseen" in advice_words(first, Words())
