"""What anybody can read of a lesson: its controls and their ranges, where it may start, and the print that earns everything."""

from __future__ import annotations

import json
import math
import tomllib
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

ROOT = Path(__file__).resolve().parents[2]
LESSONS = ROOT / "lessons"
FILTERS = ["00", "0", "0.5", "1", "1.5", "2", "2.5", "3", "3.5", "4", "4.5", "5"]
MARKS = {"50-mm": [2.8, 4.0, 5.6, 8.0, 11.0, 16.0], "150-mm": [5.6, 8.0, 11.0, 16.0, 22.0, 32.0, 45.0]}
FREE = {"time_s": "time", "filter": "filter", "f_number": "f-number", "height_mm": "height", "focus_offset_mm": "focus",
        "development_time_s": "develop"}  # fmt: skip
RANGES: dict[str, Any] = {
    "time": [0.1, 600.0], "filter": FILTERS, "height": [100.0, 3000.0], "focus": [-5.0, 5.0], "develop": [0.0, 900.0],
    "then": {"filter": FILTERS, "time": [0.1, 600.0]},
    "cards": {"does": ["hold-back", "burn"], "stops": [0.05, 6.0], "mm": [1.0, 1500.0], "hand": ["moving", "still"],
              "high_mm": [0.0, 1500.0], "exposure": [1, 2]},
}  # fmt: skip

Settings = dict[str, Any]


@dataclass(frozen=True)
class Lesson:
    """A lesson as its files tell it."""

    name: str
    exercise: dict[str, Any]
    right: list[Settings]
    places: dict[str, list[str]]
    lens: str
    contact: bool
    usual_mm: dict[str, float] = field(default_factory=dict)
    edges: frozenset[str] = frozenset()

    @property
    def controls(self) -> dict[str, Any]:
        """The controls left open, with unit and range as the command's help gives them."""
        names = [FREE[name] for name in self.exercise["unlocked"] if name in FREE]
        open_ = {name: RANGES[name] for name in names if name in RANGES}
        if "f-number" in names:
            open_["f-number"] = MARKS.get(self.lens, MARKS["150-mm"])
        for name, key in (("exposures", "then"), ("cards", "cards")):
            if name in self.exercise["unlocked"]:
                open_[key] = RANGES[key]
        return open_

    @property
    def fixed(self) -> dict[str, Any]:
        """What stands on the bench and is known to whoever works there."""
        return {"contact": self.contact, **({} if self.contact else {"lens_mm": float(self.lens.removesuffix("-mm"))})}


def all_lessons() -> list[str]:
    """Return the lessons in the order they are taught."""
    return [one["slug"] for one in tomllib.loads((LESSONS / "syllabus.toml").read_text(encoding="utf-8"))["lesson"]]


def places_of(negative: str) -> list[str]:
    """Return the named places of a negative; a card may go over each."""
    sleeve = tomllib.loads((ROOT / "sim/negative/sleeves" / f"{negative}.toml").read_text(encoding="utf-8"))
    return [place["name"] for place in sleeve["place"]]


def read_lesson(name: str) -> Lesson:
    """Return a lesson from its folder."""
    folder = LESSONS / name
    exercise = tomllib.loads((folder / "exercise.toml").read_text(encoding="utf-8"))
    records = json.loads((folder / "derived/reference.json").read_text(encoding="utf-8"))
    wishes = (
        tomllib.loads((folder / "wishes.toml").read_text(encoding="utf-8")) if (folder / "wishes.toml").exists() else {}
    )
    usual: dict[str, float] = {}
    edges: set[str] = set()
    right = [_settings(record, order, wishes.get("card", []), usual, edges) for order, record in enumerate(records)]
    one = records[0]["enlarger"]
    places = {record["negative"]: places_of(record["negative"]) for record in records}
    return Lesson(name, exercise, right, places, one["lens"], one["contact"], usual, frozenset(edges))


def _settings(
    record: dict[str, Any], order: int, wishes: list[dict[str, Any]], usual: dict[str, float], edges: set[str]
) -> Settings:
    """Return a record as the lines of the terminal say it; sizes and shapes of its cards go into ``usual`` and ``edges``."""
    first, *others = record["exposures"]
    enlarger = record["enlarger"]
    mine = [wish for wish in wishes if wish.get("negative", order + 1) == order + 1]
    cards = []
    for exposure in record["exposures"]:
        for made in exposure["cards"]:
            card = _card(record, exposure, made, mine)
            usual[card["place"]] = card["mm"]
            if made["shape"] == "edge":
                edges.add(card["place"])
            cards.append(card)
    then = [{"filter": e["filter"]["graded"], "time": e["time_s"]} for e in others if not _burn(e)]
    now = {"negative": record["negative"], "time": first["time_s"], "filter": first["filter"]["graded"], "then": then}
    stands = {
        "height": enlarger["height_mm"],
        "focus": enlarger["focus_offset_mm"],
        "develop": record["development"]["time_s"],
    }
    return {**now, **stands, "f-number": first["f_number"], "cards": cards}


def _burn(exposure: Settings) -> bool:
    """Tell whether an exposure adds light past a card; where a tool holds back, it is a half of the sheet."""
    return any(made["lets_through"] == "inside" or made["shape"] == "edge" for made in exposure["cards"])


def _card(record: Settings, exposure: Settings, made: Settings, wishes: list[Settings]) -> Settings:
    """Return a card as a printer would say it: over which place, how many stops, how large, in which exposure."""
    burns = exposure is not record["exposures"][0] and (made["lets_through"] == "inside" or made["shape"] == "edge")
    wish = next(wish for wish in wishes if (wish["does"] == "burn-in") == burns)
    base = record["exposures"][wish.get("exposure", 0)]["time_s"]
    if burns:
        stops = math.log2(1.0 + exposure["time_s"] / base)
    else:
        stops = -math.log2(1.0 - (made["stop_s"] - made["start_s"]) / exposure["time_s"])
    mm = round(math.sqrt(made["width_mm"] * made["length_mm"]), 1)
    return {"does": "burn" if burns else "hold-back", "place": wish["place"], "stops": float(f"{stops:.3g}"), "mm": mm,
            "exposure": wish.get("exposure", 0) + 1, "hand": "moving", "high_mm": 120.0}  # fmt: skip


def line_for(settings: Settings, lesson: Lesson) -> str:
    """Return the line that makes a sheet so; only what the lesson leaves open is named."""
    words = ["print"]
    if len(lesson.places) > 1:
        words.append(f"negative={settings['negative']}")
    for key in ("time", "filter", "f-number", "height", "focus", "develop"):
        if key in lesson.controls:
            words.append(f"{key}={settings[key]}")
    words += [f"then={then['filter']}:{then['time']}" for then in settings["then"]]
    for card in settings["cards"]:
        usual = lesson.usual_mm.get(card["place"])
        asks_size = (usual is None and card["mm"]) or card["exposure"] != 1
        size = f":{card['mm'] or usual or 40.0}" if asks_size else ""
        which = f":{card['exposure']}" if card["exposure"] != 1 else ""
        words.append(f"{card['does']}={card['place']}:{card['stops']}{size}{which}")
    return " ".join(words)


def hands_of(settings: Settings, lesson: Lesson) -> list[Settings]:
    """Return how each card was held, its size as a multiple of what the line makes; empty where the line says it all."""
    held = []
    for card in settings["cards"]:
        usual = lesson.usual_mm.get(card["place"])
        scale = (
            card["mm"] / usual
            if usual and card["mm"] and card["exposure"] == 1 and card["place"] not in lesson.edges
            else 1.0
        )
        held.append({**card, "scale": scale})
    usual_hand = all(abs(c["scale"] - 1) < 0.01 and c["hand"] == "moving" and abs(c["high_mm"] - 120) < 1 for c in held)
    return [] if usual_hand else held
