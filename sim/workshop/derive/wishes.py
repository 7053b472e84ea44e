"""``wishes.toml``: what a lesson's author decides about its reference and no solver may: which light, where a card goes.

Written by hand beside ``exercise.toml`` where a lesson needs it. Tones, controls and tolerances stand in ``exercise.toml``;
how long a card stays is solved from the tones.
"""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import Annotated, Literal

from pydantic import Field

from sim.enlarger.filters import GRADED_NAMES
from sim.reading import Problem, ValueRefused, read_toml_of_format

WISHES_FILE = "wishes.toml"
Claim = Literal[
    "not-without-a-card", "not-with-one-exposure", "not-without-either-exposure", "at-neither-end-of-the-lens",
    "not-without-a-flash",
]  # fmt: skip
Share = Annotated[float, Field(gt=0.0, le=1.5)]
Fraction = Annotated[float, Field(ge=-0.5, le=1.5)]
Hand = Annotated[tuple[tuple[Fraction, Fraction, Fraction], ...], Field(min_length=2, max_length=200)]
Aperture = Annotated[float, Field(ge=1.0, le=64.0)]
Filters = Annotated[tuple[str, ...], Field(max_length=2)]
Number = Annotated[int, Field(ge=1, le=12)]


@dataclass(frozen=True)
class CardWish:
    """A card: over which place, how large, in which exposure (from 0), and by which hands it is moved.

    ``negative`` (1, 2, ...) is the one whose print it belongs to; None means every one.
    ``area`` is the share of the frame it works on, across and down (None: what the sleeve says of the place). ``hands`` are
    paths, one for each copy: (share of the time in the light, x, y), x and y as fractions of the frame; none: small circles.
    """

    place: Annotated[str, Field(min_length=1, max_length=48)]
    does: Literal["hold-back", "burn-in"]
    exposure: Annotated[int, Field(ge=0, le=1)] = 0
    negative: Number | None = None
    area: tuple[Share, Share] | None = None
    hands: Annotated[tuple[Hand, ...], Field(max_length=12)] = ()


@dataclass(frozen=True)
class PrintWish:
    """Filters and aperture of one negative's print (1, 2, ...), where they are not those of all."""

    negative: Number
    filters: Filters = ()
    f_number: Aperture | None = None


@dataclass(frozen=True)
class Wishes:
    """Filters of the main exposures (none: the best single one), aperture (None: the start's), cards, a flash, and claims."""

    filters: Filters = ()
    f_number: Aperture | None = None
    cards: Annotated[tuple[CardWish, ...], Field(validation_alias="card", max_length=8)] = ()
    claims: tuple[Claim, ...] = ()
    flash: bool = False
    prints: Annotated[tuple[PrintWish, ...], Field(validation_alias="print", max_length=12)] = ()

    def of(self, index: int) -> Wishes:
        """Return the wishes for one of the exercise's negatives (0-based index)."""
        cards = tuple(card for card in self.cards if card.negative in (None, index + 1))
        own = next((one for one in self.prints if one.negative == index + 1), PrintWish(index + 1))
        return Wishes(own.filters or self.filters, own.f_number or self.f_number, cards, self.claims, self.flash)


def read_wishes(folder: Path) -> Wishes:
    """Return a lesson's wishes; none when it has no such file. Raises OutsideError with file, key, rule and value."""
    file = folder / WISHES_FILE
    if not file.is_file():
        return Wishes()
    wishes = read_toml_of_format(file, Wishes)
    named = [*wishes.filters, *(name for one in wishes.prints for name in one.filters)]
    unknown = [name for name in named if name not in GRADED_NAMES]
    if unknown:
        raise ValueRefused(file, [Problem("filters", f"must be chosen from {', '.join(GRADED_NAMES)}", unknown[0])])
    for index, card in enumerate(wishes.cards):
        own = (len(one.filters) for one in wishes.prints if one.negative == card.negative)
        count = max(1, len(wishes.filters), *own)
        if card.exposure >= count:
            rule = f"must be below {count}, the number of filters"
            raise ValueRefused(file, [Problem(f"card[{index}].exposure", rule, str(card.exposure))])
    return wishes
