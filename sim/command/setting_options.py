"""Options that several verbs share: which negative, which paper, how the enlarger stands."""

from __future__ import annotations

import argparse
from dataclasses import replace
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, Any

from sim.refusals import Refused

if TYPE_CHECKING:
    from sim.enlarger.filters import FilterSetting
    from sim.negative.negative import Negative, Place
    from sim.paper.stock import Stock
    from sim.printing.record import PrintingRecord
    from sim.shelf import Shelf


class Given(argparse.Action):
    """An option whose being given is told apart from its default: ``given`` of the options names it."""

    def __call__(self, parser: object, options: argparse.Namespace, value: Any, word: str | None = None) -> None:
        """Keep the value, and that it was given."""
        setattr(options, self.dest, value)
        options.given = (*getattr(options, "given", ()), self.option_strings[0])


def add_setting_options(parser: argparse.ArgumentParser) -> None:
    """Add the options that describe a set-up."""
    set_by = partial(parser.add_argument_group("set-up").add_argument, action=Given)
    parser.set_defaults(given=())
    set_by("--negative", metavar="SLEEVE", help="a sleeve by name (see `tonewright sleeves`) or a .toml file")
    set_by("--paper", default="glossy-rc-vc", help="a stock by name or a .toml file (default: %(default)s)")
    set_by("--sheet", default="203x254", metavar="MMxMM", help="sheet size in mm (default: %(default)s)")
    set_by("--border", type=float, default=6.0, metavar="MM", help="white border (default: %(default)s)")
    set_by("--filter", default="2", help="graded filter 00 to 5, or 'none' (default: %(default)s)")
    set_by("--yellow", type=float, default=0.0, help="dialled yellow density instead of a graded filter")
    set_by("--magenta", type=float, default=0.0, help="dialled magenta density instead of a graded filter")
    set_by("--f-number", type=float, default=8.0, help="aperture (default: %(default)s)")
    set_by("--head", help="another head than the film's usual one")
    set_by("--lens", help="another lens than the film's usual one")
    set_by("--height", type=float, metavar="MM", help="negative to paper (default: fills the sheet)")


def sheet_size_mm(text: str, option: str = "--sheet", control: str = "paper_mm") -> tuple[float, float]:
    """Return width and height of a size such as 203x254. Raises Refused."""
    try:
        width, height = (float(part) for part in text.lower().split("x"))
    except ValueError:
        raise Refused(f"{option} must be two sizes in mm such as 203x254, got {text!r}") from None
    from sim.control_ranges import checked

    return checked(f"{option} width", width, control), checked(f"{option} height", height, control)


def named_place(negative: Negative, option: str, name: str) -> Place:
    """Return the place an option names. Raises Refused with the places there are."""
    from sim.negative.negative import NoSuchPlace

    try:
        return negative.place(name)
    except NoSuchPlace:
        known = ", ".join(place.name for place in negative.places) or "none: this negative names no places"
        raise Refused(f"{option} must be one of {known}, got {name!r}") from None


def filtration_of(options: argparse.Namespace) -> FilterSetting:
    """Return the filter setting that the options ask for."""
    from sim.enlarger.filters import FilterSetting

    dialled = [name for name in options.given if name in ("--yellow", "--magenta")]
    if dialled and "--filter" in options.given:
        raise Refused(f"--filter and {dialled[0]} exclude each other: a graded filter, or the dials, got both")
    if options.yellow or options.magenta:
        return FilterSetting(None, options.yellow, options.magenta)
    return FilterSetting.named(options.filter)


def set_up_from(
    options: argparse.Namespace, time_s: float = 10.0
) -> tuple[Negative, Stock, PrintingRecord]:
    """Return negative, stock and record for the options. Raises OutsideError or Refused."""
    from sim.command.of_a_course import refuse_of_a_course
    from sim.enlarger.equipment import head_digest
    from sim.negative.develop import find_negative
    from sim.paper.stock import find_stock, paper_digest
    from sim.printing.controls import number_in_range
    from sim.printing.setup import usual_setup
    from sim.shelf import OWN

    if not options.negative:
        raise Refused("--negative must name a sleeve; `tonewright sleeves` lists them, got none")
    refuse_of_a_course((options.negative,))
    size_mm = sheet_size_mm(options.sheet)  # what costs nothing to refuse comes first
    number_in_range("border_mm", options.border, "--border")
    shelf, negative_name, paper_name = laid_out(options)
    negative, stock = find_negative(negative_name, shelf), find_stock(paper_name, shelf)
    record = usual_setup(
        negative, stock, *size_mm, options.border, time_s, options.f_number, filtration_of(options)
    )
    enlarger = record.enlarger
    for key, value in (("head", options.head), ("lens", options.lens), ("height_mm", options.height)):
        if value is not None:
            enlarger = replace(enlarger, **{key: value})
    if paper_name.startswith(OWN):  # which state of one's own paper, and of one's own head, was meant
        record = replace(record, sheet=replace(record.sheet, paper_digest=paper_digest(paper_name, shelf)))
    if enlarger.head.startswith(OWN):
        enlarger = replace(enlarger, head_digest=head_digest(enlarger.head, shelf))
    return negative, stock, replace(record, enlarger=enlarger)


def laid_out(options: argparse.Namespace) -> tuple[Shelf, str, str]:
    """Return the shelf with the files laid on it that --negative and --paper name by a path, and the names to ask it for."""
    from sim.shelf import NEGATIVE, PAPER, own_shelf

    shelf, negative = own_shelf().with_typed(NEGATIVE, options.negative or "")
    shelf, paper = shelf.with_typed(PAPER, options.paper)
    return shelf, negative, paper


def default_output(options: argparse.Namespace, name: str) -> Path:
    """Return where a picture goes. Raises Refused for a name that promises another kind of file."""
    if options.output:
        png_file("-o", options.output)
    return Path(options.output) if options.output else Path(name.removeprefix("own:"))  # no disk minds that name


def png_file(option: str, text: str) -> Path:
    """Return the file that a picture is written to. Raises Refused where its name promises another kind of file."""
    file = Path(text)
    if file.suffix.lower() not in ("", ".png") and not file.is_dir():
        raise Refused(f"{option} must be a file ending in .png, for a PNG is what is written, got {text!r}")
    return file
