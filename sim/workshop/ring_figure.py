"""The figure of a ring-around: one picture nine times, less and more light across, softer and harder down."""

from __future__ import annotations

from sim.negative.develop import find_negative
from sim.notebook.advice_words import stops_in_words
from sim.notebook.control_words import filter_words
from sim.paper.development import Development
from sim.paper.response import Response
from sim.paper.stock import find_stock
from sim.printing.exposure import LightCache
from sim.printing.make_print import make_print
from sim.printing.setup import usual_setup
from sim.printing.strips import ring_around
from sim.scoring.reach import ReachOptions, reach
from sim.scoring.target_tones import Goal
from sim.viewing.lightness import screen_values
from sim.words import Words
from sim.workshop.figures import INK, hang, new_figure, png_of

PAPER = "glossy-rc-vc"
FILTERS = ("1", "2", "3")
STEP_STOPS = 0.5
LIGHTEST_NET = 0.07  # above paper white in the middle print: the rule for all negatives
PX_PER_MM = 1.6


def ring_png(name: str) -> bytes:
    """Return nine prints of a negative around the one that is right at the middle filter, each with what was done."""
    negative, stock = find_negative(name), find_stock(PAPER)
    base = usual_setup(negative, stock)
    lightest = next(place for place in negative.places if place.part == "lightest")
    goal = Goal(lightest, _white(stock.name) + LIGHTEST_NET)
    right = reach(negative, base, stock, (goal,), "one", ReachOptions(filters=FILTERS[1:2])).record
    lights, figure = LightCache(), new_figure(8.4, 10.5)
    for row, cells in enumerate(ring_around(right, STEP_STOPS, FILTERS)):
        for col, cell in enumerate(cells):
            sheet = make_print(negative, cell.record, stock, PX_PER_MM, lights=lights)
            hang(figure, (0.07 + 0.31 * col, 0.655 - 0.315 * row, 0.29, 0.285), screen_values(sheet.density), "")
        words = filter_words(cells[0].filtration)
        figure.text(0.035, 0.8 - 0.315 * row, words, color=INK, fontsize=10, rotation=90, va="center")
    for col, stops in enumerate((-STEP_STOPS, 0.0, STEP_STOPS)):
        words = "right for the lights" if not stops else f"{_told(stops)} {'more' if stops > 0 else 'less'} light"
        figure.text(0.215 + 0.31 * col, 0.96, words, color=INK, fontsize=10, ha="center")
    return png_of(figure, 100)


def _told(stops: float) -> str:
    return stops_in_words(stops, Words())


def _white(paper: str) -> float:
    """Return the density of a paper's white."""
    stock = find_stock(paper)
    return float(Response(stock, Development(stock.development.completion_time_s)).base_plus_fog)
