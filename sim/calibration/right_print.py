"""One straight print that was right: how much light its setting gives, and what it and those before it tell of the enlarger."""

from __future__ import annotations

import numpy as np

from sim.calibration.own_enlarger import OwnEnlarger
from sim.calibration.right_prints import LEVEL_PRIOR, begun_of, nothing_known, refuse_alone, refuse_counted, with_prints
from sim.enlarger.equipment import Head
from sim.enlarger.own_light import POWER_ERROR, OwnLight, RightPrint
from sim.enlarger.settings import set_up
from sim.negative.negative import Negative, Place
from sim.paper.stock import Stock
from sim.printing.exposure import LightCache
from sim.printing.place_model import Change, PlaceModel
from sim.printing.record import PrintingRecord
from sim.refusals import Refused


def light_of_right_print(negative: Negative, record: PrintingRecord, stock: Stock, place: Place, net: float) -> float:
    """Return log10 of how much more light a head gives than its file says, from a straight print that was right.

    ``record`` is the print as it was made, one exposure; right means ``place`` at ``net`` density above base and fog.
    """
    from scipy.optimize import brentq

    if len(record.exposures) != 1 or record.exposures[0].cards:
        raise Refused(f"a straight print must have one exposure and no card, got {len(record.exposures)} exposures")
    model = PlaceModel(negative, record, stock, (place,), LightCache())
    wanted = model.response.base_plus_fog + net

    def miss(stops: float) -> float:
        return float(model.readings(Change(np.array([stops])))[0]) - wanted

    if miss(-8.0) > 0.0 or miss(8.0) < 0.0:
        raise Refused(f"{place.name} must be a tone that this paper can show at net {net:.2f} in some time, got none")
    return float(brentq(miss, -8.0, 8.0, xtol=1e-4)) * float(np.log10(2.0))


def enlarger_of_right_print(
    head: Head, negative: Negative, record: PrintingRecord, stock: Stock, place: Place, net: float, read_on: str = "",
    as_it_is: bool = False,
) -> OwnEnlarger:  # fmt: skip
    """Return the enlarger as a straight print that was right tells it, together with all prints before it.

    ``as_it_is``: a print that the others hardly allow counts all the same, and widens the interval; so does one that says
    just what an earlier one says. Raises Refused else.
    """
    exposure, bench = record.exposures[0], set_up(record.enlarger, negative)
    log_more = light_of_right_print(negative, record, stock, place, net)
    name, size = exposure.filter.name, round(bench.magnification, 3)
    if head.own is not None:  # what the file says of this setting already is part of what the print tells
        log_more += head.own.of_filter(name)[0] + head.own.of_mark(exposure.f_number)[0] + head.own.of_size(size)[0]
    one = RightPrint(name, exposure.f_number, size, log_more, exposure.time_s, read_on)
    own = head.own or nothing_known(stock.name, one)
    prints = (*own.prints, one)
    if not as_it_is:
        refuse_counted(own.prints, one)
        refuse_alone(own, prints)
    return _found(own, prints)


def enlarger_without(head: Head, number: int) -> OwnEnlarger:
    """Return the enlarger without one of the prints it is known from, counted from 1."""
    own = head.own
    count = 0 if own is None else len(own.prints)
    if own is None or not 1 <= number <= count:
        raise Refused(f"the print to leave out must be one of the {count} prints that {head.title} is known from, got {number}")
    left = (*own.prints[: number - 1], *own.prints[number:])
    if not left and begun_of(own).level_error >= LEVEL_PRIOR:
        raise Refused(f"a print must be left to know the enlarger by, got leave out {number} of {count}")
    return _found(own, left)


def _found(own: OwnLight, prints: tuple[RightPrint, ...]) -> OwnEnlarger:
    light, level = with_prints(own, prints)
    told = {"filters": light.filters, "marks": light.marks, "height": light.power_error < 0.9 * POWER_ERROR}
    return OwnEnlarger(light, level, None, tuple(name for name, one in told.items() if not one), 0.0)
