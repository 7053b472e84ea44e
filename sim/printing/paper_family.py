"""What a paper does behind every filter of a head: the family of curves, with ISO range and speed of each."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np

from sim.enlarger.equipment import find_head
from sim.enlarger.filters import GRADED_NAMES, FilterSetting
from sim.enlarger.spectra import per_lux
from sim.paper.development import Development
from sim.paper.response import Response
from sim.paper.sensitometry import NET_SPEED_POINT, CharacteristicCurve, characteristic_curve
from sim.paper.stock import Stock
from sim.refusals import Refused

GRADIENT_NET = (0.6, 1.2)  # the middle of the curve, above base and fog


@dataclass(frozen=True, eq=False)
class FamilyMember:
    """One filter's curve; exposures are lux s of the head's unfiltered light."""

    label: str
    filtration: FilterSetting
    curve: CharacteristicCurve
    stops_from_two: float

    @property
    def iso_range(self) -> float:
        """ISO range R (unrounded)."""
        return self.curve.iso_range()

    @property
    def iso_speed(self) -> float:
        """Speed P against the unfiltered light (unrounded)."""
        return self.curve.iso_speed()

    @property
    def net_dmax(self) -> float:
        """Maximum density above base+fog."""
        return self.curve.net_dmax

    @property
    def mean_gradient(self) -> float:
        """Mean gradient between net 0.6 and 1.2."""
        return self.curve.mean_gradient(*GRADIENT_NET)

    def as_data(self) -> dict[str, Any]:
        """Return the numbers as plain data."""
        return {
            "filter": self.label,
            "iso_range": round(self.iso_range, 2),
            "iso_speed": round(self.iso_speed, 2),
            "stops_more_than_filter_2": round(self.stops_from_two, 4),
            "net_dmax": round(self.net_dmax, 4),
            "mean_gradient": round(self.mean_gradient, 3),
        }


@dataclass(frozen=True, eq=False)
class PaperFamily:
    """A stock under one head."""

    stock: Stock
    head: str
    members: tuple[FamilyMember, ...]

    def member(self, label: str) -> FamilyMember:
        """Return the member of a filter by its label (00 to 5, or none)."""
        return next(m for m in self.members if m.label == label)


def paper_family(stock: Stock, head_name: str, development_s: float | None = None) -> PaperFamily:
    """Return the curve family of a stock under a head, without a filter and behind every filter of the graded set."""
    lamp = per_lux(find_head(head_name).lamp)
    time_s = stock.development.completion_time_s if development_s is None else development_s
    response = Response(stock, Development(time_s))

    def curve(filtration: FilterSetting) -> CharacteristicCurve:
        blue, green = stock.emulsion.exposures(lamp * filtration.densities().transmittance())
        more_blue, more_green = stock.seen_behind(filtration.name)
        found = characteristic_curve(response, blue * more_blue, green * more_green)
        if found.net_dmax <= GRADIENT_NET[1]:
            raise Refused(
                f"the paper must reach {GRADIENT_NET[1]:g} above base and fog for its range to be read; "
                f"developed for {time_s:g} s it reaches {found.net_dmax:.2f}"
            )
        return found

    at_two = curve(FilterSetting("2")).log_exposure_at_net(NET_SPEED_POINT)
    members = []
    for name in (None, *GRADED_NAMES):
        c = curve(FilterSetting(name))
        stops = (c.log_exposure_at_net(NET_SPEED_POINT) - at_two) / np.log10(2.0)
        members.append(FamilyMember(name or "none", FilterSetting(name), c, float(stops)))
    return PaperFamily(stock, head_name, tuple(members))
