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

Heard = dict[str, Any]
Settings = dict[str, Any]

SMALL = {"one": 1, "two": 2, "three": 3, "four": 4, "five": 5, "six": 6, "seven": 7, "eight": 8, "nine": 9, "ten": 10}
ORDINALS = ("half", "third", "quarter", "fifth", "sixth", "seventh", "eighth", "ninth", "tenth", "eleventh", "twelfth")
PARTS = {**{name: 1 / at for at, name in enumerate(ORDINALS, 2)}, **{f"{name}s": 1 / at for at, name in enumerate(ORDINALS, 2)},
         "halves": 0.5, "sixteenth": 1 / 16, "twentieth": 0.05}  # fmt: skip
SIGNS = {"½": 0.5, "⅓": 1 / 3, "⅔": 2 / 3, "¼": 0.25, "¾": 0.75}
UNITS = {"stop": r"stops?", "grade": r"(?:filter )?(?:grades?|filters?)", "mark": r"(?:marks?|apertures?)",
         "mm": r"(?:mm|millimet(?:re|er)s?)", "share": r"(?:%|per cent|percent)"}  # fmt: skip

LIGHT_EYE = r"\b(?:too|much too|far too|rather) (?:light|pale|white|thin|weak|bright)\b|\b(?:lighter|paler|whiter) than\b|washed out|\btoo little (?:light|exposure)\b|under-?exposed|\bshort of\b|\bbare (?:white|paper)\b"
DARK_EYE = r"\b(?:too|much too|far too|rather) (?:dark|deep|heavy|black|grey|gray)\b|\b(?:darker|heavier|blacker) than\b|\btoo much (?:light|exposure)\b|over-?exposed|blocked|drown"
MORE = r"\b(?:more|longer|further|extra|add\w*|increase\w*|lengthen\w*|raise)\b"
LESS = r"\b(?:less|shorter|fewer|reduce\w*|cut|cutting|shorten\w*|not so (?:long|much)|too (?:long|much|far))\b"
LIGHTS = r"\b(?:light|expos\w+|seconds|time|stops?)\b"
HOLD = r"\b(?:hold\w*|held|keep\w*|kept)\b[^.;:]{0,40}?\bback\b|\bdodg\w+|\bhold(?:ing)?-back\b|\bshad(?:e|ed|ing) (?:it|the)\b"
BURN = r"\bburn\w*\b|\bprint\w* in\b"
TOOL = r"\b(?:tool|card|hole|hand|wire|shadow of)\b"
TRACE = r"\b(?:rim|halo|ring|outline|trace|edge of the (?:card|tool|hole|shadow)|(?:card|tool|hole)(?:'s)? (?:work|edge))\b"
SHARP = r"\b(?:focus\w*|refocus\w*|sharp\w*|unsharp\w*|blur\w*|crisp\w*|out of focus|fine pattern|diffract\w*|line pairs|depth of)\b"
SIZE = r"\b(?:image|picture|frame|enlarg\w+|magnif\w+|print is|width|wide|across)\b"
TRAY = r"\b(?:develop\w*|tray|bath|pulled|came out early|full time in)\b"
WHOLE = r"\b(?:whole (?:sheet|print)|over ?all|all over|everything|everywhere|the (?:print|sheet) (?:is|as a whole))\b"
LATER = r"\b(?:once|after that|afterwards|only then|when (?:that|this|the light|time) is|then look)\b"
ALONE = r"\b(?:alone|only there|there|here|of its own|by itself|locally|this place|that place|just that)\b"
PAIR = {"soft": r"\bsoft(?:er)? (?:exposure|half|part|light)\b|\bfirst (?:exposure|half)\b", "hard": r"\bhard(?:er)? (?:exposure|half|part|light)\b|\bsecond (?:exposure|half)\b"}  # fmt: skip


def has(pattern: str, text: str) -> bool:
    """Tell whether a sentence speaks of something."""
    return re.search(pattern, text) is not None


def in_figures(text: str) -> str:
    """Return a sentence with number words and fractions as figures: two thirds of a stop, one and a half stops."""
    text = text.lower().replace("\u2019", "'").replace("\u2212", "-").replace("-stop", " stop").replace("two-third", "two third")
    text = re.sub(r"(\d) ?([½⅓⅔¼¾])", lambda m: f"{int(m[1]) + SIGNS[m[2]]:.3f}", text)
    text = re.sub(r"[½⅓⅔¼¾]", lambda m: f"{SIGNS[m[0]]:.3f}", text)
    text = re.sub(r"(?:(\d+) )?\b(\d+)/(\d+)\b", lambda m: f"{int(m[1] or 0) + int(m[2]) / max(int(m[3]), 1):.3f}", text)
    count, part = "|".join(SMALL), "|".join(PARTS)
    text = re.sub(rf"\b(?:(a|an|{count})[ -])?({part})\b(?! (?:size|sheet))", lambda m: f"{SMALL.get(m[1] or '', 1) * PARTS[m[2]]:.3f}", text)
    text = re.sub(rf"\b({count})\b", lambda m: str(SMALL[m[1]]), text)
    return re.sub(r"(\d+) and (0\.\d+)", lambda m: f"{int(m[1]) + float(m[2]):.3f}", text)


def amount(text: str, unit: str) -> float | None:
    """Return how much is asked for in a unit, None where the words leave it open."""
    text, name = in_figures(text), UNITS[unit]
    both = re.search(rf"\b(?:a|an|1) {name} and (0\.\d+)", text)
    if both:
        return 1.0 + float(both[1])
    found = re.search(rf"(?<![\d/.])(\d+(?:\.\d+)?)\s*(?:of )?(?:a |an |the )?{name}(?![a-z])", text)
    if found:
        return float(found[1])
    return 1.0 if re.search(rf"(?<!of )\b(?:a|an|another) (?:full |whole |good )?{name}\b", text) else None


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
        for listen in (self.misplaced, self.tool, self.local, self.sharpness, self.tray, self.size, self.clock, self.contrast, self.light):
            found = listen()
            if found:
                return [{**self.base, **one} for one in found]
        return []

    def misplaced(self) -> list[Heard]:
        """Hear that a card was held over another place than it belongs."""
        wrong = r"\b(?:wrong place|another place|other place|elsewhere|missed|beside the|strayed|not (?:held |been )?over|in the wrong|belongs over|off the place)\b"
        if not has(wrong, self.text) or not (has(TOOL, self.text) or has(HOLD, self.text) or has(BURN, self.text)):
            return []
        return [{"cause": "place", "way": "move", "to": self.places}]

    def tool(self) -> list[Heard]:
        """Hear what the hand did: size of tool or hole, at rest, too high or too low, an outline that shows."""
        if not (has(TOOL, self.text) or has(TRACE, self.text)):
            return []
        found = []
        too_large = has(r"too (?:large|big|wide)|\b(?:smaller|narrower) (?:tool|card|hole|one)|(?:stay|keep|remain)\w* (?:with)?in(?:side)?|reach\w* (?:over|beyond|past)|\bspill", self.text)
        too_small = has(r"too (?:small|narrow|little for)|\b(?:larger|bigger|wider) (?:tool|card|hole|one)|does not (?:cover|reach)|leaves? (?:a rim|the rim|part)", self.text)
        if too_large != too_small:
            found.append({"cause": "tool", "way": "smaller" if too_large else "larger"})
        if has(r"\b(?:still|at rest|halt|wander\w*|mov(?:e|ed|ing)|motionless|rested|stood)\b", self.text):
            found.append({"cause": "tool", "way": "moving"})
        if has(r"\b(?:nearer|closer|lower)\b|too (?:high|far)", self.text):
            found.append({"cause": "tool", "way": "lower"})
        elif has(r"\b(?:higher|farther|further (?:up|from|away))\b|too (?:low|near|close)", self.text):
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
        return [{"cause": "local", "way": "less-light" if lighter else "more-light", "by": "hold-back" if hold else "burn" if burn else "",
                 "stops": amount(self.text, "stop")}]  # fmt: skip

    def sharpness(self) -> list[Heard]:
        """Hear what the loupe shows: focus, or a mark on the lens."""
        if not has(SHARP, self.text) and not has(r"\b(?:stop\w*(?: the lens| it)? down|open\w*(?: the lens)? up|open\w* the lens|(?:smaller|larger|wider) aperture)\b", self.text):
            return []
        if has(r"\b(?:tilt\w*|level|parallel|askew)\b", self.text):
            return [{"cause": "sharpness", "way": "level"}]
        down = has(r"\b(?:stop\w*(?: the lens| it)? down|clos(?:e|ing|er) (?:the )?(?:lens|down)|smaller (?:aperture|mark|opening)|marks? (?:further )?down|too (?:wide|open)|wide open)\b", self.text)
        opened = has(r"\b(?:open\w*(?: the lens)? up|open\w* the lens|(?:wider|larger) (?:aperture|mark|opening)|too far down|too small an? (?:aperture|mark)|diffract\w*|spreads? light)\b", self.text)
        focus = has(r"\b(?:focus\w*|refocus\w*)\b", self.text) and not has(r"\bnot (?:the )?focus\b|focus is (?:right|good)", self.text)
        if down == opened:
            return [{"cause": "sharpness", "way": "focus"}]
        mark = {"cause": "sharpness", "way": "stop-down" if down else "stop-up", "marks": amount(self.text, "mark") or amount(self.text, "stop")}
        first = re.search(r"focus", self.text)
        return [{"cause": "sharpness", "way": "focus"}, mark] if focus and first and first.start() < 40 else [mark]

    def tray(self) -> list[Heard]:
        """Hear that the sheet was too long or not long enough in the developer."""
        if not has(TRAY, self.text):
            return []
        short = has(r"\b(?:longer|more|full|early|too short|not long|pulled|to the end)\b", self.text)
        return [{"cause": "development", "way": "longer" if short else "shorter"}]

    def size(self) -> list[Heard]:
        """Hear that the picture is too large or too small on the paper."""
        if not (has(SIZE, self.text) and (amount(self.text, "mm") is not None or has(r"\bsize\b|enlarg|magnif", self.text))):
            return []
        larger = has(r"\b(?:larger|bigger|wider|raise)\b|too (?:small|narrow)|enlarge\b", self.text)
        smaller = has(r"\b(?:smaller|narrower)\b|too (?:large|big|wide)", self.text)
        if larger == smaller:
            return []
        figures = [float(f) for f in re.findall(r"(\d+(?:\.\d+)?)", self.text)]
        missing = re.search(r"(\d+(?:\.\d+)?) (?:mm|millimet\w+) (?:too|more|less|short)", self.text)
        return [{"cause": "size", "way": "larger" if larger else "smaller", "figures": figures,
                 "missing_mm": float(missing[1]) if missing else None}]  # fmt: skip

    def contrast(self) -> list[Heard]:
        """Hear that the scale is too short or too long."""
        asked = re.sub(r"\b(?:softer|harder|flatter)(?: \(\w+\))? than\b", "", self.bare)
        soft, hard = has(r"\bsofter\b|\blower contrast|less contrast", asked), has(r"\bharder\b|\bmore contrast|higher contrast", asked)
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
        short = has(r"\btoo short (?:to|for)\b|\bat least\b|\btoo few seconds\b", self.text)
        long_ = has(r"\btoo long (?:to|for)\b|\bat most\b|\btoo many seconds\b", self.text)
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
