"""tonewright times: seconds by stops, for exposures, dodging and burning, as tables or as a page beside the timer."""

from __future__ import annotations

import argparse
from pathlib import Path

from sim.command.page_options import add_page_options
from sim.refusals import Refused


def add_options(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("base", nargs="*", type=float, default=[10.0], metavar="S", help="base times (default: 10)")
    parser.add_argument(
        "--step", default="1/3", help="step of the exposures: 1/12, 1/6, 1/4, 1/3, 1/2 or 1 stop (default: %(default)s)"
    )
    parser.add_argument("--steps", type=int, default=13, help="how many exposures (default: %(default)s)")
    parser.add_argument("--head", help="make up for what this head loses at a switching; own:NAME for your own")
    parser.add_argument("-o", "--output", metavar="PDF|PNG", help="write the page for the darkroom")
    add_page_options(parser)
    parser.add_argument("--json", action="store_true", help="the tables as JSON")


def run(options: argparse.Namespace) -> int:
    """Show the tables, or write the page."""
    from sim.command.pictures import show_json, show_table
    from sim.enlarger.equipment import find_head
    from sim.notebook.darkroom_page import page_kind, save_page
    from sim.notebook.times import exposure_times_s, local_times, step_of, stops_text
    from sim.notebook.times_page import MOST_BASES, times_page
    from sim.shelf import HEAD, own_shelf

    bases, step = options.base or [10.0], step_of(options.step)
    if len(bases) > MOST_BASES:
        raise Refused(f"base times must be {MOST_BASES} at most, got {len(bases)}")
    head = None
    if options.head:
        shelf, name = own_shelf().with_typed(HEAD, options.head)
        head = find_head(name, shelf)
    if options.output:
        page_kind(Path(options.output))
    times = exposure_times_s(bases[0], step, options.steps, head)
    local = {b: local_times(b, head) for b in bases}
    if options.output:
        save_page(times_page(bases, step, head, options.page, options.large), Path(options.output))
    if options.json:
        tables = {f"{b:g}": [{"stops": float(one.stops), "dodge_s": one.dodge_s, "burn_s": one.burn_s} for one in rows]
                  for b, rows in local.items()}  # fmt: skip
        return show_json({"step_stops": float(step), "exposures_s": list(times), "local": tables})
    rows = [[stops_text(step * k), f"{t:.2f}"] for k, t in enumerate(times)]
    show_table(f"Exposures from {bases[0]:g} s, {stops_text(step)} stop more each", ["stops more", "seconds"], rows)
    for base, found in local.items():
        rows = [
            [stops_text(o.stops), "-" if o.dodge_s is None else f"{o.dodge_s:.2f}", f"{o.burn_s:.2f}"] for o in found
        ]
        show_table(f"Base {base:g} s", ["stops", "hold back, s", "burn in, s"], rows)
    if options.output:
        print(f"Page written to {options.output}")
    return 0
