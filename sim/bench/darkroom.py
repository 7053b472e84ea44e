"""The darkroom without a window: an evening at the enlarger, from the negative in its sleeve to the prints on the wall.

Five stations stand in the order of the work: desk (set-up), easel (projected picture, meter), paper (the sheet in hand),
tray (wet side), wall (prints, densitometer). All answers come from the one engine; seconds are passed in, so that the
same evening happens again from the same calls. What is acknowledged is on disk: decisions in the evening's log, the rest
in desk.json.
"""

from __future__ import annotations

from collections import OrderedDict
from dataclasses import replace
from pathlib import Path
from typing import Any

from sim.bench.desk import Desk
from sim.bench.easel_view import EaselView
from sim.bench.house_rules import ExerciseRules, FreeWork
from sim.bench.house_rules import HouseRules as HouseRules
from sim.bench.keeping import Kept, read_kept, write_kept
from sim.bench.paper_in_hand import PaperInHand
from sim.bench.set_up import SetUp, set_up_of, usual
from sim.bench.tray import Tray
from sim.bench.wall import Wall
from sim.evening.evening import Evening
from sim.negative.develop import find_negative
from sim.negative.negative import Negative
from sim.paper.stock import Stock, find_stock
from sim.printing.controls import lock_of
from sim.refusals import Refused
from sim.version import VERSION
from sim.writing import sweep

LOG_NAME, DESK_NAME = "evening.jsonl", "desk.json"
NEGATIVES_KEPT = 4


class Darkroom:
    """An evening at the enlarger, kept in a folder."""

    def __init__(self, folder: Path, evening: Evening, rules: HouseRules):
        self.folder, self.evening = folder, evening
        self.rules: HouseRules = rules
        self.damage: str | None = evening.damage
        self._negatives: OrderedDict[str, Negative] = OrderedDict()
        self.desk, self.easel = Desk(self), EaselView(self)
        self.paper, self.tray, self.wall = PaperInHand(self), Tray(self), Wall(self)
        self.kept: Kept

    @classmethod
    def open(
        cls, folder: Path, exercise: str | None = None, learner: str | None = None, *, paper: str = "glossy-rc-vc",
        sheets: int = 20, minutes: float = 180.0, seed: int = 1, negative: str = "morning-shelf",
        rules: HouseRules | None = None,
    ) -> Darkroom:  # fmt: skip
        """Return the darkroom kept in a folder as it was left, or a new evening there.

        With ``exercise`` the box, the start and the locks are the exercise's. Raises OpenElsewhere when somebody has it in
        hand, OutsideError or WritingFailed.
        """
        about: dict[str, Any] = {"learner": learner or "", "maker_version": VERSION}
        start: SetUp | None = None
        if exercise is not None:
            chosen, start, more = _exercise(exercise, negative)
            rules = rules or chosen
            paper, sheets, minutes = more.pop("paper"), more.pop("sheets"), more.pop("minutes")
            about |= more
        evening = Evening.open(folder / LOG_NAME, paper, sheets, minutes, seed, **about)
        try:
            return cls._found(folder, evening, rules, start, negative)
        except BaseException:
            evening.close()
            raise

    @classmethod
    def look(cls, folder: Path, rules: HouseRules | None = None, why: str = "it was opened to be looked at") -> Darkroom:
        """Return the darkroom of a folder as it stands now, to be looked at while somebody else may have it in hand.

        Raises OutsideError.
        """
        return cls._found(folder, Evening.look(folder / LOG_NAME, why), rules, None, "")

    @classmethod
    def _found(
        cls, folder: Path, evening: Evening, rules: HouseRules | None, start: SetUp | None, negative: str
    ) -> Darkroom:
        """Return the darkroom of an evening with what lies about in its folder."""
        looking = bool(evening.hands_off)
        if evening.alone:
            sweep(folder / DESK_NAME)
        room = cls(folder, evening, rules or FreeWork())
        kept, damage = read_kept(folder / DESK_NAME, looking)
        if damage:
            room.damage = "; ".join(filter(None, (room.damage, damage)))
        if kept is None:
            first = negative or (*evening.state.opening.negatives, "morning-shelf")[0]
            room.kept = Kept(start or usual(room.negative(first), room.stock(evening.state.opening.paper)))
            if not looking:
                write_kept(folder / DESK_NAME, room.kept)
        else:
            room.kept = _agreed(kept, evening)
        return room

    def close(self) -> None:
        """Leave the darkroom: somebody else may take it up. Here it can still be looked at."""
        self.evening.close()

    def keep(self, **changes: Any) -> None:
        """Change what lies about and put it on disk; the change is seen only once it is there."""
        self.evening.check_in_hand()
        after = replace(self.kept, **changes)
        write_kept(self.folder / DESK_NAME, after)
        self.kept = after

    def show(self, set_up: SetUp) -> None:
        """Let a set-up be seen that is not kept yet: a knob is being dragged."""
        self.kept = replace(self.kept, set_up=set_up)

    def negative(self, name: str) -> Negative:
        """Return a developed negative, remembered for a while. Raises OutsideError."""
        kept = self._negatives.pop(name, None) or find_negative(name)
        self._negatives[name] = kept
        while len(self._negatives) > NEGATIVES_KEPT:
            self._negatives.popitem(last=False)
        return kept

    def stock(self, name: str) -> Stock:
        """Return a paper by name. Raises OutsideError."""
        return find_stock(name)

    @property
    def paper_title(self) -> str:
        """The paper that the set-up asks for."""
        return self.stock(self.desk.now.paper).title

    @property
    def sheets_left(self) -> float:
        """Sheets left in the box; what lies in hand or in the developer is already out."""
        state, out = self.evening.state, 0.0
        for piece in (self.kept.hand, self.kept.tray):
            if piece is not None and piece.number > len(state.sheets):
                kind = piece.record.sheet.kind if hasattr(piece, "record") else piece.kind
                out += 0.25 if kind == "strip" else 1.0
        return state.sheets_left - out

    @property
    def minutes_left(self) -> float:
        """Minutes of the evening left, as far as its log goes."""
        return self.evening.state.minutes_left

    def locked(self, control: str) -> str | None:
        """Return why a control is locked in this lesson, or None."""
        return self.rules.locked(lock_of(control)) if lock_of(control) else None

    @property
    def white_light(self) -> bool:
        """Tell whether the room's white light is on."""
        return self.kept.white_light

    def switch_white_light(self, on: bool) -> None:
        """Switch the white light. Raises Refused while paper that is not fixed lies about."""
        tray = self.kept.tray
        if on and self.paper.piece is not None:
            raise Refused("white light would fog the paper on the easel: put it back into the box, or develop it first")
        if on and tray is not None and tray.bath in ("developer", "stop"):
            raise Refused("white light would fog the sheet in the tray: wait until it has been in the fixer")
        if on and tray is not None and tray.bath == "fix" and self.tray.seconds < self.tray.wanted_s:
            raise Refused("white light would fog the sheet in the tray: the fixer has not had its time yet")
        self.keep(white_light=on)

    def predict(self, choice: str, text: str = "") -> None:
        """Commit to what the sheet will show; it stands in the log before the sheet does."""
        self.evening.predict(choice, text)

    @property
    def prediction(self) -> tuple[str, str] | None:
        """What was committed for the sheet that comes next, or None."""
        said = self.evening.state.said_of("predicted", len(self.evening.state.sheets))
        return (said[-1].choice, said[-1].text) if said else None

    def prediction_wanted(self) -> str | None:
        """Return the question to be answered before the sheet in hand is developed, or None."""
        hand = self.kept.hand
        if hand is None or self.prediction is not None:
            return None
        return self.rules.prediction_wanted(hand.kind == "strip")

    def note(self, text: str) -> None:
        """Write a note into the evening's log."""
        self.evening.note(text)


def _agreed(kept: Kept, evening: Evening) -> Kept:
    """Return what lies about once the log has been asked: a sheet that stands there is out of hand and developer."""
    made = len(evening.state.sheets)
    hand, tray = kept.hand, kept.tray
    if hand is not None and hand.number <= made:
        hand = None
    if tray is not None and tray.number > made + 1:
        tray = None  # the log lost its tail: there is no such sheet
    if tray is not None and tray.number <= made and tray.bath == "developer":
        tray = replace(tray, record=evening.state.sheets[tray.number - 1].record, bath="stop", seconds=0.0)
    if hand is not None and hand.number != made + 1:
        hand = replace(hand, number=made + 1)
    return replace(kept, hand=hand, tray=tray)


def _exercise(name: str, negative: str) -> tuple[ExerciseRules, SetUp, dict[str, Any]]:
    """Return the rules, the start and the box of an exercise. ``negative`` may choose among its negatives or a variant."""
    from sim.scoring.exercise_file import exercise_at
    from sim.scoring.start import start_record

    _, exercise = exercise_at(name)
    chosen = negative if negative.split("~")[0] in (*exercise.negatives, *exercise.also) else exercise.negatives[0]
    stock = find_stock(exercise.paper)
    record = start_record(exercise, find_negative(chosen), stock)
    rules = ExerciseRules(exercise.title, tuple(exercise.unlocked), tuple(exercise.negatives), exercise.predict)
    about = {
        "paper": exercise.paper, "sheets": exercise.box.sheets, "minutes": exercise.box.minutes, "exercise": exercise.name,
        "exercise_version": exercise.version, "exercise_digest": exercise.digest, "negatives": list(exercise.negatives),
    }  # fmt: skip
    return rules, set_up_of(record), about
