"""tonewright meter: the easel meter at the named places, and the time that keeps a tone when something is changed."""

from __future__ import annotations

import argparse
from dataclasses import replace

from sim.command.setting_options import add_setting_options, named_place, set_up_from
from sim.refusals import Refused


def add_options(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("--time", type=float, default=10.0, metavar="S", help="time before the change (default: %(default)s)")
    parser.add_argument("--keep", metavar="PLACE", help="place whose tone is to stay (default: the lightest)")
    parser.add_argument("--to-filter", help="change to this graded filter, or 'none'")
    parser.add_argument("--to-f-number", type=float, help="change to this aperture")
    parser.add_argument("--to-height", type=float, metavar="MM", help="change to this height")
    parser.add_argument("--json", action="store_true", help="as JSON instead of a table")
    add_setting_options(parser)


def run(options: argparse.Namespace) -> int:
    """Read the light; with a change, say the new time."""
    from sim.command.pictures import show_json, show_table
    from sim.enlarger.filters import FilterSetting
    from sim.notebook.control_words import filter_words
    from sim.printing.exposure import LightCache
    from sim.viewing.easel_meter import read_meter, time_that_keeps_tone

    if options.keep is not None and (options.to_filter, options.to_f_number, options.to_height) == (None, None, None):
        raise Refused("--keep needs a change to keep the tone through: --to-filter, --to-f-number or --to-height, got none")
    negative, stock, record = set_up_from(options, options.time)
    if not negative.places:
        raise Refused(f"{negative.name} names no places to meter")
    lights = LightCache()
    first = read_meter(negative, record, negative.places[0], lights)
    readings = [read_meter(negative, record, place, lights, first) for place in negative.places]
    exposure = record.exposures[0]
    if options.to_filter is not None:
        exposure = replace(exposure, filter=FilterSetting.named(options.to_filter))
    if options.to_f_number is not None:
        exposure = replace(exposure, f_number=options.to_f_number)
    after = record.with_exposures(exposure)
    if options.to_height is not None:
        after = replace(after, enlarger=replace(after.enlarger, height_mm=options.to_height))
    lightest = next((p.name for p in negative.places if p.part == "lightest"), negative.places[0].name)
    place = named_place(negative, "--keep", lightest if options.keep is None else options.keep)
    new = None
    if after != record:
        new = (place.name, *time_that_keeps_tone(negative, record, after, place, stock, lights))
    if options.json:
        rows = [{"place": r.place, "lux": round(r.illuminance_lux, 5), "stops": r.stops_from_reference} for r in readings]
        change = {"keeps": new[0], "time_s": round(new[1], 3), "factor": round(new[2], 4)} if new else None
        return show_json({"light": rows, "change": change})
    table = [[r.place, f"{r.illuminance_lux:.3f}", f"{r.stops_from_reference or 0.0:+.2f}"] for r in readings]
    show_table(f"Easel light, {filter_words(record.exposures[0].filter)}", ["place", "lux", f"stops from {first.place}"], table)
    if new:
        print(f"To keep the tone of {new[0]}: {new[1]:.1f} s instead of {options.time:g} s (factor {new[2]:.2f})")
    return 0
