"""The recipe for reading one's own paper, on one page to take into the darkroom."""

from __future__ import annotations

from typing import TYPE_CHECKING

from sim.notebook.darkroom_page import DarkroomPage

if TYPE_CHECKING:
    from matplotlib.figure import Figure

STEPS = (
    "Take a step wedge of 21 or 31 steps (0.15 or 0.10 apart), fresh developer at 20 °C, and one box of paper.",
    "Set the head as high as for your usual print, empty carrier, lens stopped down two stops. Write down head, lens, height "
    "from negative stage to paper, and aperture; or read the light on the easel in lux.",
    "Lay the wedge on the paper under clean glass, its film side down, in even light from the middle of the field.",
    "Print it behind two settings at least: the softest (00) and the hardest (5). Three are good: 2 besides. Five are best: "
    "1 and 3 besides. Same height and aperture for all; write the seconds of each down.",
    "Check the wedge: one strip more behind 2, its seconds given twice, nothing moved. It must lie 0.30 further along the "
    "wedge, or the wedge is another than you think.",
    "Each strip must run from full black under the clear steps to paper white under the dense ones. If it does not, give "
    "twice the time, or half. Times of 8 to 30 s suit lamp and hand.",
    "Keep one piece of the same sheet that sees no light at all.",
    "Develop all together, to completion (RC 1 min, fibre base 2 to 3 min, or as its maker says), stop, fix, wash; dry them.",
    "Write filter and seconds on every strip, and an arrow to its dark end.",
)
READING = (
    ("Densitometer", "Read each step in its middle. One row a step: row, wedge, then a column for every setting. "
     "A row wet 12 is step 12 read before it was dry; a row double 9 is step 9 of the strip with twice the light."),
    (
        "Flatbed",
        "Scan all strips and a grey scale of known steps one beside the other, black paper behind them, flat under the glass, "
        "16 bits, every correction off. The strip with twice the light is called double 2 among the rows.",
    ),
    (
        "By eye",
        "For each strip, counted from the clear end: the lightest step that shows a tone (first tone), the step as grey "
        "as a card of 18 % (match 18%), and the lightest step that cannot be told from black (black). Half steps count.",
    ),
)
TABLE = (
    "row,wedge,00,2,5",
    "seconds,,20,20,40",
    "unexposed,,0.06,0.06,0.06",
    "1,0.05,2.21,2.20,2.22",
    "double 9,,,1.84,",
)


DRY_PT = 9.0  # of what is read in white light, so that all stands on one page


def wedge_recipe(size: str = "a4", large: bool = False) -> tuple[Figure, ...]:
    """Return the page: what to print, how to read it, and how to write it down."""
    page = DarkroomPage(
        size, "Your own paper: strips of a step wedge", "Filters, lamp and paper are read together, as you use them.", large,
    )
    for number, text in enumerate(STEPS, 1):
        page.write(text, indent_mm=9.0, mark=f"{number}")
    page.rule()
    page.write("Reading them, dry, in white light", size_pt=13.0, bold=True)
    for name, text in READING:
        page.write(f"{name}. {text}", size_pt=DRY_PT)
    page.write("The table, as a text file:", size_pt=DRY_PT, bold=True)
    for line in TABLE:
        page.write(line, size_pt=DRY_PT, indent_mm=9.0)
    return page.finish()
