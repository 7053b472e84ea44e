"""The evening's file as a learner at the window would have left it: what the hand did with a card, written into its last sheet.

A line typed at the terminal always keeps a tool moving, a hand's breadth up, as large as the place. At the window a hand may
rest, hold the card high, or take a larger one; such sheets come into the same file.
"""

from __future__ import annotations

import hashlib
import json
from pathlib import Path
from typing import Any

HAND_BREADTH_MM = 120.0
CHAINED = ("number", "kind", "data", "previous")


def canonical(content: dict[str, Any]) -> str:
    """Return a line's content as it is hashed."""
    return json.dumps(content, sort_keys=True, separators=(",", ":"), ensure_ascii=False)


def with_hand(file: Path, cards: list[dict[str, Any]]) -> None:
    """Write into the last sheet of an evening how its cards were held: ``hand``, ``high_mm``, ``scale`` of each, in order."""
    lines = [json.loads(text) for text in file.read_text(encoding="utf-8").splitlines() if text.strip()]
    last = max(number for number, line in enumerate(lines) if line["kind"] == "sheet")
    held = [card for exposure in lines[last]["data"]["record"]["exposures"] for card in exposure["cards"]]
    by_sort = sorted(
        cards, key=lambda card: (card["does"] == "burn", card["exposure"])
    )  # tools lie in the first exposure, burns come after it
    for card, made in zip(by_sort, held, strict=True):
        _hold(made, card)
    previous = "0" * 64
    with file.open("w", encoding="utf-8") as out:
        for line in lines:
            line["previous"] = previous
            content = {key: line[key] for key in CHAINED}
            previous = hashlib.sha256(canonical(content).encode("utf-8")).hexdigest()
            out.write(f'{canonical(content)[:-1]},"hash":"{previous}"}}\n')


def _hold(made: dict[str, Any], card: dict[str, Any]) -> None:
    """Hold one card as the hand did."""
    scale = card.get("scale", 1.0)
    for side in ("width_mm", "length_mm"):
        made[side] = round(made[side] * scale, 1)
    if "amplitude_mm" in made["motion"]:
        made["motion"]["amplitude_mm"] = round(made["motion"]["amplitude_mm"] * scale, 2)
    if card.get("hand") == "still":
        made["motion"] = {"kind": "still", "x_mm": made["motion"]["x_mm"], "y_mm": made["motion"]["y_mm"]}
    made["card_height_mm"] = float(card.get("high_mm", HAND_BREADTH_MM))
