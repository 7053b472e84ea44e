"""Your own paper or enlarger: how strips or patches were made, what was read, and what comes of it or why it is refused.

Nothing is reckoned here: ``bench/own_papers`` and ``bench/own_enlargers`` do, beside the window.
"""

from __future__ import annotations

import os
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Literal

from pygame import Rect

from sim.bench.own_enlargers import MOST_MINUTES, FoundEnlarger, named_head, of_patches
from sim.bench.own_papers import SETTINGS as FILTERS
from sim.bench.own_papers import (
    EvenScale,
    EyeStrip,
    FoundPaper,
    StripsLight,
    paper_of,
    readings_by_eye,
    readings_of_scan,
    readings_of_table,
)
from sim.bench.own_scans import PICTURES
from sim.bench.turning_a_control import clicked, heads, lenses, papers
from sim.calibration.contradictions import Doubted
from sim.calibration.flatbed_strips import STEPS_OF_SCALE
from sim.calibration.readings_csv import APART, CARDS_PERCENT, FEWEST_STEPS, FIRST_DENSITY, SECONDS
from sim.calibration.wedge_strips import LONGEST_WEDGE
from sim.control_ranges import CONTROLS
from sim.plain_text import as_sentence
from sim.refusals import Refusal, Refused
from sim.window.hands.thing import Thing
from sim.window.kit.boxes import columns, cut_bottom, cut_top
from sim.window.standing.overlay import Overlay
from sim.window.standing.room import OneRoom
from sim.window.things import pages_out
from sim.window.things.calibrated import Calibrated
from sim.window.things.in_room import Plate
from sim.window.things.right_print import RightPrint
from sim.window.things.rows import Row, choice, stacked
from sim.window.things.scrolled import Paragraph, ScrolledWords
from sim.window.things.written import Written

Way = Literal["table", "scan", "eye", "patches"]
WAYS: tuple[Way, ...] = ("table", "scan", "eye", "patches")
TABLES = (".csv", ".tsv", ".txt")  # endings of tables of readings
LEAST_LINES = 3  # of what is told, in sight at once; the wheel goes on
Found = FoundPaper | FoundEnlarger


@dataclass(frozen=True)
class Number:
    """A number that is asked for: what it begins with, its range, by how much a turn changes it, decimals and unit."""

    begins: float
    low: float
    high: float
    step: float
    decimals: int = 0
    unit: str = ""


def _of_control(control: str, begins: float, step: float, decimals: int) -> Number:
    limits = CONTROLS[control]
    return Number(begins, limits.low, limits.high, step, decimals, limits.unit)


NUMBERS = {
    "height": _of_control("height_mm", 900.0, 10.0, 0), "aperture": _of_control("f_number", 8.0, 1.0, 2),
    "steps": Number(21.0, FEWEST_STEPS, LONGEST_WEDGE, 1.0), "first": Number(0.05, *FIRST_DENSITY, 0.01, 3, "D"),
    "apart": Number(0.15, *APART, 0.01, 3, "D"),
    "grey steps": Number(20.0, *STEPS_OF_SCALE, 1.0), "grey first": Number(0.05, *FIRST_DENSITY, 0.01, 3, "D"),
    "grey apart": Number(0.10, *APART, 0.01, 3, "D"),
    "seconds": Number(0.0, 0.0, SECONDS[1], 1.0, 1, "s"), "tone": Number(0.0, 0.0, LONGEST_WEDGE, 0.5, 1),
    "match": Number(0.0, 0.0, LONGEST_WEDGE, 0.5, 1), "black": Number(0.0, 0.0, LONGEST_WEDGE, 0.5, 1),
    "card": Number(18.0, *CARDS_PERCENT, 1.0, 1, "%"),
    "coin clear": Number(0.0, 0.0, MOST_MINUTES, 1.0, 0, "min"),
    "coin marked": Number(0.0, 0.0, MOST_MINUTES, 1.0, 0, "min"),
}  # fmt: skip
OF_THE_EYE = {"seconds": "seconds", "tone": "first_tone", "match": "match", "black": "black"}
HOW_EXPOSED = {
    "table": ("paper", "head", "lens", "light", "height", "aperture"),
    "scan": ("paper", "head", "lens", "light", "height", "aperture"),
    "eye": ("paper", "head", "lens", "light", "height", "aperture"),
    "patches": ("paper", "head", "lens"),
}
WHAT_WAS_READ = {
    "table": ("wedge", "steps", "first", "apart"),
    "scan": ("steps", "first", "apart", "grey steps", "grey first", "grey apart"),
    "eye": ("filter", "seconds", "tone", "match", "black", "card", "steps", "first", "apart"),
    "patches": ("coin clear", "coin marked"),
}


class Calibrate(Overlay):
    """What was read at the left, how it was exposed at the right, below what is said of it.

    ``drawer`` makes the sheet that lies over the room once something was kept.
    """

    share = (0.94, 0.95)

    def __init__(self, room: OneRoom, drawer: Callable[[], object], file: Path | None = None):
        super().__init__(room, room.name("calibrate"))
        self._drawer = drawer
        self.way: Way = "table"
        self._doubted = ""
        self.values = {name: number.begins for name, number in NUMBERS.items()}
        self._lists: dict[str, list[tuple[str, str]]] = {
            "paper": list(papers().items()), "head": list(heads().items()), "lens": list(lenses().items()),
        }  # fmt: skip
        self._at = {"paper": self._index("paper", "glossy-fb-vc"), "head": 0, "lens": 0, "filter": FILTERS.index("2")}
        self._light_known, self._wedge_here, self.eye = True, False, dict[str, EyeStrip]()
        self._as_on_the_bench()
        self.file = Written(room, "cal file", "", lambda words: None, 1000)
        self.scan = Written(room, "cal scan", "", lambda words: None, 1000)
        self.order = Written(room, "cal order", "", lambda words: None, 80)
        self.kind = choice(room, "cal way", lambda: room.line("cal way " + self.way), self._turn_way)
        asked = [name for way in WAYS for name in (*HOW_EXPOSED[way], *WHAT_WAS_READ[way])]
        self._every = {name: self._row(name) for name in asked}
        self.text = ScrolledWords(room, "cal words")
        self.recipe, self.work = Plate(room, "cal recipe", self._recipe), Plate(room, "cal work", self._work_out)
        self.right = Plate(room, "was right", self._right)
        self.right.why = lambda: "" if room.open else room.line("no evening")
        if file is not None:
            self.take(file)
        self.say_how()

    # --- what is asked for --------------------------------------------------------------------------------------------

    def _index(self, name: str, wanted: str) -> int:
        names = [one for one, _ in self._lists[name]]
        return names.index(wanted) if wanted in names else 0

    def _as_on_the_bench(self) -> None:
        """Begin with head, lens, height and aperture as they stand, where an evening is open."""
        if not self.room.open:
            self._at["head"], self._at["lens"] = self._index("head", "diffusion-sheet"), self._index("lens", "150-mm")
            return
        now = self.room.darkroom.desk.now
        self._at["head"], self._at["lens"] = self._index("head", now.head), self._index("lens", now.lens)
        self.values["height"], self.values["aperture"] = round(now.height_mm), now.f_number

    def chosen(self, name: str) -> str:
        """Return the name on the shelf of the paper, head or lens that stands in its row."""
        return self._lists[name][self._at[name]][0]

    def _row(self, name: str) -> Row:
        room, id = self.room, f"cal {name}"
        if name in self._lists:
            return choice(room, id, lambda: self._lists[name][self._at[name]][1], lambda n: self._turn(name, n))
        if name == "filter":
            return choice(room, id, lambda: FILTERS[self._at[name]], lambda n: self._turn(name, n))
        if name == "light":
            said = ("cal light unknown", "cal light known")
            return choice(room, id, lambda: room.line(said[self._light_known]), self._turn_light)
        if name == "wedge":
            said = ("cal wedge table", "cal wedge here")
            return choice(room, id, lambda: room.line(said[self._wedge_here]), self._turn_wedge)
        return choice(room, id, lambda: self._said(name), lambda n: self.write(name, self._turned(name, n)),
                      lambda value: self.write(name, value))  # fmt: skip

    def _turned(self, name: str, steps: int) -> float:
        """Return a number after some notches of the wheel: an aperture goes by the clicks of the lens that is chosen."""
        if name == "aperture":
            return clicked(self.chosen("lens"), self.value(name), steps)
        return self.value(name) + steps * NUMBERS[name].step

    def value(self, name: str) -> float:
        """Return a number as it stands; of a strip by eye that of the chosen filter (0: not called)."""
        if name not in OF_THE_EYE:
            return self.values[name]
        strip = self.eye.get(FILTERS[self._at["filter"]], EyeStrip(0.0))
        return float(getattr(strip, OF_THE_EYE[name]) or 0.0)

    def write(self, name: str, value: float) -> None:
        """Set a number, within its range."""
        number = NUMBERS[name]
        value = round(min(number.high, max(number.low, value)), number.decimals)
        if name not in OF_THE_EYE:
            self.values[name] = value
            return
        setting = FILTERS[self._at["filter"]]
        strip, called = self.eye.get(setting, EyeStrip(0.0)), value if name == "seconds" else value or None
        strip = replace(strip, **{OF_THE_EYE[name]: called})  # type: ignore[arg-type]
        self.eye[setting] = strip
        if strip == EyeStrip(0.0):
            del self.eye[setting]
        self.say_how()

    def _said(self, name: str) -> str:
        number, value = NUMBERS[name], self.value(name)
        if value == 0.0 and (name in OF_THE_EYE or name.startswith("coin")):
            return self.room.line("cal not read")
        words = self.room.number(value, number.decimals)
        words = words.rstrip("0").rstrip(".,") if number.decimals else words
        return f"{words} {number.unit}".strip()

    def _turn(self, name: str, steps: int) -> None:
        count = len(FILTERS) if name == "filter" else len(self._lists[name])
        self._at[name] = (self._at[name] + steps) % count

    def _turn_way(self, steps: int) -> None:
        self.way = WAYS[(WAYS.index(self.way) + steps) % len(WAYS)]
        self.say_how()

    def _turn_light(self, steps: int) -> None:
        self._light_known = not self._light_known

    def _turn_wedge(self, steps: int) -> None:
        self._wedge_here = not self._wedge_here

    def take(self, file: Path) -> None:
        """A file was let fall onto the sheet: a picture is a scan of strips, anything else a table."""
        if file.suffix.lower() in PICTURES:
            self.way, self.scan.words = "scan", str(file)
        else:
            self.way, self.file.words = "table" if self.way == "eye" else self.way, str(file)  # the eye asks for no file
        self.say_how()

    # --- what comes of it ---------------------------------------------------------------------------------------------

    def say_how(self) -> None:
        """Say what belongs here; of strips by eye what was called so far."""
        said: list[Paragraph] = [(self.room.line("cal how " + self.way), "small", "soft")]
        if self.way == "eye":
            said += [(self._strip_said(setting, strip), "small", "ink") for setting, strip in self.eye.items()]
        self.text.say(said)

    def _strip_said(self, setting: str, strip: EyeStrip) -> str:
        def called(value: float | None) -> str:
            return "–" if value is None else f"{value:g}"

        return self.room.line("cal strip", setting=setting, seconds=self.room.number(strip.seconds),
                              tone=called(strip.first_tone), match=called(strip.match), black=called(strip.black))  # fmt: skip

    def _recipe(self) -> None:
        pages_out.recipe(self.room, self.way != "patches", lambda: self)

    def _right(self) -> None:
        record = self.room.darkroom.desk.now.record()
        self.room.wanted_over = lambda: RightPrint(self.room, record, lambda: self)

    def _path(self, written: Written) -> Path:
        words = written.now().strip()
        if not words:
            raise Refused(self.room.line("cal no file", what=written.name()))
        return Path(os.path.expanduser(words))

    def _asked(self) -> Callable[[bool], Found]:
        """Return the work that was asked for, with all it needs. Raises Refused where something is missing.

        The work is told whether readings are taken as they are, though another story of them is likelier.
        """
        head, lens, paper = (self.chosen(name) for name in ("head", "lens", "paper"))
        light = StripsLight(head, lens, self.values["height"] if self._light_known else None, self.values["aperture"])
        wedge = EvenScale(round(self.values["steps"]), self.values["first"], self.values["apart"])
        if self.way == "patches":
            file, clear, marked = self._path(self.file), self.values["coin clear"], self.values["coin marked"]
            if marked and not clear:
                raise Refused(self.room.line("cal coin alone"))
            coin = (clear, marked or None) if clear else None
            return lambda sure: _of_patches(file, head, lens, paper, coin)
        if self.way == "eye":
            strips, card = dict(self.eye), self.values["card"]
            return lambda sure: paper_of(readings_by_eye(strips, card, light, wedge), paper, head, as_it_is=sure)
        file = self._path(self.file)
        if self.way == "table":
            said = wedge if self._wedge_here else None
            return lambda sure: paper_of(readings_of_table(file, light, said), paper, head, as_it_is=sure)
        scan, rows = self._path(self.scan), tuple(one.strip() for one in self.order.now().split(",") if one.strip())
        grey = EvenScale(round(self.values["grey steps"]), self.values["grey first"], self.values["grey apart"])
        return lambda sure: paper_of(readings_of_scan(file, scan, light, wedge, grey, rows), paper, head, as_it_is=sure)

    def _work_out(self) -> None:
        """Work it out beside the window; a refusal stands where its words would.

        Readings that were doubted are taken as they are where they are worked out once more and the doubt is the same.
        """
        asked, doubted = self._asked(), self._doubted

        def job() -> Found | Refusal:
            try:
                return asked(False)
            except Doubted as error:
                return asked(True) if str(error) == doubted else error
            except Refusal as error:
                return error

        self.room.later(job, self._came, self.room.line("cal working"))

    def _came(self, made: Found | Refusal) -> None:
        if isinstance(made, Refusal):
            told = self.room.said(str(made))
            words = as_sentence(f"{told[:1].upper()}{told[1:]}")
            said: list[Paragraph] = [(self.room.line("cal refused"), "strong", "warn"), (words, "body", "ink")]
            self._doubted = str(made) if isinstance(made, Doubted) else ""
            if self._doubted:
                said.append((self.room.line("cal as it is"), "small", "soft"))
            self.text.say(said)
        else:
            self.room.wanted_over = lambda: Calibrated(self.room, made, lambda: self, self._drawer)

    # --- how it lies --------------------------------------------------------------------------------------------------

    @property
    def rows(self) -> tuple[list[Row], list[Row]]:
        """What was read, and how it was exposed, of the way that is chosen."""
        hidden = set() if self._light_known else {"height", "aperture"}
        if self.way == "table" and not self._wedge_here:
            hidden |= {"steps", "first", "apart"}
        read, exposed = ([n for n in names[self.way] if n not in hidden] for names in (WHAT_WAS_READ, HOW_EXPOSED))
        return [self._every[name] for name in read], [self._every[name] for name in exposed]

    @property
    def written(self) -> list[Written]:
        """The lines to write on."""
        return {"table": [self.file], "scan": [self.file, self.scan, self.order], "eye": [], "patches": [self.file]}[self.way]

    def plates(self) -> Sequence[Plate]:
        """The recipe, the shortest way, work it out, leave it."""
        return self.recipe, self.right, self.work, self.done

    def things(self) -> Sequence[Thing]:
        """Return kind, lines, rows, words, plates."""
        read, exposed = self.rows
        return [self.kind, *self.written, *read, *exposed, self.text, *self.plates()]

    def lay_out(self, area: Rect) -> None:
        """Lines above, two columns of rows, words below."""
        super().lay_out(area)
        px, look = self.room.px, self.room.look
        rest = self.above_the_foot(8, 8)
        high = look.line_height("small") + px(9)
        top, rest = cut_top(rest, self.kind.lines(rest.w) * look.line_height("small") + px(9), px(4))
        stacked([self.kind], top, high)
        for line in self.written:
            line.rect, rest = cut_top(rest, line.high(), px(4))
        for line in {self.file, self.scan, self.order} - set(self.written):
            line.rect = Rect(0, 0, 0, 0)
        for row in self._every.values():
            row.rect = Rect(0, 0, 0, 0)
        wide = columns(rest, (1, 1), px(14))[0].w
        asked = max(sum(max(high, one.lines(wide) * look.line_height("small") + px(4)) for one in rows) for rows in self.rows)
        least = LEAST_LINES * look.line_height("small")
        words, body = cut_bottom(rest, max(least, rest.h - asked - px(8)), px(8))
        for rows, column in zip(self.rows, columns(body, (1, 1), px(14)), strict=True):
            stacked(rows, column, high)
        self.text.lay_out(words)


def _of_patches(file: Path, head: str, lens: str, paper: str, coin: tuple[float, float | None] | None) -> FoundEnlarger:
    found = of_patches("", file, named_head(head), lens, paper)
    return found if coin is None else found.with_coin(*coin)
