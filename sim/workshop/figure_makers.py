"""Figures for README, documents and lessons: each maker draws one kind of picture and returns PNG bytes."""

from __future__ import annotations

from collections.abc import Callable

from sim.workshop.demo_figures import demo_prints_png, demo_strip_png
from sim.workshop.paper_plot import stock_plot_png
from sim.workshop.recipes import Recipe
from sim.workshop.sleeve_sheet import sleeve_sheet_png


def make_figure(recipe: Recipe) -> bytes:
    """Return the PNG of a figure's recipe."""
    subject = recipe.subject or ""
    makers: dict[str, Callable[[], bytes]] = {
        "paper-family": lambda: stock_plot_png(subject),
        "sleeve-sheet": lambda: sleeve_sheet_png(subject),
        "demo": lambda: demo_strip_png() if subject == "strip" else demo_prints_png(),
    }
    return makers[recipe.maker]()
