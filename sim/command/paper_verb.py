"""tonewright paper: curve family, ISO range and ISO speed of a stock behind every filter."""

from __future__ import annotations

import argparse
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from sim.paper.stock import PaperError


def add_options(parser: argparse.ArgumentParser) -> None:
    """Add the verb's options."""
    parser.add_argument("stock", nargs="?", help="a stock by name or a .toml file; without it, the stocks are listed")
    parser.add_argument("--head", default="diffusion-sheet", help="light of this head (default: %(default)s)")
    parser.add_argument("--development", type=float, metavar="S", help="seconds in the developer (default: to completion)")
    parser.add_argument("--plot", metavar="PNG", help="write the curve family as a picture")
    parser.add_argument("--json", action="store_true", help="the table as JSON")


def run(options: argparse.Namespace) -> int:
    """Show what the paper can do."""
    from sim.command.pictures import show_json, show_table
    from sim.paper.stock import find_stock, stock_names

    if not options.stock:
        stocks = [find_stock(name) for name in stock_names()]
        if options.json:
            return show_json([{"name": s.name, "title": s.title} for s in stocks])
        return show_table("Papers on the shelf", ["name", "what it is"], [[s.name, s.title] for s in stocks])
    from sim.command.setting_options import png_file
    from sim.printing.paper_family import paper_family
    from sim.shelf import PAPER, own_shelf

    shelf, name = own_shelf().with_typed(PAPER, options.stock)
    family = paper_family(find_stock(name, shelf), options.head, options.development)
    if options.plot:
        from sim.workshop.paper_plot import paper_plot_png
        from sim.writing import write_bytes

        write_bytes(png_file("--plot", options.plot), paper_plot_png(family))
    if options.json:
        error = None if family.stock.error is None else family.stock.error.as_data()
        filters = [m.as_data() for m in family.members]
        return show_json({"stock": options.stock, "head": options.head, "error": error, "filters": filters})
    rows = [
        [m.label, f"{m.iso_range:.0f}", f"{m.iso_speed:.0f}", f"{round(m.stops_from_two, 2) + 0.0:+.2f}", f"{m.net_dmax:.2f}",
         f"{m.mean_gradient:.2f}"]
        for m in family.members
    ]  # fmt: skip
    columns = ["filter", "ISO R", "ISO P", "stops more than filter 2", "net Dmax", "gradient 0.6-1.2"]
    show_table(f"{family.stock.title}, {options.head}", columns, rows)
    print(_how_well_known(family.stock.error))
    if options.plot:
        print(f"Curves written to {options.plot}")
    return 0


def _how_well_known(error: PaperError | None) -> str:
    """Return how far a real paper of this kind may be from these curves."""
    if error is None:
        return "Nobody says how well these curves are known."
    text = f"How well these curves are known, from net 0.60: {error.along_curve:.3f} D rms along a curve nobody measured"
    if error.at_ends is not None:
        text += f", {error.at_ends:.3f} D at the softest and hardest light"
    if error.worst is not None:
        text += f", at worst {error.worst:.2f} D where a curve is steep"
    return text + "."
