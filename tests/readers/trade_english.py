"""A printer's English: the words of the trade for too light and too dark, more and less, tools, lens, tray; and its figures."""

from __future__ import annotations

import re

SMALL = {"one": 1, "two": 2, "three": 3, "four": 4, "five": 5, "six": 6, "seven": 7, "eight": 8, "nine": 9, "ten": 10}
ORDINALS = ("half", "third", "quarter", "fifth", "sixth", "seventh", "eighth", "ninth", "tenth", "eleventh", "twelfth")
PARTS = {**{name: 1 / at for at, name in enumerate(ORDINALS, 2)}, **{f"{name}s": 1 / at for at, name in enumerate(ORDINALS, 2)},
         "halves": 0.5, "sixteenth": 1 / 16, "twentieth": 0.05}  # fmt: skip
SIGNS = {"½": 0.5, "⅓": 1 / 3, "⅔": 2 / 3, "¼": 0.25, "¾": 0.75}
UNITS = {"stop": r"stops?", "grade": r"(?:filter )?(?:grades?|filters?)", "mark": r"(?:marks?|apertures?)",
         "mm": r"(?:mm|millimet(?:re|er)s?)", "share": r"(?:%|per cent|percent)"}  # fmt: skip

LIGHT_EYE = (
    r"\b(?:too|much too|far too|rather) (?:light|pale|white|thin|weak|bright)\b|\b(?:lighter|paler|"
    r"whiter) than\b|washed out|\btoo little (?:light|exposure)\b|under-?exposed|\bshort of\b|"
    r"\bbare (?:white|paper)\b"
)
DARK_EYE = (
    r"\b(?:too|much too|far too|rather) (?:dark|deep|heavy|black|grey|gray)\b|\b(?:darker|heavier|"
    r"blacker) than\b|\btoo much (?:light|exposure)\b|over-?exposed|blocked|drown"
)
MORE = r"\b(?:more|longer|further|extra|add\w*|increase\w*|lengthen\w*|raise)\b"
LESS = (
    r"\b(?:less|shorter|fewer|reduce\w*|cut|cutting|shorten\w*|not so (?:long|much)|too (?:long|much|"
    r"far))\b"
)
LIGHTS = r"\b(?:light|expos\w+|seconds|time|stops?)\b"
HOLD = (
    r"\b(?:hold\w*|held|keep\w*|kept)\b[^.;:]{0,40}?\bback\b|\bdodg\w+|\bhold(?:ing)?-back\b|\bshad(?:e|"
    r"ed|ing) (?:it|the)\b"
)
BURN = r"\bburn\w*\b|\bprint\w* in\b"
TOOL = r"\b(?:tool|card|hole|hand|wire|shadow of)\b"
TRACE = (
    r"\b(?:rim|halo|ring|outline|trace|edge of the (?:card|tool|hole|shadow)|(?:card|tool|"
    r"hole)(?:'s)? (?:work|edge))\b"
)
SHARP = (
    r"\b(?:focus\w*|refocus\w*|sharp\w*|unsharp\w*|blur\w*|crisp\w*|out of focus|fine pattern|diffract\w*|"
    r"line pairs|depth of)\b"
)
SIZE = r"\b(?:image|picture|frame|enlarg\w+|magnif\w+|print is|width|wide|across)\b"
TRAY = r"\b(?:develop\w*|tray|bath|pulled|came out early|full time in)\b"
WHOLE = (
    r"\b(?:whole (?:sheet|print)|over ?all|all over|everything|everywhere|the (?:print|sheet) (?:is|"
    r"as a whole))\b"
)
LATER = (
    r"\b(?:once|after that|afterwards|only then|when (?:that|this|the light|time) is|then look|"
    r"put right)\b"
)
ALONE = r"\b(?:alone|only there|there|here|of its own|by itself|locally|this place|that place|just that)\b"
PAIR = {
    "soft": r"\bsoft(?:er)? (?:exposure|half|part|light)\b|\bfirst (?:exposure|half)\b",
    "hard": r"\bhard(?:er)? (?:exposure|half|part|light)\b|\bsecond (?:exposure|half)\b",
}
AT_REST = r"\b(?:still|at rest|halt|wander\w*|mov(?:e|ed|ing)|motionless|rested|stood)\b"
TOOL_LOWER = r"\b(?:nearer|closer|lower)\b|too (?:high|far)"
TOOL_HIGHER = r"\b(?:higher|farther|further (?:up|from|away))\b|too (?:low|near|close)"
RING = (
    r"\b(?:stop\w*(?: the lens| it)? down|open\w*(?: the lens)? up|open\w* the lens|(?:smaller|larger|"
    r"wider) aperture)\b"
)
TILT = r"\b(?:tilt\w*|level|parallel|askew)\b"
STOP_DOWN = (
    r"\b(?:stop(?:ping)?(?: the lens| it)? down|clos(?:e|ing|er) (?:the )?(?:lens|down)|smaller (?:aperture|"
    r"mark|opening)|marks? (?:further )?down|too (?:wide|open)|wide open)\b"
)
OPEN_UP = (
    r"\b(?:open\w*(?: the lens)? up|open\w* the lens|(?:wider|larger) (?:aperture|mark|opening)|"
    r"down (?:past|beyond|too far)|"
    r"too far down|too small an? (?:aperture|mark)|diffract\w*|spreads? light)\b"
)
NOT_DEVELOPED = r"\b(?:longer|more|full|early|too short|not long|pulled|to the end)\b"
TOOL_TOO_LARGE = (
    r"too (?:large|big|wide)|\b(?:smaller|narrower) (?:tool|card|hole|one)|(?:stay|keep|"
    r"remain)\w* (?:with)?in(?:side)?|reach\w* (?:over|beyond|past)|\bspill"
)
TOOL_TOO_SMALL = (
    r"too (?:small|narrow|little for)|\b(?:larger|bigger|wider) (?:tool|card|hole|one)|does not (?:cover|"
    r"reach)|leaves? (?:a rim|the rim|part)"
)
GROW = r"\b(?:larger|bigger|wider|raise)\b|too (?:small|narrow)|enlarge\b"
SHRINK = r"\b(?:smaller|narrower)\b|too (?:large|big|wide)"
TOO_SHORT = r"\btoo short (?:to|for)\b|\bat least\b|\btoo few seconds\b"
TOO_LONG = r"\btoo long (?:to|for)\b|\bat most\b|\btoo many seconds\b"
MISPLACED = (
    r"\b(?:wrong place|another place|other place|elsewhere|missed|beside the|strayed|not (?:held |"
    r"been )?over|in the wrong|belongs over|off the place)\b"
)


def has(pattern: str, text: str) -> bool:
    """Tell whether a sentence speaks of something."""
    return re.search(pattern, text) is not None


def in_figures(text: str) -> str:
    """Return a sentence with number words and fractions as figures: two thirds of a stop, one and a half stops."""
    text = (
        text.lower()
        .replace("\u2019", "'")
        .replace("\u2212", "-")
        .replace("-stop", " stop")
        .replace("two-third", "two third")
    )
    text = re.sub(r"(\d) ?([½⅓⅔¼¾])", lambda m: f"{int(m[1]) + SIGNS[m[2]]:.3f}", text)
    text = re.sub(r"[½⅓⅔¼¾]", lambda m: f"{SIGNS[m[0]]:.3f}", text)
    text = re.sub(
        r"(?:(\d+) )?\b(\d+)/(\d+)\b", lambda m: f"{int(m[1] or 0) + int(m[2]) / max(int(m[3]), 1):.3f}", text
    )
    count, part = "|".join(SMALL), "|".join(PARTS)
    text = re.sub(
        rf"\b(?:(a|an|{count})[ -])?({part})\b(?! (?:size|sheet))",
        lambda m: f"{SMALL.get(m[1] or '', 1) * PARTS[m[2]]:.3f}",
        text,
    )
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
