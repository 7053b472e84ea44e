"""The strip as it is meant: its way, how many steps, how far apart, from which side, and who pulls the card."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import pairwise
from typing import Literal

from sim.bench.paper_in_hand import FLASHES, USUAL_DIMMED_STOPS, burn_times_s

Way = Literal["covered", "bursts", "same-place", "burn", "flash", "local-flash"]
WAYS: tuple[Way, ...] = ("covered", "same-place", "bursts", "burn", "flash", "local-flash")
MOST_STEPS, LEAST_STEPS = 12, 3
APART_STOPS = (1 / 6, 1 / 4, 1 / 3, 1 / 2, 1.0)
TURN_DEG = 15.0
FIRST_FLASH_SHARE = 0.25  # of the dialled seconds, dimmed: below what paper needs to show its first grey (assumption)
Corner = tuple[float, float]


@dataclass(frozen=True)
class StripMeant:
    """So many steps around the dialled time, ``apart`` (an index) of the stops between them; ``by_hand``: one pulls oneself."""

    count: int = 5
    apart: int = 3
    angle_deg: float = 90.0  # in which the card is drawn on: 0 right, 90 down
    by_hand: bool = False
    way: Way = "covered"

    @property
    def stops(self) -> float:
        """Stops from one step to the next."""
        return APART_STOPS[self.apart]

    @property
    def dimmed_stops(self) -> float:
        """By how much the stepped light is held back."""
        return USUAL_DIMMED_STOPS if self.way in FLASHES else 0.0

    def times_s(self, middle_s: float) -> tuple[float, ...]:
        """Return the seconds of every step: the dialled time stands in the middle, or is what a burn is laid over."""
        if self.way == "burn":
            return tuple(round(burn_s, 2) for burn_s in burn_times_s(middle_s, self.stops, self.count))
        if self.way in FLASHES:
            steps = (middle_s * FIRST_FLASH_SHARE * 2.0 ** (k * self.stops) for k in range(self.count - 1))
            return (0.0, *(round(step, 2) for step in steps))
        first = -(self.count - 1) / 2
        return tuple(round(middle_s * 2.0 ** ((first + k) * self.stops), 2) for k in range(self.count))

    def more_steps(self, by: int) -> StripMeant:
        """Return it with more steps, or fewer."""
        return replace(self, count=min(MOST_STEPS, max(LEAST_STEPS, self.count + by)))

    def farther_apart(self, by: int) -> StripMeant:
        """Return it with the steps farther apart, or nearer."""
        return replace(self, apart=min(len(APART_STOPS) - 1, max(0, self.apart + by)))

    def turned(self, by_deg: float) -> StripMeant:
        """Return it drawn on from another side."""
        return replace(self, angle_deg=(self.angle_deg + by_deg) % 360.0)

    def other_way(self, by: int) -> StripMeant:
        """Return it laid in another way."""
        return replace(self, way=WAYS[(WAYS.index(self.way) + by) % len(WAYS)])


def _along(angle_deg: float) -> Corner:
    return math.cos(math.radians(angle_deg)), math.sin(math.radians(angle_deg))


def step_points(piece: tuple[float, float, float, float], angle_deg: float, count: int) -> list[Corner]:
    """Return the middle of every step of a piece (left, top, width, height), in the units of the piece."""
    left, top, wide, high = piece
    nx, ny = _along(angle_deg)
    length = abs(nx) * wide + abs(ny) * high
    middle = (left + wide / 2, top + high / 2)
    ways = ((k + 0.5) / count * length - length / 2 for k in range(count))
    return [(middle[0] + way * nx, middle[1] + way * ny) for way in ways]


def side_by_side(points: Sequence[tuple[float, float]]) -> bool:
    """Tell whether steps lie beside each other, not below each other."""
    xs, ys = [x for x, _ in points], [y for _, y in points]
    return max(xs) - min(xs) > max(ys) - min(ys)


def rows_needed(at: Sequence[float], wide: float) -> int:
    """Return in how many rows words of a width, each in the middle of its step, stand without touching."""
    ordered = sorted(at)
    pitch = min((b - a for a, b in pairwise(ordered)), default=wide)
    return max(1, math.ceil(wide / max(1.0, pitch)))


def covered_part(piece: tuple[float, float, float, float], angle_deg: float, share: float) -> list[Corner]:
    """Return the corners of the part of a piece that lies under a card drawn on over a share of it."""
    left, top, wide, high = piece
    nx, ny = _along(angle_deg)
    corners = [(left, top), (left + wide, top), (left + wide, top + high), (left, top + high)]
    reach = [x * nx + y * ny for x, y in corners]
    edge = min(reach) + share * (max(reach) - min(reach))
    return _cut(corners, [one - edge for one in reach])


def slot_over(piece: tuple[float, float, float, float], angle_deg: float, share: float) -> list[Corner]:
    """Return the corners of a slot over the middle of a piece, which leaves a share of its length open."""
    open_part = covered_part(piece, angle_deg, 0.5 + share / 2)
    nx, ny = _along(angle_deg)
    left, top, wide, high = piece
    middle = (left + wide / 2) * nx + (top + high / 2) * ny
    edge = middle - share / 2 * (abs(nx) * wide + abs(ny) * high)
    return _cut(open_part, [edge - (x * nx + y * ny) for x, y in open_part])


def _cut(corners: Sequence[Corner], beyond: Sequence[float]) -> list[Corner]:
    """Return a shape without what lies beyond a line."""
    out: list[Corner] = []
    for n, (here, far) in enumerate(zip(corners, beyond)):
        before, was = corners[n - 1], beyond[n - 1]
        if (far > 0.0) != (was > 0.0):
            part = was / (was - far)
            out.append((before[0] + part * (here[0] - before[0]), before[1] + part * (here[1] - before[1])))
        if far <= 0.0:
            out.append(here)
    return out
