"""What an evening holds that two honest evenings hardly share, and how its prints were come by. Facts, no verdict."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Sequence
from dataclasses import asdict

from sim.evening.evening_state import EveningState
from sim.marking.results import SignsResult
from sim.printing.record import Card, PrintingRecord

DIGITS = 16
ROUND = " round"


def signs_of(state: EveningState) -> SignsResult:
    """Return the signs of an evening: its random light, its decisions, its strips, its smallest card."""
    whole = [made.record for made in state.sheets if made.record.sheet.kind == "sheet"]
    counted = [made.record for made in state.sheets if made.number in state.nominated]
    return SignsResult(
        light=_digest(["light", state.opening.seed]), decisions=[decisions_digest(record) for record in whole],
        strips=len(state.sheets) - len(whole), smallest_card_mm=smallest_card_mm(counted),
    )  # fmt: skip


def decisions_digest(record: PrintingRecord) -> str:
    """Return a digest of what was decided for a sheet: everything a hand sets, not the light that came nor the negative.

    Behind it stands ``ROUND`` where all of it is what anybody might dial: seconds on the half, and no card.
    """
    exposures = [[e.time_s, e.f_number, e.filter.name, [asdict(card) for card in e.cards]] for e in record.exposures]
    digest = _digest([exposures, record.enlarger.height_mm, record.enlarger.focus_offset_mm, record.development.time_s])
    plain = all(abs(2.0 * e.time_s - round(2.0 * e.time_s)) < 1e-6 and not e.cards for e in record.exposures)
    return digest + ROUND if plain else digest


def _digest(value: object) -> str:
    text = json.dumps(value, sort_keys=True, ensure_ascii=True, default=str)
    return hashlib.sha256(text.encode("ascii")).hexdigest()[:DIGITS]


def smallest_card_mm(records: Sequence[PrintingRecord]) -> float | None:
    """Return the shorter side of the smallest card over the sheets that count, None where no card was used."""
    sides = [_shorter_side_mm(card) for record in records for e in record.exposures for card in e.cards]
    return round(min(sides), 1) if sides else None


def _shorter_side_mm(card: Card) -> float:
    if card.shape == "edge":
        return 1500.0  # all of one side of the sheet
    if card.outline:
        xs, ys = zip(*card.outline, strict=True)
        return min(max(xs) - min(xs), max(ys) - min(ys))
    return card.width_mm if card.shape == "disc" else min(card.width_mm, card.length_mm)
