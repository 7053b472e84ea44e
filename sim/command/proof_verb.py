"""tonewright proof: the proof sheet of a roll, all frames printed alike."""

from __future__ import annotations

import argparse
from pathlib import Path

from sim.refusals import Refused


def add_options(parser: argparse.ArgumentParser) -> None:
    """Add the verb's options."""
    parser.add_argument("negatives", nargs="+", metavar="SLEEVE", help="sleeves by name or .toml files, in the order of the "
                        "roll; a folder stands for all sleeves in it")  # fmt: skip
    parser.add_argument("--paper", default="glossy-rc-vc", help="a stock by name or a .toml file (default: %(default)s)")
    parser.add_argument("--filter", default="2", help="graded filter 00 to 5, or 'none' (default: %(default)s)")
    parser.add_argument("--f-number", type=float, default=8.0, help="aperture (default: %(default)s)")
    parser.add_argument("--head", help="another head than the usual one; own:NAME for the seconds of your own")
    parser.add_argument("--title", default="Proof sheet", help="what stands at its head (default: %(default)s)")
    parser.add_argument("--page", choices=("a4", "letter"), default="a4", help="size of the page (default: %(default)s)")
    parser.add_argument("-o", "--output", default="proof.pdf", metavar="PDF|PNG", help="where it goes (default: %(default)s)")
    parser.add_argument("--json", action="store_true", help="time and frames as JSON")


def run(options: argparse.Namespace) -> int:
    """Print the frames and lay them on a page."""
    from sim.command.pictures import show_json, show_table
    from sim.negative.develop import find_negative
    from sim.notebook.darkroom_page import page_kind, save_page
    from sim.notebook.proof import MOST_FRAMES, proof_of
    from sim.notebook.proof_page import proof_page
    from sim.paper.stock import find_stock
    from sim.shelf import NEGATIVE, PAPER, own_shelf

    page_kind(Path(options.output))
    names = [one for text in options.negatives for one in _sleeves(text)]
    if len(names) > MOST_FRAMES:
        raise Refused(f"a proof sheet must hold 1 to {MOST_FRAMES} frames, got {len(names)}")
    shelf, stock_name = own_shelf().with_typed(PAPER, options.paper)
    stock, negatives = find_stock(stock_name, shelf), []
    for text in names:
        here, name = shelf.with_typed(NEGATIVE, text)
        negatives.append(find_negative(name, here))
    proof = proof_of(negatives, stock, options.filter, options.f_number, options.head)
    save_page(proof_page(proof, options.title, options.page), Path(options.output))
    if options.json:
        frames = [{"frame": f.number, "negative": f.negative.name, "stops_from_roll": round(f.stops_from_roll, 2),
                   "stands_out": f.stands_out, "white_share": round(f.white_share, 4), "black_share": round(f.black_share, 4)}
                  for f in proof.frames]  # fmt: skip
        show_json({"proof": options.output, "time_s": proof.time_s, "frames": frames})
        return 0
    rows = [[str(f.number), f.negative.name, f"{f.stops_from_roll:+.1f}", f.stands_out or "-", f"{100 * f.white_share:.0f} %",
             f"{100 * f.black_share:.0f} %"] for f in proof.frames]  # fmt: skip
    columns = ["frame", "negative", "stops of light from the roll", "it is", "paper white", "full black"]
    show_table(f"Proof at {proof.time_s:.1f} s, filter {options.filter}, f/{options.f_number:g}", columns, rows)
    print(f"Proof sheet written to {options.output}")
    return 0


def _sleeves(text: str) -> list[str]:
    """Return the sleeve meant, or all in a folder in the order of their names."""
    folder = Path(text)
    if not folder.is_dir():
        return [text]
    found = sorted(str(file) for file in folder.glob("*.toml"))
    if not found:
        raise Refused(f"{folder.name}: must be a folder with sleeves (.toml) in it, got none")
    return found
