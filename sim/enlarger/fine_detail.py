"""What a sheet must know besides lens and focus when its pixels are fine enough to show it: colour of light, paper's spread.

Whole sheets are coarser and are spared both, so that exposures through two filters share one projection.
"""

from __future__ import annotations

from dataclasses import dataclass

from sim.enlarger.filters import FilterSetting
from sim.enlarger.sharpness import paper_spread_shown

COLOUR_SHOWS_PX_PER_MM = 15.0  # chosen between a sheet's pixels (at most 12) and a loupe's (20)


@dataclass(frozen=True)
class FineDetail:
    """The filter that colours the light, and the frequency at which the paper passes half contrast (0: not shown)."""

    filtration: FilterSetting = FilterSetting()
    paper_half_lp_mm: float = 0.0


TOO_COARSE = FineDetail()


def fine_detail(px_per_mm: float, filtration: FilterSetting, paper_half_lp_mm: float, contact: bool) -> FineDetail:
    """Return what of filter and paper a grid can show; in contact there is no lens for a colour to matter to."""
    shows_colour = px_per_mm >= COLOUR_SHOWS_PX_PER_MM and not contact
    return FineDetail(
        filtration if shows_colour else FilterSetting(), paper_spread_shown(paper_half_lp_mm, px_per_mm)
    )
