"""First sheets with known faults: what was really done wrong, drawn over the range a lesson declares.

A start is the settings of the first print (of each print, where there are several) and the faults planted in it. A fault is
a cause, a way (what the print needs) and, for a hand's fault, the place.
"""

from __future__ import annotations

import copy
import math
import random
from collections.abc import Callable
from dataclasses import dataclass, field

from tests.readers.lessons_from import Lesson, Settings

Fault = dict[str, str]
UNHARMED = 2.0  # times the full developing time, before fog creeps in (lessons/README.md, `developed`)
SEVERAL = {
    "filter and time": ("filter", "time"),
    "focus and time": ("focus alone", "time"),
    "focus and aperture": ("focus alone", "aperture, light kept"),
    "both halves": ("soft half", "hard half"),
    "card and time": ("held too long", "time"),
    "too large and too long": ("tool too large", "held too long"),
    "card and filter": ("held too short", "filter"),
}


@dataclass
class Start:
    """The first sheets of an evening, and what is wrong with them."""

    kind: str
    prints: dict[str, Settings]
    faults: list[Fault] = field(default_factory=list)
    at: str = ""

    def wrong(self, cause: str, way: str, place: str = "", part: str = "") -> None:
        """Note a fault that was planted."""
        self.faults.append({"cause": cause, "way": way, "place": place, "part": part})


class Draw:
    """Draws faults into one print of a lesson."""

    def __init__(self, lesson: Lesson, rng: random.Random) -> None:
        self.lesson, self.rng = lesson, rng
        self.spread, self.begin = lesson.exercise.get("spread", {}), lesson.exercise["start"]

    def kinds(self) -> list[str]:
        """Return the sorts of start that this lesson's open controls allow."""
        open_, kinds = set(self.lesson.exercise["unlocked"]), ["time"] if "time_stops" in self.spread else []
        if "filter" in open_ and len(self.spread.get("filter", [])) > 1 and not self.pair:
            kinds += ["filter", "filter and time"]
        if "f_number" in self.spread:
            kinds += ["aperture", "aperture, light kept"]
        if "focus_offset_mm" in self.spread:
            kinds += ["focus alone", "focus and time", "focus and aperture"]
        if "column_mm" in self.spread:
            kinds += ["size alone", "size, old time"]
        if "development_time_s" in self.spread:
            kinds += ["development"]
        if self.pair:
            kinds += ["soft half", "hard half", "both halves", "one exposure only"]
        if any(one["cards"] for one in self.lesson.right):
            kinds += ["no card", "held too long", "held too short", "card at the wrong place", "held still", "held too high",
                      "card and time"]  # fmt: skip
            if not self.lesson.edges:
                kinds += ["tool too large", "tool too small", "too large and too long"]
            if "filter" in open_ and not self.pair:
                kinds += ["card and filter"]
            if self.pair:
                kinds += ["card in the other exposure"]
        return [*kinds, "anywhere"]

    @property
    def pair(self) -> bool:
        """Whether the print takes two exposures of the whole sheet."""
        return len(self.lesson.right) == 1 and bool(self.lesson.right[0]["then"])

    def start(self, kind: str) -> Start:
        """Return one start of a kind."""
        prints = {str(number + 1): copy.deepcopy(one) for number, one in enumerate(self.lesson.right)}
        keys = [key for key in prints if not needs_card(kind) or prints[key]["cards"]]
        at = self.rng.choice(keys)
        start = Start(kind, prints, at=at if len(prints) > 1 else "")
        for one in SEVERAL.get(kind, (kind,)):
            self.doing()[one](start, prints[at])
        return start

    def doing(self) -> dict[str, Callable[[Start, Settings], None]]:
        """Return what plants each single fault."""
        return {
            "time": self._time, "filter": self._filter,
            "aperture": self._aperture, "aperture, light kept": self._aperture_kept, "focus alone": self._focus,
            "size alone": self._size, "size, old time": self._size_old, "development": self._tray,
            "soft half": self._soft, "hard half": self._hard, "one exposure only": self._one_only, "no card": self._no_card,
            "held too long": self._long, "held too short": self._short, "card at the wrong place": self._elsewhere,
            "held still": self._still, "held too high": self._high,
            "tool too large": self._large, "tool too small": self._small,
            "card in the other exposure": self._other_exposure, "anywhere": self._anywhere,
        }  # fmt: skip

    def _asks_sharpness(self) -> bool:
        """Tell whether the lesson asks for sharpness anywhere."""
        return any(criterion["kind"] == "sharp" for criterion in self.lesson.exercise["criterion"])

    def _seconds(self, start: Start, right_s: float) -> None:
        """Note a fault where the right light would take fewer or more seconds than the lesson's window allows."""
        for criterion in self.lesson.exercise["criterion"]:
            if criterion["kind"] == "time-window" and not (
                0.95 * criterion["least_s"] <= right_s <= 1.05 * criterion["most_s"]  # a twentieth costs nothing
            ):
                start.wrong("time", "longer" if right_s < criterion["least_s"] else "shorter")

    def _spreading(self, old_mm: float, new_mm: float) -> float:
        """Return how much longer the same light takes with the head, or the lamp over the glass, at another height."""
        if self.lesson.contact:
            return (new_mm / old_mm) ** 2
        return light_factor(old_mm, new_mm, float(self.lesson.lens.removesuffix("-mm")))

    def _stops(self, low: float = 0.5) -> float:
        lowest, highest = self.spread.get("time_stops", [-1.0, 1.0])
        reach = [low, max(low + 0.1, min(2.0, 0.5 * (highest - lowest)))]
        return self.rng.uniform(*reach) * self.rng.choice((-1, 1))

    def _time(self, start: Start, one: Settings) -> None:
        stops = self._stops()
        for light in (one, *one["then"]):
            light["time"] = tidy(light["time"] * 2.0**stops)
        start.wrong("exposure", "less" if stops > 0 else "more")

    def _filter(self, start: Start, one: Settings) -> None:
        names = self.spread.get("filter") or ["1", "2", "3", "4"]
        off = [name for name in names if abs(grade(name) - grade(one["filter"])) >= 1.0]
        new = self.rng.choice(off)
        start.wrong("contrast", "softer" if grade(new) > grade(one["filter"]) else "harder")
        one["filter"] = new

    def _aperture(self, start: Start, one: Settings, kept: bool = False) -> None:
        marks = [
            mark
            for mark in self.spread["f_number"]
            if mark != one["f-number"] and mark in self.lesson.controls["f-number"]
        ]
        new = self.rng.choice(marks)
        stops = round(2.0 * math.log2(new / one["f-number"]))
        one["f-number"] = new
        self._seconds(start, one["time"] * 2.0**stops)
        if self._asks_sharpness():
            start.wrong("sharpness", "stop-up" if stops > 0 else "stop-down")
        if kept:
            one["time"] = tidy(one["time"] * 2.0**stops)
        else:
            start.wrong("exposure", "more" if stops > 0 else "less")

    def _aperture_kept(self, start: Start, one: Settings) -> None:
        self._aperture(start, one, kept=True)

    def _focus(self, start: Start, one: Settings) -> None:
        low, high = self.spread["focus_offset_mm"]
        one["focus"] = round(one["focus"] + self.rng.choice((-1, 1)) * self.rng.uniform(0.4, 1.0) * min(-low, high), 2)
        start.wrong("sharpness", "focus")

    def _size(self, start: Start, one: Settings, kept: bool = True) -> None:
        old, new = one["height"], 0.0
        while not new or abs(new / old - 1.0) < 0.02:
            new = round(self.rng.uniform(*self.spread["column_mm"]), 1)
        one["height"] = new
        factor = self._spreading(old, new)
        self._seconds(start, one["time"] * factor)
        if not self.lesson.contact:
            start.wrong("size", "smaller" if new > old else "larger")
        if kept:
            one["time"] = tidy(one["time"] * factor)
        else:
            start.wrong("exposure", "more" if new > old else "less")

    def _size_old(self, start: Start, one: Settings) -> None:
        self._size(start, one, kept=False)

    def _tray(self, start: Start, one: Settings) -> None:
        low, high = self.spread["development_time_s"]
        one["develop"] = round(self.rng.uniform(low, min(high, 0.75 * one["develop"])), 0)
        start.wrong("development", "longer")

    def _soft(self, start: Start, one: Settings) -> None:
        stops = self._stops(0.4)
        one["time"] = tidy(one["time"] * 2.0**stops)
        start.wrong("exposure", "less" if stops > 0 else "more", part="soft")

    def _hard(self, start: Start, one: Settings) -> None:
        stops = self._stops(0.6)
        one["then"][0]["time"] = tidy(one["then"][0]["time"] * 2.0**stops)
        start.wrong("exposure", "less" if stops > 0 else "more", part="hard")
        start.wrong("contrast", "softer" if stops > 0 else "harder")

    def _one_only(self, start: Start, one: Settings) -> None:
        one["then"] = []
        start.wrong("exposure", "more", part="hard")
        start.wrong("contrast", "harder")

    def _no_card(self, start: Start, one: Settings) -> None:
        card = one["cards"].pop()
        start.wrong("local", "more-light" if card["does"] == "burn" else "less-light", card["place"])

    def _long(self, start: Start, one: Settings, sign: float = 1.0) -> None:
        card = one["cards"][0]
        by = self.rng.uniform(0.4, 0.9)
        card["stops"] = tidy(max(0.1, card["stops"] + sign * by))
        burn = card["does"] == "burn"
        start.wrong("local", "less-light" if burn == (sign > 0) else "more-light", card["place"])

    def _short(self, start: Start, one: Settings) -> None:
        self._long(start, one, -1.0)

    def _elsewhere(self, start: Start, one: Settings) -> None:
        card = one["cards"][0]
        belongs = card["place"]
        card["place"] = self.rng.choice([place for place in self.lesson.places[one["negative"]] if place != belongs])
        more, less = ("more-light", "less-light") if card["does"] == "burn" else ("less-light", "more-light")
        start.wrong("place", "move")
        start.wrong("local", more, belongs)
        start.wrong("local", less, card["place"])

    def _still(self, start: Start, one: Settings) -> None:
        one["cards"][0]["hand"] = "still"
        start.wrong("tool", "moving")

    def _high(self, start: Start, one: Settings) -> None:
        one["cards"][0]["high_mm"] = float(self.rng.randrange(350, 440, 10))  # below every lens
        start.wrong("tool", "lower")

    def _large(self, start: Start, one: Settings, factor: float = 1.0) -> None:
        card = one["cards"][0]
        card["mm"] = tidy(card["mm"] * (self.rng.uniform(1.5, 2.0) if factor >= 1 else self.rng.uniform(0.3, 0.5)))
        start.wrong("tool", "smaller" if factor >= 1 else "larger", card["place"])

    def _small(self, start: Start, one: Settings) -> None:
        self._large(start, one, 0.4)

    def _other_exposure(self, start: Start, one: Settings) -> None:
        one["cards"][0]["exposure"] = 2
        start.wrong("place", "move")
        start.wrong("local", "more-light", one["cards"][0]["place"])

    def _anywhere(self, start: Start, one: Settings) -> None:
        """Draw every declared control of every print at once, from the lesson's start."""
        for now in start.prints.values():
            right = copy.deepcopy(now)
            if "time_stops" in self.spread:
                now["time"] = tidy(self.begin.get("time_s", 10.0) * 2.0 ** self.rng.uniform(*self.spread["time_stops"]))
            now["filter"] = self.rng.choice(self.spread.get("filter", [now["filter"]]))
            if "f_number" in self.spread:
                now["f-number"] = self.rng.choice(
                    [m for m in self.spread["f_number"] if m in self.lesson.controls["f-number"]]
                )
            for name, key in (("column_mm", "height"), ("focus_offset_mm", "focus"), ("development_time_s", "develop")):
                if name in self.spread:
                    now[key] = round(self.rng.uniform(*self.spread[name]), 2 if key == "focus" else 0)
            now["then"] = []
            if now["cards"]:
                net = self.rng.uniform(*self.spread.get("card_stops", [-1.0, 1.0]))
                now["cards"] = (
                    [{**now["cards"][0], "does": "burn" if net > 0 else "hold-back", "stops": tidy(abs(net))}]
                    if abs(net) > 0.1
                    else []
                )
            differing(start, now, right)
            spread = self._spreading(right["height"], now["height"]) if "column_mm" in self.spread else 1.0
            self._seconds(start, right["time"] * spread * (now["f-number"] / right["f-number"]) ** 2)
        start.faults = [f for f in start.faults if f["cause"] != "sharpness" or self._asks_sharpness()]
        start.faults = [f for f in start.faults if f["cause"] != "size" or not self.lesson.contact]
        start.at = ""


def differing(start: Start, now: Settings, right: Settings) -> None:
    """Note as faults what differs between a print drawn anywhere and the right one; light is read off the print."""
    mended = (
        ("height", "size", "smaller", "larger"),
        ("develop", "development", "shorter", "longer"),
        ("f-number", "sharpness", "stop-up", "stop-down"),
    )
    for key, cause, up, down in mended:
        if key == "develop" and right[key] < now[key] <= UNHARMED * right[key]:
            continue  # the paper is finished and stands: no fault
        if now[key] != right[key]:
            start.wrong(cause, up if now[key] > right[key] else down)
    if now["focus"] != right["focus"]:
        start.wrong("sharpness", "focus")
    net = [sum(c["stops"] * (1 if c["does"] == "burn" else -1) for c in one["cards"]) for one in (now, right)]
    if abs(net[0] - net[1]) > 0.15:
        start.wrong("local", "less-light" if net[0] > net[1] else "more-light", right["cards"][0]["place"])
    if right["then"]:
        start.wrong("exposure", "more", part="hard")


def needs_card(kind: str) -> bool:
    """Tell whether a kind of start is one of a hand's faults."""
    return "card" in kind or "tool" in kind or "held" in kind or kind.startswith("too large")


def grade(name: str) -> float:
    """Return a filter's name as a number."""
    return -1.0 if name == "00" else float(name)


def tidy(value: float) -> float:
    """Return a number as it is dialled: three figures."""
    return float(f"{value:.3g}")


def light_factor(old_mm: float, new_mm: float, focal_mm: float) -> float:
    """Return how much longer the same light takes with the head at another height (thin lens)."""

    def spread(height_mm: float) -> float:
        total = height_mm / focal_mm - 2.0
        return 0.5 * (total + math.sqrt(max(total * total - 4.0, 0.0))) + 1.0

    return (spread(new_mm) / spread(old_mm)) ** 2
