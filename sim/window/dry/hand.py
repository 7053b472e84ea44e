"""What the hands hold: tools from the rack, where they are over the easel, and cards fixed by numbers.

The same values whether they came from the mouse, the arrow keys or the panel of numbers; only here do they become the
record's cards and the poses of a lamp that is on.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

from sim.bench.tools import Card, CardPose, Circling, Still, Sweeping, Tool
from sim.refusals import Refused

MOTIONS = ("still", "circling", "sweeping")
LOWEST_MM, HIGHEST_MM = 0.0, 500.0
FURTHEST_MM = 1000.0
MOST_CARDS = 8


@dataclass(frozen=True)
class HeldCard:
    """A tool over the easel. Sizes are its own, ``x_mm`` ``y_mm`` its shadow's centre on the easel, all mm.

    ``start_s`` and ``stop_s`` say when it is in the light (stop 0: to the end); they and the motion count where the card is
    fixed by numbers. A hand moves by itself.
    """

    name: str
    shape: str
    width_mm: float
    length_mm: float
    hole: bool = False
    wire_mm: float = 1.2
    x_mm: float = 0.0
    y_mm: float = 0.0
    card_height_mm: float = 120.0
    angle_deg: float = 0.0
    motion: str = "still"
    amplitude_mm: float = 8.0
    period_s: float = 1.6
    start_s: float = 0.0
    stop_s: float = 0.0

    def at(self, x_mm: float, y_mm: float) -> HeldCard:
        """Return the card over another point, held within reach and to a tenth of a mm."""
        x, y = (round(min(FURTHEST_MM, max(-FURTHEST_MM, v)), 1) for v in (x_mm, y_mm))
        return replace(self, x_mm=x, y_mm=y)

    def raised(self, by_mm: float) -> HeldCard:
        """Return the card higher (or lower) above the paper."""
        return replace(self, card_height_mm=round(min(HIGHEST_MM, max(LOWEST_MM, self.card_height_mm + by_mm)), 1))

    def turned(self, by_deg: float) -> HeldCard:
        """Return the card turned in the hand."""
        return replace(self, angle_deg=(self.angle_deg + by_deg) % 360.0)

    def tool(self) -> Tool:
        """Return the tool as the bench knows it."""
        wire_mm = 0.0 if self.hole or self.shape == "edge" else self.wire_mm
        side = "inside" if self.hole else "outside"
        return Tool(self.shape, self.width_mm, self.length_mm, lets_through=side, wire_mm=wire_mm)

    def pose(self, elapsed_s: float | None = None) -> CardPose:
        """Return where the card is now; with ``elapsed_s`` where its motion has brought it by then."""
        x, y = (self.x_mm, self.y_mm) if elapsed_s is None else self.place_at(elapsed_s)
        return CardPose(self.tool(), x, y, self.card_height_mm, self.angle_deg)

    def place_at(self, elapsed_s: float) -> tuple[float, float]:
        """Return the shadow's centre at a moment of the exposure, as the record's motions have it."""
        turn = 2.0 * math.pi * elapsed_s / self.period_s
        if self.motion == "circling":
            return self.x_mm + self.amplitude_mm * math.cos(turn), self.y_mm + self.amplitude_mm * math.sin(turn)
        if self.motion == "sweeping":
            along = self.amplitude_mm * 2.0 / math.pi * math.asin(math.sin(turn))
            angle = math.radians(self.angle_deg)
            return self.x_mm + along * math.cos(angle), self.y_mm + along * math.sin(angle)
        return self.x_mm, self.y_mm

    def in_light(self, elapsed_s: float) -> bool:
        """Tell whether a card fixed by numbers is in the light at a moment."""
        return self.start_s <= elapsed_s and (self.stop_s == 0.0 or elapsed_s < self.stop_s)

    def card(self) -> Card:
        """Return the card as it stands in the record. Raises ValueError, in words, for what cannot be."""
        tool = self.tool()
        if self.motion == "circling":
            motion: Still | Circling | Sweeping = Circling(self.x_mm, self.y_mm, self.amplitude_mm, self.period_s)
        elif self.motion == "sweeping":
            motion = Sweeping(self.x_mm, self.y_mm, self.amplitude_mm, self.period_s, self.angle_deg)
        else:
            motion = Still(self.x_mm, self.y_mm)
        return Card(
            tool.shape, motion, self.card_height_mm, tool.width_mm, tool.length_mm, self.angle_deg,
            lets_through=tool.lets_through, wire_mm=tool.wire_mm, wire_towards_deg=tool.wire_towards_deg,
            start_s=self.start_s, stop_s=self.stop_s, note=self.name,
        )  # fmt: skip


# What hangs in the rack: sizes a printer cuts from black card for hand-sized prints (common practice).
RACK: tuple[HeldCard, ...] = (
    HeldCard("small disc", "disc", 25.0, 25.0),
    HeldCard("large disc", "disc", 55.0, 55.0),
    HeldCard("oval", "oval", 32.0, 64.0),
    HeldCard("bar", "bar", 22.0, 90.0),
    HeldCard("edge of a card", "edge", 200.0, 200.0, angle_deg=90.0),
    HeldCard("round hole", "disc", 35.0, 35.0, hole=True),
    HeldCard("oval hole", "oval", 40.0, 75.0, hole=True),
)


@dataclass(frozen=True)
class Hands:
    """The card in hand, if any; the cards fixed by numbers for the next exposure; which of these is being looked at.

    ``away``: the hand with the card is beside the easel, out of the light.
    """

    held: HeldCard | None = None
    fixed: tuple[HeldCard, ...] = ()
    chosen: int = -1
    away: bool = False

    @property
    def over_easel(self) -> HeldCard | None:
        """The card in hand while it is held over the easel."""
        return None if self.away else self.held

    def picked_up(self, number: int, x_mm: float, y_mm: float) -> Hands:
        """Return the hands with a tool of the rack over a point; the same tool again goes back."""
        tool = RACK[number]
        if self.held is not None and self.held.name == tool.name:
            return self.put_back()
        return replace(self, held=tool.at(x_mm, y_mm), chosen=-1, away=False)

    def put_back(self) -> Hands:
        """Return empty hands."""
        return replace(self, held=None, away=False)

    @property
    def edited(self) -> HeldCard | None:
        """The card that the panel of numbers shows: the chosen fixed one, else the one in hand."""
        return self.fixed[self.chosen] if 0 <= self.chosen < len(self.fixed) else self.held

    def with_edited(self, card: HeldCard) -> Hands:
        """Return the hands with other values for the card the panel shows."""
        if 0 <= self.chosen < len(self.fixed):
            return replace(self, fixed=(*self.fixed[: self.chosen], card, *self.fixed[self.chosen + 1 :]))
        return replace(self, held=card)

    def fix(self) -> Hands:
        """Return the hands empty and the card in hand fixed by its numbers. Raises ValueError without one, or with too many."""
        if self.held is None:
            raise Refused("take a card from the rack first, then fix it by its numbers")
        if len(self.fixed) >= MOST_CARDS:
            raise Refused(f"at most {MOST_CARDS} cards can stand over the easel at once")
        self.held.card()  # what cannot be is refused here, in words
        return Hands(None, (*self.fixed, self.held), len(self.fixed))

    def take_away(self) -> Hands:
        """Return the hands without the fixed card the panel shows, or with the held one put back."""
        if 0 <= self.chosen < len(self.fixed):
            left = (*self.fixed[: self.chosen], *self.fixed[self.chosen + 1 :])
            return replace(self, fixed=left, chosen=min(self.chosen, len(left) - 1))
        return self.put_back()

    def poses(self, elapsed_s: float = 0.0) -> tuple[CardPose, ...]:
        """Return everything that stands in the light at a moment."""
        fixed = tuple(card.pose(elapsed_s) for card in self.fixed if card.in_light(elapsed_s))
        return (*fixed, *((self.over_easel.pose(),) if self.over_easel else ()))
