"""Cards one has cut oneself: kept in a file of the user's folder, so that they hang in the rack at the next evening too."""

from __future__ import annotations

import json
from dataclasses import dataclass
from pathlib import Path
from typing import Annotated, Literal

from pydantic import Field, TypeAdapter

from sim.reading import OUTSIDE_RULES, parse_json, read_text, validate
from sim.refusals import Refusal
from sim.window.things.cards import MOST_OWN, MOST_POINTS, CutCard
from sim.writing import write_text

FILE_NAME, MOST_BYTES = "cards.json", 64 * 1024


@dataclass(frozen=True)
class _Cut:
    __pydantic_config__ = OUTSIDE_RULES
    name: Annotated[str, Field(max_length=40)]
    width_mm: float
    length_mm: float
    outline: Annotated[tuple[tuple[float, float], ...], Field(min_length=3, max_length=2 * MOST_POINTS)]
    hole: bool = False  # the card that was left, not the piece that was cut out


@dataclass(frozen=True)
class _Rack:
    __pydantic_config__ = OUTSIDE_RULES
    cards: Annotated[tuple[_Cut, ...], Field(max_length=MOST_OWN)] = ()
    format: Literal[1] = 1


def read_own_cards(folder: Path) -> tuple[tuple[CutCard, ...], str]:
    """Return the cards of one's own, and in words what was wrong with their file."""
    file = folder / FILE_NAME
    if not file.exists():
        return (), ""
    try:
        rack = validate(file, parse_json(file, read_text(file, MOST_BYTES)), _Rack)
        cards = tuple(CutCard(c.name, "outline", c.width_mm, c.length_mm, c.hole, outline=c.outline) for c in rack.cards)
        for card in cards:
            card.tool()
    except (Refusal, OSError) as error:
        return (), str(error)
    return cards, ""


def keep_own_cards(folder: Path, cards: tuple[CutCard, ...]) -> None:
    """Write the cards down. Raises WritingFailed."""
    rack = _Rack(tuple(_Cut(c.id, c.width_mm, c.length_mm, c.outline, c.hole) for c in cards[-MOST_OWN:]))
    data = TypeAdapter(_Rack).dump_python(rack, mode="json")
    write_text(folder / FILE_NAME, json.dumps(data, ensure_ascii=False) + "\n")
