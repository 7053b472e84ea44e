"""``wishes.toml``: what a lesson's author decides about its reference and no solver may: which light, where a card goes.

Written by hand beside ``exercise.toml`` where a lesson needs it. Tones, controls and tolerances stand in ``exercise.toml``;
how long a card stays is solved from the tones.
"""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import Annotated, Literal

from pydantic import BaseModel, ConfigDict, Field

from sim.enlarger.filters import GRADED_NAMES
from sim.reading import Problem, ValueRefused, read_toml

WISHES_FILE = "wishes.toml"
Claim = Literal["not-without-a-card", "not-with-one-exposure", "not-without-either-exposure"]
Hand = tuple[tuple[float, float, float], ...]


@dataclass(frozen=True)
class CardWish:
    """A card: over which place, how large, in which exposure (from 0), and by which hands it is moved.

    ``negative`` (1, 2, ...) is the one whose print it belongs to; None means every one.
    ``area`` is the share of the frame it works on, across and down (None: what the sleeve says of the place). ``hands`` are
    paths, one for each copy: (share of the time in the light, x, y), x and y as fractions of the frame; none: small circles.
    """

    place: str
    does: Literal["hold-back", "burn-in"]
    exposure: int = 0
    negative: int | None = None
    area: tuple[float, float] | None = None
    hands: tuple[Hand, ...] = ()


@dataclass(frozen=True)
class Wishes:
    """Filters of the main exposures (none: the best single one), aperture (None: the start's), cards, and what is claimed.

    ``prints`` holds filters and aperture of single negatives (1, 2, ...) where they are not those of all.
    """

    filters: tuple[str, ...] = ()
    f_number: float | None = None
    cards: tuple[CardWish, ...] = ()
    claims: tuple[Claim, ...] = ()
    prints: tuple[tuple[int, tuple[str, ...], float | None], ...] = ()

    def of(self, index: int) -> Wishes:
        """Return the wishes for one of the exercise's negatives (0-based index)."""
        cards = tuple(card for card in self.cards if card.negative in (None, index + 1))
        own = [(filters, f_number) for number, filters, f_number in self.prints if number == index + 1]
        filters, f_number = own[0] if own else (self.filters, self.f_number)
        return Wishes(filters or self.filters, f_number or self.f_number, cards, self.claims)


class _Part(BaseModel):
    model_config = ConfigDict(strict=True, extra="forbid")


Share = Annotated[float, Field(gt=0.0, le=1.5)]
Fraction = Annotated[float, Field(ge=-0.5, le=1.5)]
Point = Annotated[list[Fraction], Field(min_length=3, max_length=3)]


Aperture = Annotated[float, Field(ge=1.0, le=64.0)]


class _PrintEntry(_Part):
    negative: Annotated[int, Field(ge=1, le=12)]
    filters: Annotated[list[str], Field(max_length=2)] = []
    f_number: Aperture | None = None


class _CardEntry(_Part):
    place: Annotated[str, Field(min_length=1, max_length=48)]
    does: Literal["hold-back", "burn-in"]
    exposure: Annotated[int, Field(ge=0, le=1)] = 0
    negative: Annotated[int, Field(ge=1, le=12)] | None = None
    area: Annotated[list[Share], Field(min_length=2, max_length=2)] | None = None
    hands: Annotated[list[Annotated[list[Point], Field(min_length=2, max_length=200)]], Field(max_length=12)] = []

    def wish(self) -> CardWish:
        """Return the card as derive uses it."""
        hands = tuple(tuple((t, x, y) for t, x, y in path) for path in self.hands)
        area = (self.area[0], self.area[1]) if self.area else None
        return CardWish(self.place, self.does, self.exposure, self.negative, area, hands)


class WishesFile(_Part):
    """The whole of ``wishes.toml``."""

    format: Annotated[int, Field(ge=1, le=1)]
    filters: Annotated[list[str], Field(max_length=2)] = []
    f_number: Aperture | None = None
    claims: list[Claim] = []
    print: Annotated[list[_PrintEntry], Field(max_length=12)] = []
    card: Annotated[list[_CardEntry], Field(max_length=8)] = []


def read_wishes(folder: Path) -> Wishes:
    """Return a lesson's wishes; none when it has no such file. Raises OutsideError with file, key, rule and value."""
    file = folder / WISHES_FILE
    if not file.is_file():
        return Wishes()
    raw = read_toml(file, WishesFile)
    prints = tuple((one.negative, tuple(one.filters), one.f_number) for one in raw.print)
    named = [*raw.filters, *(name for _, filters, _ in prints for name in filters)]
    unknown = [name for name in named if name not in GRADED_NAMES]
    if unknown:
        raise ValueRefused(file, [Problem("filters", f"must be chosen from {', '.join(GRADED_NAMES)}", unknown[0])])
    for index, card in enumerate(raw.card):
        count = max([1, len(raw.filters), *(len(filters) for number, filters, _ in prints if number == card.negative)])
        if card.exposure >= count:
            rule = f"must be below {count}, the number of filters"
            raise ValueRefused(file, [Problem(f"card[{index}].exposure", rule, str(card.exposure))])
    cards = tuple(card.wish() for card in raw.card)
    return Wishes(tuple(raw.filters), raw.f_number, cards, tuple(raw.claims), prints)
