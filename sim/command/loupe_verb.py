"""tonewright loupe: look at any point of a print, or of the picture on the easel, as through a loupe or a grain focuser."""

from __future__ import annotations

import argparse
from dataclasses import replace

from sim.command.loupe_pictures import point_of, write_focuser, write_loupe
from sim.command.print_verb import asked_for
from sim.command.setting_options import Given, add_setting_options, default_output
from sim.control_ranges import in_range


def add_options(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("record", nargs="*", metavar="RECORD|KEY=VALUE",
                        help="a printing record (JSON), words as `print` takes them, or the set-up below")  # fmt: skip
    parser.add_argument("--at", required=True, metavar="PLACE|X,Y",
                        help="a named place, or mm from the sheet's top left corner")  # fmt: skip
    parser.add_argument("--easel", action="store_true",
                        help="look at the projected picture with a grain focuser, not at the print")  # fmt: skip
    parser.add_argument("--side", type=float, metavar="MM",
                        help="side of the square that is seen, 1 to 60 (default: 20, with --easel 4)")  # fmt: skip
    parser.add_argument("--focus", action=Given, type=float, default=0.0, metavar="MM",
                        help="how far the negative stands from sharp focus (default: %(default)s)")  # fmt: skip
    parser.add_argument("--time", action=Given, type=float, default=10.0, metavar="S",
                        help="exposure time (default: %(default)s)")  # fmt: skip
    parser.add_argument("-o", "--output", metavar="PNG", help="where the picture goes (default: NEGATIVE-loupe.png)")
    parser.add_argument("--lux", type=float, default=500.0, help="viewing light in lux (default: %(default)s)")
    parser.add_argument("--json", action="store_true", help="as JSON instead of words")
    add_setting_options(parser)


def run(options: argparse.Namespace) -> int:
    """Write what the loupe shows; say what contrast the lens keeps there."""
    from sim.command.pictures import show_json
    from sim.printing.controls import number_in_range
    from sim.viewing.loupe import sharpness_at

    if options.side is not None:
        in_range("--side", options.side, 1, 60, "mm")
    number_in_range("focus_offset_mm", options.focus, "--focus")
    negative, stock, record = asked_for(options)
    if not options.record:
        record = replace(record, enlarger=replace(record.enlarger, focus_offset_mm=options.focus))
    x_mm, y_mm = point_of(options.at, "--at", negative, record)
    output = default_output(options, f"{negative.name}-{'easel' if options.easel else 'loupe'}.png")
    if options.easel:
        write_focuser(output, negative, record, (x_mm, y_mm), options.side)
    else:
        write_loupe(output, negative, record, stock, (x_mm, y_mm), options.side, options.lux)
    contrast = sharpness_at(negative, record, x_mm, y_mm)
    if options.json:
        at = {"x_mm": round(x_mm, 2), "y_mm": round(y_mm, 2)}
        return show_json({"loupe": str(output), **at, "contrast_5_lp_mm": round(contrast, 3)})
    print(f"At {x_mm:.0f} mm from the left and {y_mm:.0f} mm from above the lens keeps {100 * contrast:.0f} % of contrast "
          "at 5 lp/mm")  # fmt: skip
    print(f"What the {'grain focuser' if options.easel else 'loupe'} shows: {output}")
    return 0
