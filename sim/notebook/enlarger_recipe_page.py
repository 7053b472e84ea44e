"""The recipe for measuring one's own enlarger: what to print, in what order, and a table to fill beside it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from sim.notebook.darkroom_page import FOOT_PT, MARGIN_MM, DarkroomPage

if TYPE_CHECKING:
    from matplotlib.figure import Figure

SHORTEST = (
    "Shortest of all: one straight print that was right. Write down its seconds, aperture, filter, sheet and height, and tell "
    "them to the program. Every row below makes its seconds surer; each can be left out."
)
BEFORE = (
    "Carrier empty unless a row says otherwise, lens focused, one paper, one developer, lamp warm. Each row is one small piece "
    "of paper that must come out a middle grey: lay a known step of a wedge over it and write its density down.",
    "Develop all pieces together, to completion; wash and dry them. Read each in its middle, in white light.",
)
ROWS = (
    ("1", "level: your usual height, aperture and filter, about 10 s"),
    ("2", "lamp and timer: the same in ten bursts of 1 s"),
    ("3", "each other filter you use, a row each"),
    ("4", "each other aperture you use, a row each"),
    ("5", "the law of size: a second height, half or twice the first"),
    ("6", "corners: as row 1, read in a corner; off_mm from the middle"),
    ("7", "the head: clear film in the carrier (film 0), then a dense step of a film wedge (film 0.8 to 1.6 above clear film), "
     "each alone in the gate, the rest masked; same height, aperture, filter"),
)  # fmt: skip
FILM = (
    "The film wedge is made on your own film, developed as you do; its steps are read with a densitometer, or laid beside a "
    "known wedge on a light table and given the density of the step that looks alike. A wedge of carbon hardly scatters light "
    "and prints alike in any head; silver prints denser the more the light is directed."
)
COIN = (
    "Last the safelight: a sheet exposed to a light grey, a coin on it, 2, 4, 8 and 16 minutes under the safelight, "
    "one piece each. The longest without a mark and the first with one: --coin 8,16."
)
COLUMNS = (("row", 9.0), ("height_mm", 23.0), ("f_number", 21.0), ("filter", 14.0), ("seconds", 19.0), ("bursts", 16.0),
           ("wedge", 16.0), ("where", 16.0), ("off_mm", 17.0), ("film", 12.0), ("density", 17.0))  # fmt: skip
FILLED = {1: {"bursts": "1"}, 2: {"bursts": "10"}, 6: {"where": "corner"}, 7: {"film": "0"}}
LINES, LINE_MM = (1, 2, 3, 3, 4, 4, 5, 6, 7, 7, 7), 6.2
VERB = "tonewright calibrate enlarger TABLE.csv --name mine --paper glossy-rc-vc --head diffusion-small --lens 80-mm"


def enlarger_recipe(size: str = "a4", large: bool = False) -> tuple[Figure, ...]:
    """Return the pages: what to measure, in what order, and the table to fill."""
    under = "Each row improves something; the first is enough to begin."
    page = DarkroomPage(size, "Your own enlarger: grey patches", under, large)
    page.write(SHORTEST)
    for text in BEFORE:
        page.write(text)
    page.rule()
    for mark, text in ROWS:
        page.write(text, indent_mm=9.0, mark=mark)
    page.write(FILM)
    page.write(COIN)
    _table(page)
    page.write("Type the table with these headings as a text file, commas between, empty cells left empty, without the column "
               "row; then:")  # fmt: skip
    page.write(VERB)
    return page.finish()


def _table(page: DarkroomPage) -> None:
    """Draw the table to be filled with a pencil: what is known already stands in it."""
    high = LINE_MM * (len(LINES) + 1)
    page.keep(high + 4.0)
    whole = sum(wide for _, wide in COLUMNS)
    left, lefts = MARGIN_MM, []
    for _, wide in COLUMNS:
        lefts.append(left)
        left += wide * (page.right - MARGIN_MM) / whole
    top = page.y
    for n in range(len(LINES) + 2):
        page.page.plot([MARGIN_MM, page.right], [top + n * LINE_MM] * 2, color="black", lw=0.5)
    for x in (*lefts, page.right):
        page.page.plot([x, x], [top, top + high], color="black", lw=0.5)
    for x, (name, _) in zip(lefts, COLUMNS, strict=True):
        page.text(x + 0.8, top + 0.68 * LINE_MM, name, FOOT_PT)
        for n, row in enumerate(LINES, 1):
            cell = str(row) if name == "row" else FILLED.get(row, {}).get(name, "") if LINES[n - 2] != row or n == 1 else ""
            page.text(x + 0.8, top + (n + 0.68) * LINE_MM, cell, FOOT_PT)
    page.y = top + high + 4.0
