"""The proof sheet as a page: frames in order with their numbers, time and filter at its head; in true size where it fits."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

import numpy as np

from sim.notebook.control_words import filter_words
from sim.notebook.darkroom_page import MARGIN_MM, DarkroomPage
from sim.notebook.proof import Proof, ProofFrame
from sim.viewing.lightness import screen_values
from sim.viewing.plain_names import plain_name

if TYPE_CHECKING:
    from matplotlib.figure import Figure

GAP_MM, LABEL_MM = 3.0, 6.5
LABEL_PT = 8.5


def proof_page(proof: Proof, title: str = "Proof sheet", size: str = "a4") -> Figure:
    """Return the page."""
    exposure = proof.record.exposures[0]
    under = (
        f"{len(proof.frames)} frames, all {proof.time_s:.1f} s at f/{exposure.f_number:g}, {filter_words(exposure.filter)}, "
        f"on {proof.stock.title.lower()}: the least time for full black through clear film"
    )
    page = DarkroomPage(size, title, under)
    columns, scale = _laid_out(proof, page.right - MARGIN_MM, page.bottom - page.y - 4.0)
    wide, high = (page.right - MARGIN_MM + GAP_MM) / columns, _cell_height_mm(proof, scale)
    for k, frame in enumerate(proof.frames):
        left = MARGIN_MM + (k % columns) * wide
        top = page.y + (k // columns) * high
        _frame(page, frame, left, top, scale, wide - GAP_MM)
    more = "True size." if abs(scale - 1.0) < 1e-6 else f"Shown at {scale:.2f} of true size."
    return page.finish(f"{more} Thin and dense are told against the middle frame of the roll.")


def _sides(frame: ProofFrame) -> tuple[float, float]:
    return frame.sheet.grid.width_mm, frame.sheet.grid.height_mm


def _cell_height_mm(proof: Proof, scale: float) -> float:
    """Return the room of the tallest frame with its label."""
    return max(_sides(frame)[1] for frame in proof.frames) * scale + GAP_MM + LABEL_MM


def _laid_out(proof: Proof, room_mm: float, height_mm: float) -> tuple[int, float]:
    """Return columns and scale: true size where all frames fit, else as large as they fit."""
    count = len(proof.frames)
    wide, high = (max(sides) for sides in zip(*map(_sides, proof.frames), strict=True))
    best = (1, 0.0)
    for columns in range(1, count + 1):
        rows = math.ceil(count / columns)
        scale = min((room_mm / columns - GAP_MM) / wide, (height_mm / rows - GAP_MM - LABEL_MM) / high, 1.0)
        if scale > best[1] + 1e-9:
            best = columns, scale
    return best


def _frame(page: DarkroomPage, frame: ProofFrame, left: float, top: float, scale: float, room_mm: float) -> None:
    wide, high = _sides(frame)
    axes = page.axes(left, top, wide * scale, high * scale)
    axes.axis("off")
    values = screen_values(frame.picture())
    axes.imshow(np.asarray(values), cmap="gray", vmin=0, vmax=255, aspect="auto", interpolation="antialiased")
    said = f"  {frame.stands_out}" if frame.stands_out else ""
    baseline = top + high * scale + 4.0
    page.text(left, baseline, f"{frame.number}", LABEL_PT + 1.5, bold=True)
    letters = max(int((room_mm - 8.0) / (LABEL_PT * 0.19)), 4)
    name = plain_name(frame.negative.name.removeprefix("own:"))
    room = max(letters - len(said), 4)
    page.text(left + 6.5, baseline, (name if len(name) <= room else name[: room - 1] + "…") + said, LABEL_PT)
