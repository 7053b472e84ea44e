"""Cards: what hangs in the rack, what one has cut oneself, and the one in the hand."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

from sim.bench.tools import CardPose, Shape, Tool
from sim.refusals import Refused

LOWEST_MM, HIGHEST_MM, FURTHEST_MM = 0.0, 500.0, 1000.0
USUAL_HEIGHT_MM = 120.0  # above the paper, as a card is held when it is taken
LEAST_CUT_MM, MOST_POINTS = 5.0, 60
MOST_OWN = 6  # three pairs: what was cut out, and the card with the hole


@dataclass(frozen=True)
class CutCard:
    """A card of the rack: its shape, its own size in mm, whether the shape is a hole in a board, and an outline if cut."""

    id: str
    shape: Shape
    width_mm: float
    length_mm: float
    hole: bool = False
    angle_deg: float = 0.0
    outline: tuple[tuple[float, float], ...] = ()

    def tool(self) -> Tool:
        """Return the tool as the bench knows it."""
        side = "inside" if self.hole else "outside"
        return Tool(self.shape, self.width_mm, self.length_mm, self.outline, side)  # type: ignore[arg-type]


# What a printer cuts from black card for hand-sized prints (common practice).
RACK: tuple[CutCard, ...] = (
    CutCard("small disc", "disc", 25.0, 25.0),
    CutCard("large disc", "disc", 55.0, 55.0),
    CutCard("oval", "oval", 32.0, 64.0),
    CutCard("bar", "bar", 22.0, 90.0),
    CutCard("edge of a card", "edge", 200.0, 200.0, angle_deg=90.0),
    CutCard("round hole", "disc", 35.0, 35.0, hole=True),
    CutCard("oval hole", "oval", 40.0, 75.0, hole=True),
)


@dataclass(frozen=True)
class CardInHand:
    """A card over the easel: its shadow's middle there (mm), its height above the paper, its turn."""

    card: CutCard
    x_mm: float
    y_mm: float
    card_height_mm: float = USUAL_HEIGHT_MM
    angle_deg: float = 0.0
    over: bool = True  # False: the hand is beside the easel, out of the light

    def at(self, x_mm: float, y_mm: float) -> CardInHand:
        """Return the card over another point, within reach, to a tenth of a mm."""
        x, y = (round(min(FURTHEST_MM, max(-FURTHEST_MM, v)), 1) for v in (x_mm, y_mm))
        return replace(self, x_mm=x, y_mm=y, over=True)

    def raised(self, by_mm: float) -> CardInHand:
        """Return the card higher, or lower, above the paper."""
        return replace(self, card_height_mm=round(min(HIGHEST_MM, max(LOWEST_MM, self.card_height_mm + by_mm)), 1))

    def turned(self, by_deg: float) -> CardInHand:
        """Return the card turned in the hand."""
        return replace(self, angle_deg=(self.angle_deg + by_deg) % 360.0)

    def pose(self) -> CardPose:
        """Return where the bench finds it."""
        return CardPose(self.card.tool(), self.x_mm, self.y_mm, self.card_height_mm, self.angle_deg)

    @property
    def poses(self) -> tuple[CardPose, ...]:
        """What stands in the light: the card, or nothing while the hand is beside the easel."""
        return (self.pose(),) if self.over else ()


def taken(card: CutCard, x_mm: float, y_mm: float, turned_deg: float | None = None) -> CardInHand:
    """Return a card taken from the rack, over a point of the easel; turned as it hangs, or as the hand left it."""
    return CardInHand(card, x_mm, y_mm, angle_deg=card.angle_deg if turned_deg is None else turned_deg)


def cut_round(points_mm: Sequence[tuple[float, float]], scale: float, number: int) -> tuple[CutCard, tuple[float, float]]:
    """Return a card cut so that its shadow falls inside a line drawn on the easel, and the line's middle.

    ``scale`` is how much larger a shadow is than its card at the height it is held. Raises Refused for a line that
    encloses too little.
    """
    xs, ys = [x for x, _ in points_mm], [y for _, y in points_mm]
    if len(points_mm) < 3 or max(xs) - min(xs) < LEAST_CUT_MM or max(ys) - min(ys) < LEAST_CUT_MM:
        raise Refused(f"draw round what is to be held back: the card must be at least {LEAST_CUT_MM:g} mm each way")
    middle = ((max(xs) + min(xs)) / 2, (max(ys) + min(ys)) / 2)
    every = max(1, math.ceil(len(points_mm) / MOST_POINTS))
    outline = tuple((round((x - middle[0]) / scale, 1), round((y - middle[1]) / scale, 1)) for x, y in points_mm[::every])
    size = (max(xs) - min(xs)) / scale, (max(ys) - min(ys)) / scale
    return CutCard(f"own card {number}", "outline", round(size[0], 1), round(size[1], 1), outline=outline), middle


def edge_of(card: CutCard, angle_deg: float) -> list[tuple[float, float]]:
    """Return a card's edge around its middle, turned, in mm of its own size. An edge is a long board from its line on."""
    if card.shape == "edge":
        far = 2000.0
        corners: Sequence[tuple[float, float]] = [(0.0, -far), (far, -far), (far, far), (0.0, far)]
    elif card.shape == "bar":
        w, h = card.width_mm / 2, card.length_mm / 2
        corners = [(-w, -h), (w, -h), (w, h), (-w, h)]
    elif card.shape == "outline":
        corners = card.outline
    else:
        tall = card.width_mm if card.shape == "disc" else card.length_mm
        turns = [2 * math.pi * k / 48 for k in range(48)]
        corners = [(math.cos(a) * card.width_mm / 2, math.sin(a) * tall / 2) for a in turns]
    c, s = math.cos(math.radians(angle_deg)), math.sin(math.radians(angle_deg))
    return [(x * c - y * s, x * s + y * c) for x, y in corners]
