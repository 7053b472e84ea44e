"""Cards in the hand: tools, where they are held, and the recorded path of a hand, thinned so that replay is exact.

Cards by numbers are the record's own (``Card`` with ``Still``, ``Circling``, ``Sweeping``, ``Path``); places are in mm on
the easel, and a card's place is that of its shadow.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Literal

import numpy as np

from sim.printing.record import FURTHEST_CARD_MM, MAX_CARDS, MAX_PATH_POINTS, Card, Path, Still

Shape = Literal["disc", "oval", "bar", "edge", "outline"]

PATH_TOLERANCE_MM = 0.4  # below the 0.5 mm promised, so that rounding to 0.01 mm keeps it
LEAST_STEP_S = 0.02
SAME_HEIGHT_MM, SAME_ANGLE_DEG = 4.0, 3.0  # a card moved less than this is still the same card to the record


@dataclass(frozen=True)
class Tool:
    """A card or tool as it lies on the bench; sizes are its own, its shadow is larger. See ``Card`` for the fields."""

    shape: Shape = "disc"
    width_mm: float = 50.0
    length_mm: float = 50.0
    outline: tuple[tuple[float, float], ...] = ()
    lets_through: Literal["outside", "inside"] = "outside"
    wire_mm: float = 1.2
    wire_towards_deg: float = 45.0

    def __post_init__(self) -> None:
        self.card(0.0, 0.0, 0.0)  # refuses what no card can be

    def card(self, x_mm: float, y_mm: float, card_height_mm: float, angle_deg: float = 0.0) -> Card:
        """Return the tool as a card held still."""
        wire_mm = 0.0 if self.lets_through == "inside" or self.shape == "edge" else self.wire_mm
        return Card(
            self.shape, Still(x_mm, y_mm), card_height_mm, self.width_mm, self.length_mm, angle_deg, self.outline,
            self.lets_through, wire_mm, self.wire_towards_deg,
        )  # fmt: skip


@dataclass(frozen=True)
class CardPose:
    """Where a tool is held at this moment: its shadow's centre on the easel, its height above the paper, its turn."""

    tool: Tool
    x_mm: float
    y_mm: float
    card_height_mm: float = 120.0
    angle_deg: float = 0.0

    def card(self) -> Card:
        """Return it as a card held still. Raises Refused for a height no card can have."""
        far = FURTHEST_CARD_MM
        x, y = min(max(self.x_mm, -far), far), min(max(self.y_mm, -far), far)
        return self.tool.card(x, y, self.card_height_mm, self.angle_deg)


@dataclass
class _Track:
    card: Card
    points: list[tuple[float, float, float]]
    open: bool = True


class HandTracks:
    """What the hands did during one exposure: each card's way from when it came into the light to when it left."""

    def __init__(self, most: int = MAX_CARDS - 1):
        self._most = most
        self._tracks: list[_Track] = []
        self._held: list[_Track | None] = []

    def follow(self, start_s: float, stop_s: float, poses: Sequence[CardPose]) -> None:
        """Note where the cards are from one moment to the next. More of them than a record holds are left out."""
        held: list[_Track | None] = []
        for index, pose in enumerate(poses):
            before = self._held[index] if index < len(self._held) else None
            track = self._going_on(before, pose.card(), start_s)
            held.append(track)
            if track is not None:
                still = pose.card().motion
                assert isinstance(still, Still)
                if track.points[-1][0] < stop_s - 1e-9:
                    track.points.append((stop_s, still.x_mm, still.y_mm))
        for old in self._held:
            if old is not None and all(old is not track for track in held):
                old.open = False
        self._held = held

    def _going_on(self, track: _Track | None, card: Card, start_s: float) -> _Track | None:
        """Return the track a card goes on with: the same one, or a new one when another tool (or height) comes in."""
        if track is not None and track.open:
            same_tool = replace(track.card, motion=card.motion, card_height_mm=0.0, angle_deg=0.0) == replace(
                card, card_height_mm=0.0, angle_deg=0.0
            )
            near = (
                abs(track.card.card_height_mm - card.card_height_mm) < SAME_HEIGHT_MM
                and abs(track.card.angle_deg - card.angle_deg) < SAME_ANGLE_DEG
            )
            if same_tool and (near or len(self._tracks) >= self._most):
                return track
            track.open = False
        if len(self._tracks) >= self._most:
            return None
        still = card.motion
        assert isinstance(still, Still)
        new = _Track(card, [(start_s, still.x_mm, still.y_mm)])
        self._tracks.append(new)
        return new

    def cards(self, time_s: float) -> tuple[Card, ...]:
        """Return the record's cards of an exposure that lasted ``time_s``: every path thinned, none over 200 points."""
        tolerance = PATH_TOLERANCE_MM
        while True:
            cards = [card for track in self._tracks for card in _recorded(track, time_s, tolerance)]
            if len(cards) <= self._most:
                return tuple(cards)
            tolerance *= 1.5  # a very long and lively exposure: sixteen cards of 200 points are all a record holds


def _recorded(track: _Track, time_s: float, tolerance_mm: float) -> list[Card]:
    points = thinned(track.points, tolerance_mm)
    cards = []
    for first in range(0, max(len(points) - 1, 1), MAX_PATH_POINTS - 1):
        part = points[first : first + MAX_PATH_POINTS]
        start_s, stop_s = round(part[0][0], 4), round(min(part[-1][0], time_s), 4)
        if stop_s - start_s < 1e-3:
            continue
        still = len({(x, y) for _, x, y in part}) == 1
        motion: Still | Path = Still(*part[0][1:]) if still else Path(tuple(part))
        cards.append(replace(track.card, motion=motion, start_s=start_s, stop_s=min(stop_s, time_s)))
    return cards


def thinned(
    points: Sequence[tuple[float, float, float]], tolerance_mm: float = PATH_TOLERANCE_MM
) -> list[tuple[float, float, float]]:
    """Return as few of a path's points as keep the card within a tolerance of where it was at every moment.

    Points nearer than 20 ms to the one before are left out first; then the farthest point between two kept ones is kept
    as long as it lies beyond the tolerance (after Douglas and Peucker 1973, the distance taken at the same moment).
    """
    kept = [points[0]]
    for point in points[1:-1]:
        if point[0] - kept[-1][0] >= LEAST_STEP_S - 1e-9:
            kept.append(point)
    if len(points) > 1:
        kept.append(points[-1])
    path = np.array(kept, dtype=np.float64)
    keep = np.zeros(len(path), dtype=bool)
    keep[[0, -1]] = True
    spans = [(0, len(path) - 1)]
    while spans:
        first, last = spans.pop()
        if last - first < 2:
            continue
        t = path[first : last + 1, 0]
        part = ((t - t[0]) / max(t[-1] - t[0], 1e-9))[:, None]
        straight = path[first, 1:] + part * (path[last, 1:] - path[first, 1:])
        miss = np.hypot(*(path[first : last + 1, 1:] - straight).T)
        worst = int(miss.argmax())
        if miss[worst] > tolerance_mm:
            keep[first + worst] = True
            spans += [(first, first + worst), (first + worst, last)]
    return [(round(float(t), 4), round(float(x), 2), round(float(y), 2)) for t, x, y in path[keep]]
