"""Target densities: what wishes in the paper's own terms come to on the paper that a lesson prints on."""

from __future__ import annotations

from pathlib import Path

from sim.paper.development import Development
from sim.paper.response import Response
from sim.paper.stock import find_stock
from sim.reading import tables_in
from sim.scoring.exercise_file import EXERCISE_FILE
from sim.scoring.paper_wishes import PaperWish, paper_wishes


def derived_targets(folder: Path) -> dict[str, float]:
    """Return the density of every criterion that is wished for above paper white or as a share of net black."""
    file = folder / EXERCISE_FILE
    data = tables_in(file)
    wishes = paper_wishes(file, data)
    if not wishes:
        return {}
    stock = find_stock(str(data.get("paper")))
    paper = Response(stock, Development(stock.development.completion_time_s))
    return {wish.name: _density(wish, paper) for wish in wishes}


def _density(wish: PaperWish, paper: Response) -> float:
    """Return the density, to a hundredth as a densitometer shows it."""
    net = wish.value if wish.key == "net_density" else wish.value * (paper.black - paper.base_plus_fog)
    return round(paper.base_plus_fog + net, 2)
