"""Readings that cannot be right: what is refused, with strip and step, before anything is written.

A step slipped in reading, strips changed over, another wedge than was said, a sheet that lay curved or got fogged. What a
single step of the wedge or a single reading is off by is left out and said.
"""

from __future__ import annotations

import itertools
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from sim.calibration.believed_wedge import doubtful_wedge, no_papers_wedge, other_wedge
from sim.calibration.bent_curves import unlikeliness, with_its_bend
from sim.calibration.lay_flat import check_flat
from sim.calibration.own_paper import OwnPaper, fit_own_paper, tangent_at
from sim.calibration.own_shape import Generic
from sim.calibration.slipped_steps import (
    LIKE_OTHERS,
    NOISE,
    SLIPPED,
    TOLD_ALONE,
    likeliest_slip,
    slip_alone,
    slip_refused,
)
from sim.calibration.strip_alone import changed_over
from sim.calibration.wedge_strips import FEWEST_READINGS, STEP_ERROR, PaperReadings, Strip
from sim.enlarger.equipment import Head
from sim.enlarger.filters import FilterSetting
from sim.quantities import FloatArray
from sim.refusals import Refused

FEWEST_OF_A_WHOLE_STRIP = 2  # tones between of one that runs from black to white: grade 5 under steps of 0.15 has no more
LIGHTER_BY = 0.13  # density by which a denser step of the wedge may not print darker: 4.5 errors of a difference
UNEVEN_WHITE = 0.05  # density between readings of one unexposed sheet
FOGGED_BY = 0.10  # density of a strip's clear end over the unexposed sheet
CONTRADICTED = 4.0  # mean square misfit in reading errors that no paper explains
MOST_BENT = 0.25  # density: curves that are told to bend away by more are no paper's (chosen: a tenth of black seen)
LIKELIER = 6.0  # -2 ln of likelihood by which another story must beat a curve that bends: twenty to one (chosen)
MUCH_BETTER = 20.0  # by which the fit's sum of squares falls when another story of the readings is the true one
STEP_IS_OFF = 4.5 * STEP_ERROR
READING_IS_OFF = 5.0  # in errors
MOST_LEFT_OUT = 0.1  # of all readings
SPAN_NET = (0.35, 1.4)  # net densities between which a strip's contrast is told


@dataclass(frozen=True)
class LeftOutStep:
    """A step that was left out: of one strip, or of all (``setting`` None: the wedge's own step); by how much it was off.

    ``off`` is log exposure of a wedge's step, density of a single reading.
    """

    setting: str | None
    step: int
    off: float


class Doubted(Refused):
    """Readings of which another story is likelier; who is sure of them may have them taken as they are."""


def sound_fit(
    generic: Generic, head: Head, readings: PaperReadings, as_it_is: bool = False
) -> tuple[OwnPaper, tuple[LeftOutStep, ...]]:  # fmt: skip
    """Return the fit to readings that are sound, and the steps left out of it. Raises Refused naming strip and step.

    ``as_it_is``: whoever read them is sure; no other story is held against them and no step is left out.
    """
    check_readings(generic, readings)
    another = None if as_it_is else changed_over(readings) or other_wedge(readings)
    if another is not None:
        raise Doubted(str(another))
    own = with_its_bend(fit_own_paper(generic, head, readings))
    if as_it_is:
        return own, ()
    _refuse_another_story(own)
    left_out: list[LeftOutStep] = []
    most = max(2, int(MOST_LEFT_OUT * sum(len(strip.readings) for strip in readings.strips)))
    while (worst := _worst(own)) is not None:
        left_out.append(worst)
        if len(left_out) > most:
            raise _contradiction(own)
        own = with_its_bend(fit_own_paper(generic, head, without(own.readings, worst)))
    if own.misfit_beside(own.smooth_misfit()) > CONTRADICTED or own.bend > MOST_BENT:
        raise _contradiction(own)
    return own, tuple(left_out)


def without(readings: PaperReadings, step: LeftOutStep) -> PaperReadings:
    """Return the readings without a step: of one strip, or of all."""
    strips = tuple(
        replace(strip, readings=tuple(one for one in strip.readings if one.step != step.step))
        if step.setting in (None, strip.setting) else strip
        for strip in readings.strips
    )  # fmt: skip
    return replace(readings, strips=strips)


def check_readings(generic: Generic, readings: PaperReadings) -> None:
    """Refuse readings that no sheet of paper gives, whatever it is."""
    least = 2 if generic.grains else 1
    if len(readings.strips) < least:
        raise Refused(
            f"a variable-contrast paper must be read behind {least} settings or more, got {len(readings.strips)}"
        )
    if not generic.grains and any(FilterSetting.named(s).name != "none" for s in readings.settings):
        raise Refused(f"a paper of one grade must be read without a filter, got {', '.join(readings.settings)}")
    white = readings.unexposed
    if white and max(white) - min(white) > UNEVEN_WHITE:
        raise Refused(
            f"the unexposed sheet must read the same everywhere, got {min(white):.2f} to {max(white):.2f}: "
            "it lay curved under the instrument, or was fogged"
        )
    for strip in readings.strips:
        _check_order(strip)
    check_flat(readings)
    for strip in readings.strips:
        _check_strip(strip, white)


def _check_order(strip: Strip) -> None:
    """Refuse a step that is far darker than the one before it, which had more light."""
    read = [(one.step, one.density) for one in strip.readings if one.density is not None]
    for (before, darker), (step, density) in itertools.pairwise(read):
        if density > darker + LIGHTER_BY:
            raise Refused(
                f"strip {strip.setting}, step {step} must not be darker than step {before}, which had more light, "
                f"got {density:.2f} after {darker:.2f}: was a step slipped, or the wedge turned round?"
            )


def _check_strip(strip: Strip, white: Sequence[float]) -> None:
    read = [(one.step, one.density) for one in strip.readings if one.density is not None]
    if len(read) < len(strip.readings):  # by eye: what was called, and no more
        if len(strip.readings) < 2:
            raise Refused(
                f"strip {strip.setting} must have two steps or more that the eye called, got {len(strip.readings)}"
            )
        return
    if not read:
        raise Refused(f"strip {strip.setting} must have readings, got none")
    base = min(white) if white else min(density for _, density in read)
    if white and min(density for _, density in read) - base > FOGGED_BY and read[-1][1] - read[-2][1] > -0.01:
        raise Refused(
            f"strip {strip.setting}: its lightest step must come down to the unexposed sheet's {base:.2f}, got "
            f"{min(d for _, d in read):.2f} and no lighter: fogged, or curved under the instrument"
        )
    top = max(density for _, density in read)
    between = [step for step, density in read if base + 0.06 < density < base + 0.93 * (top - base)]
    ends = read[-1][1] <= base + 0.06 and sum(density >= base + 0.97 * (top - base) for _, density in read) >= 2
    fewest = FEWEST_OF_A_WHOLE_STRIP if ends else FEWEST_READINGS
    if len(between) < fewest or top - base < 0.6:
        raise Refused(
            f"strip {strip.setting} must have {fewest} steps or more between paper white and black, got "
            f"{len(between)} ({base:.2f} to {top:.2f}): "
            + ("a wedge of finer steps is needed" if ends else "more or less light is needed, or a scan has run full")
        )
    _check_saturated(strip.setting, read, base, top)


def _check_saturated(setting: str, read: list[tuple[int, float]], base: float, top: float) -> None:
    """Refuse a strip that stops dead on its way down: an instrument at its end, for no paper has a corner there."""
    tail = [step for step, density in read if top - density < 0.004]
    if len(tail) < 4 or tail[-1] - tail[0] + 1 != len(tail):
        return
    after = [density for step, density in read if step > tail[-1]][:1]
    if after and top - after[0] > 0.12:
        raise Refused(
            f"strip {setting}: steps {tail[0]} to {tail[-1]} must not all read {top:.2f} with step {tail[-1] + 1} at "
            f"{after[0]:.2f}: the instrument or the scan has run full there"
        )


def _worst(own: OwnPaper) -> LeftOutStep | None:
    """Return the step that is most off: the wedge's own where all strips say so, else one reading. None: all are sound."""
    slopes, off = _slopes_and_departures(own)
    worst: tuple[float, LeftOutStep] | None = None
    for step in sorted({one.step for strip in own.readings.strips for one in strip.readings}):
        seen = [(slopes[k][n], off[k][n]) for k, n in _where(own.readings, step)]
        weight = sum(slope**2 for slope, _ in seen)
        if len(seen) < 2 or weight < 0.5:
            continue
        log_off = sum(slope * departure for slope, departure in seen) / (weight + (0.02 / STEP_ERROR) ** 2)
        if abs(log_off) > 0.6 * STEP_IS_OFF and (worst is None or abs(log_off) > worst[0]):
            worst = abs(log_off), LeftOutStep(None, step, -float(log_off))
    if worst is not None:
        return worst[1]
    single: tuple[float, LeftOutStep] | None = None
    for k, strip in enumerate(own.readings.strips):
        for n, one in enumerate(strip.readings):
            error = np.sqrt(one.density_error**2 + (slopes[k][n] * (STEP_ERROR + one.log_error)) ** 2 + 0.01**2)
            times = abs(off[k][n]) / error
            if times > READING_IS_OFF and (single is None or times > single[0]):
                single = times, LeftOutStep(strip.setting, one.step, -float(off[k][n]))
    return None if single is None else single[1]


def _where(readings: PaperReadings, step: int) -> list[tuple[int, int]]:
    return [
        (k, n) for k, strip in enumerate(readings.strips) for n, one in enumerate(strip.readings) if one.step == step
    ]


def _slopes_and_departures(own: OwnPaper) -> tuple[list[FloatArray], tuple[FloatArray, ...]]:
    """Return per strip what a log unit of light does to every reading, and by how much it is denser than read but for bends."""
    more, less = (own.departures_with(shift) for shift in (0.01, -0.01))
    jumps = tuple(off - smooth for off, smooth in zip(own.residuals(), own.smooth_misfit(), strict=True))
    return [(a - b) / 0.02 for a, b in zip(more, less, strict=True)], jumps


def _refuse_another_story(own: OwnPaper) -> None:
    """Refuse readings that another story explains far better: strips changed over, a slipped step, a wedge of no paper."""
    found = []
    for story, told in _changed_over(own):
        again = fit_own_paper(own.generic, own.head, told)
        if own.cost - again.cost > MUCH_BETTER and (_is_ordinary(again) or likelier(own, again) > LIKELIER):
            found.append((own.cost - again.cost, story))
    slip = likeliest_slip(own)
    if slip is not None and slip.is_told:
        doubtful = None if slip.borne_out else doubtful_wedge(own)
        refused = slip.refusal() if doubtful is None else slip.or_another_wedge(*doubtful)
        found.append((slip.better_by + MUCH_BETTER - SLIPPED, refused))
    elif (alone := slip_alone(own.readings)) is not None and alone.better_by > TOLD_ALONE:
        found.append((alone.better_by + MUCH_BETTER - TOLD_ALONE, slip_refused(alone.setting, alone.step, alone.passed_over)))
    best = max(found, key=lambda one: one[0], default=None)
    refusal = best[1] if best is not None else no_papers_wedge(own)
    if refusal is not None:
        raise Doubted(str(refusal))


def _is_ordinary(again: OwnPaper) -> bool:
    """Tell whether another story leaves a paper like others, and nothing but the errors of reading."""
    numbers = again.free[: len(again.freedom.shared)]
    return again.misfit < NOISE and float(np.sqrt(np.mean(np.square(numbers)))) < LIKE_OTHERS


def likelier(own: OwnPaper, again: OwnPaper) -> float:
    """Return by how much likelier (-2 ln) readings are in another story's fit, curves allowed to bend in both."""
    return float(unlikeliness(tangent_at(own)).min() - unlikeliness(tangent_at(again)).min())


def _changed_over(own: OwnPaper) -> list[tuple[Refused, PaperReadings]]:
    """Return strips whose contrast stands the other way round than their filters, changed over."""
    strips, found = own.readings.strips, []
    spans = [_span(strip) for strip in strips]
    for i, one in enumerate(strips):
        for j, other in enumerate(strips[:i]):
            softer = FilterSetting.named(one.setting).hardness < FilterSetting.named(other.setting).hardness
            here, there = spans[i], spans[j]
            if here is None or there is None or (here > there) == softer:
                continue
            refusal = Refused(
                f"strips {other.setting} and {one.setting} must stand in the order of their filters, got the softer picture "
                f"behind {other.setting if softer else one.setting}: were they changed over?"
            )
            changed = list(strips)
            changed[i], changed[j] = replace(one, readings=other.readings), replace(other, readings=one.readings)
            found.append((refusal, replace(own.readings, strips=tuple(changed))))
    return found


def _span(strip: Strip) -> float | None:
    """Return the wedge density between two middle tones of a strip; None where they were not read."""
    read = sorted((one.density, one.wedge_density) for one in strip.readings if one.density is not None)
    if len(read) < FEWEST_READINGS:
        return None
    density, under = np.array(read).T
    low, high = (density[0] + net for net in SPAN_NET)
    return None if high > density[-1] else float(np.interp(low, density, under) - np.interp(high, density, under))


def _contradiction(own: OwnPaper) -> Refused:
    """Return in words where the readings contradict each other most."""
    off = _slopes_and_departures(own)[1]
    k = int(np.argmax([np.abs(one).max() if len(one) else 0.0 for one in off]))
    n = int(np.argmax(np.abs(off[k])))
    strip, one = own.readings.strips[k], own.readings.strips[k].readings[n]
    return Doubted(
        f"strip {strip.setting}, step {one.step} must go with the other readings, got one that lies {-off[k][n]:+.2f} from "
        f"what they allow, and others beside it (misfit {own.misfit:.1f} times the reading error squared): read it again"
    )
