"""What is judged: the first line against what was really done, lines against each other, answers against the truth."""

from __future__ import annotations

import re
from typing import Any

Heard = dict[str, Any]
Fault = dict[str, str]
OPPOSITE = {"more": "less", "harder": "softer", "more-light": "less-light", "smaller": "larger", "stop-down": "stop-up",
            "longer": "shorter", "lower": "higher"}  # fmt: skip
ADDS, TAKES = {"more", "more-light"}, {"less", "less-light"}
REFUSED = r"\blook again\b|\bdiffer\b|\bnot so\b|\bdisagree\b|\byou are mistaken\b"
HAND = {"tool", "place"}


def true_of(one: Heard, faults: list[Fault]) -> bool:
    """Tell whether what a line asks for mends one of the faults."""
    for fault in faults:
        same_place = not fault["place"] or not one["place"] or fault["place"] == one["place"] or one["cause"] in HAND
        same_part = not fault["part"] or not one["part"] or fault["part"] == one["part"]
        if fault["cause"] == one["cause"] and fault["way"] == one["way"] and same_place and same_part:
            return True
    return False


def first_line(heard: list[Heard]) -> list[Heard]:
    """Return what the first line asks for."""
    return [one for one in heard if one["line"] == heard[0]["line"]] if heard else []


def contradictions(heard: list[Heard]) -> list[str]:
    """Return the lines that speak against themselves or against each other."""
    found = []
    for one in heard:
        adds, takes = one["way"] in ADDS, one["way"] in TAKES
        if (
            ((one["eye"] == "dark" and adds) or (one["eye"] == "light" and takes))
            and not one["later"]
            and one["cause"] in ("exposure", "local")
        ):
            found.append(one["line"])
    for at, one in enumerate(heard):
        for other in heard[at + 1 :]:
            opposed = OPPOSITE.get(one["way"]) == other["way"] or OPPOSITE.get(other["way"]) == one["way"]
            same = one["cause"] == other["cause"] and one["part"] == other["part"]
            there = one["place"] == other["place"] or one["cause"] in (
                "exposure",
                "contrast",
                "size",
                "sharpness",
                "time",
                "development",
            )
            if opposed and same and there and one["line"] != other["line"]:
                found.append(f"{one['line']} / {other['line']}")
    return found


def rows_of(screen: str) -> list[dict[str, Any]]:
    """Return the readings a print's table shows: place, kind, measured, wanted, tolerance."""
    row = r"^  (.{0,30}?)\s{2,}([a-z-]+)\s+(-?[\d.]+)\s+(-?[\d.]+)\s+([\d.]+)\s"
    return [{"place": place.strip(), "kind": kind, "measured": float(m), "wanted": float(w), "tolerance": float(t)}
            for place, kind, m, w, t in re.findall(row, screen, re.M)]  # fmt: skip


def read_off(rows: list[dict[str, Any]]) -> list[Fault]:
    """Return what the print itself shows to be off: light by its lightest tone, scale by the distance to its darkest."""
    tones = sorted((row for row in rows if row["kind"] == "tone"), key=lambda row: row["wanted"])
    if not tones:
        return []
    faults, light, dark = [], tones[0], tones[-1]
    off = light["measured"] - light["wanted"]
    if abs(off) > light["tolerance"]:
        faults.append({"cause": "exposure", "way": "less" if off > 0 else "more", "place": "", "part": ""})
    longer = dark["measured"] - dark["wanted"] - off
    if dark is not light and abs(longer) > dark["tolerance"]:
        faults.append({"cause": "contrast", "way": "softer" if longer > 0 else "harder", "place": "", "part": ""})
    return faults


SPEAKS_OF = {"exposure": r"whole sheet|too (?:much|little) light", "contrast": r"contrast|range|scale|soft|hard|flat",
             "local": r"one (?:part|place)|of its own|hold|burn", "tool": r"card|tool|hand",
             "place": r"card|tool|hand|one (?:part|place)|place",
             "sharpness": r"focus|aperture|sharp", "size": r"size|large|small", "time": r"seconds|time",
             "development": r"develop|tray|bath"}  # fmt: skip


def true_answer(choices: list[tuple[str, str]], faults: list[Fault]) -> str:
    """Return the choice that names a cause that was planted, "" where none is offered."""
    for fault in faults:
        for key, words in choices:
            if re.search(SPEAKS_OF[fault["cause"]], words.lower()):
                return key
    return ""


def refused(screen: str) -> bool:
    """Tell whether an answer was turned away."""
    return re.search(REFUSED, screen.lower()) is not None
