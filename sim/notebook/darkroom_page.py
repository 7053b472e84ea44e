"""A page for the darkroom: black on white, A4 or Letter, large enough to be read under a safelight, cautions at its foot.

Measures on the page are mm from its top left corner. A page is a figure of the plotting library, written as PDF or PNG.
"""

from __future__ import annotations

import io
import textwrap
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from sim.refusals import Refused
from sim.words_page import page_said
from sim.writing import write_bytes

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

SIZES_MM = {"a4": (210.0, 297.0), "letter": (215.9, 279.4)}
MARGIN_MM = 16.0
READABLE_PT = 11.0  # the least type of what is read under a safelight: capitals 2.8 mm high
FOOT_PT = 9.0  # of what is read in white light beforehand: capitals 2.3 mm high
LARGER = 1.35  # type of the large pages against the usual ones: capitals of 3.8 mm and 3.1 mm
MM_PER_POINT = 25.4 / 72.0
LETTER_WIDTH = 0.55  # mean width of a letter over its type size, DejaVu Sans, with a little to spare
CAUTIONS = (
    "Air the room, wear gloves or use tongs, keep wet hands off switches and mains leads, let a hot lamp house cool, and "
    "follow the safety sheet of whoever makes your chemicals; the rules of the place you work in come first."
)


class BlankPage:
    """A page with nothing on it yet; ``page`` takes what is written in mm from its top left corner."""

    def __init__(self, size: str = "a4"):
        from matplotlib.figure import Figure

        if size not in SIZES_MM:
            raise Refused(f"a page must be one of {', '.join(SIZES_MM)}, got {size!r}")
        self.width, self.height = SIZES_MM[size]
        self.figure: Figure = Figure(figsize=(self.width / 25.4, self.height / 25.4), facecolor="white")
        self.page = self.axes(0.0, 0.0, self.width, self.height)
        self.page.set_xlim(0.0, self.width)
        self.page.set_ylim(self.height, 0.0)
        self.page.axis("off")

    def axes(self, left: float, top: float, width: float, height: float) -> Axes:
        """Return axes at a place of the page."""
        box = left / self.width, 1.0 - (top + height) / self.height, width / self.width, height / self.height
        return self.figure.add_axes(box)


class DarkroomPage(BlankPage):
    """Pages to be filled from the top; ``y`` is where the next line stands. What does not fit goes on overleaf.

    ``large``: all type larger, for a dim lamp or tired eyes. ``more`` stands before the cautions at the foot of every page.
    """

    def __init__(self, size: str, title: str, under: str = "", large: bool = False, more: str = ""):
        super().__init__(size)
        self.size, self.title, self.larger, self.more = size, title, LARGER if large else 1.0, more
        self._full: list[Figure] = []
        self.y = MARGIN_MM + 4.0
        self.write(title, size_pt=18.0, bold=True)
        if under:
            self.write(under)
        self.rule()

    @property
    def right(self) -> float:
        """The right margin."""
        return self.width - MARGIN_MM

    @property
    def bottom(self) -> float:
        """The lowest line above the cautions."""
        lines = len(self._foot(self.more)) + (0 if self.more else 2)  # room for what may be said when it is finished
        return self.height - MARGIN_MM - self._foot_pitch * lines - 2.0

    @property
    def _foot_pitch(self) -> float:
        return FOOT_PT * self.larger * MM_PER_POINT * 1.25

    def _foot(self, more: str) -> list[str]:
        return textwrap.wrap(page_said(f"{more} {CAUTIONS}".strip()), self.letters(FOOT_PT, self.right - MARGIN_MM))

    def letters(self, size_pt: float, room_mm: float, bold: bool = False) -> int:
        """Return how many letters of a type fit into a width."""
        return max(int(room_mm / (size_pt * self.larger * MM_PER_POINT * LETTER_WIDTH * (1.2 if bold else 1.0))), 10)

    def pitch(self, size_pt: float) -> float:
        """Return from line to line, mm."""
        return size_pt * self.larger * MM_PER_POINT * 1.35

    def text(
        self, x: float, y: float, text: str, size_pt: float = READABLE_PT, bold: bool = False, side: str = "left"
    ) -> None:
        """Write one line at a place."""
        weight, size = "bold" if bold else "normal", size_pt * self.larger
        self.page.text(x, y, text, fontsize=size, color="black", ha=side, va="baseline", fontweight=weight)

    def write(
        self, text: str, size_pt: float = READABLE_PT, bold: bool = False, indent_mm: float = 0.0, mark: str = ""
    ) -> None:
        """Write a paragraph from margin to margin and move on; ``mark`` hangs before its first line."""
        text = page_said(text)
        lines = textwrap.wrap(text, self.letters(size_pt, self.right - MARGIN_MM - indent_mm, bold)) or [""]
        pitch = self.pitch(size_pt)
        self.keep(pitch * len(lines))
        for n, line in enumerate(lines):
            if n == 0 and mark:
                self.text(MARGIN_MM, self.y + pitch * 0.75, mark, size_pt, bold=True)
            self.text(MARGIN_MM + indent_mm, self.y + pitch * 0.75, line, size_pt, bold)
            self.y += pitch
        self.y += pitch * 0.25

    def rule(self) -> None:
        """Draw a line across and move on."""
        self.page.plot([MARGIN_MM, self.right], [self.y + 0.5] * 2, color="black", lw=0.9)
        self.y += 4.0

    def keep(self, high_mm: float) -> bool:
        """Go on overleaf where so much does not fit any more, and tell; what fits no page stays where it is."""
        turns = self.y + high_mm > self.bottom and self.y > MARGIN_MM + 30.0
        if turns:
            self.turn()
        return turns

    def turn(self) -> None:
        """Go on overleaf."""
        self._close(self.more)
        super().__init__(self.size)
        self.y = MARGIN_MM + 4.0
        self.write(f"{self.title}, page {len(self._full) + 1}", size_pt=13.0, bold=True)
        self.rule()

    def table(
        self, columns: Sequence[tuple[float, str]], rows: Sequence[Sequence[str]], size_pt: float = READABLE_PT
    ) -> None:
        """Write a table, its headings on every page: ``columns`` are each column's right edge (the first: left) and heading."""
        pitch = self.pitch(size_pt) * 1.07
        self.keep(3.0 * pitch)
        for n, row in enumerate(rows):
            if self.keep(pitch) or n == 0:
                self._row(columns, [heading for _, heading in columns], max(size_pt - 1.5, FOOT_PT), pitch, heading=True)
                self.page.plot([MARGIN_MM, self.right], [self.y - 0.2] * 2, color="black", lw=0.5)
                self.y += 0.8
            self._row(columns, row, size_pt, pitch)
        self.y += pitch * 0.4

    def _row(
        self, columns: Sequence[tuple[float, str]], cells: Sequence[str], size_pt: float, pitch: float, heading: bool = False
    ) -> None:  # fmt: skip
        for k, ((x, _), cell) in enumerate(zip(columns, cells, strict=True)):
            side = "left" if k == 0 else "right"
            self.text(x, self.y + pitch * 0.75, page_said(cell), size_pt, bold=heading or k == 0, side=side)
        self.y += pitch

    def finish(self, more: str = "") -> tuple[Figure, ...]:
        """Write the cautions at the foot and return the pages."""
        self._close(more or self.more)
        return tuple(self._full)

    def _close(self, more: str) -> None:
        lines, pitch = self._foot(more), self._foot_pitch
        top = self.height - MARGIN_MM - pitch * (len(lines) - 1)
        self.page.plot([MARGIN_MM, self.right], [top - pitch - 0.6] * 2, color="black", lw=0.6)
        for k, line in enumerate(lines):
            self.text(MARGIN_MM, top + pitch * k, line, FOOT_PT)
        self._full.append(self.figure)


def page_kind(out: Path, option: str = "-o") -> str:
    """Return pdf or png of a page's file. Raises Refused for another ending."""
    kind = out.suffix.lower().removeprefix(".")
    if kind not in ("png", "pdf"):
        raise Refused(f"{option} must be a .png or .pdf file, got {out.name!r}")
    return kind


def save_page(pages: Figure | Sequence[Figure], out: Path) -> tuple[Path, ...]:
    """Write pages durably, without a date in them: one PDF, or a PNG each, the second named NAME-page-2. Return the files."""
    kind, figures = page_kind(out), tuple(pages) if isinstance(pages, Sequence) else (pages,)
    if kind == "pdf":
        from matplotlib.backends.backend_pdf import PdfPages

        buffer = io.BytesIO()
        with PdfPages(buffer, metadata={"CreationDate": None}) as book:
            for figure in figures:
                book.savefig(figure)
        write_bytes(out, buffer.getvalue())
        return (out,)
    files = []
    for number, figure in enumerate(figures, 1):
        buffer, file = io.BytesIO(), out if number == 1 else out.with_name(f"{out.stem}-page-{number}.png")
        figure.savefig(buffer, format=kind, dpi=150)
        write_bytes(file, buffer.getvalue())
        files.append(file)
    return tuple(files)
