"""A printer who hears what is said of a print, knows the trade, and sets the enlarger for the next sheet.

A program of its own: it reads one JSON line at a time, answers with one, and imports nothing of what it judges. It is given
the controls it may move with their ranges, the settings it used, and the words that were shown. What it makes of a
sentence is a printer's English: what is complained of (too light, too dark, flat, harsh, soft under the loupe, an outline),
what is asked for (more, less, longer, harder, smaller, nearer, moving), of what (the whole sheet, a place, a tool, one of
two exposures), and how much (a third of a stop, two grades, 12 mm). Tables of figures it does not read.

Asked {"begin": …}: forgets the last print. {"prints": [{"key", "settings", "words"}…], "together": words}: answers
{"heard": {key: […]}, "settings": {key: new settings, or null for one that may stay}}. {"judge": words}: only {"heard": […]}.
"""

from __future__ import annotations

import json
import re
import sys
from typing import Any

from trade_english import (  # beside this file; as a program, its own folder is where it looks
    ALONE,
    AT_REST,
    BURN,
    DARK_EYE,
    GROW,
    HOLD,
    LATER,
    LESS,
    LIGHT_EYE,
    LIGHTS,
    MISPLACED,
    MORE,
    NOT_DEVELOPED,
    OPEN_UP,
    PAIR,
    RING,
    SHARP,
    SHRINK,
    SIZE,
    STOP_DOWN,
    TILT,
    TOO_LONG,
    TOO_SHORT,
    TOOL,
    TOOL_HIGHER,
    TOOL_LOWER,
    TOOL_TOO_LARGE,
    TOOL_TOO_SMALL,
    TRACE,
    TRAY,
    amount,
    has,
)

Heard = dict[str, Any]
Settings = dict[str, Any]


def lines_said(words: str) -> list[str]:
    """Return the sentences shown, a line each: no prompts, no tables, no list of what may be typed."""
    kept = []
    for line in words.splitlines():
        text = line.strip()
        if len(text.split()) < 4 or text[0] in ">[" or re.search(r"\S\s{3,}\S", text) or "─" in text or "Now:" in text:
            continue
        if re.match(r"(?:your )?prints? \d+ and (?:print )?\d+", text.lower()):  # what was changed, not what is wanted
            continue
        kept.append(re.sub(r"^\d+\. ", "", text))
    return kept


def places_in(text: str, places: list[str]) -> list[str]:
    """Return the named places a sentence speaks of, in its order, the longer name before the shorter."""
    text, found = text.lower().replace("-", " "), []
    for place in sorted(places, key=len, reverse=True):
        spoken = place.replace("-", " ")
        at = re.search(rf"\b{re.escape(spoken)}s?\b", text)
        if at:
            found.append((at.start(), place))
            text = text[: at.start()] + "#" * len(at[0]) + text[at.end() :]
    return [place for _, place in sorted(found)]


def eye_of(text: str) -> str:
    """Return what the eye is said to find: light, dark, or nothing."""
    light, dark = has(LIGHT_EYE, text), has(DARK_EYE, text)
    return "light" if light and not dark else "dark" if dark and not light else ""


def more_or_less(text: str) -> str:
    """Return whether more or less of something is asked for."""
    asked = text.rsplit(":", 1)[-1]
    for part in (asked, text):
        more, less = has(MORE, part), has(LESS, part)
        if more != less:
            return "more" if more else "less"
    return ""


class Ear:
    """What a printer makes of one line."""

    def __init__(self, line: str, places: list[str]) -> None:
        self.line, self.text = line, line.lower()
        self.places = places_in(line, places)
        self.part = next((part for part, words in PAIR.items() if has(words, self.text)), "")
        self.bare = self.text
        for words in PAIR.values():
            self.bare = re.sub(words, "exposure", self.bare)
        self.eye = eye_of(self.bare)
        self.base: Heard = {"line": line, "eye": self.eye, "part": self.part, "later": has(LATER, self.text),
                            "place": self.places[0] if self.places else ""}  # fmt: skip

    def hears(self) -> list[Heard]:
        """Return what the line asks for; hands before light, so that a card is not taken for the sheet."""
        for listen in (
            self.misplaced,
            self.tool,
            self.local,
            self.sharpness,
            self.tray,
            self.size,
            self.clock,
            self.contrast,
            self.light,
        ):
            found = listen()
            if found:
                return [{**self.base, **one} for one in found]
        return []

    def misplaced(self) -> list[Heard]:
        """Hear that a card was held over another place than it belongs."""
        if not has(MISPLACED, self.text) or not (has(TOOL, self.text) or has(HOLD, self.text) or has(BURN, self.text)):
            return []
        return [{"cause": "place", "way": "move", "to": self.places}]

    def tool(self) -> list[Heard]:
        """Hear what the hand did: size of tool or hole, at rest, too high or too low, an outline that shows."""
        if not (has(TOOL, self.text) or has(TRACE, self.text)):
            return []
        found = []
        too_large = has(TOOL_TOO_LARGE, self.text)
        too_small = has(TOOL_TOO_SMALL, self.text)
        if too_large != too_small:
            found.append({"cause": "tool", "way": "smaller" if too_large else "larger"})
        if has(AT_REST, self.text):
            found.append({"cause": "tool", "way": "moving"})
        if has(TOOL_LOWER, self.text):
            found.append({"cause": "tool", "way": "lower"})
        elif has(TOOL_HIGHER, self.text):
            found.append({"cause": "tool", "way": "higher"})
        if not found and has(TRACE, self.text) and has(r"\b(?:shows?|seen|visible|left)\b", self.text):
            found.append({"cause": "tool", "way": "smaller"})
        return found

    def local(self) -> list[Heard]:
        """Hear that one place wants light of its own, by holding back or burning in."""
        hold, burn = has(HOLD, self.text), has(BURN, self.text)
        if not (hold or burn) and not (self.places and has(ALONE, self.text) and has(LIGHTS, self.text)):
            return []
        asked = more_or_less(self.text) or ("more" if hold or burn else "")
        if not asked:
            return []
        lighter = (hold and not burn) == (asked == "more") if hold != burn else asked == "less"
        by = "hold-back" if hold else "burn" if burn else ""
        way = "less-light" if lighter else "more-light"
        return [{"cause": "local", "way": way, "by": by, "stops": amount(self.text, "stop")}]

    def sharpness(self) -> list[Heard]:
        """Hear what the loupe shows: focus, or a mark on the lens."""
        if not has(SHARP, self.text) and not has(RING, self.text):
            return []
        if has(TILT, self.text):
            return [{"cause": "sharpness", "way": "level"}]
        down = has(STOP_DOWN, self.text)
        opened = has(OPEN_UP, self.text)
        focus = has(r"\b(?:focus\w*|refocus\w*)\b", self.text) and not has(
            r"\bnot (?:the )?focus\b|focus is (?:right|good)", self.text
        )
        if down == opened:
            return [{"cause": "sharpness", "way": "focus"}]
        mark = {
            "cause": "sharpness",
            "way": "stop-down" if down else "stop-up",
            "marks": amount(self.text, "mark") or amount(self.text, "stop"),
        }
        first = re.search(r"focus", self.text)
        return [{"cause": "sharpness", "way": "focus"}, mark] if focus and first and first.start() < 40 else [mark]

    def tray(self) -> list[Heard]:
        """Hear that the sheet was too long or not long enough in the developer."""
        if not has(TRAY, self.text):
            return []
        short = has(NOT_DEVELOPED, self.text)
        return [{"cause": "development", "way": "longer" if short else "shorter"}]

    def size(self) -> list[Heard]:
        """Hear that the picture is too large or too small on the paper."""
        if not (
            has(SIZE, self.text) and (amount(self.text, "mm") is not None or has(r"\bsize\b|enlarg|magnif", self.text))
        ):
            return []
        larger = has(GROW, self.text)
        smaller = has(SHRINK, self.text)
        if larger == smaller:
            return []
        figures = [float(f) for f in re.findall(r"(\d+(?:\.\d+)?)", self.text)]
        missing = re.search(r"(\d+(?:\.\d+)?) (?:mm|millimet\w+) (?:too|more|less|short)", self.text)
        return [{"cause": "size", "way": "larger" if larger else "smaller", "figures": figures,
                 "missing_mm": float(missing[1]) if missing else None}]  # fmt: skip

    def contrast(self) -> list[Heard]:
        """Hear that the scale is too short or too long."""
        asked = re.sub(r"\b(?:softer|harder|flatter)(?: \(\w+\))? than\b", "", self.bare)
        soft, hard = (
            has(r"\bsofter\b|\blower contrast|less contrast", asked),
            has(r"\bharder\b|\bmore contrast|higher contrast", asked),
        )
        if soft == hard:
            soft = has(r"too (?:hard|harsh|contrasty)|\bharder than", self.bare)
            hard = has(r"too (?:soft|flat)|\b(?:softer|flatter)\b.{0,12} than|\bflat\b", self.bare)
        if soft == hard:
            return []
        return [{"cause": "contrast", "way": "softer" if soft else "harder", "grades": amount(self.text, "grade")}]

    def clock(self) -> list[Heard]:
        """Hear that the seconds themselves are too few to work in, or too many to wait for, the light being right."""
        if not has(r"\b(?:seconds|time|exposure|lasts?)\b", self.text):
            return []
        a_second = re.search(r"\b(more|less) light (?:a|per|each|every) second\b|\b(brighter|dimmer)\b", self.text)
        short = has(TOO_SHORT, self.text)
        long_ = has(TOO_LONG, self.text)
        if a_second and short == long_:
            short = (a_second[1] or a_second[2]) in ("less", "dimmer")
            long_ = not short
        if short == long_:
            return []
        return [{"cause": "time", "way": "longer" if short else "shorter", "stops": amount(self.text, "stop")}]

    def light(self) -> list[Heard]:
        """Hear that the whole sheet, or one of two exposures, wants more light or less."""
        asked = more_or_less(self.bare) if has(LIGHTS, self.bare) else ""
        if not asked and self.eye and not has(r"\bnot too\b", self.bare):
            asked = "more" if self.eye == "light" else "less"
        return [{"cause": "exposure", "way": asked, "stops": amount(self.text, "stop")}] if asked else []


def heard_in(words: str, places: list[str]) -> list[Heard]:
    """Return what is asked for, line by line, in the order in which it was said."""
    found: list[Heard] = []
    for number, line in enumerate(lines_said(words)):
        found += [{**one, "number": number} for one in Ear(line, places).hears()]
    return found


def main() -> None:
    """Answer until nobody asks any more."""
    from printer_hands import Printer  # beside this file; as a program, its own folder is where it looks

    printer = Printer()
    for text in sys.stdin:
        asked = json.loads(text)
        if "begin" in asked:
            printer = Printer(**asked["begin"])
            answer: dict[str, Any] = {"ready": True}
        elif "judge" in asked:
            answer = {"heard": heard_in(asked["judge"], printer.places)}
        else:
            answer = printer.answer(asked["prints"], asked.get("together", ""), heard_in)
        print(json.dumps(answer), flush=True)


if __name__ == "__main__":
    main()
