"""The lines by which a lesson is worked in the terminal, taken apart word by word; ``LINES`` is what ``help`` shows."""

from __future__ import annotations

import difflib
import re
import shlex
from collections.abc import Sequence
from dataclasses import dataclass, field

from sim.refusals import Refused

LINES = """The lines by which a lesson is worked in the terminal, from a file or through a pipe. One line, one act.

    predict darker            what the next piece of paper will show: lighter right darker softer harder, step-4,
                              before-first, after-last, filter-2, 8.5s
    strip first=4 stops=0.5 steps=7 at=white-cup filter=2
    print time=8.5 filter=2 hold-back=face:0.5:40
    pour                      fresh developer into the tray, where a lesson leaves that open: minutes, and a litre
    play                      let the lesson make its next piece of paper (worked example)
    see lighter               what is to be seen, before any number is shown: also step-4, or a place (see white-cup=lighter)
    tell                      the last sheet in words, no numbers        tell 2    sheet 2 in words
    task                      what is asked for, what is free, and what the box holds
    ruler height=780          how wide the picture is on the easel, and how many times the negative, set up as for a print
    film                      the negative on the light table, by densitometer
    meter white-cup plaster   the easel meter: light at places as the enlarger stands
    why exposure              why it came out so, in one word
    hint                      the next hint
    look 2                    readings of sheet 2 once more          compare 1 2   two prints in one picture
    look 2 wet                the same, and what its places read while it hung wet
    loupe 2 face              sheet 2 through the loupe, at a place or at 60,85 (mm from its corner)
    focuser at=60,85 focus=0.1   the picture on the easel through a grain focuser, set up as for a print
    nominate 2                the sheet that counts (several for a series)
    note words                a note for the notebook
    list                      the pieces of paper so far             help          these lines
    go-on                     on from the brief                      again         where the lesson stands, once more
    finish                    leave; the lesson is kept              hand-in       leave, and see how to hand in

Settings of strip and print: like negative filter f-number height focus develop temperature size border paper head lens
carrier contact easel-tilt negative-tilt reciprocity shift; only what the lesson leaves open may differ from its start.
Of a strip: first stops seconds steps at way along over dimmed. Of a print: time then=5:8 hold-back burn burn-above edge-burn
flash=6 (seconds without the negative, dimmed by 5 stops; flash=6:4 by 4); its strip: strip way=flash first=2 stops=0.5.
flash-at=window:2:40 flashes one place only, through a hole of so many mm; its strip: strip way=local-flash over=2:8 first=0.5,
with through or past as below.
A strip of burns steps in stops of what it is laid over, the first step none: strip way=burn over=2:8 stops=0.5 steps=5
through=40:height=80 (a hole over the place, its mm) or past=top:15 (an edge 15 mm beyond it, burning towards the top).
Cards: WHERE:STOPS:MM, where a place or mm to the right and down; 40x60 is oval; then if wanted the exposure's number, still,
height= angle= outline= and, of a burn, filter=: burn=85,120:0.7:30:filter=4. edge-burn=top:0.3:25 (bottom, left, right, all).
A line that begins with # is passed over. Settings not named stand as the lesson begins, or as in sheet N with like=N.
"""  # what `help` shows; kept by name: the folder that needs no Python has no docstrings

VERBS = ("predict", "strip", "print", "pour", "play", "see", "why", "hint", "look", "compare", "loupe", "focuser", "nominate",
         "note", "tell", "task", "ruler", "film", "meter", "list", "help", "finish", "go-on", "again", "hand-in")  # fmt: skip
SET_UP_KEYS = ("negative", "like", "filter", "f-number", "height", "focus", "develop", "temperature", "size", "border", "paper",
               "head", "lens", "carrier", "contact", "easel-tilt", "negative-tilt", "reciprocity", "shift")  # fmt: skip
PRINT_KEYS = ("time", "then", "hold-back", "burn", "burn-above", "edge-burn", "flash", "flash-at", *SET_UP_KEYS)
FOCUSER_KEYS = ("at", *PRINT_KEYS)
STRIP_KEYS = ("first", "stops", "seconds", "steps", "at", "way", "along", "over", "dimmed", "through", "past",
              *SET_UP_KEYS)  # fmt: skip
ENDING = ("finish", "hand-in")  # never guessed from a slip: they end the lesson
_COMMA = re.compile(r"(-?\d+),(\d{1,2}(?:s|mm)?)")  # 6,2s is a time; 1,000 may be a thousand and stays refused
REPEATED = ("then", "hold-back", "burn", "burn-above", "edge-burn", "flash-at", "over")
FORMS = {
    "predict": "predict darker   (or step-4, filter-2, 8.5s)", "see": "see lighter   (or step-4)", "why": "why exposure",
    "look": "look 2", "compare": "compare 1 2", "loupe": "loupe 2 face   (or 60,85)",
    "nominate": "nominate 2", "note": "note WORDS",
}  # fmt: skip


@dataclass(frozen=True)
class Act:
    """One line: the verb, its words in order, and its settings."""

    verb: str
    words: tuple[str, ...] = ()
    settings: dict[str, list[str]] = field(default_factory=dict)

    def one(self, key: str, default: str = "") -> str:
        """Return a setting that stands at most once."""
        return self.settings[key][0] if key in self.settings else default

    def number(self, key: str, default: float) -> float:
        """Return a setting as a number. Raises Refused."""
        return number_in(key, self.one(key)) if key in self.settings else default


def with_point(word: str) -> str:
    """Return a number written with a decimal comma (``6,2s``) with a point; any other word as it is."""
    return _COMMA.sub(r"\1.\2", word) if _COMMA.fullmatch(word) else word


def number_in(key: str, text: str) -> float:
    """Return a number of a line. Raises Refused naming the key."""
    try:
        value = float(with_point(text).removesuffix("s").removesuffix("mm"))
    except ValueError:
        raise Refused(f"{key} must be a number, got {text[:40]!r}") from None
    if value != value or value in (float("inf"), float("-inf")):
        raise Refused(f"{key} must be a finite number, got {text[:40]!r}")
    return value


def whole_in(key: str, text: str) -> int:
    """Return a whole number of a line. Raises Refused naming the key."""
    try:
        return int(text)
    except ValueError:
        raise Refused(f"{key} must be a whole number, got {text[:40]!r}") from None


def read_line(text: str) -> Act | None:
    """Return the act of a line, None for an empty line or a remark. Raises Refused in words."""
    plain = text.strip()
    if not plain or plain.startswith("#"):
        return None
    if plain.lower() in ("go on", "hand in"):
        plain = plain.replace(" ", "-")
    typed, _, rest = plain.partition(" ")
    verb = typed.lower()
    if verb not in VERBS:
        safe = [one for one in VERBS if one not in ENDING]
        raise Refused(f"the line must begin with one of {', '.join(VERBS)}, got {typed[:40]!r}{_meant(verb, safe)}")
    if verb == "note":
        return Act(verb, (rest.strip(),))
    try:
        words = shlex.split(rest)
    except ValueError as error:
        raise Refused(f"a quotation mark must be closed, got {rest[:60]!r} ({error})") from None
    known = {"print": PRINT_KEYS, "strip": STRIP_KEYS, "focuser": FOCUSER_KEYS, "ruler": PRINT_KEYS}.get(verb)
    if known is None:
        return Act(verb, tuple(words))
    return Act(verb, (), settings_said(verb, words, known))


def _meant(word: str, known: Sequence[str]) -> str:
    close = difflib.get_close_matches(word, known, n=1)
    return f"; did you mean {close[0]!r}?" if close else ""


def settings_said(verb: str, words: Sequence[str], known: tuple[str, ...]) -> dict[str, list[str]]:
    """Return key=value words as a table. Raises Refused for an unknown key, a missing value, or a key given twice."""
    found: dict[str, list[str]] = {}
    for word in words:
        key, equals, value = word.partition("=")
        if key not in known:
            raise Refused(f"{verb} knows {', '.join(known)}, got {key[:40]!r}{_meant(key, known)}")
        if not equals or not value:
            raise Refused(f"{key} must be followed by = and its value, got {word[:40]!r}")
        if key in found and key not in REPEATED:
            raise Refused(f"{key} must stand only once, got it twice")
        found.setdefault(key, []).append(value)
    return found
