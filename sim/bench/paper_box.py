"""The box of paper: how much is left in it once what lies about is counted as taken."""

from __future__ import annotations

from sim.bench.desk_file import Kept
from sim.evening.evening_state import EveningState


def sheets_left(state: EveningState, kept: Kept) -> float:
    """Return the sheets left in the box; what lies in hand or in the developer is already out, a strip as a quarter."""
    kinds = []
    if kept.hand is not None and kept.hand.number > len(state.sheets):
        kinds.append(kept.hand.kind)
    if kept.tray is not None and kept.tray.number > len(state.sheets):
        kinds.append(kept.tray.record.sheet.kind)
    return state.sheets_left - sum(0.25 if kind == "strip" else 1.0 for kind in kinds)
