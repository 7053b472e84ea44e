"""A reading that slips by one step, anywhere in a strip: how often it is told, and that sound readings are taken.

Readings have 0.02 D of noise and a wedge off by 0.01 a step. TONEWRIGHT_OWN_SLIPS=40 draws so many; few in continuous testing.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cache

import numpy as np
import pytest
from night import turns

from sim.calibration.contradictions import sound_fit
from sim.calibration.next_strip import next_sheet
from sim.calibration.slipped_steps import likeliest_slip
from sim.calibration.wedge_strips import PaperReadings
from sim.notebook.own_paper_page import own_paper_lines
from sim.refusals import Refused

from .secret_papers import GENERIC, HEAD, NOISE, fitted, read_by_hand, secret_paper

LARGE = turns("TONEWRIGHT_OWN_SLIPS", 0, 40)
FIRST_SEED = 500


@dataclass(frozen=True)
class Drawn:
    """Sound readings of a secret paper, the same with a slip in one strip, and where it begins (step from 1)."""

    sound: PaperReadings
    slipped: PaperReadings
    setting: str
    step: int


def drawn(number: int) -> Drawn:
    """Return readings that slip at a step drawn from all between first tone and 0.9 of black, of a strip drawn too."""
    rng = np.random.Generator(np.random.PCG64(FIRST_SEED + number))
    sound = read_by_hand(secret_paper(rng), rng)
    k = int(rng.integers(len(sound.strips)))
    strip = sound.strips[k]
    read = [float(one.density or 0.0) for one in strip.readings]
    base, top = min(read), max(read)
    tones = [i for i in range(2, len(read) - 2) if base + 0.1 < read[i] < base + 0.9 * (top - base)]
    at, passed_over = int(rng.choice(tones)), rng.choice([1, -1]) > 0
    if passed_over:
        read = [*read[:at], *read[at + 1 :], read[-1]]
    else:
        again = round(read[at] + NOISE * float(rng.standard_normal()), 2)
        read = [*read[: at + 1], again, *read[at + 1 : -1]]
    steps = tuple(replace(one, density=density) for one, density in zip(strip.readings, read, strict=True))
    strips = (*sound.strips[:k], replace(strip, readings=steps), *sound.strips[k + 1 :])
    return Drawn(sound, replace(sound, strips=strips), strip.setting, at + 1)


def _refusal(readings: PaperReadings) -> str:
    try:
        sound_fit(GENERIC, HEAD, readings)
    except Refused as error:
        return str(error)
    return ""


@cache
def told() -> tuple[list[str], list[str]]:
    """Return what is said of slipped readings, and of the same readings without the slip; empty where they are taken."""
    all_drawn = [drawn(number) for number in range(LARGE or 4)]
    slipped = [_refusal(one.slipped) for one in all_drawn]
    sound = [_refusal(one.sound) for one in (all_drawn if LARGE else all_drawn[:2])]
    near = sum(_near(one, said) for one, said in zip(all_drawn, slipped, strict=True))
    refused, sound_refused = (np.mean([bool(said) for said in these]) for these in (slipped, sound))
    print(
        f"{len(all_drawn)} slips: {refused:.0%} refused, {near} by their own strip within two steps; "
        f"sound readings refused: {sound_refused:.0%}"
    )
    return slipped, sound


def _near(one: Drawn, said: str) -> bool:
    head = f"strip {one.setting}, step "
    return said.startswith(head) and abs(int(said.removeprefix(head).split()[0].strip(":,")) - one.step) <= 2


def test_most_slips_of_one_step_are_told() -> None:
    assert np.mean([bool(said) for said in told()[0]]) >= (0.85 if LARGE else 0.65)


def test_sound_readings_are_taken() -> None:
    assert np.mean([bool(said) for said in told()[1]]) <= (0.03 if LARGE else 0.0)


@pytest.mark.parametrize(("number", "refused", "asked"), [(31, True, True), (10, True, True), (11, False, False)])
def test_a_slip_is_refused_asked_about_or_not_seen_by_what_it_would_explain(
    number: int, refused: bool, asked: bool
) -> None:
    """Slips that lower the sum of squares by 14.8, 13.0 and 7.9: two are likelier by 10 than any smooth bend."""
    one = drawn(number)
    own = fitted(one.slipped)
    slip = likeliest_slip(own)
    assert slip is not None
    assert (slip.setting, slip.step) == (one.setting, one.step)
    assert bool(_refusal(one.slipped)) == refused
    lines = " ".join(own_paper_lines(own, next_sheet(own), ()))
    assert (f"Perhaps strip {one.setting}, step {one.step} was" in lines) == asked


def test_a_slip_that_chance_may_have_made_is_asked_about_and_not_refused() -> None:
    """Sound readings whose likeliest slip lowers the sum of squares by 8.9: the bars lie at 14 and 8."""
    sound = drawn(6).sound
    own = fitted(sound)
    slip = likeliest_slip(own)
    assert slip is not None
    assert _refusal(sound) == ""
    assert f"Perhaps strip {slip.setting}, step {slip.step} was" in " ".join(own_paper_lines(own, next_sheet(own), ()))
