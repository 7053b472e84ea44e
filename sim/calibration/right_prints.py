"""Prints of one's own enlarger that were right: what they say together, how far they lie apart, and which one stands alone.

Each print tells how much light its setting gave. Level, filters, marks and the law of height are weighed together from all of
them and from what was known before. How far single prints scatter is a guess moved by how far they really lie apart
(``print_scatter``): prints that agree narrow the interval, prints that disagree widen it (A. Gelman and others, Bayesian Data
Analysis, 3rd ed., chapters 3 and 14).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from sim.calibration.print_scatter import chance_within, scatter_told
from sim.enlarger.own_light import (
    MOST_PRINTS,
    POWER_ERROR,
    Begun,
    Factor,
    OwnLight,
    RightPrint,
    Together,
)
from sim.quantities import FloatArray
from sim.refusals import Refused

LEVEL_PRIOR = 0.3  # log10: heads of one kind are within a stop of each other (assumption)
LEAST_LEVEL_ERROR = 0.008
UNLIKE_OTHERS = 3.0  # log10: so far a head may lie from its kind and its first print be believed at its word
STANDS_ALONE = 0.01  # one honest print in a hundred lies so far from the others
# log10, a thirtieth of a stop: a print told twice comes out within 0.004 of itself where its lamp is 2.8 stops off its file
# (measured: seconds lost at a switching weigh otherwise then); chosen above that, and below what a print tells
SAME_LIGHT = 0.01
COUNTED = {2: "two", 3: "three", 4: "four", 5: "five", 6: "six"}
STOP = float(np.log10(2.0))


@dataclass(frozen=True, eq=False)
class Known:
    """Level, filters, marks and power as the prints tell them: names, values and covariance, and the scatter of one print."""

    reference: OwnLight
    names: tuple[str, ...]
    values: FloatArray
    covariance: FloatArray
    scatter: float
    freedom: float

    def chance_beside(self, one: RightPrint) -> tuple[float, float]:
        """Return by how much more light (log10) is foretold than a print tells of, and how often one lies further off."""
        row = _row(self.reference, self.names, one)
        of_light, of_print = float(row @ self.covariance @ row), self.scatter**2
        known, scattered = max(of_light - of_print, 0.0), of_print + min(of_light, of_print)
        off = float(row @ self.values) - one.log_light
        return off, 1.0 - chance_within(abs(off), known**0.5, scattered**0.5, self.freedom)


@dataclass(frozen=True)
class Alone:
    """A print that lies outside what the others allow: its number from 1, by how many stops more exposure it asks for."""

    number: int
    stops_more: float
    chance: float


class StandsAlone(Refused):
    """A print that the others hardly allow: its ``number`` from 1, and whether it is the ``newest``."""

    def __init__(self, words: str, number: int, newest: bool):
        super().__init__(words)
        self.number, self.newest = number, newest


class CountedAlready(Refused):
    """A print that is one of those counted already, as far as anybody can tell."""


def begun_of(own: OwnLight) -> Begun:
    """Return what was known of an enlarger before its first print that was right."""
    if own.begun is not None:
        return own.begun
    return Begun(0.0, own.level_error, own.filters, own.marks, own.power, own.power_error, own.together)


def known_from(reference: OwnLight, prints: Sequence[RightPrint]) -> Known:
    """Return what prints tell of an enlarger together with what was known before; ``reference`` says that and the setting
    all is counted from."""
    begun = begun_of(reference)
    names = _names(reference, begun, prints)
    before, prior = _before(reference, begun, names)
    if begun.level_error >= LEVEL_PRIOR:  # of a head that nobody measured its first print tells more than its kind does,
        prior[0, 0] = UNLIKE_OTHERS**2  # and nothing of how far its prints lie apart
    precision = np.linalg.inv(prior)
    rows = np.array([_row(reference, names, one) for one in prints]).reshape(len(prints), len(names))
    told = np.array([one.log_light for one in prints])
    told_of = scatter_told(told - rows @ before, rows @ prior @ rows.T)
    covariance = np.linalg.inv(precision + rows.T @ rows / told_of.scatter**2)
    values = covariance @ (precision @ before + rows.T @ told / told_of.scatter**2)
    return Known(reference, names, values, covariance, told_of.scatter, told_of.freedom)


def _names(reference: OwnLight, begun: Begun, prints: Sequence[RightPrint]) -> tuple[str, ...]:
    filters = [f.name for f in begun.filters] + [p.filter for p in prints if p.filter != reference.reference_filter]
    marks = [m.name for m in begun.marks] + [f"{p.f_number:g}" for p in prints if p.f_number != reference.reference_mark]
    return tuple(dict.fromkeys(["level", *(f"filter {f}" for f in filters), *(f"mark {m}" for m in marks), "power"]))


def _before(reference: OwnLight, begun: Begun, names: tuple[str, ...]) -> tuple[FloatArray, FloatArray]:
    """Return the numbers as they were known before the first print, and their covariance."""
    then = replace(reference, filters=begun.filters, marks=begun.marks)
    values, errors = [], []
    for name in names:
        kind, _, which = name.partition(" ")
        if kind == "filter":
            value, error = then.of_filter(which)
        elif kind == "mark":
            value, error = then.of_mark(float(which))
        else:
            value, error = (begun.log_level, begun.level_error) if kind == "level" else (begun.power, begun.power_error)
        values.append(value)
        errors.append(max(error, 1e-4))
    covariance = np.diag(np.square(errors))
    for both in begun.together:
        if both.one in names and both.other in names:
            i, j = names.index(both.one), names.index(both.other)
            covariance[i, j] = covariance[j, i] = both.covariance
    return np.array(values), covariance


def _row(reference: OwnLight, names: tuple[str, ...], one: RightPrint) -> FloatArray:
    """Return by how much each number acts on the light of a print's setting."""
    row = np.zeros(len(names))
    for name in ("level", f"filter {one.filter}", f"mark {one.f_number:g}"):
        if name in names:
            row[names.index(name)] = 1.0
    row[names.index("power")] = np.log10((1.0 + one.magnification) / (1.0 + reference.reference_magnification))
    return row


def alone_among(reference: OwnLight, prints: Sequence[RightPrint]) -> Alone | None:
    """Return the print that the others foretell worst, if they hardly allow it; None where all may belong together."""
    found = [_beside_others(reference, prints, k) for k in range(len(prints))] if len(prints) > 1 else []
    worst = min(found, key=lambda one: (one.chance, -one.number), default=None)
    return worst if worst is not None and worst.chance < STANDS_ALONE else None


def refuse_alone(reference: OwnLight, prints: Sequence[RightPrint]) -> None:
    """Refuse the newest print where it and the others can hardly be of one paper and developer; name who is alone."""
    count = len(prints)
    if count < 2 or _beside_others(reference, prints, count - 1).chance >= STANDS_ALONE:
        return
    one = alone_among(reference, prints) or _beside_others(reference, prints, count - 1)
    more, newest, others = "more" if one.stops_more > 0 else "less", one.number == count, COUNTED.get(count - 1, str(count - 1))
    rule = f"print {one.number} must go with the {'first' if newest else 'other'} {others}"
    if count == 2:
        rule = f"print {one.number} must go with print {3 - one.number}"
    ask = "it asks" if count == 2 else "they ask"
    raise StandsAlone(
        f"{rule}, got {abs(one.stops_more):.1f} stops {more} exposure than {ask} for: another paper, aperture, developer?",
        one.number, newest,
    )  # fmt: skip


def refuse_counted(earlier: Sequence[RightPrint], one: RightPrint) -> None:
    """Refuse a print that says just what an earlier one says: told twice, it would make the enlarger seem surer than it is."""
    for number, other in enumerate(earlier, start=1):
        told_alike = replace(other, log_light=one.log_light) == one and abs(other.log_light - one.log_light) < SAME_LIGHT
        if told_alike:
            raise CountedAlready(
                f"a print must be one that is not counted yet, got print {number} again: {one.time_s:g} s at "
                f"f/{one.f_number:g}, filter {one.filter}"
            )


def _beside_others(reference: OwnLight, prints: Sequence[RightPrint], k: int) -> Alone:
    """Return how a print lies beside what all others foretell of its setting."""
    off, chance = known_from(reference, [*prints[:k], *prints[k + 1 :]]).chance_beside(prints[k])
    return Alone(k + 1, off / STOP, chance)


def with_prints(own: OwnLight, prints: Sequence[RightPrint]) -> tuple[OwnLight, float]:
    """Return the light as prints tell it, and by how much (log10) the file's level must be raised for it to hold."""
    if len(prints) > MOST_PRINTS:
        raise Refused(f"an enlarger keeps {MOST_PRINTS} prints that were right, got {len(prints)}: let the oldest be forgotten")
    begun, known = begun_of(own), known_from(own, prints)
    errors, level = np.sqrt(np.diag(known.covariance)), float(known.values[0])

    def factors(kind: str) -> tuple[Factor, ...]:
        return tuple(
            Factor(name.partition(" ")[2], round(float(known.values[k]), 4), round(float(errors[k]), 4))
            for k, name in enumerate(known.names) if name.startswith(kind)
        )  # fmt: skip

    power = known.names.index("power")
    light = replace(
        own, level_error=round(max(float(errors[0]), LEAST_LEVEL_ERROR), 4), filters=factors("filter"), marks=factors("mark"),
        power=round(float(known.values[power]), 4), power_error=round(float(errors[power]), 4),
        together=together_of(known.names, known.covariance), scatter=round(known.scatter, 4),
        freedom=round(known.freedom, 2), begun=replace(begun, log_level=round(begun.log_level - level, 4)),
        prints=tuple(replace(one, log_light=round(one.log_light - level, 4)) for one in prints),
    )  # fmt: skip
    return light, level


def together_of(names: Sequence[str], covariance: FloatArray) -> tuple[Together, ...]:
    """Return the numbers whose errors hang together, pair by pair."""
    return tuple(
        Together(names[i], names[j], round(float(covariance[i, j]), 7))
        for i in range(len(names)) for j in range(i + 1, len(names)) if abs(covariance[i, j]) > 5e-7
    )  # fmt: skip


def nothing_known(paper: str, first: RightPrint) -> OwnLight:
    """Return the light of a head of which nobody measured anything, counted from the setting of its first print."""
    begun = Begun(0.0, LEVEL_PRIOR, power_error=POWER_ERROR)
    return OwnLight(paper, LEVEL_PRIOR, first.filter, first.f_number, first.magnification, begun=begun)
