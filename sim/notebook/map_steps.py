"""The steps of a printing map, in a printer's words: exposure by exposure, each tool below the exposure it is used in."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from sim.enlarger.settings import Bench
from sim.notebook.control_words import filter_words
from sim.notebook.held_back_stops import held_back_stops
from sim.notebook.own_seconds import OwnSeconds
from sim.notebook.record_words import aperture
from sim.printing.record import Card, Circling, Exposure, PrintingRecord, Still, Sweeping
from sim.scoring.burn_stops import Burn, burn_of, is_burn


@dataclass(frozen=True)
class Step:
    """One line of the work: its mark in the picture ("" when it has none), columns, and what is done."""

    mark: str
    seconds: str
    stops: str
    lens: str
    filter: str
    words: str


def steps_of(
    record: PrintingRecord, bench: Bench, marks: dict[tuple[int, int], str], intervals: Sequence[OwnSeconds | None] = ()
) -> list[Step]:
    """Return the work, exposure by exposure, each card below the exposure it is used in.

    ``intervals`` are the seconds of one's own enlarger: where they are known, between which nine of ten would be right is said.
    """
    out, total_s = [], 0.0
    mains = [e for k, e in enumerate(record.exposures) if not is_burn(e, k) and e.through == "negative"]
    for k, e in enumerate(record.exposures):
        own = [(n, card) for n, card in enumerate(e.cards) if (k, n) in marks]
        total_s += e.time_s
        stops, words = "", ""
        covered = e.step > 0
        if covered:
            words = _strip_words(e, total_s)
            words += f"; flash: no negative, light dimmed by {e.dimmed_stops:g} stops" if e.through == "open" else ""
        elif is_burn(e, k):
            burn = burn_of(record.exposures, k)
            stops = "" if burn is None else _signed(burn.stops)
            words = _burn_words(burn)
        elif e.through == "open":
            words = f"Flash: no negative in the carrier, light dimmed by {e.dimmed_stops:g} stops"
        else:
            words = f"Whole {record.sheet.kind}"
            words += "" if len({m.filter for m in mains}) < 2 else f" through {filter_words(e.filter)}"
        words += f" ({e.note})" if e.note and not covered and e.note not in [card.note for card in e.cards] else ""
        known = intervals[k] if k < len(intervals) else None
        words += "" if known is None else f", {known.low_s:.1f} to {known.high_s:.1f} s in nine of ten"
        single = is_burn(e, k) and len(own) == 1 and not covered
        words += f": {_tool_words(own[0][1])}" if single else ""
        out.append(Step(f"{k + 1}", f"{e.time_s:.1f}", stops, aperture(e.f_number), filter_words(e.filter), words))
        for n, card in own if not single else []:
            held = "" if card.lets_through == "inside" else _signed(held_back_stops(card, e, record.sheet, bench))
            stop_s = card.stop_s or e.time_s
            what = "Hold back with" if card.lets_through == "outside" else "Through"
            words = f"{what} {_tool_words(card)}; in at {card.start_s:.1f} s, out at {stop_s:.1f} s"
            out.append(Step(f"   {marks[(k, n)]}", f"{stop_s - card.start_s:.1f}", held, "", "", words))
    return out


def _burn_words(burn: Burn | None) -> str:
    """Return what a burn's stops are counted from, where more than one exposure could be meant."""
    if burn is None or (burn.over_own_filter and not burn.several):
        return "Burn in"
    if burn.over_own_filter and burn.mixed:
        return f"Burn in, stops over what the place had through {filter_words(burn.filter)} before"
    return "Burn in, stops over all light the place had through the negative before"


def _signed(stops: float) -> str:
    return f"{stops:+.1f}".replace("-", "\N{MINUS SIGN}")


def _strip_words(exposure: Exposure, total_s: float) -> str:
    """Return how one exposure of a strip is made."""
    if not exposure.cards:
        return f"Whole strip: {total_s:.1f} s in all"
    card = exposure.cards[0]
    motion = card.motion
    if not isinstance(motion, (Still, Circling, Sweeping)):
        times = sorted({f"{t:.1f}" for t, _, _ in motion.points if t > 0.0}, key=float)
        return f"Lamp on; cardboard moved on over one step more at {', '.join(times)} s"
    if card.lets_through == "inside":
        dx, dy = exposure.paper_shift_mm
        hole = f"; above it {_tool_words(exposure.cards[1])}" if len(exposure.cards) > 1 else ""
        return f"Through a slot over one place{hole}; paper moved {dx:+.0f} mm across, {dy:+.0f} mm down from its first place"
    return f"One step more under cardboard; the rest: {total_s:.1f} s in all"


def _tool_words(card: Card) -> str:
    """Return the tool, its own size, how high and how it is moved."""
    names = {"disc": "a disc", "oval": "an oval", "bar": "a bar", "outline": "a cut shape"}
    size = f"{card.width_mm:.0f} mm" if card.shape == "disc" else f"{card.width_mm:.0f} × {card.length_mm:.0f} mm"
    if card.shape == "edge":
        tool = "the straight edge of a card"
    elif card.lets_through == "inside":
        tool = f"a card with a hole ({names[card.shape].split(' ', 1)[1]}, {size})"
    else:
        tool = f"{names[card.shape]} of {size}" + (" on a wire" if card.wire_mm else "")
    motion = card.motion
    if isinstance(motion, Circling):
        moved = f"circling by {motion.amplitude_mm:.0f} mm every {motion.period_s:.1f} s"
    elif isinstance(motion, Sweeping):
        moved = f"to and fro by {motion.amplitude_mm:.0f} mm every {motion.period_s:.1f} s"
    else:
        moved = "held still" if isinstance(motion, Still) else "moved along the thin line"
    return f"{tool}, {card.card_height_mm:.0f} mm above the paper, {moved}"
