"""tonewright ring: a ring-around, nine small prints to choose time and filter from."""

from __future__ import annotations

import argparse
from typing import TYPE_CHECKING, Any

from sim.command.setting_options import add_setting_options, default_output, set_up_from
from sim.refusals import Refused

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from sim.negative.negative import Negative


def add_options(parser: argparse.ArgumentParser) -> None:
    """Add the verb's options."""
    parser.add_argument("--time", type=float, default=10.0, metavar="S", help="time of the middle print (default: %(default)s)")
    parser.add_argument("--stops", type=float, default=0.5, help="less and more light by this (default: %(default)s)")
    parser.add_argument("--filters", default="1,2,3", help="soft, middle and hard filter (default: %(default)s)")
    parser.add_argument("-o", "--output", metavar="PNG", help="where the sheet goes (default: NEGATIVE-ring.png)")
    parser.add_argument("--json", action="store_true", help="readings as JSON instead of a table")
    add_setting_options(parser)


def run(options: argparse.Namespace) -> int:
    """Make the prints, put them on one sheet, show what the ends read."""
    import numpy as np

    from sim.command.pictures import readings_of, show_json
    from sim.printing.exposure import LightCache
    from sim.printing.make_print import make_print
    from sim.printing.strips import ring_around
    from sim.viewing.lightness import screen_values
    from sim.writing import write_png

    if not 0.05 <= options.stops <= 3.0:
        raise Refused(f"--stops must be between 0.05 and 3, got {options.stops:g}")
    negative, stock, record = set_up_from(options, options.time)
    output, lights = default_output(options, f"{negative.name}-ring.png"), LightCache()
    rows: list[NDArray[Any]] = []
    found: list[dict[str, Any]] = []
    for cells in ring_around(record, options.stops, tuple(options.filters.split(","))):
        pictures = []
        for cell in cells:
            sheet = make_print(negative, cell.record, stock, lights=lights)
            step = max(1, sheet.density.shape[1] // 500)
            pictures.append(np.pad(screen_values(sheet.density[::step, ::step]), 8, constant_values=120))
            label = f"filter {cell.filtration.name}, {cell.stops:+g} stop"
            found.append({"print": label, "readings": readings_of(sheet, negative)})
        rows.append(np.concatenate(pictures, axis=1))
    write_png(output, np.concatenate(rows, axis=0))
    if options.json:
        show_json({"ring": str(output), "prints": found})
        return 0
    _show_ends(negative, found)
    print(f"Ring-around written to {output}")
    return 0


def _show_ends(negative: Negative, found: list[dict[str, Any]]) -> None:
    """Show what the lightest and darkest places read on every print."""
    from sim.command.pictures import show_table

    ends = [p for p in negative.places if p.part in ("lightest", "darkest")] or list(negative.places[:2])
    names = [place.name for place in ends]
    table = []
    for item in found:
        by_name = {r["place"]: r["print_density"] for r in item["readings"]}
        table.append([str(item["print"]), *(f"{by_name[name]:.2f}" if name in by_name else "" for name in names)])
    show_table(f"Ring-around of {negative.name}, rows soft to hard, columns less to more light", ["print", *names], table)
