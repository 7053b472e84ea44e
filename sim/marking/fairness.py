"""Whether one negative was harder than another: mean mark by negative, with how many it is a mean of, and what that allows."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import sqrt
from statistics import fmean

from sim.marking.results import RowResult
from sim.plain_text import as_named, as_written, bare
from sim.viewing.plain_names import plain_name

LEAST_LEARNERS = 5  # chosen: a mean of five is uncertain by 0.45 of what single marks differ by
MUCH_APART = 2.5  # standard errors of the difference of two means; chosen: two chance ends of several lie up to some two apart
VARIANT_LETTERS = 8  # of a digest: 32 bits; of ten thousand two may be alike, and are then one line
MOST_NEGATIVES = 40  # beyond, a list says nothing: the lowest and the highest are named


@dataclass(frozen=True)
class OfNegative:
    """One negative: what of the quality each learner who printed it earned (0 to 1)."""

    negative: str
    shares: tuple[float, ...]

    @property
    def learners(self) -> int:
        """How many printed it."""
        return len(self.shares)

    @property
    def mean_share(self) -> float:
        """What they earned on average."""
        return fmean(self.shares)


@dataclass(frozen=True)
class Fairness:
    """The negatives of an exercise, and in a sentence what their means allow to say."""

    negatives: tuple[OfNegative, ...]
    sentence: str


def fairness(rows: Sequence[RowResult]) -> Fairness | None:
    """Return how the negatives of one exercise's rows went; None where all printed the same, or nobody anything."""
    shares: dict[str, list[float]] = {}
    for row in rows:
        result = row.submission
        if result is not None and row.points_before_late is not None and result.quality_share is not None:
            shares.setdefault(" and ".join(_called(one.name) for one in result.negatives), []).append(result.quality_share)
    if len(shares) < 2:
        return None
    found = [OfNegative(name, tuple(one)) for name, one in sorted(shares.items())]
    shown = found if len(found) <= MOST_NEGATIVES else sorted(
        {min(found, key=lambda one: one.mean_share), max(found, key=lambda one: one.mean_share)},
        key=lambda one: one.mean_share)  # fmt: skip
    return Fairness(tuple(shown), _sentence(found))


def _called(name: str) -> str:
    """Return a negative's name, of a long variant its first letters: enough to tell those of one class apart.

    A name that is marked as a person's stays marked.
    """
    sleeve, mark, variant = bare(name).partition("~")
    variant = plain_name(f"{mark}{variant[:VARIANT_LETTERS]}")
    return plain_name(sleeve) + variant if name == bare(name) else as_named(plain_name(sleeve)) + as_written(variant)


def _sentence(found: Sequence[OfNegative]) -> str:
    most = max(one.learners for one in found)
    count = f"{len(found)} negatives were printed, "
    more = " Of them the lowest and the highest mean are shown." if len(found) > MOST_NEGATIVES else ""
    if most == 1:
        return (f"{count}each by one learner: a mark of one says as much of the printer as of the negative, so nothing can be "
                f"said about fairness.{more}")  # fmt: skip
    enough = [one for one in found if one.learners >= LEAST_LEARNERS]
    if len(enough) < 2:
        return (f"{count}by {most} learners at most: means of fewer than {LEAST_LEARNERS} say more of the printers than of the "
                f"negatives.{more}")  # fmt: skip
    low, high = (end(enough, key=lambda one: one.mean_share) for end in (min, max))
    apart = high.mean_share - low.mean_share
    few = len(found) - len(enough)
    said = f"Among those that {LEAST_LEARNERS} learners or more printed, " if few else ""
    within = sum(sum((share - one.mean_share) ** 2 for share in one.shares) for one in enough)
    spread = sqrt(within / (sum(one.learners for one in enough) - len(enough)))
    chance = MUCH_APART * spread * sqrt(1 / low.learners + 1 / high.learners)
    verdict = "more than chance is likely to do, so look at that negative" if apart > chance else "chance may do as much"
    words = f"{said}the means lie {100 * apart:.0f} points of a hundred apart ({low.negative} lowest): {verdict}."
    return f"{words[:1].upper()}{words[1:]}{more}"
