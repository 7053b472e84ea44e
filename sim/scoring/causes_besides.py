"""What also holds on a print beside what is told: a learner who names it has seen rightly.

The trade's rule decides, on the print with its cards put right: the light is off where its lightest tone is, the contrast where
the darkest still is once the light is right. Fewer causes may explain the same print (a filter's own factor can put the
light right again); then both ways of putting it are true.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import numpy as np

from sim.printing.flash import through_negative
from sim.quantities import FloatArray
from sim.scoring.advice_facts import CAUSES_OF_HANDS, UNIT_OF_CAUSE, Advice, Evidence
from sim.scoring.advice_from_settings import less_seen, time_causes
from sim.scoring.advice_on_tones import Telling
from sim.scoring.possible_causes import MOST_STOPS, Cause
from sim.scoring.tone_aims import Aim

STEPS = 241  # over twelve stops: a twentieth of a stop
LEAST_APART = 0.1  # stops: soft and hard light off by less differ in nothing that is seen


def causes_besides(told: Telling, said: Sequence[Advice]) -> tuple[Advice, ...]:
    """Return what holds on a print besides what is said of it already."""
    named = {advice.cause for advice in said}
    found = [one for one in _by_the_rule(told) if one.cause not in named] if told.explained is not None else []
    halves = {advice.exposure: advice.size * (1 if advice.direction == "more-light" else -1) for advice in said
              if advice.cause == "exposure" and advice.exposure}  # fmt: skip
    apart = halves.get("hard", 0.0) - halves.get("soft", 0.0)
    if abs(apart) > LEAST_APART and "contrast" not in named | {one.cause for one in found}:
        found.append(Advice("contrast", "harder" if apart > 0 else "softer", 0.0, UNIT_OF_CAUSE["contrast"]))
    if "development" not in named:
        found += _tray(told)
    if "local" not in named:
        found += [_as_local(one, told) for one in said if one.cause in CAUSES_OF_HANDS and _off_at(told, one.place)]
    if "time" not in named:
        found += _seconds(told)
    traces = told.one.readings.traces
    if traces is not None and not named & {"hand", "evenness"}:
        even = [c for c in told.attempt.exercise.criteria if c.of_kind.cause == "evenness" and c.counts]
        for c in even:
            if traces.seen > c.wanted:
                seen, unit, way = traces.seen, UNIT_OF_CAUSE["evenness"], less_seen(told.attempt.judged, told.one)
                found.append(
                    Advice("evenness", way, seen - c.wanted, unit, c.spots[0].name, measured=seen, wanted=c.wanted)
                )
    return tuple(found)


def _tray(told: Telling) -> list[Advice]:
    """Return that the sheet came out early or stayed in too long, however little of the marks hangs on it."""
    explained = told.explained
    sizes = [s for c, s in zip(explained.causes, explained.sizes, strict=True) if c.kind == "development"] if explained else []
    return [
        Advice("development", "longer-development" if size > 0 else "shorter-development", 0.0, UNIT_OF_CAUSE["development"])
        for size in sizes
    ]


def _seconds(told: Telling) -> list[Advice]:
    """Return that the seconds lie outside what is asked: those of the print, or those that the right light takes at its size.

    Another size may bring them within, and then it is the size that is told; whoever sees the clock has seen rightly.
    """
    exercise, judged = told.attempt.exercise, told.attempt.judged
    outside = [time_causes(exercise, judged, told.one, stops)[0] for stops in (0.0, told.main_stops)]
    return [Advice("time", cause.direction, 0.0, UNIT_OF_CAUSE["time"]) for cause in (outside[0] or outside[1])[:1]]


def _as_local(one: Advice, told: Telling) -> Advice:
    """Return a hand's fault as what it left: a place that still wants light of its own, more or less."""
    off = _off_at(told, one.place)
    direction = "more-light-here" if off < 0 else "less-light-here"
    return Advice("local", direction, 0.0, UNIT_OF_CAUSE["local"], one.place, evidence=one.evidence)


def _off_at(told: Telling, place: str) -> float:
    """Return how far a place's tone is off on the print at hand; 0 within its tolerance."""
    aims = told.attempt.problem.aims
    for aim in aims.aims:
        if len(aim.at) == 1 and aims.places[aim.at[0]].name == place and not aim.hidden:
            off = aim.off(told.now)
            return off if abs(off) > aim.tolerance else 0.0
    return 0.0


def _by_the_rule(told: Telling) -> Iterator[Advice]:
    """Yield light and contrast as the trade's rule has them: lights by time, darks by filter."""
    explained, problem = told.explained, told.attempt.problem
    assert explained is not None
    tones = [a for a in problem.aims.aims if len(a.at) == 1 and a.exact and not a.hidden and a.at[0] not in told.places_apart]
    unlocked = set(told.attempt.exercise.unlocked)
    if not tones:
        return
    by_tone = sorted(tones, key=lambda aim: aim.wanted)
    light, dark = by_tone[0], by_tone[-1]
    every = Cause("exposure", through_negative(told.one.record))
    own = [
        (c, s) for c, s in zip(explained.causes, explained.sizes, strict=True) if c.place is not None or c.kind == "flash"
    ]

    def readings(stops: float) -> FloatArray:
        return problem.readings((every, *(c for c, _ in own)), np.array([stops, *(s for _, s in own)]))

    steps = np.linspace(-MOST_STOPS, MOST_STOPS, STEPS)
    stops = float(min(steps, key=lambda step: abs(light.off(readings(float(step)))) + 1e-4 * abs(step)))
    now, then = readings(0.0), readings(stops)
    lit = bool(unlocked & {"time_s", "f_number", "exposures"}) and not told.light_stands
    if lit and abs(light.off(now)) > light.tolerance:
        direction = "more-light" if stops > 0 else "less-light"
        shown = (_read(told, light, now),)
        yield Advice("exposure", direction, abs(stops), UNIT_OF_CAUSE["exposure"], evidence=shown)
    off = dark.off(then)
    if unlocked & {"filter", "exposures"} and dark is not light and abs(off) > dark.tolerance:
        shown = (_read(told, dark, then, True),)
        yield Advice("contrast", "harder" if off < 0 else "softer", 0.0, UNIT_OF_CAUSE["contrast"], evidence=shown)


def _read(told: Telling, aim: Aim, readings: FloatArray, then: bool = False) -> Evidence:
    names = (told.attempt.problem.aims.places[aim.at[0]].name,)
    return Evidence(names, float(readings[aim.at[0]]), aim.off(readings), then)
