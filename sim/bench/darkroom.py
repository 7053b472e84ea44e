"""The darkroom without a window: an evening at the enlarger, from the negative in its sleeve to the prints on the wall.

Five stations stand in the order of the work: desk (set-up), easel (projected picture, meter), paper (the sheet in hand),
tray (wet side), wall (prints, densitometer). All answers come from the one engine; seconds are passed in, so that the
same evening happens again from the same calls. What is acknowledged is on disk: decisions in the evening's log, the rest
in desk.json.
"""

from __future__ import annotations

from pathlib import Path

from sim.bench.desk import Desk
from sim.bench.desk_file import DeskFile, Kept, sheets_left
from sim.bench.developed_negatives import DevelopedNegatives
from sim.bench.dry_side import SetUp, metered, usual
from sim.bench.easel_view import EaselView
from sim.bench.house_rules import FreeWork, HouseRules, locked
from sim.bench.lamp import Lamp
from sim.bench.paper_in_hand import PaperInHand
from sim.bench.tray import Tray
from sim.bench.wall import Wall
from sim.evening.evening import Evening
from sim.paper.stock import find_stock
from sim.refusals import Refused
from sim.version import VERSION

LOG_NAME, DESK_NAME = "evening.jsonl", "desk.json"


class Darkroom:
    """An evening at the enlarger, kept in the folder of its log."""

    def __init__(
        self, evening: Evening, rules: HouseRules, start: SetUp | None = None, *, negative: str = "",
        negatives: DevelopedNegatives | None = None, by_meter: bool = False,
    ):  # fmt: skip
        """Find everything as it was left; new, it stands as ``start`` says, or as is usual (or metered) for a negative.

        Where it cannot be set up the evening is put away, so that somebody else may try. Raises OutsideError, WritingFailed.
        """
        self.folder, self.evening, self._rules = evening.file.parent, evening, rules
        developed = negatives or DevelopedNegatives()
        first = negative or (*evening.state.opening.negatives, "morning-shelf")[0]
        try:
            self._desk_file, damage = DeskFile.open(
                self.folder / DESK_NAME, evening,
                lambda: start
                or (metered if by_meter else usual)(developed.get(first), find_stock(evening.state.opening.paper)),
            )  # fmt: skip
        except BaseException:
            evening.close()
            raise
        self.damage = "; ".join(filter(None, (evening.damage, damage))) or None
        lamp = Lamp()
        self.desk = Desk(self._desk_file, developed, rules, lamp)
        self.easel = EaselView(self.desk, self._desk_file, lamp, evening.lights)
        self.paper = PaperInHand(self._desk_file, self.desk, lamp, evening, rules)
        self.tray = Tray(self._desk_file, evening, self.paper, developed, rules)
        self.wall = Wall(evening, developed)

    @classmethod
    def open(
        cls, folder: Path, *, paper: str = "glossy-rc-vc", sheets: int = 20, minutes: float = 180.0, seed: int = 1,
        negative: str = "morning-shelf", rules: HouseRules | None = None, negatives: DevelopedNegatives | None = None,
        by_meter: bool = False,
    ) -> Darkroom:  # fmt: skip
        """Return the darkroom kept in a folder as it was left, or a new evening there; ``by_meter``: its first seconds metered.

        Raises OpenElsewhere when somebody has it in hand, OutsideError or WritingFailed.
        """
        evening = Evening.open(folder / LOG_NAME, paper, sheets, minutes, seed, maker_version=VERSION)
        return cls(evening, rules or FreeWork(), negative=negative, negatives=negatives, by_meter=by_meter)

    @classmethod
    def look(
        cls, folder: Path, why: str = "it was opened to be looked at", negatives: DevelopedNegatives | None = None
    ) -> Darkroom:
        """Return the darkroom of a folder as it stands now, to be looked at while somebody else may have it in hand.

        Raises OutsideError.
        """
        return cls(Evening.look(folder / LOG_NAME, why), FreeWork(), negatives=negatives)

    def close(self) -> None:
        """Leave the darkroom: somebody else may take it up. Here it can still be looked at."""
        self.evening.close()

    @property
    def kept(self) -> Kept:
        """Everything that lies about."""
        return self._desk_file.now

    @property
    def sheets_left(self) -> float:
        """Sheets left in the box; what lies in hand or in the developer is already out."""
        return sheets_left(self.evening.state, self.kept)

    @property
    def minutes_left(self) -> float:
        """Minutes of the evening left, as far as its log goes."""
        return self.evening.state.minutes_left

    def locked(self, control: str) -> str | None:
        """Return why a control is locked in this lesson, or None."""
        return locked(self._rules, control)

    @property
    def white_light(self) -> bool:
        """Tell whether the room's white light is on."""
        return self.kept.white_light

    @property
    def why_dark(self) -> str:
        """Why the white light must stay off for now, or nothing: paper that is not fixed lies about."""
        kept = self.kept
        if kept.hand is not None:
            return "white light would fog the paper on the easel: put it back into the box, or develop it first"
        if kept.tray is not None and kept.tray.bath in ("developer", "stop"):
            return "white light would fog the sheet in the tray: wait until it has been in the fixer"
        if kept.tray is not None and kept.tray.bath == "fix" and self.tray.seconds < self.tray.wanted_s:
            return "white light would fog the sheet in the tray: the fixer has not had its time yet"
        return ""

    def switch_white_light(self, on: bool) -> None:
        """Switch the white light. Raises Refused while paper that is not fixed lies about."""
        why = self.why_dark
        if on and why:
            raise Refused(why)
        self._desk_file.keep(white_light=on)

    def predict(self, choice: str, text: str = "") -> None:
        """Commit to what the sheet will show; it stands in the log before the sheet does."""
        self.evening.predict(choice, text)

    @property
    def prediction(self) -> tuple[str, str] | None:
        """What was committed for the sheet that comes next, or None."""
        said = self.evening.state.predicted
        return (said.choice, said.text) if said else None

    def prediction_wanted(self) -> str | None:
        """Return the question to be answered before the sheet in hand is developed, or None."""
        return self.paper.prediction_wanted()

    def note(self, text: str) -> None:
        """Write a note into the evening's log."""
        self.evening.note(text)
