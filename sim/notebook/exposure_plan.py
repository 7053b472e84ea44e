"""The exposure plan: what will be, and what has been, given to a sheet, as bars of seconds and stops."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from sim.enlarger.filters import FilterSetting
from sim.enlarger.settings import Bench
from sim.notebook.held_back_stops import held_back_stops
from sim.printing.record import Card, Exposure, Sheet
from sim.scoring.burn_stops import burn_stops, is_burn

BarKind = Literal["base", "soft", "hard", "burn", "dodge", "flash", "step"]


@dataclass(frozen=True)
class PlannedExposure:
    """One switching of the lamp to come. ``filter``: a graded name, "none", or dials such as "Y0.40" or "Y0.10 M0.60".

    ``through`` "open" is a flash: light without the negative, held back by ``dimmed_stops``.
    """

    time_s: float
    f_number: float
    filter: str = "2"
    cards: tuple[Card, ...] = ()
    note: str = ""
    through: Literal["negative", "open"] = "negative"
    dimmed_stops: float = 0.0

    def exposure(self) -> Exposure:
        """Return it as the record has it. Raises Refused in words."""
        return Exposure(
            self.time_s, self.f_number, FilterSetting.named(self.filter), self.cards, note=self.note, through=self.through,
            dimmed_stops=self.dimmed_stops,
        )  # fmt: skip


@dataclass(frozen=True)
class PlanBar:
    """One bar of the plan: when it starts on the sum of all seconds, how long it is, and what it is in stops.

    A base or one half of a split has no stops; a burn or a tool held in the light has them against the main exposure
    it changes (dodging counts down).
    """

    kind: BarKind
    label: str
    filter: str
    f_number: float
    start_s: float
    seconds: float
    stops: float | None
    exposure: int
    done: bool


def planned(exposure: Exposure) -> PlannedExposure:
    """Return an exposure of a record as one that is planned again."""
    return PlannedExposure(
        exposure.time_s, exposure.f_number, exposure.filter.name, exposure.cards, exposure.note, exposure.through,
        exposure.dimmed_stops,
    )  # fmt: skip


def bars(exposures: Sequence[Exposure], done: int, sheet: Sheet, bench: Bench) -> tuple[PlanBar, ...]:
    """Return the bars of exposures, the first ``done`` of them given already; ``sheet`` is the piece they are given to."""
    mains = [k for k, e in enumerate(exposures) if not is_burn(e, k) and e.through == "negative"]
    levels = {exposures[k].filter.hardness for k in mains}
    middle = (min(levels) + max(levels)) / 2 if len(levels) > 1 else 0.0
    out: list[PlanBar] = []
    start_s = 0.0
    for k, e in enumerate(exposures):
        name, was = e.filter.name, k < done
        kind, stops = _kind(exposures, k, len(levels) > 1, middle), None
        if kind == "burn":
            added = burn_stops(exposures, k)
            stops = None if added is None else round(added, 2)
        label = e.note or {"base": "whole sheet", "burn": "burn in", "step": f"step {e.step}"}.get(kind, kind)
        out.append(PlanBar(kind, label, name, e.f_number, start_s, e.time_s, stops, k, was))
        for card in e.cards:
            if card.lets_through == "outside" and kind not in ("burn", "step"):
                stops = round(held_back_stops(card, e, sheet, bench), 2)
                out.append(_dodge(e, card, k, start_s, was, stops))
        start_s += e.time_s
    return tuple(out)


def _kind(exposures: Sequence[Exposure], k: int, split: bool, middle: float) -> BarKind:
    e = exposures[k]
    if e.step:
        return "step"
    if e.through == "open":
        return "flash"
    if is_burn(e, k):
        return "burn"
    return ("soft" if e.filter.hardness < middle else "hard") if split else "base"


def _dodge(e: Exposure, card: Card, k: int, start_s: float, done: bool, stops: float) -> PlanBar:
    seconds = max((card.stop_s or e.time_s) - card.start_s, 0.0)
    label = card.note or "hold back"
    return PlanBar("dodge", label, e.filter.name, e.f_number, start_s + card.start_s, seconds, stops, k, done)
