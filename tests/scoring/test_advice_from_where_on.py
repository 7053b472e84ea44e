"""From where on something is told of a print, and how much of it at most: just inside it is said, just outside it is not."""

from __future__ import annotations

from dataclasses import dataclass, replace
from types import SimpleNamespace
from typing import Any

import numpy as np
import pytest

import sim.scoring.advice_of_hands as of_hands
from sim.enlarger.filters import FilterSetting
from sim.notebook.advice_words import advice_words
from sim.paper.development import Development
from sim.paper.stock import find_stock
from sim.printing.flash import flashed_by
from sim.printing.record import PrintingRecord
from sim.scoring.advice import Advice, advise, advise_on_one
from sim.scoring.advice_from_tones import Explained
from sim.scoring.advice_on_hands import hand_advice
from sim.scoring.exercise import Criterion, Exercise
from sim.scoring.hand_faults import HandFault
from sim.scoring.marks import score
from sim.scoring.possible_causes import Cause
from sim.scoring.start import with_card
from sim.scoring.tone_aims import Aim, ToneAims
from sim.scoring.trial import with_light
from sim.teaching.lesson_texts import holding
from sim.words import Words

from .small_exercise import FILM, PAPER, as_printed, behind, criterion, exercise, judged, record

ANSWER = record(time_s=7.0)
ENDS = ("patch-1", "patch-3", "patch-5")


def told(task: Exercise, one: PrintingRecord) -> tuple[Advice, ...]:
    print_of = judged(task, one)
    return advise(task, print_of, score(print_of, task))


def off_by(aim: Criterion, density: float) -> Criterion:
    """The same place wished for so much darker than it reads."""
    return replace(aim, wanted=aim.wanted + density)


@pytest.mark.parametrize(("points", "causes"), [(0.45, []), (0.52, ["size"])])
def test_what_costs_less_than_half_a_hundredth_of_the_points_is_not_worth_a_line(points: float, causes: list[str]) -> None:
    ruler = exercise(criterion("size", wanted=100.0))
    width = score(judged(ruler, ANSWER), ruler).marks[0].measured
    size = criterion("size", wanted=width + 60.0, tolerance=2.0, points=points)
    (tone,) = as_printed(ANSWER, "patch-3")
    task = exercise(replace(tone, points=96.0), size, unlocked=("time_s", "height_mm"))
    assert [one.cause for one in told(task, ANSWER)] == causes


@pytest.mark.parametrize(("lost", "causes"), [(0.017, []), (0.0235, ["sharpness"])])
def test_a_remedy_that_wins_back_less_than_a_fiftieth_is_none(lost: float, causes: list[str]) -> None:
    """An easel left askew: told only where making it level wins back two hundredths of the points for sharpness."""
    tilted = replace(ANSWER, enlarger=replace(ANSWER.enlarger, easel_tilt_deg=4.0))
    ask = exercise(criterion("sharp", "patch-1", wanted=0.5))
    now, level = (score(judged(ask, one), ask).marks[0].measured for one in (tilted, ANSWER))
    wanted = now + 0.01 * (1.0 + 3.0 * lost)
    assert level > wanted
    task = exercise(criterion("sharp", "patch-1", wanted=wanted, tolerance=0.01), unlocked=("easel_tilt_deg",))
    assert [one.cause for one in told(task, tilted)] == causes


@pytest.mark.parametrize(("lost", "places"), [(0.05, ["patch-3"]), (0.07, ["patch-3", "patch-5"])])
def test_a_second_cause_is_told_only_where_it_wins_three_hundredths_of_the_points(lost: float, places: list[str]) -> None:
    """Two places that want a card: the second lacks 2.5 or 3.5 hundredths of all points."""
    first, second = as_printed(ANSWER, "patch-3", "patch-5")
    task = exercise(off_by(first, -0.3), off_by(second, 0.03 * (1.0 + 3.0 * lost)), unlocked=("cards",))
    assert sorted(one.place for one in told(task, ANSWER)) == places


def test_three_places_that_want_a_card_are_told_all_three() -> None:
    aims = as_printed(ANSWER, "patch-3", "patch-4", "patch-5")
    task = exercise(*(off_by(aim, -0.25) for aim in aims), unlocked=("cards",))
    assert sorted(one.place for one in told(task, ANSWER)) == ["patch-3", "patch-4", "patch-5"]


@pytest.mark.parametrize(("time_s", "causes"), [(7.13, []), (7.17, ["exposure"]), (6.87, []), (6.83, ["exposure"])])
def test_light_is_told_from_three_hundredths_of_a_stop_on(time_s: float, causes: list[str]) -> None:
    task = exercise(*as_printed(ANSWER, *ENDS, tolerance=0.002))
    assert [one.cause for one in told(task, record(time_s=time_s))] == causes


@pytest.mark.parametrize(("time_s", "causes"), [(7.21, []), (7.29, ["local"]), (6.8, []), (6.73, ["local"])])
def test_light_for_one_place_is_told_from_a_twentieth_of_a_stop_on(time_s: float, causes: list[str]) -> None:
    task = exercise(*as_printed(ANSWER, "patch-3", tolerance=0.002), unlocked=("cards",))
    assert [one.cause for one in told(task, record(time_s=time_s))] == causes


@pytest.mark.parametrize(("stops", "said"), [(2.2, 2.2), (2.8, 2.5), (-2.2, -2.2), (-2.8, -2.5)])
def test_a_place_is_told_to_need_two_and_a_half_stops_at_most(stops: float, said: float) -> None:
    one = record(time_s=8.0 if stops > 0.0 else 48.0, f_number=16.0)
    task = exercise(*as_printed(with_light(one, stops), "patch-4", tolerance=0.1), unlocked=("cards",))
    (only,) = told(task, one)
    assert only.size * (1.0 if only.direction == "more-burn" else -1.0) == pytest.approx(said, abs=0.12)


def flashed(share: float) -> PrintingRecord:
    return flashed_by(FILM, record(time_s=4.0), find_stock(PAPER), share)


@pytest.mark.parametrize(("share", "said"), [(2.8, 2.8), (3.4, 3.0)])
def test_no_more_flash_is_told_than_three_times_what_stays_unseen(share: float, said: float) -> None:
    task = exercise(*as_printed(flashed(share), "patch-1", tolerance=0.03), unlocked=("flash",))
    (only,) = told(task, record(time_s=4.0))
    assert (only.cause, only.direction) == ("flash", "more-flash")
    assert only.size == pytest.approx(said, abs=0.12)


@pytest.mark.parametrize(("share", "causes"), [(0.74, []), (0.76, ["flash"])])
def test_a_flash_is_told_from_a_twentieth_of_what_stays_unseen_on(share: float, causes: list[str]) -> None:
    task = exercise(*as_printed(flashed(share), "patch-1", tolerance=0.0005), unlocked=("flash",))
    assert [one.cause for one in told(task, flashed(0.70))] == causes


@pytest.mark.parametrize(("name", "causes"), [("3.5", ["contrast"]), ("4", ["contrast", "exposure"])])
def test_only_the_hardest_filters_take_a_stop_that_is_told_after_the_filter(name: str, causes: list[str]) -> None:
    """From filter 4 on the seconds are twice as many; who forgot that is told the filter first, and four tenths as light."""
    found = told(exercise(*as_printed(ANSWER, *ENDS)), behind(ANSWER, name))
    assert [one.cause for one in found] == causes
    if len(found) == 2:
        assert found[1].size == pytest.approx(1.0, abs=0.03)
        assert found[1].loss_points / sum(one.loss_points for one in found) == pytest.approx(0.4, abs=0.05)


@pytest.mark.parametrize(("hard", "named"), [("2.5", {""}), ("3", {"hard"})])
def test_two_exposures_a_filter_apart_are_a_soft_and_a_hard_one(hard: str, named: set[str]) -> None:
    light = ANSWER.exposures[0]
    pair = ANSWER.with_exposures(replace(light, time_s=4.0), replace(light, time_s=4.0, filter=FilterSetting(hard)))
    task = exercise(*as_printed(pair, *ENDS, tolerance=0.01), unlocked=("time_s", "exposures"))
    assert {one.exposure for one in told(task, with_light(pair, -0.8, exposure=1))} == named


@pytest.mark.parametrize(("hard", "holds"), [(0.63, False), (0.68, True)])
def test_soft_and_hard_light_a_tenth_of_a_stop_apart_is_a_matter_of_contrast_too(hard: float, holds: bool) -> None:
    light = ANSWER.exposures[0]
    pair = ANSWER.with_exposures(
        replace(light, filter=FilterSetting("0"), time_s=80.0), replace(light, filter=FilterSetting("5"), time_s=100.0)
    )
    pair = pair.with_exposures(*(replace(one, f_number=22.0) for one in pair.exposures))
    task = exercise(*as_printed(pair, *ENDS, "patch-6", tolerance=0.002), unlocked=("time_s", "exposures"))
    one = judged(task, with_light(with_light(pair, 0.55, exposure=0), hard, exposure=1))
    _, all_that_holds = advise_on_one(task, one, score(one, task))
    assert (holding("contrast", all_that_holds) is not None) is holds


@pytest.mark.parametrize(("share", "said"), [(0.965, "too early"), (0.975, ""), (1.96, ""), (2.05, "stayed in so long")])
def test_a_print_is_called_pulled_below_complete_and_fogged_beyond_twice_the_time(share: float, said: str) -> None:
    """No point hangs on the tray itself; its clock says why the tones are off."""
    task = exercise(*as_printed(ANSWER, "patch-2", "patch-4", "patch-6", tolerance=0.001),
                    unlocked=("time_s", "development_time_s"))  # fmt: skip
    found = told(task, replace(ANSWER, development=Development(60.0 * share)))
    words = " ".join(advice_words(one, Words()) for one in found)
    assert said in words
    assert ("development" in {one.cause for one in found}) is bool(said)


@pytest.mark.parametrize(("off", "shown"), [(0.004, False), (-0.004, False), (0.006, True), (-0.006, True)])
def test_a_tone_that_would_be_told_as_nothing_off_is_no_evidence_of_a_hand(off: float, shown: bool) -> None:
    """Stands in for a print on which a hand moved one tone by that much, and putting it right brings it home."""
    aims = ToneAims((FILM.place("patch-3"),), (Aim("tone", (0,), 0.6, 0.001, 4.0, "tone-patch-3"),))
    fault = HandFault("smaller", "patch-2", ANSWER, (0, 0))
    put_right = SimpleNamespace(readings=SimpleNamespace(spot=lambda place: 0.6))
    attempt = SimpleNamespace(faults=(fault,), problem=SimpleNamespace(aims=aims), one=put_right)
    on_paper = SimpleNamespace(readings=SimpleNamespace(traces=None), record=ANSWER)
    telling: Any = SimpleNamespace(
        attempt=attempt, account=SimpleNamespace(hand_loss=2.0), now=np.array([0.6 + off]), one=on_paper
    )
    (advice,) = hand_advice(telling)
    assert bool(advice.evidence) is shown


def test_of_a_hand_no_more_than_two_faults_are_put_right_at_a_time(monkeypatch: pytest.MonkeyPatch) -> None:
    """Stands in for a hand in which another fault could always be found that explains the print better."""
    fault = HandFault("smaller", "patch-3", ANSWER, (0, 0))
    monkeypatch.setattr(of_hands, "_one_more", lambda best: replace(best, faults=(*best.faults, fault)))
    task = exercise(*as_printed(ANSWER, "patch-3"), unlocked=("cards",))
    print_of = judged(task, with_card(FILM, ANSWER, FILM.place("patch-3"), -0.5))
    assert len(of_hands.accounted(task, print_of, print_of.judged_prints[0]).attempt.faults) == 2


@dataclass(frozen=True, eq=False)
class InDoubt(of_hands.Attempt):
    """An explanation that names light for a place which the print, made again, turns out not to need."""

    share: float = 0.0

    @property
    def explained(self) -> Explained:  # type: ignore[override]
        causes = Cause("exposure", (0,)), Cause("local", (0,), 0)
        return Explained(causes, (0.5, 0.3), (2.0, self.share * self.full), 1.0, ToneAims((), ()), np.zeros(0))

    @property
    def problem(self) -> Any:  # type: ignore[override]
        fewer = Explained((Cause("exposure", (0,)),), (0.5,), (2.0,), 1.0, ToneAims((), ()), np.zeros(0))
        return SimpleNamespace(fit=lambda causes: None, with_losses=lambda found, now: fewer)

    def corrected(self, explained: Explained | None) -> Any:
        return explained


@pytest.mark.parametrize(("share", "causes"), [(0.14, 1), (0.16, 2)])
def test_light_for_a_place_is_doubted_only_where_little_hangs_on_it(
    share: float, causes: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(of_hands, "tone_points", lambda *of: 8.0)
    task = exercise(*as_printed(ANSWER, "patch-3", "patch-5"), unlocked=("cards",))
    print_of = judged(task, ANSWER)
    best = InDoubt(task, print_of, print_of.judged_prints[0], (), share).best
    assert best is not None
    assert len(best.causes) == causes


@pytest.mark.parametrize(("stops", "then"), [(-0.2, False), (-0.3, True)])
def test_one_end_shows_no_contrast_while_the_light_is_a_quarter_of_a_stop_off(stops: float, then: bool) -> None:
    """A dark that is too light may want light as well as contrast: it is told as it would be in the right light."""
    found = {one.cause: one for one in told(exercise(*as_printed(ANSWER, *ENDS)), behind(with_light(ANSWER, stops), "1"))}
    evidence = found["contrast"].evidence
    assert [one.then for one in evidence] == ([True, True] if then else [False])
