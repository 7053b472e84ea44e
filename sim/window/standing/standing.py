"""Where one stands and what is in the hands: plain data, replaced whole, drawn by whoever asks."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Literal

from sim.window.things.cards import CardInHand

Place = Literal["shelf", "enlarger", "trays", "wall"]
RoomLight = Literal["amber", "red", "white"]
ALONG_THE_BENCH: tuple[Place, ...] = ("shelf", "enlarger", "trays", "wall")
PALETTE_OF: dict[RoomLight, str] = {"amber": "safelight", "red": "red-light", "white": "white-light"}
AFTER_DEVELOPMENT = frozenset({"stop", "fix", "wash"})
Point = tuple[float, float]


@dataclass(frozen=True)
class Standing:
    """The room as one finds it: place, safelight's colour, the card in hand, and where loupe and meter stand (easel mm).

    ``safelight`` is what burns when the white light is off; that itself the darkroom keeps. ``whole``: the picture fills
    the window. ``fast``: the baths in which the clock runs eight times as fast until the sheet has had its time: where nothing
    is to be seen, or where somebody asked for it. ``beating``: the counting lamp counts, ``beat_lit`` while it is lit.
    """

    place: Place = "enlarger"
    safelight: Literal["amber", "red"] = "amber"
    whole: bool = False
    card: CardInHand | None = None
    loupe_mm: Point | None = None
    meter_mm: Point | None = None
    fast: frozenset[str] = AFTER_DEVELOPMENT
    beating: bool = False
    beat_lit: bool = False

    def at(self, place: Place) -> Standing:
        """Return the room with one standing elsewhere, hands empty: a card is hung up before one walks."""
        return replace(self, place=place, card=None)

    def neighbour(self, steps: int) -> Place:
        """Return the place so many steps along the bench; at its ends one stays."""
        here = ALONG_THE_BENCH.index(self.place) + steps
        return ALONG_THE_BENCH[max(0, min(len(ALONG_THE_BENCH) - 1, here))]
