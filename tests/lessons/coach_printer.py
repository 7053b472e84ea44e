"""A printer who knows nothing but the advice: JSON lines in, decisions out. Standard library only, no physics, no solver.

In: {"begin": {"settings": {...}, "unlocked": {name: [low, high] or [choices]}}, "print": n} or {"advice": [...], "print": n}.
Out: {"settings": {...}}. Advice is followed as a printer would: so many stops, so many grades, so much at that place.
"""

from __future__ import annotations

import json
import sys
from math import log2
from typing import Any

GRADES = ["00", "0", "0.5", "1", "1.5", "2", "2.5", "3", "3.5", "4", "4.5", "5"]
F_MARKS = [2.8, 4.0, 5.6, 8.0, 11.0, 16.0, 22.0, 32.0, 45.0, 64.0]
MORE = {"more-flash", "more-light", "more-burn", "less-hold-back", "harder"}
TWICE_THE_TIME = ("4", "4.5", "5")  # the trade's rule for the hardest filters
HEIGHT_POWER = 0.45  # how height goes with size, first guess: between one half and one third for usual sizes


class Printer:
    """One sheet of the evening, set again and again as the advice says."""

    def __init__(self, settings: dict[str, Any], unlocked: dict[str, list[Any]]):
        self.settings, self.unlocked = settings, unlocked
        self.sizes: list[tuple[float, float]] = []  # height, how many times as wide the picture should be

    def follow(self, advice: list[dict[str, Any]]) -> None:
        """Change the settings as the advice says, what concerns time later, the light divided last."""
        later = ("exposure", "time", "pair")
        for item in sorted(advice, key=lambda item: later.index(item["cause"]) if item["cause"] in later else -1):
            getattr(self, "_" + item["cause"], lambda item: None)(item)

    def _limited(self, name: str, value: float) -> float:
        low, high = min(self.unlocked[name]), max(self.unlocked[name])
        return min(max(value, low), high)

    def _halves(self, which: str = "") -> list[dict[str, Any]]:
        """The exposures of the whole sheet that are meant: the soft one, the hard one, or all there are."""
        second = self.settings["second"]
        if second is None:
            return [self.settings]
        soft, hard = sorted((self.settings, second), key=lambda half: GRADES.index(half["filter"]))
        return {"soft": [soft], "hard": [hard]}.get(which, [soft, hard])

    def _timed(self, stops: float, which: str = "") -> None:
        if "time_s" in self.unlocked:
            for half in self._halves(which):
                half["time_s"] = round(self._limited("time_s", half["time_s"] * 2.0**stops), 1)
        elif "f_number" in self.unlocked:
            self._stopped(-stops)
        elif "height_mm" in self.unlocked:  # contact: light falls with the square of the lamp's distance
            self.settings["column_mm"] = round(self._limited("height_mm", self.settings["column_mm"] * 2.0 ** (-stops / 2)), 1)

    def _stopped(self, stops: float) -> float:
        """Stop down (+) or open up (-) to the nearest mark; return the stops moved."""
        marks = [mark for mark in F_MARKS if min(self.unlocked["f_number"]) <= mark <= max(self.unlocked["f_number"])]
        now = self.settings["f_number"]
        new = min(marks, key=lambda mark: abs(2 * log2(mark / now) - stops))
        self.settings["f_number"] = new
        return round(2 * log2(new / now))

    def _exposure(self, item: dict[str, Any]) -> None:
        self._timed(item["size"] if item["direction"] in MORE else -item["size"], item["exposure"])

    def _contrast(self, item: dict[str, Any]) -> None:
        steps = round(2 * item["size"]) * (1 if item["direction"] in MORE else -1)
        index = GRADES.index(self.settings["filter"]) + steps
        before, self.settings["filter"] = self.settings["filter"], GRADES[min(max(index, 0), len(GRADES) - 1)]
        twice = (self.settings["filter"] in TWICE_THE_TIME) - (before in TWICE_THE_TIME)
        if "time_s" in self.unlocked:
            self._timed(float(twice))

    def _pair(self, item: dict[str, Any]) -> None:
        """One exposure becomes a soft and a hard one, this twice as long by the trade's rule; cards go into the half named."""
        if self.settings["second"] is not None:
            return
        time_s, cards = self.settings["time_s"], self.settings["cards"]
        soft_s, hard_s = (round(self._limited("time_s", share * time_s), 1) for share in (0.5, 1.0))
        hard = item["exposure"] == "hard"
        self.settings |= {"filter": "00", "time_s": soft_s, "cards": {} if hard else cards}
        self.settings["second"] = {"filter": "5", "time_s": hard_s, "cards": cards if hard else {}}

    def _local(self, item: dict[str, Any]) -> None:
        change = item["size"] if item["direction"] in MORE else -item["size"]
        halves = self._halves(item["exposure"])
        half = next((one for one in halves if item["place"] in one["cards"]), halves[0])
        half["cards"][item["place"]] = round(max(-4.0, min(4.0, half["cards"].get(item["place"], 0.0) + change)), 2)

    def _sharpness(self, item: dict[str, Any]) -> None:
        if item["direction"] == "focus":
            self.settings["focus_offset_mm"] = round(self.settings["focus_offset_mm"] + item["amount"], 2)
        elif item["direction"] in ("stop-down", "stop-up"):
            self._timed(self._stopped(item["amount"]))
        elif item["direction"] == "level" and "easel" in item["amount_unit"]:
            self.settings["easel_tilt_deg"] = round(self.settings["easel_tilt_deg"] + item["amount"], 1)
        elif item["direction"] == "hold-flat":
            self.settings["carrier"] = "glass"

    def _time(self, item: dict[str, Any]) -> None:
        """Another aperture, the time with it; without one the lamp goes up or down (contact: by the square)."""
        stops = item["amount"]
        if "f_number" in self.unlocked:
            whole = (1 if stops > 0 else -1) * max(1, round(abs(stops) + 0.3))
            self._timed(self._stopped(whole))
        elif "height_mm" in self.unlocked:
            further = stops + (0.3 if stops > 0 else -0.3)
            height = self._limited("height_mm", self.settings["column_mm"] * 2.0 ** (further / 2))
            self._timed(2 * log2(height / self.settings["column_mm"]))
            self.settings["column_mm"] = round(height, 1)

    def _size(self, item: dict[str, Any]) -> None:
        height, ratio = self.settings["column_mm"], item["amount"]
        power = HEIGHT_POWER
        if self.sizes and abs(log2(self.sizes[-1][1] / ratio)) > 1e-4 and height != self.sizes[-1][0]:
            power = log2(height / self.sizes[-1][0]) / log2(self.sizes[-1][1] / ratio)
        self.sizes.append((height, ratio))
        power = min(max(power, 0.15), 0.95)
        self.settings["column_mm"] = round(self._limited("height_mm", height * ratio**power), 1)
        if "time_s" in self.unlocked:
            self._timed(2.0 * log2(ratio))  # the same light over so much more paper

    def _development(self, item: dict[str, Any]) -> None:
        """So much of complete development is missing: stay in for as much longer."""
        longer = item["direction"].startswith("longer")
        factor = 1.0 / (1.0 - min(item["size"], 0.9)) if longer else 1.0 / (1.0 + item["size"])
        time_s = self._limited("development_time_s", self.settings["development_time_s"] * factor)
        self.settings["development_time_s"] = round(time_s, 1)

    def _evenness(self, item: dict[str, Any]) -> None:
        self.settings["tool"] = round(0.75 * self.settings["tool"], 3)

    def _flash(self, item: dict[str, Any]) -> None:
        """So much of what the strip of flashes showed to be unseen, more or less."""
        more = item["size"] * self.settings["unseen_flash_s"] * (1 if item["direction"] in MORE else -1)
        self.settings["flash_s"] = round(max(self.settings["flash_s"] + more, 0.0), 1)

    def _place(self, item: dict[str, Any]) -> None:
        """A card taken over into the other half, for as many stops of that one; cards always lie over their place."""
        if item["direction"] != "other-exposure" or self.settings["second"] is None:
            return
        now = next((half for half in self._halves() if item["place"] in half["cards"]), None)
        if now is not None:
            other = next(half for half in self._halves() if half is not now)
            other["cards"][item["place"]] = now["cards"].pop(item["place"])

    def _hand(self, item: dict[str, Any]) -> None:
        """A tool cut anew; it is always kept moving, a hand's breadth up."""
        ratio = item["amount"] if item["amount_unit"] == "widths" else 1.0
        self.settings["tool"] = round(self.settings["tool"] / ratio, 3)


def main() -> None:
    """Answer line by line until the input ends."""
    printers: dict[int, Printer] = {}
    for line in sys.stdin:
        message = json.loads(line)
        number = message["print"]
        if "begin" in message:
            printers[number] = Printer(message["begin"]["settings"], message["begin"]["unlocked"])
        else:
            printers[number].follow(message["advice"])
        print(json.dumps({"settings": printers[number].settings}), flush=True)


if __name__ == "__main__":
    main()
