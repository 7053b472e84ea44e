"""The tables of seconds as a page to hang beside the timer."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from typing import TYPE_CHECKING

from sim.enlarger.equipment import Head
from sim.enlarger.light_given import dead_time_s
from sim.notebook.darkroom_page import MARGIN_MM, DarkroomPage
from sim.notebook.times import LOCAL_STOPS, exposure_times_s, local_times, stops_text
from sim.words_page import page_said

if TYPE_CHECKING:
    from matplotlib.figure import Figure

MOST_BASES = 6
TABLE_STEPS = 13
WIDEST_COLUMN_MM = 38.0


def times_page(
    bases_s: Sequence[float], step: Fraction, head: Head | None, size: str = "a4", large: bool = False
) -> tuple[Figure, ...]:
    """Return the page: exposures from the first base time up, and dodge and burn of every base time."""
    lost = (
        "no time lost at the switch"
        if head is None
        else f"{head.title}: {dead_time_s(head):.2f} s a switching made up for"
    )
    page = DarkroomPage(size, "Seconds by stops", lost, large)
    times = exposure_times_s(bases_s[0], step, TABLE_STEPS, head)
    page.write(f"Exposure, {stops_text(step)} stop more each", size_pt=13.0, bold=True)
    half = (len(times) + 1) // 2
    for row in (times[:half], times[half:]):
        room = (page.right - MARGIN_MM) / half
        for k, t in enumerate(row):
            right = MARGIN_MM + room * (k + 0.9)
            page.text(right, page.y + 6.0 * page.larger, page_said(f"{t:.1f}"), 15.0, bold=True, side="right")
        page.y += 9.0 * page.larger
    page.y += 2.0
    for title, burning in (("Burn in, seconds more", True), ("Hold back, seconds of the base exposure", False)):
        page.keep(6.0 * page.pitch(13.0))  # a heading stays with its table
        page.write(title, size_pt=13.0, bold=True)
        page.table(*_local(page, bases_s, head, burning), size_pt=12.0)
    return page.finish()


def _local(
    page: DarkroomPage, bases_s: Sequence[float], head: Head | None, burning: bool
) -> tuple[list[tuple[float, str]], list[list[str]]]:  # fmt: skip
    room = min((page.right - MARGIN_MM - 24.0) / len(bases_s), WIDEST_COLUMN_MM)
    columns = [
        (MARGIN_MM, "stops"),
        *((MARGIN_MM + 24.0 + room * (k + 1), f"base {b:g} s") for k, b in enumerate(bases_s)),
    ]
    by_base = [local_times(b, head) for b in bases_s]
    rows = []
    for n, stops in enumerate(LOCAL_STOPS):
        if not burning and stops > 1:
            break
        cells = [one[n].burn_s if burning else one[n].dodge_s for one in by_base]
        rows.append([stops_text(stops), *("-" if cell is None else f"{cell:.1f}" for cell in cells)])
    return columns, rows
