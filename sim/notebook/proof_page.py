"""The proof sheet as a page: frames in order with their numbers, time and filter at its head; in true size where it fits."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from typing import TYPE_CHECKING

from sim.notebook.control_words import filter_words
from sim.notebook.darkroom_page import MARGIN_MM, DarkroomPage
from sim.notebook.proof import Proof, ProofFrame
from sim.viewing.lightness import screen_values
from sim.viewing.plain_names import plain_name
from sim.words_page import page_said

if TYPE_CHECKING:
    from matplotlib.figure import Figure

GAP_MM, LABEL_MM = 4.0, 6.5
LABEL_PT = 9.0
AS_LARGE = 0.85  # of the largest scale at which all frames fit (chosen: rows that fill the page are worth a seventh of it)


Box = tuple[float, float, float, float]


def proof_page(
    proof: Proof, title: str = "Proof sheet", size: str = "a4", large: bool = False, marked: Collection[str] = ()
) -> tuple[Figure, ...]:  # fmt: skip
    """Return the page; frames whose negatives are ``marked`` as worth printing are ringed."""
    return proof_laid(proof, title, size, large, marked)[0]


def proof_laid(
    proof: Proof, title: str = "Proof sheet", size: str = "a4", large: bool = False, marked: Collection[str] = ()
) -> tuple[tuple[Figure, ...], tuple[Box, ...]]:  # fmt: skip
    """Return the page, and where every frame lies on it: left, top, width, height as fractions of the page."""
    exposure = proof.record.exposures[0]
    frames = f"{len(proof.frames)} frames, all" if len(proof.frames) > 1 else "one frame,"
    under = (
        f"{frames} {proof.time_s:.1f} s at f/{exposure.f_number:g}, {filter_words(exposure.filter)}, "
        f"on {proof.stock.title.lower()}: the least time for full black through clear film"
    )
    page = DarkroomPage(size, title, under, large)
    label_mm = LABEL_MM * page.larger
    columns, scale = _laid_out(proof, page.right - MARGIN_MM, page.bottom - page.y - 4.0, label_mm)
    wide, top, boxes = (page.right - MARGIN_MM + GAP_MM) / columns, page.y, []
    for row in _rows(proof.frames, columns):
        tallest = scale * max(_sides(frame)[1] for frame in row)
        for k, frame in enumerate(row):  # each in the middle of its column, all numbers of a row on one line
            across, down = (side * scale for side in _sides(frame))
            left, above = MARGIN_MM + k * wide + (wide - GAP_MM - across) / 2.0, top + tallest - down
            boxes.append((left / page.width, above / page.height, across / page.width, down / page.height))
            _frame(page, frame, left, above, scale, (wide - GAP_MM + across) / 2.0)
            if frame.negative.name in marked:
                _ring(page, left, above, across, down)
        top += tallest + GAP_MM + label_mm
    more = "True size." if abs(scale - 1.0) < 1e-6 else f"Shown at {scale:.2f} of true size."
    more += " Thin and dense are told against the middle frame of the roll."
    more += " Ringed: marked as worth printing." if any(f.negative.name in marked for f in proof.frames) else ""
    return page.finish(more), tuple(boxes)


def _ring(page: DarkroomPage, left: float, top: float, wide: float, high: float) -> None:
    """Ring a frame, as one does with a grease pencil."""
    x, y, out = (left, left + wide), (top, top + high), 1.0
    (x0, x1), (y0, y1) = (x[0] - out, x[1] + out), (y[0] - out, y[1] + out)
    page.page.plot((x0, x1, x1, x0, x0), (y0, y0, y1, y1, y0), color="black", lw=2.2)


def _sides(frame: ProofFrame) -> tuple[float, float]:
    return frame.sheet.grid.width_mm, frame.sheet.grid.height_mm


def _rows(frames: Sequence[ProofFrame], columns: int) -> list[Sequence[ProofFrame]]:
    """Return the frames row after row."""
    return [frames[k : k + columns] for k in range(0, len(frames), columns)]


def _laid_out(proof: Proof, room_mm: float, height_mm: float, label_mm: float) -> tuple[int, float]:
    """Return columns and scale: true size where all frames fit, else as large as they fit; of such layouts the widest rows.

    A few frames stand side by side as a strip of film lies, not one below the other.
    """
    count = len(proof.frames)
    widest = max(_sides(frame)[0] for frame in proof.frames)
    laid = []
    for columns in range(1, count + 1):
        tallest = [max(_sides(frame)[1] for frame in row) for row in _rows(proof.frames, columns)]
        high = (height_mm - len(tallest) * (GAP_MM + label_mm)) / sum(tallest)
        scale = min(((room_mm + GAP_MM) / columns - GAP_MM) / widest, high, 1.0)
        laid.append((columns, scale))
    largest = max(scale for _, scale in laid)
    enough = 1.0 if largest == 1.0 else AS_LARGE * largest
    return max(one for one in laid if one[1] >= enough - 1e-9)


def _frame(page: DarkroomPage, frame: ProofFrame, left: float, top: float, scale: float, room_mm: float) -> None:
    wide, high = _sides(frame)
    axes = page.axes(left, top, wide * scale, high * scale)
    axes.axis("off")
    axes.imshow(screen_values(frame.sheet.density), cmap="gray", vmin=0, vmax=255, aspect="auto", interpolation="antialiased")
    said = f", {page_said(frame.stands_out)}" if frame.stands_out else ""
    baseline = top + high * scale + 4.6 * page.larger  # below a ring as well
    page.text(left, baseline, f"{frame.number}", LABEL_PT + 1.5, bold=True)
    letters = max(int((room_mm - 8.0 * page.larger) / (LABEL_PT * page.larger * 0.19)), 4)
    name = page_said(plain_name(frame.negative.name.removeprefix("own:")))
    room = max(letters - len(said), 4)
    page.text(left + 6.5 * page.larger, baseline, (name if len(name) <= room else name[: room - 1] + "…") + said, LABEL_PT)
