"""A trial is the reference with one decision changed: what the print shows of it, and that nothing else was touched."""

from __future__ import annotations

from dataclasses import replace

import pytest

from sim.printing.record import PrintingRecord
from sim.refusals import Refused
from sim.scoring.burn_stops import is_burn
from sim.scoring.start import locked_changes, with_card
from sim.scoring.trial import Change, Trial, apply_trial

from .small_exercise import FILM, behind, criterion, exercise, judged, record

ANSWER = record(time_s=8.0)
MIDDLE = "patch-3"
TASK = exercise(criterion("tone", MIDDLE, wanted=0.5, tolerance=0.03))


def tried(answer: PrintingRecord, change: Change) -> PrintingRecord:
    (one,) = apply_trial((answer,), Trial("one", change, "exposure", "more-light"))
    return one


def reads(one: PrintingRecord) -> float:
    return judged(TASK, one).judged_prints[0].readings.spot(FILM.place(MIDDLE))


def two(*, burn: bool = False, hold_first: bool = False) -> PrintingRecord:
    """Return a soft and a hard exposure, a place held back in the hard one or in the soft one, or burnt in after."""
    first = ANSWER.exposures[0]
    hard = behind(ANSWER, "4").exposures[0]
    both = ANSWER.with_exposures(first, hard)
    place = FILM.place(MIDDLE)
    return with_card(FILM, both, place, 0.5 if burn else -0.5, 0 if hold_first else 1)


@pytest.mark.parametrize("f_number", [5.6, 11.0])
def test_a_mark_changed_with_its_light_kept_prints_as_before_and_without_a_stop_apart(f_number: float) -> None:
    kept, plain = (tried(ANSWER, Change(f_number=f_number, keep_light=keep)) for keep in (True, False))
    assert kept.exposures[0].f_number == plain.exposures[0].f_number == f_number
    assert plain.exposures[0].time_s == ANSWER.exposures[0].time_s
    assert reads(kept) == pytest.approx(reads(ANSWER), abs=0.04)  # a lamp's coming takes more of a short time
    assert (reads(plain) - reads(ANSWER)) * (8.0 - f_number) > 0.0
    assert abs(reads(plain) - reads(ANSWER)) > 0.2


@pytest.mark.parametrize("times", [0.9, 1.2])
def test_another_height_with_its_light_kept_prints_as_before(times: float) -> None:
    mm = round(ANSWER.enlarger.height_mm * times, 1)
    kept, plain = (tried(ANSWER, Change(column_mm=mm, keep_light=keep)) for keep in (True, False))
    assert kept.enlarger.height_mm == plain.enlarger.height_mm == mm
    assert plain.exposures == ANSWER.exposures
    off = reads(plain) - reads(ANSWER)
    assert off * (1.0 - times) > 0.0
    assert abs(reads(kept) - reads(ANSWER)) < 0.5 * abs(off)  # the rule of size is that of diffuse light


def test_a_filter_is_changed_in_the_exposure_that_is_named_alone() -> None:
    both = two()
    one = tried(both, Change(filter="0", exposure=1))
    assert [e.filter.name for e in one.exposures] == ["2", "0"]
    assert [e.filter.name for e in tried(both, Change(filter="0")).exposures] == ["0", "0"]


def test_card_work_is_changed_where_there_are_cards_and_in_the_exposure_that_is_named() -> None:
    first, hard = tried(two(), Change(card_stops=0.25)).exposures
    assert first == two().exposures[0]
    now, before = hard.cards[0], two().exposures[1].cards[0]
    assert now.stop_s - now.start_s < before.stop_s - before.start_s
    with pytest.raises(Refused, match="needs card work"):
        tried(two(), Change(card_stops=0.25, exposure=0))
    in_both = with_card(FILM, two(hold_first=True), FILM.place(MIDDLE), -0.5, 1)
    soft, other = tried(in_both, Change(card_stops=0.25, exposure=0)).exposures
    assert soft != in_both.exposures[0]
    assert other == in_both.exposures[1]
    with pytest.raises(Refused, match="needs card work"):
        tried(ANSWER, Change(card_stops=0.25))


def test_a_place_held_back_or_burnt_in_otherwise_reads_so_and_one_let_be_reads_as_the_sheet() -> None:
    assert reads(tried(two(), Change(card_stops=0.25))) > reads(two()) + 0.02
    assert reads(tried(two(burn=True), Change(card_stops=-0.25))) < reads(two(burn=True)) - 0.02
    let_be = tried(two(), Change(drop_cards=True))
    assert not any(e.cards for e in let_be.exposures)
    assert reads(let_be) > reads(two()) + 0.05


def test_more_light_in_one_exposure_takes_the_burns_that_add_to_it_along() -> None:
    burnt = two(burn=True)
    longer = tried(burnt, Change(time_stops=1.0, exposure=1))
    times = [after.time_s / before.time_s for after, before in zip(longer.exposures, burnt.exposures, strict=True)]
    assert is_burn(burnt.exposures[2], 2)
    assert times == pytest.approx([1.0, 2.0, 2.0], rel=0.002)
    soft = tried(burnt, Change(time_stops=1.0, exposure=0))
    assert [soft.exposures[k] == burnt.exposures[k] for k in range(3)] == [False, True, True]
    every = tried(burnt, Change(time_stops=-1.0))
    assert [e.time_s / b.time_s for e, b in zip(every.exposures, burnt.exposures, strict=True)] == pytest.approx(
        [0.5] * 3, rel=0.002
    )


def test_a_tray_left_early_is_the_only_thing_that_changes() -> None:
    early = tried(ANSWER, Change(development_time_s=20.0))
    assert early.development.time_s == 20.0
    assert replace(early, development=ANSWER.development) == ANSWER
    assert reads(early) < reads(ANSWER) - 0.02


def test_which_copy_and_which_exposure_are_counted_from_the_first_and_no_further_than_there_are() -> None:
    trial = Trial("one", Change(filter="0", copy=1), "contrast", "softer")
    first, second = apply_trial((ANSWER, ANSWER), trial)
    assert (first, second.exposures[0].filter.name) == (ANSWER, "0")
    with pytest.raises(Refused, match="copy must be below 1"):
        apply_trial((ANSWER,), trial)
    with pytest.raises(Refused, match="exposure must be below 1"):
        tried(ANSWER, Change(filter="0", exposure=1))


def test_a_change_is_one_decision_and_names_a_filter_that_there_is() -> None:
    for many in ({}, {"time_stops": 1.0, "filter": "0"}):
        with pytest.raises(Refused, match="exactly one decision"):
            Change(**many)
    with pytest.raises(ValueError, match="9"):
        Change(filter="9")


@pytest.mark.parametrize("shift_mm", [(3.0, 0.0), (0.0, 3.0)])
def test_a_picture_moved_on_the_paper_is_told_by_its_shifts_and_a_border_by_the_sheet(shift_mm: tuple[float, float]) -> None:
    moved = replace(ANSWER, sheet=replace(ANSWER.sheet, image_shift_mm=shift_mm))
    start = record()
    told = locked_changes(exercise(unlocked=("time_s",)), FILM, moved)
    assert [(one.what, one.now, one.before) for one in told] == [("image_shift_mm", shift_mm, start.sheet.image_shift_mm)]
    wider = replace(ANSWER, sheet=replace(ANSWER.sheet, border_mm=9.0))
    told = locked_changes(exercise(unlocked=("time_s",)), FILM, wider)
    assert [(one.what, one.now) for one in told] == [("sheet", wider.sheet)]
