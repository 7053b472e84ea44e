"""An enlarger of one's own worked out from prints made with it, and laid on one's own shelf: for the command and the window."""

from __future__ import annotations

from dataclasses import dataclass, replace
from pathlib import Path

from sim.bench.own_papers import plain_name_of
from sim.calibration.own_enlarger import OwnEnlarger, enlarger_of_patches
from sim.calibration.own_head_file import head_data, head_toml
from sim.calibration.patches_csv import read_patches
from sim.calibration.right_print import enlarger_of_right_print, enlarger_without
from sim.calibration.right_prints import LEVEL_PRIOR
from sim.control_ranges import checked
from sim.enlarger.equipment import Head, find_head, refuse_unreadable_head
from sim.enlarger.filters import FilterSetting
from sim.enlarger.own_light import POWER_ERROR, OwnLight
from sim.negative.develop import find_negative
from sim.negative.negative import NORMAL_GAMMA, Negative
from sim.notebook.own_enlarger_words import begun_from, told
from sim.notebook.reprint import reference_place
from sim.paper.stock import Stock, find_stock
from sim.printing.record import Exposure
from sim.printing.record import PrintingRecord as PrintingRecord
from sim.refusals import Refused
from sim.scoring.target_tones import LIGHTEST_NET_DENSITY
from sim.shelf import HEAD, OWN, Shelf, own_folder, own_shelf
from sim.writing import write_text

CALLED = "the enlarger's name"
UNMEASURED = ("2", 8.0, 3.0)  # filter, mark and magnification that all is counted from before anything was printed (chosen)
MOST_MINUTES = 120.0  # under the safelight: two hours are longer than any sheet lies out


@dataclass(frozen=True, eq=False)
class FoundEnlarger:
    """An enlarger that prints told: the head it was begun from, what was found, and its state on one's own shelf before."""

    name: str
    head: Head
    found: OwnEnlarger
    earlier: Head | None

    def lines(self) -> list[str]:
        """Return in words what was found and what would improve it; once it has a name also what it was before."""
        named = [begun_from(self.name, self.head, self.earlier, self.found)] if self.name else []
        return [*named, *told(self.head, self.found)]

    def called(self, name: str) -> FoundEnlarger:
        """Return it under a name. Raises Refused for one that an enlarger cannot have."""
        return replace(self, name=plain_name_of(name, CALLED), earlier=earlier_state(name))

    def with_coin(self, clear_min: float, marked_min: float | None, said: str = "the coin") -> FoundEnlarger:
        """Return it with what a coin told of the safelight: minutes without a mark, and with one (None: not tried)."""
        if marked_min is not None and not 0.0 <= clear_min < marked_min <= MOST_MINUTES:
            rule = f"minutes without a mark, then more minutes with one, up to {MOST_MINUTES:g}"
            raise Refused(f"{said} must be {rule}, got {clear_min:g},{marked_min:g}")
        light = replace(self.found.light, safe_min=clear_min, marked_min=marked_min)
        return replace(self, found=replace(self.found, light=light))

    def keep(self, title: str, read_on: str = "") -> Path:
        """Lay the enlarger on one's own shelf; return its file.

        Raises WritingFailed; ValueRefused, and nothing is written, for what could not be read again.
        """
        source = f"own readings, {read_on}" if read_on else "own readings, undated"
        itself = self.earlier is not None and self.earlier.name == self.head.name
        begun = "added to or taken from as before" if itself else f"begun from {self.head.name}"
        remark = f"An enlarger of one's own, {begun}; its level was measured on {self.found.light.paper}."
        file = HEAD.file(own_folder() / HEAD.folder, self.name)
        text = head_toml(head_data(self.head, self.found, self.name, title, source), remark)
        refuse_unreadable_head(file, text)
        write_text(file, text)
        return file


def earlier_state(name: str) -> Head | None:
    """Return an enlarger as it lies on one's own shelf already."""
    shelf = own_shelf()
    return find_head(OWN + name, shelf) if shelf.find(HEAD, OWN + name) else None


def only_a_coin_told(head: Head) -> bool:
    """Tell whether nothing is known of an enlarger's light yet: it lies on the shelf for what a coin told of the safelight."""
    return head.own is not None and not head.own.prints and head.own.level_error >= LEVEL_PRIOR


def of_patches(
    name: str, file: Path, head: Head, lens: str, paper: str, shelf: Shelf | None = None, film_gamma: float = NORMAL_GAMMA
) -> FoundEnlarger:
    """Return what a table of grey patches tells, begun from a head. Raises OutsideError, Refused naming the line."""
    stock = find_stock(paper, shelf or own_shelf())
    found = enlarger_of_patches(head, lens, stock, read_patches(file), film_gamma)
    earlier = earlier_state(name) if name else None
    return FoundEnlarger(name, head, _in_the_same_room(found, earlier), earlier)


def _in_the_same_room(found: OwnEnlarger, earlier: Head | None) -> OwnEnlarger:
    """Return what was found with what a coin told before: the room's own light is none of the enlarger's."""
    if earlier is None or earlier.own is None or found.light.safe_min is not None:
        return found
    light = replace(found.light, safe_min=earlier.own.safe_min, marked_min=earlier.own.marked_min)
    return replace(found, light=light)


def as_it_was(name: str, usual: Head, paper: str) -> FoundEnlarger:
    """Return an enlarger with nothing new told of it: as it lies on the shelf, or as one of the usual head's kind may be."""
    head = earlier_state(name) or usual
    light = head.own or OwnLight(paper, LEVEL_PRIOR, *UNMEASURED)
    told = {"filters": light.filters, "marks": light.marks, "height": light.power_error < POWER_ERROR}
    left_open = tuple(key for key, one in told.items() if not one)
    return FoundEnlarger(name, head, OwnEnlarger(light, 0.0, None, left_open, 0.0), earlier_state(name))


def of_right_print(
    name: str, head: Head, negative: Negative, stock: Stock, record: PrintingRecord, read_on: str = "", as_it_is: bool = False
) -> FoundEnlarger:
    """Return what one straight print tells that was right. Raises Refused, StandsAlone where others hardly allow it."""
    if head.own is not None and head.own.paper != stock.name:
        raise Refused(f"the paper must be {head.own.paper}, on which the enlarger was measured, got {stock.name}")
    record = replace(record, enlarger=replace(record.enlarger, head=head.name, head_digest=""))
    place = reference_place(negative, record)
    if place.part != "lightest":
        raise Refused(
            f"the negative must name a lightest place that keeps its texture, got {place.name!r} as the best there is"
        )
    found = enlarger_of_right_print(head, negative, record, stock, place, LIGHTEST_NET_DENSITY, read_on, as_it_is)
    earlier = earlier_state(name)
    return FoundEnlarger(name, head, _in_the_same_room(found, earlier), earlier)


def named_head(name: str) -> Head:
    """Return a head of the shelf, shipped or one's own."""
    return find_head(name, own_shelf())


@dataclass(frozen=True)
class RightPrintSaid:
    """A straight print that was right at one's own sink: its seconds, aperture and filter; all else is as in a record."""

    time_s: float
    f_number: float
    filter_name: str
    as_it_is: bool = False


def told_by(name: str, record: PrintingRecord, said: RightPrintSaid, read_on: str = "") -> FoundEnlarger:
    """Return the enlarger of one's own that a print told of, begun from the record's head where it is new.

    Raises Refused for a print of a negative that no real enlarger can have held.
    """
    checked("seconds", said.time_s, "time_s")
    plain_name_of(name, CALLED)
    if not record.negative.startswith(OWN):
        raise Refused(
            f"a print that was right must be of a negative of your own, which lies in your enlarger, got {record.negative}: "
            "put a scan of yours into a sleeve, set up the print here, and come back"
        )
    head = earlier_state(name) or find_head(record.enlarger.head, own_shelf())
    straight = Exposure(said.time_s, said.f_number, FilterSetting.named(said.filter_name))
    stock = find_stock(record.sheet.paper, own_shelf())
    asked = replace(record.with_exposures(straight), strip=None)
    return of_right_print(name, head, find_negative(record.negative), stock, asked, read_on, said.as_it_is)


def without_print(name: str, number: int) -> FoundEnlarger:
    """Return an enlarger of one's own without one of the prints it is known from. Raises Refused."""
    earlier = earlier_state(name)
    if earlier is None:
        raise Refused(f"a print can be forgotten of an enlarger on your own shelf, got {name!r}, which is not there")
    return FoundEnlarger(name, earlier, enlarger_without(earlier, number), earlier)
