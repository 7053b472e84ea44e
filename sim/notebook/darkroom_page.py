"""A page for the darkroom: black on white, A4 or Letter, large enough to be read under a safelight, cautions at its foot.

Measures on the page are mm from its top left corner. A page is a figure of the plotting library, written as PDF or PNG.
"""

from __future__ import annotations

import io
import textwrap
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any

from sim.refusals import Refused
from sim.writing import write_bytes

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

SIZES_MM = {"a4": (210.0, 297.0), "letter": (215.9, 279.4)}
MARGIN_MM = 16.0
READABLE_PT = 11.0  # the least type of what is read under a safelight
FOOT_PT = 7.5
MM_PER_POINT = 25.4 / 72.0
LETTER_WIDTH = 0.53  # mean width of a letter over its type size, DejaVu Sans
CAUTIONS = (
    "Air the room, wear gloves or use tongs, keep wet hands off switches and mains leads, let a hot lamp house cool, and "
    "follow the safety sheet of whoever makes your chemicals; the rules of the place you work in come first."
)


class DarkroomPage:
    """One page to be filled from the top; ``y`` is where the next line stands."""

    def __init__(self, size: str, title: str, under: str = ""):
        from matplotlib.figure import Figure

        if size not in SIZES_MM:
            raise Refused(f"a page must be one of {', '.join(SIZES_MM)}, got {size!r}")
        self.width, self.height = SIZES_MM[size]
        self.figure: Figure = Figure(figsize=(self.width / 25.4, self.height / 25.4), facecolor="white")
        self.page = self.axes(0.0, 0.0, self.width, self.height)
        self.page.set_xlim(0.0, self.width)
        self.page.set_ylim(self.height, 0.0)
        self.page.axis("off")
        self.y = MARGIN_MM + 4.0
        self.write(title, size_pt=18.0, bold=True)
        if under:
            self.write(under, size_pt=READABLE_PT)
        self.rule()

    @property
    def right(self) -> float:
        """The right margin."""
        return self.width - MARGIN_MM

    @property
    def bottom(self) -> float:
        """The lowest line above the cautions."""
        return self.height - MARGIN_MM - 14.0

    def axes(self, left: float, top: float, width: float, height: float) -> Axes:
        """Return axes at a place of the page."""
        box = left / self.width, 1.0 - (top + height) / self.height, width / self.width, height / self.height
        return self.figure.add_axes(box)

    def text(
        self, x: float, y: float, text: str, size_pt: float = READABLE_PT, bold: bool = False, side: str = "left"
    ) -> None:
        """Write one line at a place."""
        weight = "bold" if bold else "normal"
        self.page.text(x, y, text, fontsize=size_pt, color="black", ha=side, va="baseline", fontweight=weight)

    def write(
        self, text: str, size_pt: float = READABLE_PT, bold: bool = False, indent_mm: float = 0.0, mark: str = ""
    ) -> None:
        """Write a paragraph from margin to margin and move on; ``mark`` hangs before its first line."""
        room = self.right - MARGIN_MM - indent_mm
        letters = max(int(room / (size_pt * MM_PER_POINT * LETTER_WIDTH * (1.08 if bold else 1.0))), 10)
        pitch = size_pt * MM_PER_POINT * 1.35
        for n, line in enumerate(textwrap.wrap(text, letters) or [""]):
            if n == 0 and mark:
                self.text(MARGIN_MM, self.y + pitch * 0.75, mark, size_pt, bold=True)
            self.text(MARGIN_MM + indent_mm, self.y + pitch * 0.75, line, size_pt, bold)
            self.y += pitch
        self.y += pitch * 0.25

    def rule(self) -> None:
        """Draw a line across and move on."""
        self.page.plot([MARGIN_MM, self.right], [self.y + 0.5] * 2, color="black", lw=0.9)
        self.y += 4.0

    def table(
        self, columns: Sequence[tuple[float, str]], rows: Sequence[Sequence[str]], size_pt: float = READABLE_PT
    ) -> None:
        """Write a table: ``columns`` are the place of each column's right edge (the first: left) and its heading."""
        pitch = size_pt * MM_PER_POINT * 1.45
        for n, row in enumerate(([heading for _, heading in columns], *rows)):
            for k, ((x, _), cell) in enumerate(zip(columns, row, strict=True)):
                side = "left" if k == 0 else "right"
                self.text(
                    x, self.y + pitch * 0.75, cell, size_pt if n else size_pt - 1.5, bold=n == 0 or k == 0, side=side
                )
            self.y += pitch
            if n == 0:
                self.page.plot([MARGIN_MM, self.right], [self.y - 0.2] * 2, color="black", lw=0.5)
                self.y += 0.8
        self.y += pitch * 0.4

    def finish(self, more: str = "") -> Figure:
        """Write the cautions at the foot and return the page."""
        text = f"{more} {CAUTIONS}".strip()
        letters = int((self.right - MARGIN_MM) / (FOOT_PT * MM_PER_POINT * LETTER_WIDTH))
        lines = textwrap.wrap(text, letters)
        top = self.height - MARGIN_MM - 3.6 * (len(lines) - 1)
        self.page.plot([MARGIN_MM, self.right], [top - 4.4] * 2, color="black", lw=0.6)
        for k, line in enumerate(lines):
            self.text(MARGIN_MM, top + 3.6 * k, line, FOOT_PT)
        return self.figure


def page_kind(out: Path, option: str = "-o") -> str:
    """Return pdf or png of a page's file. Raises Refused for another ending."""
    kind = out.suffix.lower().removeprefix(".")
    if kind not in ("png", "pdf"):
        raise Refused(f"{option} must be a .pdf or .png file, got {out.name!r}")
    return kind


def save_page(figure: Figure, out: Path) -> None:
    """Write a page durably, without a date in it."""
    kind, buffer = page_kind(out), io.BytesIO()
    more: dict[str, Any] = {"metadata": {"CreationDate": None}} if kind == "pdf" else {"dpi": 150}
    figure.savefig(buffer, format=kind, **more)
    write_bytes(out, buffer.getvalue())
