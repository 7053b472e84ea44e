"""tonewright proof: the proof sheet of a roll, all frames printed alike."""

from __future__ import annotations

import argparse
from pathlib import Path
from typing import TYPE_CHECKING

from sim.command.page_options import add_page_options
from sim.refusals import Refused

if TYPE_CHECKING:
    from sim.notebook.proof import Proof


def add_options(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("negatives", nargs="*", metavar="SLEEVE", help="sleeves by name or .toml files, in the order of the "
                        "roll; a folder stands for all sleeves in it")  # fmt: skip
    parser.add_argument("--paper", default="glossy-rc-vc", help="a stock by name or a .toml file (default: %(default)s)")
    parser.add_argument("--filter", default="2", help="graded filter 00 to 5, or 'none' (default: %(default)s)")
    parser.add_argument("--f-number", type=float, default=8.0, help="aperture (default: %(default)s)")
    parser.add_argument("--head", help="another head than the usual one; own:NAME for the seconds of your own")
    parser.add_argument("--title", default="Proof sheet", help="what stands at its head (default: %(default)s)")
    parser.add_argument("--evening", metavar="FOLDER", help="the roll is what was printed in this evening of the notebook, in "
                        "its order; or the folder's evening.jsonl")  # fmt: skip
    parser.add_argument("--mark", metavar="N,N", help="mark these frames as worth printing: they are ringed, and "
                        "window and notebook show it")  # fmt: skip
    parser.add_argument("--unmark", metavar="N,N", help="take the mark of these frames away")
    add_page_options(parser)
    parser.add_argument("-o", "--output", default="proof.pdf", metavar="PDF|PNG", help="where it goes (default: %(default)s)")
    parser.add_argument("--picture", metavar="PNG", help="the same as a picture beside it, to look at")
    parser.add_argument("--json", action="store_true", help="time and frames as JSON")


def run(options: argparse.Namespace) -> int:
    """Print the frames and lay them on a page."""
    from sim.negative.develop import find_negative
    from sim.notebook.darkroom_page import page_kind, save_page
    from sim.notebook.proof import MOST_FRAMES, proof_of
    from sim.notebook.proof_page import proof_page
    from sim.notebook.worth_printing import mark_frames, marked_frames, with_marks
    from sim.paper.stock import find_stock
    from sim.shelf import NEGATIVE, PAPER, data_of_ones_own, own_shelf

    page_kind(Path(options.output))
    if options.picture and page_kind(Path(options.picture), "--picture") != "png":
        raise Refused(f"--picture must be a .png file, got {Path(options.picture).name!r}")
    if options.picture and _same(options.output, options.picture):
        raise Refused(f"--picture must be another file than that of -o, got {Path(options.picture).name!r} for both")
    names = _of_evening(Path(options.evening)) if options.evening else []
    names += [one for text in options.negatives for one in _sleeves(text)]
    if not 1 <= len(names) <= MOST_FRAMES:
        raise Refused(f"a proof sheet must hold 1 to {MOST_FRAMES} frames, got {len(names)}")
    shelf, stock_name = own_shelf().with_typed(PAPER, options.paper)
    stock, negatives = find_stock(stock_name, shelf), []
    for text in names:
        here, name = shelf.with_typed(NEGATIVE, text)
        negatives.append(find_negative(name, here))
    mark, unmark = ([negatives[n - 1].name for n in _frames_said(options, key, len(names))] for key in ("mark", "unmark"))
    marked = with_marks(marked_frames(data_of_ones_own()), mark, unmark)
    proof = proof_of(negatives, stock, options.filter, options.f_number, options.head)
    pages = proof_page(proof, options.title, options.page, options.large, marked)
    for file in _files(options):
        save_page(pages, file)
    if mark or unmark:
        mark_frames(data_of_ones_own(), mark, unmark)
    _tell(options, proof, marked)
    return 0


def _tell(options: argparse.Namespace, proof: Proof, marked: tuple[str, ...]) -> None:
    """Say how every frame stands to the roll, and which are marked."""
    from sim.command.pictures import show_json, show_table

    if options.json:
        frames = [{"frame": f.number, "negative": f.negative.name, "stops_from_roll": round(f.stops_from_roll, 2),
                   "stands_out": f.stands_out, "white_share": round(f.white_share, 4), "black_share": round(f.black_share, 4),
                   "worth_printing": f.negative.name in marked}
                  for f in proof.frames]  # fmt: skip
        show_json({"proof": options.output, "time_s": proof.time_s, "frames": frames})
        return
    rows = [[str(f.number), f.negative.name, f"{f.stops_from_roll:+.1f}", f.stands_out or "-", f"{100 * f.white_share:.0f} %",
             f"{100 * f.black_share:.0f} %", "yes" if f.negative.name in marked else "-"] for f in proof.frames]  # fmt: skip
    columns = ["frame", "negative", "stops of light from the roll", "it is", "paper white", "full black", "worth printing"]
    show_table(f"Proof at {proof.time_s:.1f} s, filter {options.filter}, f/{options.f_number:g}", columns, rows)
    print(f"Proof sheet written to {' and '.join(map(str, _files(options)))}")


def _frames_said(options: argparse.Namespace, key: str, count: int) -> list[int]:
    """Return the numbers of frames that were typed, as 3,7. Raises Refused."""
    words = [one.strip() for one in (getattr(options, key) or "").split(",") if getattr(options, key) is not None]
    for word in words:
        if not word.isdecimal() or not 1 <= int(word) <= count:
            raise Refused(f"--{key} must be numbers of frames from 1 to {count}, such as 3,7, got {word[:40]!r}")
    return [int(word) for word in words]


def _same(one: str, other: str) -> bool:
    """Tell whether two paths are one file, however they are written."""
    return Path(one).resolve() == Path(other).resolve()


def _files(options: argparse.Namespace) -> list[Path]:
    """Return where the sheet goes: the page, and its picture where one is wanted."""
    return [Path(text) for text in (options.output, options.picture) if text]


def _of_evening(where: Path) -> list[str]:
    """Return the negatives of an evening in the order in which they were printed first. Raises OutsideError."""
    from sim.evening.evening import Evening

    evening = Evening.look(where / "evening.jsonl" if where.is_dir() else where)
    found = list(dict.fromkeys(made.record.negative for made in evening.state.sheets))
    if not found:
        raise Refused(f"--evening must be one in which something was printed, got {where.name}")
    return found


def _sleeves(text: str) -> list[str]:
    """Return the sleeve meant, or all in a folder in the order of their names."""
    folder = Path(text)
    if not folder.is_dir():
        return [text]
    found = sorted(str(file) for file in folder.glob("*.toml"))
    if not found:
        raise Refused(f"{folder.name}: must be a folder with sleeves (.toml) in it, got none")
    return found
