"""Target densities: what wishes in the paper's own terms come to on the paper that a lesson prints on."""

from __future__ import annotations

from sim.paper.development import Development
from sim.paper.response import Response
from sim.paper.stock import find_stock
from sim.scoring.exercise_keys import CriterionEntry, ExerciseFile


def derived_targets(raw: ExerciseFile) -> dict[str, float]:
    """Return the density of every criterion that is wished for above paper white or as a share of net black."""
    stock = find_stock(raw.paper)
    paper = Response(stock, Development(stock.development.completion_time_s))
    return {entry.called(): _density(entry, paper) for entry in raw.criterion if entry.is_in_paper_terms}


def _density(entry: CriterionEntry, paper: Response) -> float:
    """Return the density, to a hundredth as a densitometer shows it."""
    if entry.net_density is not None:
        return round(paper.base_plus_fog + entry.net_density, 2)
    return round(paper.base_plus_fog + (entry.share or 0.0) * (paper.black - paper.base_plus_fog), 2)
