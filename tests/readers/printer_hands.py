"""What a printer's hands do about what the ear took in: settings of the next sheet, by the rules of the trade.

One stop doubles the time, and so does one mark down. The lights are set by time, the darks by the filter; the two hardest
filters want twice the seconds. A tool at rest is moved before it is cut anew; a head raised spreads the same light over a
larger sheet. Where words give a size it is used, else a default that is halved whenever the last step went too far.
"""

from __future__ import annotations

import copy
import math
import re
from collections.abc import Callable
from typing import Any

Heard = dict[str, Any]
Settings = dict[str, Any]
DEFAULT_STOPS, DEFAULT_GRADES = 0.5, 1.0
HARD_FILTERS = {"4", "4.5", "5"}
FOCUS_TRIED = (0.0, 0.15, -0.15, 0.3, -0.3)
NOT_WORTH_A_SHEET = 0.1
HAND_BREADTH_MM = 120.0
TOO_HIGH_MM = 220.0
ORDINALS = ("first", "second", "third", "fourth", "fifth", "sixth")


def rounded(value: float) -> float:
    """Return a number as it is dialled: three figures."""
    return float(f"{value:.3g}")


class Printer:
    """A printer at work on one evening: what may be moved, and what was made of each print so far."""

    def __init__(self, places: list[str] | None = None, controls: dict[str, Any] | None = None,
                 fixed: dict[str, Any] | None = None) -> None:  # fmt: skip
        self.places, self.controls, self.fixed = places or [], controls or {}, fixed or {}
        self.last: dict[tuple[str, ...], tuple[str, float]] = {}
        self.focused: dict[str, list[float]] = {}
        self.trouble: dict[str, list[tuple[float, int]]] = {}

    def answer(
        self, prints: list[dict[str, Any]], together: str, listen: Callable[[str, list[str]], list[Heard]]
    ) -> dict[str, Any]:
        """Return what was heard of every print, and how each is to be made next (None: it may stay)."""
        heard = {p["key"]: listen(p["words"], self.places) for p in prints}
        for one in listen(together, self.places):
            key = self._meant(one["line"], prints)
            if key and all(one["line"] != other["line"] for other in heard[key]):
                heard[key].append(one)
        settings = {}
        for p in prints:
            self.trouble.setdefault(p["key"], []).append((weight(heard[p["key"]]), p["sheet"]))
            new = self.next_sheet(p["key"], p["settings"], heard[p["key"]])
            settings[p["key"]] = None if new == p["settings"] else new
        best = {key: min(scores)[1] for key, scores in self.trouble.items()}
        return {"heard": heard, "settings": settings, "nominate": best}

    def _meant(self, line: str, prints: list[dict[str, Any]]) -> str:
        """Return which print a line speaks of, by number or by its negative."""
        text = line.lower()
        for order, p in enumerate(prints):
            name = str(p["settings"].get("negative", "")).replace("-", " ")
            named = name and len({q["settings"].get("negative") for q in prints}) > 1 and name in text.replace("-", " ")
            numbered = re.search(
                rf"\b(?:print|sheet|copy|no\.?) {order + 1}\b|\b{ORDINALS[order % 6]} (?:print|sheet|copy)\b", text
            )
            if named or numbered:
                return str(p["key"])
        return ""

    def next_sheet(self, key: str, settings: Settings, heard: list[Heard]) -> Settings:
        """Return the next sheet's settings: each cause once, what is to wait left waiting."""
        new, done = copy.deepcopy(settings), set()
        if all(0.0 < (one.get("stops") or 1.0) < NOT_WORTH_A_SHEET for one in heard):
            return new
        still = any(card.get("hand") == "still" for card in settings.get("cards", []))
        moving_heard = any(h["cause"] == "tool" and h["way"] == "moving" for h in heard)
        for one in heard:
            name = (one["cause"], one["part"], one["place"] if one["cause"] in ("local", "tool", "place") else "",
                    one["way"] if one["cause"] in ("tool", "sharpness") else "")  # fmt: skip
            if name in done or (one["later"] and done):
                continue
            if one["cause"] == "tool" and one["way"] in ("smaller", "larger") and still and moving_heard:
                continue  # at rest it would print its outline whatever its size
            done.add(name)
            getattr(self, f"_{one['cause']}")(new, one, key)
        return new

    def _allowed(self, name: str) -> bool:
        return name in self.controls

    def _within(self, name: str, value: float) -> float:
        low, high = self.controls[name]
        return rounded(min(max(value, low), high))

    def _step(self, key: str, one: Heard, said: float | None, default: float) -> float:
        """Return the size of a step: what was said, else a default, halved when the last one went too far."""
        name = (key, one["cause"], one["part"], one["place"])
        way, size = self.last.get(name, (one["way"], default))
        step = said if said is not None else size / 2 if way != one["way"] else size
        self.last[name] = (one["way"], step)
        return step

    def _exposure(self, new: Settings, one: Heard, key: str) -> None:
        """More or less light: by time."""
        step = self._step(key, one, one["stops"], DEFAULT_STOPS)
        factor = 2.0 ** (step if one["way"] == "more" else -step)
        if one["part"] == "hard" and not new.get("then") and self._allowed("then") and one["way"] == "more":
            new["then"] = [{"filter": "5", "time": rounded(new["time"])}]
            return
        if one["part"] != "hard":
            new["time"] = self._within("time", new["time"] * factor)
        if one["part"] != "soft":
            for then in new.get("then", []):
                then["time"] = self._within("time", then["time"] * factor)

    def _contrast(self, new: Settings, one: Heard, key: str) -> None:
        """Softer or harder: by filter, and the light kept; of two exposures by their seconds."""
        step = self._step(key, one, one["grades"], DEFAULT_GRADES) * (1.0 if one["way"] == "harder" else -1.0)
        if new.get("then"):
            new["time"] = self._within("time", new["time"] * 2.0 ** (-0.25 * step))
            for then in new["then"]:
                then["time"] = self._within("time", then["time"] * 2.0 ** (0.5 * step))
            return
        if not self._allowed("filter"):
            return
        names = list(self.controls["filter"])
        grade = {name: -1.0 if name == "00" else float(name) for name in names}
        old = str(new["filter"])
        chosen = min(names, key=lambda name: abs(grade[name] - grade.get(old, 2.0) - step))
        new["filter"] = chosen
        factor = (2.0 if chosen in HARD_FILTERS else 1.0) / (2.0 if old in HARD_FILTERS else 1.0)
        new["time"] = self._within("time", new["time"] * factor)

    def _card_at(self, new: Settings, place: str) -> dict[str, Any] | None:
        cards = new.get("cards", [])
        at = [card for card in cards if card["place"] == place]
        return at[0] if at else cards[0] if len(cards) == 1 and not place else None

    def _local(self, new: Settings, one: Heard, key: str) -> None:
        """Light for one place: hold back longer or shorter, burn in longer or shorter, or begin with a card."""
        if not self._allowed("cards"):
            return
        card = self._card_at(new, one["place"])
        place = one["place"] or (card or {}).get("place", "")
        if not place:
            return
        if card is None and self._reached_over(new, one, key):
            return
        step = self._step(key, one, one["stops"], DEFAULT_STOPS) * (1.0 if one["way"] == "more-light" else -1.0)
        old = 0.0 if card is None else card["stops"] * (1.0 if card["does"] == "burn" else -1.0)
        net = max(-5.0, min(5.0, old + step))
        if one["by"] and (net > 0) != (one["by"] == "burn"):  # less of it than there was at most takes the card away
            net = 0.0
        cards = [c for c in new.get("cards", []) if c is not card]
        if abs(net) >= 0.05:
            card = card or {"place": place, "mm": None, "exposure": 1, "hand": "moving", "high_mm": HAND_BREADTH_MM}
            cards.append({**card, "does": "burn" if net > 0 else "hold-back", "stops": rounded(abs(net))})
        new["cards"] = cards

    def _reached_over(self, new: Settings, one: Heard, key: str) -> bool:
        """Hold a place back less that nobody held back: a tool meant for another place reached over it."""
        undone = {"hold-back": "more-light", "burn": "less-light"}.get(one["by"]) == one["way"]
        reaching = [card for card in new.get("cards", []) if card["does"] == one["by"]]
        if not undone or not reaching:
            return False
        self._tool(new, {**one, "cause": "tool", "way": "smaller", "place": reaching[0]["place"]}, key)
        return True

    def _tool(self, new: Settings, one: Heard, key: str) -> None:
        """The hand: move a tool at rest, bring down one held high, cut it smaller or larger."""
        card = self._card_at(new, one["place"]) or next(iter(new.get("cards", [])), None)
        if card is None:
            return
        way = one["way"]
        if way == "moving":
            card["hand"] = "moving"
        elif way in ("lower", "higher"):
            card["high_mm"] = rounded(HAND_BREADTH_MM if way == "lower" and card["high_mm"] > TOO_HIGH_MM
                                      else card["high_mm"] * (0.6 if way == "lower" else 1.6))  # fmt: skip
        elif way == "smaller" and card["high_mm"] > TOO_HIGH_MM:
            card["high_mm"] = HAND_BREADTH_MM
        elif card["mm"]:
            step = self._step(key, one, None, 0.45)
            card["mm"] = rounded(card["mm"] * 2.0 ** (step if way == "larger" else -step))

    def _place(self, new: Settings, one: Heard, key: str) -> None:
        """A card at another place than it belongs: carry it over."""
        cards = new.get("cards", [])
        bearing = [card for card in cards if card["place"] in one["to"]] or cards[:1]
        free = [place for place in one["to"] if all(card["place"] != place for card in cards)]
        if bearing and free:
            bearing[0]["place"] = free[0]

    def _sharpness(self, new: Settings, one: Heard, key: str) -> None:
        """Focus afresh, a little to either side where that was not it; a mark down or up with the light kept."""
        if one["way"] == "focus" and self._allowed("focus"):
            tried = self.focused.setdefault(key, [])
            tried.append(new["focus"])
            fresh = [at for at in FOCUS_TRIED if all(abs(at - old) > 0.04 for old in tried)]
            new["focus"] = fresh[0] if fresh else 0.0
        elif one["way"] in ("stop-down", "stop-up"):
            self._mark(new, one["way"] == "stop-down", one.get("marks") or 1.0)

    def _mark(self, new: Settings, down: bool, marks: float) -> None:
        if not self._allowed("f-number"):
            return
        ring = sorted(self.controls["f-number"])
        wanted = new["f-number"] * 2.0 ** ((0.5 if down else -0.5) * max(1.0, marks))
        chosen = min(ring, key=lambda mark: abs(math.log(mark / wanted)))
        factor = 2.0 ** round(2.0 * math.log2(chosen / new["f-number"]))
        new["f-number"] = chosen
        for light in (new, *new.get("then", [])):
            light["time"] = self._within("time", light["time"] * factor)

    def _time(self, new: Settings, one: Heard, key: str) -> None:
        """Seconds too few or too many, the light kept: by the lens's ring, or under glass by the lamp's height."""
        longer, stops = one["way"] == "longer", one["stops"] or 1.0
        if self._allowed("f-number"):
            self._mark(new, longer, math.ceil(stops - 0.2))
        elif self._allowed("height"):
            sign = 1.0 if longer else -1.0
            new["height"] = self._within("height", new["height"] * 2.0 ** (0.5 * sign * stops))
            new["time"] = self._within("time", new["time"] * 2.0 ** (sign * stops))

    def _size(self, new: Settings, one: Heard, key: str) -> None:
        """The picture larger or smaller: the head up or down, the light spread over more or less paper."""
        focal = self.fixed.get("lens_mm")
        if not self._allowed("height") or not focal or new["height"] < 4 * focal:
            return
        sum_ = new["height"] / focal - 2.0
        now = 0.5 * (sum_ + math.sqrt(max(sum_ * sum_ - 4.0, 0.0)))
        ratio = wanted_ratio(one)
        then = max(1.001, now * ratio)
        new["height"] = self._within("height", focal * (2.0 + then + 1.0 / then)) if then > 1 else new["height"]
        new["time"] = self._within("time", new["time"] * ((then + 1.0) / (now + 1.0)) ** 2)

    def _development(self, new: Settings, one: Heard, key: str) -> None:
        """Longer or shorter in the tray."""
        if self._allowed("develop"):
            step = self._step(key, one, None, 0.7)
            new["develop"] = self._within(
                "develop", new["develop"] * 2.0 ** (step if one["way"] == "longer" else -step)
            )


def wanted_ratio(one: Heard) -> float:
    """Return by how much the picture is to grow, from the millimetres that were said: what it measures, what is missing."""
    sign, figures, missing = (1.0 if one["way"] == "larger" else -1.0), one["figures"], one["missing_mm"]
    if missing is not None:
        measured = next((figure for figure in figures if figure != missing), 0.0)
        ratio = 1.0 + sign * missing / measured if measured else 0.0
    else:
        ratio = figures[1] / figures[0] if len(figures) > 1 and figures[0] else 0.0
    return ratio if 0.3 < ratio < 3.0 and (ratio - 1.0) * sign > 0 else 1.0 + 0.08 * sign


def weight(heard: list[Heard]) -> float:
    """Return how much there was to say against a print."""
    sizes = [one.get("stops") or one.get("grades") or 0.5 for one in heard]
    return sum(0.3 + min(size, 2.0) for size in sizes)
