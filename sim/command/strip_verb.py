"""tonewright strip: lay a test strip, print it, read its steps."""

from __future__ import annotations

import argparse
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

from sim.command.setting_options import add_setting_options, default_output, named_place, set_up_from
from sim.refusals import Refused

if TYPE_CHECKING:
    from sim.negative.negative import Negative
    from sim.printing.record import Exposure, PrintingRecord
    from sim.printing.strips import Strip

FIRST_S = 4.0  # chosen: with seven half stops a strip goes from 4 to 32 s

WAYS_SAID = {
    "covered": "covered step by step", "bursts": "in bursts", "same-place": "at the same place",
    "burn": "of burns at one place", "flash": "of flashes", "local-flash": "of flashes at one place",
}  # fmt: skip


def add_options(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("--first", type=float, metavar="S", help=f"first step (default: {FIRST_S:g}; of burns in stops none)")
    parser.add_argument("--steps", type=int, default=7, help="number of steps (default: %(default)s)")
    group = parser.add_mutually_exclusive_group()
    group.add_argument("--stops", type=float, default=0.5, help="steps this many stops apart (default: %(default)s)")
    group.add_argument("--seconds", type=float, help="steps this many seconds apart instead")
    parser.add_argument("--way", choices=("bursts", "covered", "same-place", "burn", "flash", "local-flash"), default="covered",
                        help="switch the lamp for every step, cover with the lamp on, move the paper under a slot; burn: steps "
                             "of burn at one place over the exposure of --over; flash: steps of light without the negative; "
                             "local-flash: such steps at one place over the exposure of --over")
    parser.add_argument("--along", type=float, default=90.0, metavar="DEG",
                        help="direction of growing time: 0 right, 90 down (default: %(default)s)")
    parser.add_argument("--whole-sheet", action="store_true", help="use a whole sheet instead of a quarter")
    parser.add_argument("--at", metavar="PLACE", help="lay the strip across this place of the negative")
    parser.add_argument("--over", metavar="FILTER:S", help="lay it over a uniform exposure, e.g. 00:6 for 6 s at filter 00")
    parser.add_argument("--through", metavar="MM[xMM]", help="burn, or flash, through the hole of a card held over the place, "
                        "as over the print: its size, and if wanted :height=MM, :angle=DEG, :still, as 40x60:height=80")
    parser.add_argument("--past", metavar="SIDE:MM", help="burn, or flash, past the edge of a card: its light side (top, "
                        "bottom, left, right) and how far beyond the place the edge is; then :height=MM, :still, as top:15")
    parser.add_argument("--dimmed", type=float, metavar="STOPS", help="hold a flash's light back by so much (default: 5)")
    parser.add_argument("-o", "--output", metavar="PNG", help="where the strip goes (default: NEGATIVE-strip.png)")
    parser.add_argument("--save-record", metavar="JSON", help="write the record behind the strip")
    parser.add_argument("--json", action="store_true", help="readings as JSON instead of a table")
    add_setting_options(parser)


def _on_its_paper(
    options: argparse.Namespace, negative: Negative, record: PrintingRecord
) -> tuple[PrintingRecord, tuple[float, float] | None]:
    """Return the record on the strip's paper, and where the place asked for lies on it (None: a whole sheet, no place)."""
    from sim.printing.make_print import place_on_sheet
    from sim.printing.setup import strip_on

    place = named_place(negative, "--at", options.at) if options.at is not None else None
    if options.whole_sheet:
        record = replace(record, sheet=replace(record.sheet, border_mm=0.0))
        return record, None if place is None else place_on_sheet(negative, record, place)
    x, y = (place.x, place.y) if place else (0.5, 0.5)
    piece = strip_on(negative, record, x, y, abs(options.along % 180 - 90) < 45)
    return piece.record, piece.at_mm


def _times(options: argparse.Namespace, over: tuple[Exposure, ...]) -> tuple[float, ...]:
    """Return the steps' total times, even seconds or even stops apart."""
    from sim.command.printing_lines import check_burnt_past
    from sim.printing.record import FLASHES
    from sim.printing.strips import step_times_s

    if options.dimmed is not None and options.way not in FLASHES:
        raise Refused(f"--dimmed must stand with --way flash or local-flash only, got --way {options.way}")
    check_burnt_past(options.way, options.through, options.past, bool(over), "--")
    burnt_over_s = over[0].time_s if options.way == "burn" else None
    if options.first is not None and burnt_over_s is not None and options.seconds is None:
        raise Refused(
            f"--first must be left out of a strip of burns in stops, whose first step is not burnt in, got {options.first:g}; "
            "with --seconds the burns begin there"
        )
    first_s = FIRST_S if options.first is None else options.first
    return step_times_s(first_s, options.stops, options.seconds, options.steps, burnt_over_s)


def run(options: argparse.Namespace) -> int:
    """Lay, print and read the strip."""
    from sim.command.pictures import fineness_said, save_print, show_json, show_steps, steps_data
    from sim.notebook.control_words import filter_words
    from sim.notebook.record_words import strip_lines
    from sim.printing.flash import only_flashed
    from sim.printing.make_print import make_print
    from sim.printing.picture_fineness import picture_of
    from sim.printing.record_file import write_record
    from sim.viewing.strip_reading import shown_in_every_step, steps_read

    negative, stock, record = set_up_from(options)
    exposure, strip = record.exposures[0], _laid(options, negative, record)
    output = default_output(options, f"{negative.name}-strip.png")
    sheet = make_print(negative, strip.record, stock)
    picture, fineness = picture_of(negative, strip.record, stock, sheet)
    save_print(output, picture, strip.steps)
    if options.save_record:
        write_record(Path(options.save_record), strip.record)
    steps = steps_read(negative, strip.record, sheet)
    if options.json:
        return show_json({"strip": str(output), "steps": steps_data(steps)})
    way = WAYS_SAID[options.way]
    title = f"Strip of {negative.name}, {way}, {filter_words(exposure.filter)}, f/{exposure.f_number:g}"
    show_steps(steps, title)
    for line in _unseen_lines(options.way, [one.density - sheet.base_plus_fog for one in steps]):
        print(line)
    if options.through or options.past:
        print("; ".join(strip_lines(strip.record)) + ".")
    if only_flashed(strip.record):
        print("Flashes alone: no step shows anything of the picture.")
    elif options.at and options.at not in shown_in_every_step(negative, strip.record):
        print(f"Not every step shows {options.at}: a step can only be called right for a place that all of them show.")
    for line in fineness_said(fineness):
        print(line)
    print(f"Strip written to {output}")
    return 0


def _unseen_lines(way: str, net_densities: list[float]) -> list[str]:
    """Return in words that no step of a flash strip shows a tone yet; nothing where one does."""
    from sim.printing.flash import UNSEEN_NET_DENSITY

    if way != "flash" or max(net_densities, default=1.0) > UNSEEN_NET_DENSITY:
        return []
    return ["No step shows a tone yet: what the paper bears unseen lies beyond the last. Give longer, or dim less (--dimmed)."]


def _laid(options: argparse.Namespace, negative: Negative, record: PrintingRecord) -> Strip:
    """Return the strip that the options ask for."""
    from sim.command.printing_lines import burnt_past, then_said
    from sim.printing.flash import USUAL_DIMMED_STOPS
    from sim.printing.record import FLASHES
    from sim.printing.strips import lay_strip

    record, home_mm = _on_its_paper(options, negative, record)
    exposure = record.exposures[0]
    over = (then_said(exposure, options.over, "--over"),) if options.over else ()
    usual = USUAL_DIMMED_STOPS if options.way in FLASHES else 0.0
    strip = lay_strip(
        record, _times(options, over), exposure.f_number, exposure.filter, options.way, options.along, over, home_mm,
        usual if options.dimmed is None else options.dimmed,
    )
    middle = home_mm or (record.sheet.width_mm / 2, record.sheet.height_mm / 2)
    return burnt_past(strip, record, options.through, options.past, middle, "--")
