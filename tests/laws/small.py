"""Small negatives and records for the laws, and what hypothesis may choose."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
from hypothesis import Phase, settings
from hypothesis import strategies as st
from hypothesis.extra import numpy as npst

from sim.enlarger.filters import GRADED_NAMES, FilterSetting
from sim.enlarger.settings import EnlargerSettings
from sim.negative.negative import Negative
from sim.paper.development import Development
from sim.paper.response import Response
from sim.paper.stock import Stock, find_stock
from sim.printing.make_print import make_print
from sim.printing.record import Exposure, PrintingRecord, Sheet

# no shrinking: a failing print is shown as found, for shrinking pictures takes minutes
LAW = settings(
    deadline=None, max_examples=20, derandomize=True, database=None, phases=(Phase.explicit, Phase.generate)
)
FRAME_MM = (56.25, 45.0)
STOCKS: dict[str, Stock] = {n: find_stock(n) for n in ("glossy-rc-vc", "glossy-fb-vc", "matt-fb-vc", "graded-fb-2")}
VARIABLE = tuple(name for name, stock in STOCKS.items() if stock.is_variable_contrast)

# a head whose lamp loses nothing at the switch: where seconds of light are to be compared
STEADY = {"head": "led-sheet", "lens": "150-mm", "height_mm": 700.0}

stocks = st.sampled_from(tuple(STOCKS))
variable_stocks = st.sampled_from(VARIABLE)
filters = st.sampled_from(GRADED_NAMES)
times_s = st.floats(1.0, 60.0)
densities = st.floats(0.0, 1.8)
scenes = npst.arrays(np.float32, (6, 8), elements=st.floats(0.0, 2.5, width=32))


def negative(silver: np.ndarray, stain_share: float = 0.0, base: float = 0.25) -> Negative:
    """Return a negative of a 45 x 56 mm frame."""
    return Negative("law", np.asarray(silver, dtype=np.float32), base, FRAME_MM, stain_share=stain_share)


def even(density: float, stain_share: float = 0.0, base: float = 0.25) -> Negative:
    """Return an even negative: no detail, so that blur has nothing to act on."""
    return negative(np.full((13, 15), density), stain_share, base)


def wedge(
    low: float = 0.0, high: float = 2.0, steps: int = 21, stain_share: float = 0.0, base: float = 0.25, across: int = 5
) -> Negative:
    """Return a step wedge, each step ``across`` pixels wide, darkest at the right."""
    levels = np.linspace(low, high, steps)
    return negative(np.broadcast_to(np.repeat(levels, across), (13, steps * across)), stain_share, base)


def straight(
    paper: str = "glossy-rc-vc", head: str = "diffusion-small", lens: str = "80-mm", height_mm: float = 390.0,
    contact: bool = False, size_mm: tuple[float, float] = (150.0, 120.0), development_s: float | None = None,
) -> PrintingRecord:  # fmt: skip
    """Return a record without exposures of its own to speak of; a sheet that holds the whole image."""
    stock = STOCKS[paper]
    developed = Development(stock.development.completion_time_s if development_s is None else development_s)
    return PrintingRecord(
        "law", Sheet(paper, *size_mm), EnlargerSettings(head, lens, height_mm, contact=contact),
        (shot(10.0),), developed,
    )  # fmt: skip


def shot(light_s: float, name: str | None = "2", f_number: float = 8.0, **more: object) -> Exposure:
    """Return an exposure that really gives ``light_s`` seconds: lamp and timer left out."""
    return Exposure(max(light_s, 0.1), f_number, FilterSetting(name), light_s=light_s, **more)  # type: ignore[arg-type]


def printed(film: Negative, record: PrintingRecord, *exposures: Exposure, wet: bool = False) -> np.ndarray:
    """Return the print's densities [row, col] in float64."""
    chosen = record.with_exposures(*exposures) if exposures else record
    return make_print(film, chosen, STOCKS[record.sheet.paper], wet=wet).density.astype(float)


def middle(density: np.ndarray) -> float:
    """Return the density on the axis."""
    return float(density[density.shape[0] // 2, density.shape[1] // 2])


def steps_of(density: np.ndarray, film: Negative, steps: int = 21) -> np.ndarray:
    """Return the density in the middle of each step of a wedge, on the middle row (unshifted print)."""
    cols, across = film.silver_density.shape[1], film.silver_density.shape[1] // steps
    offset = (density.shape[1] - cols) // 2
    return density[density.shape[0] // 2, offset + across // 2 + across * np.arange(steps)]


def response_of(paper: str, **changes: object) -> Response:
    """Return a stock developed to completion."""
    stock = STOCKS[paper]
    return replace(Response(stock, Development(stock.development.completion_time_s)), **changes)  # type: ignore[arg-type]
