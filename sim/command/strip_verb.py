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


def add_options(parser: argparse.ArgumentParser) -> None:
    """Add the verb's options."""
    parser.add_argument("--first", type=float, default=4.0, metavar="S", help="first step (default: %(default)s)")
    parser.add_argument("--steps", type=int, default=7, help="number of steps (default: %(default)s)")
    group = parser.add_mutually_exclusive_group()
    group.add_argument("--stops", type=float, default=0.5, help="steps this many stops apart (default: %(default)s)")
    group.add_argument("--seconds", type=float, help="steps this many seconds apart instead")
    parser.add_argument("--way", choices=("bursts", "covered", "same-place", "burn", "flash"), default="covered",
                        help="switch the lamp for every step, cover with the lamp on, move the paper under a slot; burn: steps "
                             "of burn at one place over the exposures of --over; flash: steps of light without the negative")
    parser.add_argument("--along", type=float, default=90.0, metavar="DEG",
                        help="direction of growing time: 0 right, 90 down (default: %(default)s)")
    parser.add_argument("--whole-sheet", action="store_true", help="use a whole sheet instead of a quarter")
    parser.add_argument("--at", metavar="PLACE", help="lay the strip across this place of the negative")
    parser.add_argument("--over", metavar="FILTER:S", help="lay it over a uniform exposure, e.g. 00:6 for 6 s at filter 00")
    parser.add_argument("--dimmed", type=float, default=0.0, metavar="STOPS", help="hold a flash's light back by so much")
    parser.add_argument("-o", "--output", metavar="PNG", help="where the strip goes (default: NEGATIVE-strip.png)")
    parser.add_argument("--save-record", metavar="JSON", help="write the record behind the strip")
    parser.add_argument("--json", action="store_true", help="readings as JSON instead of a table")
    add_setting_options(parser)


def _on_its_paper(
    options: argparse.Namespace, negative: Negative, record: PrintingRecord
) -> tuple[PrintingRecord, tuple[float, float] | None]:
    """Return the record on the strip's paper, and where the place asked for lies on it (None: a whole sheet, no border)."""
    from sim.printing.setup import strip_on

    if options.whole_sheet:
        return replace(record, sheet=replace(record.sheet, border_mm=0.0)), None
    place = named_place(negative, "--at", options.at) if options.at is not None else None
    x, y = (place.x, place.y) if place else (0.5, 0.5)
    piece = strip_on(negative, record, x, y, abs(options.along % 180 - 90) < 45)
    return piece.record, piece.at_mm


def _times(options: argparse.Namespace, over: tuple[Exposure, ...]) -> tuple[float, ...]:
    """Return the steps' total times, even seconds or even stops apart."""
    from sim.printing.strips import linear_times_s, stop_times_s

    if options.dimmed and options.way != "flash":
        raise Refused(f"--dimmed must stand with --way flash only, got --way {options.way}")
    if options.way == "burn" and not options.over:
        raise Refused("--way burn must have the exposure that is burnt in over: --over FILTER:S, got none")
    if options.way == "burn" and options.seconds is None:  # stops more than the base exposure, the first step none
        base_s = over[0].time_s
        return tuple(base_s * (2.0 ** (options.stops * k) - 1.0) for k in range(options.steps))
    if options.seconds is not None:
        return linear_times_s(options.first, options.seconds, options.steps)
    return stop_times_s(options.first, options.stops, options.steps)


def run(options: argparse.Namespace) -> int:
    """Lay, print and read the strip."""
    from sim.command.pictures import save_print, show_json, show_steps, steps_data
    from sim.command.printing_lines import then_said
    from sim.notebook.control_words import filter_words
    from sim.printing.make_print import make_print
    from sim.printing.record_file import write_record
    from sim.printing.strips import lay_strip
    from sim.viewing.strip_reading import shown_in_every_step, steps_read

    negative, stock, record = set_up_from(options)
    record, home_mm = _on_its_paper(options, negative, record)
    exposure = record.exposures[0]
    over = (then_said(exposure, options.over, "--over"),) if options.over else ()
    strip = lay_strip(
        record, _times(options, over), exposure.f_number, exposure.filter, options.way, options.along, over, home_mm,
        options.dimmed,
    )
    output = default_output(options, f"{negative.name}-strip.png")
    sheet = make_print(negative, strip.record, stock)
    save_print(output, sheet, strip.steps)
    if options.save_record:
        write_record(Path(options.save_record), strip.record)
    steps = steps_read(negative, strip.record, sheet)
    if options.json:
        show_json({"strip": str(output), "steps": steps_data(steps)})
        return 0
    title = f"{options.way} strip of {negative.name}, {filter_words(exposure.filter)}, f/{exposure.f_number:g}"
    show_steps(steps, title)
    if options.at and options.at not in shown_in_every_step(negative, strip.record):
        print(f"Not every step shows {options.at}: a step can only be called right for a place that all of them show.")
    print(f"Strip written to {output}")
    return 0
