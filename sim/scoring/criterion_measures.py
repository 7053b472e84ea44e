"""How each kind of criterion is measured on a judged print: what it reads there, what was wanted, how far off that is.

``MEASURES`` has one entry a kind (declared in ``criterion_kinds.py``); a kind that aims at the paper's own white or black
says with it which density that is.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from math import inf

from sim.enlarger.settings import set_up
from sim.paper.response import Response
from sim.paper.stock import Stock, find_stock
from sim.printing.make_print import place_on_sheet
from sim.scoring.burn_stops import main_exposures
from sim.scoring.exercise import Criterion
from sim.scoring.judged import Judged, JudgedPrint, completed
from sim.scoring.points import TIME_TOLERANCE, alike_tolerance, rim_share, share_for_miss
from sim.viewing.loupe import sharpness_at

MOVED_DENSITY = 0.01  # what a card changed by less is not its work


@dataclass(frozen=True)
class Measured:
    """A reading against its aim. ``off`` is measured minus wanted as far as the kind minds: 0 is as good as met.

    ``rim`` is what is seen of the card that made the tone, where that costs (``traces.CardTraces.seen``).
    """

    place: str
    value: float
    wanted: float
    tolerance: float
    off: float
    rim: float = 0.0

    @property
    def share(self) -> float:
        """Share of the points: all within the tolerance, none at four; a card's rim leaves no more than it lets pass."""
        return min(share_for_miss(self.off, self.tolerance), rim_share(self.rim))


def measure(criterion: Criterion, judged: Judged, one: JudgedPrint) -> Measured:
    """Return a criterion's reading on one print. Raises Refused when its place lies off the sheet."""
    read = MEASURES[criterion.kind](criterion, judged, one)
    return replace(read, rim=_rim_of(criterion, judged, one)) if judged.rims_cost else read


def _rim_of(criterion: Criterion, judged: Judged, one: JudgedPrint) -> float:
    """Return what is seen of the cards that made a tone; nothing where none moved it."""
    traces = one.readings.traces
    if traces is None or criterion.of_kind.tones == "none":
        return 0.0
    places = [spot.on(judged.negatives[one.negative]) for spot in criterion.spots]
    return traces.seen if any(abs(traces.change(place)) > MOVED_DENSITY for place in places) else 0.0


def _density_at(criterion: Criterion, judged: Judged, one: JudgedPrint, index: int = 0) -> float:
    return one.readings.spot(criterion.spots[index].on(judged.negatives[one.negative]))


def aim_density(criterion: Criterion, judged: Judged) -> float:
    """Return the density that a criterion on one tone aims at."""
    return asked_for(criterion, judged.stock)


def asked_for(criterion: Criterion, stock: Stock) -> float:
    """Return what a criterion asks for on a paper, as marks tell it: a share of its black, or above its white, as a density."""
    aim = AIMS.get(criterion.kind)
    return criterion.wanted if aim is None else aim(criterion.wanted, completed(stock))


def _tone(criterion: Criterion, judged: Judged, one: JudgedPrint) -> Measured:
    value, wanted = _density_at(criterion, judged, one), aim_density(criterion, judged)
    off = criterion.of_kind.kept_off(value - wanted)
    return Measured(criterion.spots[0].name, value, wanted, criterion.tolerance, off)


def _left_alone(criterion: Criterion, judged: Judged, one: JudgedPrint) -> Measured:
    """A place that may go white or black is read, and whatever it reads is right."""
    value = _density_at(criterion, judged, one)
    return Measured(criterion.spots[0].name, value, value, criterion.tolerance, 0.0)


def _separation(criterion: Criterion, judged: Judged, one: JudgedPrint) -> Measured:
    value = _density_at(criterion, judged, one, 1) - _density_at(criterion, judged, one, 0)
    name = " to ".join(spot.name for spot in criterion.spots)
    off = criterion.of_kind.kept_off(value - criterion.wanted)
    return Measured(name, value, criterion.wanted, criterion.tolerance, off)


def _sharp(criterion: Criterion, judged: Judged, one: JudgedPrint) -> Measured:
    negative = judged.negatives[one.negative]
    place = criterion.spots[0].on(negative)
    value = sharpness_at(negative, one.record, *place_on_sheet(negative, one.record, place))
    off = criterion.of_kind.kept_off(value - criterion.wanted)
    return Measured(place.name, value, criterion.wanted, criterion.tolerance, off)


def _even(criterion: Criterion, judged: Judged, one: JudgedPrint) -> Measured:
    place = criterion.spots[0].on(judged.negatives[one.negative])
    value = one.readings.traces.seen if one.readings.traces is not None else 0.0
    off = criterion.of_kind.kept_off(value - criterion.wanted)
    return Measured(place.name, value, criterion.wanted, criterion.tolerance, off)


def _size(criterion: Criterion, judged: Judged, one: JudgedPrint) -> Measured:
    negative = judged.negatives[one.negative]
    width = negative.frame_mm[0]
    wanted = criterion.wanted if criterion.magnification is None else criterion.magnification * width
    value = width * set_up(one.record.enlarger, negative).print_scale
    return Measured("", value, wanted, criterion.tolerance, value - wanted)


def main_time_s(one: JudgedPrint) -> float:
    """Return the dialled seconds of the longest exposure that lights the whole picture."""
    return max((one.record.exposures[k].time_s for k in main_exposures(one.record)), default=0.0)


def shortest_time_s(one: JudgedPrint) -> float:
    """Return the dialled seconds of the shortest exposure that lights the whole picture: what a hand has least time in."""
    return min((one.record.exposures[k].time_s for k in main_exposures(one.record)), default=0.0)


def timed_s(criterion: Criterion, one: JudgedPrint) -> float:
    """Return the seconds that a criterion on time is about."""
    return _TIMED[criterion.kind](one)


def window_s(criterion: Criterion) -> tuple[float, float]:
    """Return from how many to how many seconds a criterion on time is met; with no upper end: for ever."""
    return criterion.wanted, criterion.most or inf


def _time(criterion: Criterion, judged: Judged, one: JudgedPrint) -> Measured:
    value, (least, most) = timed_s(criterion, one), window_s(criterion)
    nearest = min(max(value, least), most)
    wanted = nearest if criterion.most else least
    return Measured("", value, wanted, TIME_TOLERANCE * wanted, value - nearest)


def _developed(criterion: Criterion, judged: Judged, one: JudgedPrint) -> Measured:
    """How far the tray has come, of what the paper can give in this bath: known from the clock, whatever the tones are."""
    record = one.record
    value = find_stock(record.sheet.paper).development.progress(record.development)
    nearest = min(max(value, criterion.wanted), criterion.most or criterion.wanted)
    return Measured("", value, nearest, criterion.tolerance, value - nearest)


def _on_paper(criterion: Criterion, judged: Judged, one: JudgedPrint) -> Measured:
    """Whether the print lies on the paper that the exercise is for: 1 where it does, 0 on any other."""
    value = float(one.record.sheet.paper == judged.stock.name)
    return Measured("", value, 1.0, criterion.tolerance, value - 1.0)


def _match(criterion: Criterion, judged: Judged, one: JudgedPrint) -> Measured:
    """The place furthest from the print to be matched counts, as the eye sees it at that tone."""
    wanted = judged.matched_densities(criterion, one.negative)
    return _furthest(criterion, judged, one, wanted)


def _furthest(criterion: Criterion, judged: Judged, one: JudgedPrint, wanted: tuple[float, ...]) -> Measured:
    found = []
    for index, aim in enumerate(wanted):
        value = _density_at(criterion, judged, one, index)
        tolerance = alike_tolerance(aim, criterion.tolerance)
        found.append(Measured(criterion.spots[index].name, value, aim, tolerance, value - aim))
    return max(found, key=lambda measured: abs(measured.off) / measured.tolerance)


def measure_series(criterion: Criterion, judged: Judged) -> Measured:
    """Return the largest difference among all nominated prints, at the place where the eye sees most of it."""
    found = []
    for index, spot in enumerate(criterion.spots):
        values = [_density_at(criterion, judged, one, index) for one in judged.judged_prints]
        spread = max(values) - min(values)
        tolerance = alike_tolerance(min(values), criterion.tolerance)
        found.append(Measured(spot.name, spread, 0.0, tolerance, spread))
    return max(found, key=lambda measured: measured.off / measured.tolerance)


Measure = Callable[[Criterion, Judged, JudgedPrint], Measured]
MEASURES: dict[str, Measure] = {
    "tone": _tone, "at-least": _tone, "at-most": _tone, "may-go-white": _left_alone, "may-go-black": _left_alone,
    "black": _tone, "white": _tone, "separation": _separation, "sharp": _sharp, "even": _even, "size": _size,
    "time-window": _time, "each-time": _time, "developed": _developed, "on-paper": _on_paper,
    "match-sheet": _match, "match-print": _match,
    # one print of a series says nothing: the series is measured whole
    "match-series": lambda criterion, judged, one: measure_series(criterion, judged),
}  # fmt: skip
_TIMED: dict[str, Callable[[JudgedPrint], float]] = {"time-window": main_time_s, "each-time": shortest_time_s}
AIMS: dict[str, Callable[[float, Response], float]] = {
    "black": lambda share, paper: paper.base_plus_fog + share * (paper.black - paper.base_plus_fog),
    "white": lambda net, paper: paper.base_plus_fog + net,
}
