"""The wet side: a sheet in the developer, coming up; then stop, fix, wash, and the line to dry.

Taking it out of the developer is the decision: from then on the sheet is in the evening's log, with the seconds it had.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from sim.bench.desk_file import Bath, DeskFile, InTray
from sim.bench.developed_negatives import DevelopedNegatives
from sim.bench.developing import DevelopingView
from sim.bench.house_rules import HouseRules
from sim.bench.paper_in_hand import PaperInHand
from sim.bench.short_baths import PULLED_SHARE, note_of_short, too_short
from sim.bounded_store import MEGABYTE, KeptWithin
from sim.control_ranges import CONTROLS
from sim.evening.evening import LEAST_PX_PER_MM, Evening
from sim.evening.evening_state import AFTER_DEVELOPER_S
from sim.paper.stock import find_stock
from sim.printing.exposure import LightCache, expose
from sim.refusals import Refused

BATHS: tuple[Bath, ...] = ("developer", "stop", "fix", "wash", "dry")
# How the time before white light is shared among stop, fix and rinse; the long wash waits for all prints of the evening
# (common practice, after the usual sheets for papers).
SHARE_OF_BATH: dict[str, float] = {"stop": 0.2, "fix": 0.6, "wash": 0.2}
LONGEST_DEVELOPMENT_S = CONTROLS["development_time_s"].high
KEPT_EVERY_S = 5.0
VIEW_BYTES = 24 * MEGABYTE  # a large window's tray, and the one before it was resized


class Tray:
    """The wet side, one sheet at a time."""

    def __init__(
        self, desk_file: DeskFile, evening: Evening, paper: PaperInHand, negatives: DevelopedNegatives, rules: HouseRules
    ):  # fmt: skip
        self._desk_file, self._evening, self._paper, self._rules = desk_file, evening, paper, rules
        self._negatives = negatives
        self._lights = LightCache(2, VIEW_BYTES)
        self._views: KeptWithin[tuple[InTray, DevelopingView]] = KeptWithin(VIEW_BYTES, most=2)
        self._ahead_s = 0.0  # seconds in this bath that are not on disk yet

    @property
    def _tray(self) -> InTray | None:
        return self._desk_file.now.tray

    def _there(self) -> InTray:
        if self._tray is None:
            raise Refused("the trays are empty: expose a sheet and put it into the developer")
        return self._tray

    @property
    def stage(self) -> Bath | str:
        """The bath the sheet is in ("" when the trays are empty)."""
        return self._tray.bath if self._tray else ""

    @property
    def number(self) -> int | None:
        """The sheet's number once it stands in the log: when it has left the developer."""
        tray = self._tray
        return tray.number if tray and tray.bath != "developer" else None

    @property
    def seconds(self) -> float:
        """Seconds in this bath."""
        return self._tray.seconds + self._ahead_s if self._tray else 0.0

    @property
    def wanted_s(self) -> float:
        """Seconds that this bath asks for; 0 on the drying line."""
        tray = self._tray
        if tray is None or tray.bath == "dry":
            return 0.0
        return _asked_for_s(tray.bath, tray)

    @property
    def full_s(self) -> float:
        """Seconds of full development on the paper's sheet: at 20 degrees C, in fresh developer; 0 without paper."""
        return find_stock(self._tray.record.sheet.paper).development.completion_time_s if self._tray else 0.0

    @property
    def complete(self) -> bool:
        """Whether a sheet in the developer has had (nearly) all that this bath can build: no time of a clock, what is there."""
        tray = self._tray
        if tray is None or tray.bath != "developer":
            return False
        whole_s = find_stock(tray.record.sheet.paper).development.time_to_completion_s(tray.record.development)
        return self.seconds >= PULLED_SHARE * whole_s

    @property
    def set_short(self) -> bool:
        """Whether the time that is set ends well before the paper's full time: who follows it lifts the sheet early."""
        return self.stage == "developer" and self.wanted_s < PULLED_SHARE * self.full_s

    @property
    def set_otherwise(self) -> bool:
        """Whether the time that is set for the developer is not the paper's full time, shorter or longer."""
        return self.stage == "developer" and abs(self.wanted_s - self.full_s) > (1.0 - PULLED_SHARE) * self.full_s

    @property
    def too_short(self) -> bool:
        """Whether a sheet lifted now would leave fixer or rinse before its time."""
        return too_short(self.stage, self.seconds, self.wanted_s)

    def put_in(self) -> None:
        """Put the exposed piece into the developer. Raises Refused when a prediction comes first, or EveningEnded."""
        if self._paper.exposing:
            raise Refused("the lamp is on: wait until it is off")
        if self._tray is not None and self._tray.bath == "developer":
            raise Refused("a sheet is in the developer already")
        wanted = self._paper.prediction_wanted()
        if wanted is not None:
            raise Refused(wanted)
        record = self._paper.record()
        used = self._evening.state.seen_by_developer(record.development.sheets_before)
        record = replace(record, development=replace(record.development, sheets_before=used))
        self._evening.check_room(record)
        given = self._evening.with_light_given(record)
        self._ahead_s = 0.0
        number = len(self._evening.state.sheets) + 1
        self._desk_file.keep(hand=None, tray=InTray(number, given), plan_done=0)

    @property
    def tired(self) -> bool:
        """Tell whether the developer in the tray has seen sheets before this evening, and may be poured away."""
        used = self._evening.state.seen_by_developer(self._desk_file.now.set_up.sheets_before)
        return used > 0.0 and self._rules.locked("fresh_developer") is None

    def pour_fresh(self) -> None:
        """Pour the tired developer into its waste bottle and a fresh litre into the tray: for every sheet from now on.

        Raises Refused where a lesson locks it, it is fresh already or a sheet is in it; EveningEnded.
        """
        refused = self._rules.locked("fresh_developer")
        if refused is not None:
            raise Refused(refused)
        if not self.tired:
            raise Refused("the developer in the tray is fresh already")
        if self._tray is not None and self._tray.bath == "developer":
            raise Refused("a sheet is in the developer: let it come to its end first")
        self._evening.pour()

    def advance(self, dt_s: float) -> None:
        """Let seconds pass in this bath. In the developer the evening's end, and a quarter of an hour, are the limit."""
        tray = self._there()
        if not 0.0 <= dt_s <= LONGEST_DEVELOPMENT_S:
            raise Refused(f"seconds must be between 0 and {LONGEST_DEVELOPMENT_S:g}, got {dt_s!r}")
        passed = self.seconds + dt_s
        if tray.bath == "developer":
            passed = min(passed, LONGEST_DEVELOPMENT_S, max(self._seconds_to_the_end(tray), 0.0))
        self._ahead_s = max(passed - tray.seconds, 0.0)
        if self._ahead_s >= KEPT_EVERY_S:
            self._settle()

    def _settle(self) -> None:
        tray = self._there()
        self._desk_file.keep(tray=replace(tray, seconds=round(tray.seconds + self._ahead_s, 3)))
        self._ahead_s = 0.0

    def _seconds_to_the_end(self, tray: InTray) -> float:
        """Return how long the sheet may stay in the developer before the evening is over."""
        state = self._evening.state
        without = replace(tray.record, development=replace(tray.record.development, time_s=0.0))
        return state.minutes_left * 60.0 - state.seconds_for(without) - 0.001

    def next(self) -> str:
        """Lift the sheet into the next bath and return its name. Out of the developer it is in the log for good.

        What left fixer or rinse before its time is noted there too.
        """
        tray = self._there()
        if tray.bath == "dry":
            raise Refused("the sheet hangs on the line: it is on the wall")
        if tray.bath == "developer":
            self._pull(tray)
        else:
            following = BATHS[BATHS.index(tray.bath) + 1]
            if self.too_short and not self._evening.state.handed_in:
                self._evening.note(note_of_short(tray.number, tray.bath, self.seconds, self.wanted_s))
            self._ahead_s = 0.0
            self._desk_file.keep(tray=replace(tray, bath=following, seconds=0.0))
        return self.stage

    def _pull(self, tray: InTray) -> None:
        """Take the sheet out of the developer: its seconds are what the record says, sooner or later than planned."""
        evening = self._evening
        time_s = round(self.seconds, 1)
        if time_s < PULLED_SHARE * tray.record.development.time_s:
            evening.pull(time_s)
        record = replace(tray.record, development=replace(tray.record.development, time_s=time_s))
        evening.make(self._negatives.get(record.negative), record, LEAST_PX_PER_MM)  # who looks at it prints it then
        made = evening.state.sheets[-1]
        self._ahead_s = 0.0
        self._desk_file.keep(tray=replace(tray, number=made.number, record=made.record, bath="stop", seconds=0.0))

    def finish(self) -> int:
        """Leave the sheet in every bath for its time, and hang it up; return its number on the wall."""
        tray = self._there()
        if tray.bath == "developer":
            self.advance(max(self.wanted_s - self.seconds, 0.0))
            self._pull(self._there())
        tray = self._there()
        self._ahead_s = 0.0
        if tray.bath != "dry":
            self._desk_file.keep(tray=replace(tray, bath="dry", seconds=0.0))
        return tray.number

    def clear(self) -> None:
        """Take the dry sheet off the line; it stays on the wall. Raises Refused while a sheet is still wet."""
        if self._there().bath != "dry":
            raise Refused("the sheet is still in the baths")
        self._desk_file.keep(tray=None)

    def frame(self, t_s: float, size_px: tuple[int, int], wet: bool = True) -> NDArray[np.uint8]:
        """Return the sheet as it would be after ``t_s`` seconds in this developer [row, col]; fits inside ``size_px``."""
        tray = self._there()
        development = replace(tray.record.development, time_s=t_s)
        return self._view(tray, size_px).frame(development, wet)

    def picture(self, size_px: tuple[int, int]) -> NDArray[np.uint8]:
        """Return the sheet as it is now: coming up in the developer, wet in the baths, dry on the line."""
        tray = self._there()
        in_developer = self.seconds if tray.bath == "developer" else tray.record.development.time_s
        return self.frame(min(in_developer, LONGEST_DEVELOPMENT_S), size_px, wet=tray.bath != "dry")

    def px_per_mm(self, size_px: tuple[int, int]) -> float:
        """Return the fineness at which the sheet fits inside a size."""
        sheet = self._there().record.sheet
        if not (8 <= size_px[0] <= 4096 and 8 <= size_px[1] <= 4096):
            raise Refused(f"a picture must be 8 to 4096 px each way, got {size_px!r}")
        return min(size_px[0] / sheet.width_mm, size_px[1] / sheet.height_mm)

    def _view(self, tray: InTray, size_px: tuple[int, int]) -> DevelopingView:
        px_per_mm = self.px_per_mm(size_px)
        key = (tray.number, px_per_mm)
        kept = self._views.get(key)
        if kept is None or kept[0].record.exposures != tray.record.exposures:
            stock = find_stock(tray.record.sheet.paper)
            negative = self._negatives.get(tray.record.negative)
            received = expose(negative, tray.record, stock, px_per_mm, self._lights)
            kept = self._views.put(key, (tray, DevelopingView(received, stock)))
        return kept[1]


def _asked_for_s(bath: Bath, tray: InTray) -> float:
    """Return the seconds that a bath asks for: the developer's are decided, the others' go by the paper's support."""
    if bath == "developer":
        return tray.record.development.time_s
    return AFTER_DEVELOPER_S[find_stock(tray.record.sheet.paper).support] * SHARE_OF_BATH[bath]
