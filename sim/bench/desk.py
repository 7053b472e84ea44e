"""The desk: choosing and setting everything before the lamp is switched on; checked in words, kept at once, undoable."""

from __future__ import annotations

from dataclasses import replace

from sim.bench.desk_file import MOST_UNDONE, DeskFile, InHand
from sim.bench.developed_negatives import DevelopedNegatives
from sim.bench.dry_side import SetUp, set_up_of, usual
from sim.bench.house_rules import HouseRules, locked
from sim.bench.lamp import Lamp
from sim.bench.turning_a_control import Control, Value, changed, control, own_titles, turned, value_of
from sim.enlarger.settings import Bench, checked_aperture, set_up
from sim.negative.negative import Negative
from sim.negative.sleeve import find_sleeve, sleeve_names
from sim.negative.sleeve_contents import Sleeve
from sim.notebook.control_words import CONTROL_TITLES
from sim.notebook.own_seconds import OwnSeconds, own_seconds
from sim.paper.stock import find_stock
from sim.printing.cards import CardOptics, card_optics
from sim.printing.make_print import frame_on_sheet
from sim.printing.record import Exposure, PrintingRecord
from sim.refusals import Refusal, Refused
from sim.shelf import NEGATIVE

# What may still be changed between two exposures of one sheet; the rest would be another picture on the same paper.
FREE_BETWEEN_EXPOSURES = (
    "time_s", "f_number", "filter", "yellow", "magenta", "development_time_s", "temperature_c", "red_filter",
    "focus_light", "opal_sheet", "reciprocity",
)  # fmt: skip

SWITCHED = ("focus_light", "red_filter", "opal_sheet")  # what is swung or switched is no set-up: it is not taken back


def _lights_aside(now: SetUp) -> SetUp:
    return replace(now, focus_light=False, red_filter=False, opal_sheet=False)


class Desk:
    """The set-up and its controls. Every change is on disk before the call returns."""

    def __init__(self, desk_file: DeskFile, negatives: DevelopedNegatives, rules: HouseRules, lamp: Lamp):
        self._desk_file, self._negatives, self._rules, self._lamp = desk_file, negatives, rules, lamp
        self._dragged_from: SetUp | None = None

    @property
    def now(self) -> SetUp:
        """How everything stands."""
        return self._desk_file.now.set_up

    @property
    def negative(self) -> Negative:
        """The negative in the carrier, developed."""
        return self._negatives.get(self.now.negative)

    @property
    def bench(self) -> Bench:
        """The enlarger as it stands with this negative."""
        return set_up(self.now.settings(), self.negative)

    def card_optics(self, f_number: float) -> CardOptics:
        """Return what a card's shadow depends on as the enlarger stands. Raises Refused for an aperture off the ring."""
        return card_optics(self.bench, f_number)

    def set(self, name: str, value: Value, settle: bool = True) -> None:
        """Set one control. Raises Refused, in words; nothing is then changed.

        While a knob is being dragged, ``settle=False`` shows the change without putting it on disk; the next settled
        change, or ``settle()``, keeps it, and undo goes back to before the drag.
        """
        same = value == value_of(self.now, name)
        why = locked(self._rules, name)
        if why is not None and not same:
            raise Refused(why)
        self._refuse_under_the_lamp(name)
        self._refuse_over_paper(name, value, same)
        if same:
            if settle:
                self.settle()
            return
        try:
            after = turned(self.now, name, value, self.negative)
            if name == "negative":
                after = self._with_negative(str(value))
            self._check(after)
        except Refusal as error:
            raise Refused(str(error)) from error
        if settle:
            self._become(after)
        else:
            self._dragged_from = self._dragged_from or self.now
            self._desk_file.show(after)

    def settle(self) -> None:
        """Keep what has been dragged so far."""
        if self._dragged_from is not None:
            self._become(self.now)

    @property
    def _hand(self) -> InHand | None:
        return self._desk_file.now.hand

    def _refuse_under_the_lamp(self, name: str) -> None:
        if self._lamp.on and name != "time_s":
            raise Refused("the lamp is on: nothing at the enlarger may be moved until it is off")
        if self._lamp.on:
            raise Refused("the timer is running: its time can be set again when it has run out")

    def _refuse_over_paper(self, name: str, value: Value, same: bool) -> None:
        hand = self._hand
        if hand is None:
            return
        if name == "paper" or (hand.exposures and name not in FREE_BETWEEN_EXPOSURES and not same):
            raise Refused(
                f"{CONTROL_TITLES[name].lower()} cannot be changed while the {hand.kind} lies on the easel"
                f"{' with light on it' if hand.exposures else ''}: develop it, or throw it away"
            )
        light = {"focus_light": self.now.focus_light, "red_filter": self.now.red_filter, name: value}
        if light["focus_light"] and not light["red_filter"]:
            if name == "red_filter":
                raise Refused("the lamp burns through the red filter: put it out with the foot before the filter goes aside")
            raise Refused("the focusing light would fog the paper on the easel: swing the red filter in first")

    def _check(self, after: SetUp) -> None:
        """Refuse what enlarger, film and paper cannot do together. Raises Refused in words."""
        negative = self._negatives.get(after.negative)
        checked_aperture(set_up(after.settings(), negative).lens, after.f_number)
        frame_on_sheet(negative, after.record())

    def _become(self, after: SetUp) -> None:
        before, self._dragged_from = self._dragged_from or self.now, None
        if after == before == self.now:
            return
        if _lights_aside(after) == _lights_aside(before):
            self._desk_file.keep(set_up=after)
            return
        kept = (*self._desk_file.now.before, before)[-MOST_UNDONE:]
        self._desk_file.keep(set_up=after, before=kept, undone=())

    def _with_negative(self, name: str) -> SetUp:
        """Put another negative in: what fits stays as it stands, else the usual set-up for its film."""
        same = replace(self.now, negative=name)
        try:
            self._check(same)
        except Refused:
            return replace(usual(self._negatives.get(name), find_stock(self.now.paper)), time_s=self.now.time_s)
        return same

    def place_negative(self, name: str, usual: bool = False) -> None:
        """Put a negative into the carrier; with ``usual`` everything is set as is usual for its film."""
        self.set("negative", name)
        if usual:
            self.usual()

    def usual(self) -> None:
        """Set everything as is usual for this negative and paper; locked controls stay. Raises Refused."""
        self._take_over(usual(self.negative, find_stock(self.now.paper)))

    def like(self, record: PrintingRecord) -> None:
        """Set everything as it stood for a record, locked controls excepted. Raises Refused."""
        self._take_over(set_up_of(record))

    def _take_over(self, wanted: SetUp) -> None:
        if self._hand is not None:
            raise Refused("the set-up cannot be taken over while paper lies on the easel: develop it, or put it back")
        free = [name for name in vars(wanted) if locked(self._rules, name) is None]
        after = replace(self.now, **{name: getattr(wanted, name) for name in free})
        self._check(after)
        self._become(after)

    def focus(self) -> None:
        """Turn the ring to the sharp picture, as a focusing aid on the easel would show it."""
        if self.now.contact:
            raise Refused("in the contact frame there is nothing to focus: the negative lies on the paper")
        self.set("focus_offset_mm", 0.0)

    def undo(self) -> bool:
        """Take the last change back; False when there is none."""
        self.settle()
        kept = self._desk_file.now
        if not kept.before:
            return False
        self._step(kept.before[-1], kept.before[:-1], (*kept.undone, self.now)[-MOST_UNDONE:])
        return True

    def redo(self) -> bool:
        """Do the change last taken back again; False when there is none."""
        kept = self._desk_file.now
        if not kept.undone:
            return False
        self._step(kept.undone[-1], (*kept.before, self.now)[-MOST_UNDONE:], kept.undone[:-1])
        return True

    def _step(self, after: SetUp, before: tuple[SetUp, ...], undone: tuple[SetUp, ...]) -> None:
        if self._hand is not None:
            raise Refused("changes cannot be taken back while paper lies on the easel")
        self._refuse_under_the_lamp("undo")
        lights = {name: getattr(self.now, name) for name in SWITCHED}
        self._desk_file.keep(set_up=replace(after, **lights), before=before, undone=undone)

    @property
    def would_undo(self) -> tuple[str, ...]:
        """What taking the last change back would change: names of controls, empty where there is nothing."""
        before = self._desk_file.now.before
        return changed(_lights_aside(self.now), _lights_aside(before[-1])) if before else ()

    @property
    def would_redo(self) -> tuple[str, ...]:
        """What doing the change last taken back again would change."""
        undone = self._desk_file.now.undone
        return changed(_lights_aside(self.now), _lights_aside(undone[-1])) if undone else ()

    def control(self, name: str) -> Control:
        """Return a control with its range or choices as they are now, and why it is locked, if it is."""
        return control(self.now, name, self.negative, locked(self._rules, name), not self._rules.negatives())

    def negatives(self) -> tuple[Sleeve, ...]:
        """Return the sleeves in the file: what stands on them, no film developed. In free work one's own lie behind them."""
        given = self._rules.negatives()
        return tuple(find_sleeve(name) for name in given or (*sleeve_names(), *own_titles(NEGATIVE)))

    def own_seconds(self, exposure: Exposure) -> OwnSeconds | None:
        """Return an exposure's seconds with their interval on an enlarger of one's own; None on any other."""
        return own_seconds(exposure, self.bench, find_stock(self.now.paper))

    @property
    def frame_mm(self) -> tuple[float, float, float, float]:
        """Where the image lies on the sheet: left, top, width, height in mm."""
        return frame_on_sheet(self.negative, self.now.record())

    @property
    def magnification(self) -> float:
        """Print size over negative size."""
        return self.bench.print_scale

    @property
    def image_size_mm(self) -> tuple[float, float]:
        """Width and height of the projected image."""
        return self.frame_mm[2:]

    @property
    def focus_offset_mm(self) -> float:
        """How far the ring stands from sharp, + negative away from the lens."""
        return 0.0 if self.now.contact else self.now.focus_offset_mm

    def base_record(self) -> PrintingRecord:
        """Return the record of a straight print from this set-up."""
        return self.now.record(self.negative.digest)
