"""Darkrooms for the tests: a small negative developed quickly, and an evening's worth of paper."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from pathlib import Path

import numpy as np

from sim.bench.darkroom import Darkroom
from sim.bench.developed_negatives import DevelopedNegatives
from sim.bench.house_rules import HouseRules
from sim.bench.tools import CardPose
from sim.enlarger.easel import SheetGrid
from sim.negative.negative import Negative, Place
from sim.paper.stock import find_stock
from sim.printing.exposure import expose
from sim.printing.shadow_now import ShadowNow

SIZE = (150, 190)


def small_negative(name: str = "morning-shelf", stain_share: float = 0.0) -> Negative:
    """Return a picture of 100 x 80 pixels with tones from thin to dense and a fine pattern, on a 6x7 frame standing upright."""
    across, down = np.meshgrid(np.linspace(0, 1, 80), np.linspace(0, 1, 100))
    silver = 0.15 + 0.9 * across + 0.35 * np.sin(9.0 * down) ** 2
    silver[:20, :30] += 0.3 * (np.indices((20, 30)).sum(axis=0) % 2)  # fine detail in the top left corner
    places = (
        Place("cup", 0.9, 0.5, 4.0, "lightest"), Place("wall", 0.5, 0.5, 4.0, "tone"), Place("dark", 0.1, 0.5, 4.0, "darkest"),
    )  # fmt: skip
    return Negative(name, silver.astype(np.float32), 0.25, (56.0, 70.0), stain_share=stain_share, places=places, digest="small")


def small_room(folder: Path, rules: HouseRules | None = None, stain_share: float = 0.0, **box: object) -> Darkroom:
    """Return a darkroom whose shelf negative is the small one, set up as is usual for it."""
    small = DevelopedNegatives(small_negative(stain_share=stain_share))
    return Darkroom.open(folder, rules=rules, negatives=small, **box)  # type: ignore[arg-type]


@dataclass(frozen=True)
class OnlyTime:
    """A lesson on exposing time: everything else is locked, and a prediction is asked for."""

    def locked(self, control: str) -> str | None:
        return None if control == "time_s" else f"{control} is not what is practised here"

    def prediction_wanted(self, strip: bool) -> str | None:
        return "which step?" if strip else "lighter or darker?"

    def negatives(self) -> tuple[str, ...]:
        return ()


def shadow_now(
    room: Darkroom, grid: SheetGrid, region: tuple[float, float, float, float], poses: Sequence[CardPose]
) -> np.ndarray:
    """Return the share of light that cards let through to every point of a view [row, col], put together piece by piece."""
    out = np.ones((grid.rows, grid.cols), dtype=np.float32)
    for pose in poses:
        card, optics = pose.card().placed(1.0, -region[0], -region[1]), room.desk.card_optics(room.desk.now.f_number)
        lit = np.full_like(out, 0.0 if pose.tool.lets_through == "inside" else 1.0)
        for rows, cols, share in ShadowNow().patches(card, grid, optics):
            lit[rows, cols] = 0.0 if share is None else share
        out *= lit
    return out


def lit_shares(room: Darkroom, px_per_mm: float = 2.0) -> list[np.ndarray]:
    """Return for every exposure of the piece in hand what its cards let through: its light over that without cards."""
    record, shares = room.paper.record(), []
    for exposure in record.exposures:
        with_cards, bare = (
            expose(room.desk.negative, replace(record, exposures=(e,)), find_stock(record.sheet.paper), px_per_mm).planes()[0]
            for e in (exposure, replace(exposure, cards=()))
        )
        shares.append(np.divide(with_cards, bare, out=np.zeros_like(bare), where=bare > 0.0))
    return shares
