"""tonewright calibrate: one's own paper and enlarger from readings, and the pages that say what to print for them."""

from __future__ import annotations

import argparse
from pathlib import Path
from typing import TYPE_CHECKING, Any

from sim.command.page_options import add_page_options
from sim.plain_text import as_sentence
from sim.refusals import OutsideError, Refused

if TYPE_CHECKING:
    from sim.bench.own_papers import FoundPaper
    from sim.calibration.own_curves import Behind
    from sim.calibration.readings_csv import Wedge
    from sim.calibration.wedge_strips import PaperReadings
    from sim.shelf import Shelf


def add_options(parser: argparse.ArgumentParser) -> None:
    """Add what can be calibrated, each with its options."""
    kinds = parser.add_subparsers(dest="kind", metavar="WHAT", required=True)
    recipe = kinds.add_parser("recipe", help="a page to print: what to make and how to read it")
    recipe.add_argument(
        "what", nargs="?", choices=("paper", "enlarger"), default="paper",
        help="strips for your own paper, or patches for your own enlarger, with a table to fill (default: %(default)s)",
    )  # fmt: skip
    recipe.add_argument("-o", "--output", metavar="PDF|PNG", help="where it goes (default: wedge- or enlarger-recipe.pdf)")
    add_page_options(recipe)
    _paper_options(kinds.add_parser("paper", help="a paper of one's own from strips of a step wedge"))
    from sim.command import own_enlarger_options

    own_enlarger_options.add_options(
        kinds.add_parser("enlarger", help="an enlarger of one's own from prints made with it")
    )


def _paper_options(parser: argparse.ArgumentParser) -> None:
    parser.add_argument(
        "readings", help="a CSV table of readings; with --scan, of seconds alone (row,wedge,00,5 and seconds)"
    )
    parser.add_argument("--name", required=True, help="name of the paper on your own shelf, such as my-warm-fb")
    parser.add_argument("--title", help="what the paper is called in tables (default: from its name)")
    parser.add_argument(
        "--from",
        dest="generic",
        default="glossy-fb-vc",
        metavar="PAPER",
        help="the paper on the shelf to begin "
        "from: its support, surface, and what the readings leave open (default: %(default)s)",
    )
    parser.add_argument("--read-on", default="", metavar="DATE", help="when it was read, kept with its numbers")
    parser.add_argument(
        "--wedge", metavar="STEPS,FIRST,STEP", help="the wedge: number of steps, first density, difference"
    )
    parser.add_argument("--head", default="diffusion-sheet", help="the head it was printed with (default: %(default)s)")
    parser.add_argument("--lens", default="150-mm", help="the lens (default: %(default)s)")
    parser.add_argument(
        "--height", type=float, metavar="MM", help="negative stage to paper, carrier empty, wedge on the paper"
    )
    parser.add_argument("--f-number", type=float, default=8.0, help="aperture (default: %(default)s)")
    parser.add_argument(
        "--lux", type=float, help="light on the paper without filter, read with a meter, in place of --height"
    )
    _scan_options(parser)
    parser.add_argument(
        "--as-it-is", action="store_true",
        help="take readings that look slipped, changed over, or of another wedge: you have looked, and they are so",
    )  # fmt: skip
    parser.add_argument(
        "--anew", action="store_true", help="put the paper in the place of one of that name that lies on your own shelf"
    )
    parser.add_argument("--report", metavar="PDF|PNG", help="the page of curves (default: NAME-paper.pdf)")
    parser.add_argument("--json", action="store_true", help="what was found, as JSON")
    add_page_options(parser)


def _scan_options(parser: argparse.ArgumentParser) -> None:
    """Add where strips and grey scale lie in a flatbed scan."""
    parser.add_argument("--scan", metavar="FILE", help="a flatbed scan of the strips beside a grey scale")
    parser.add_argument(
        "--grey",
        metavar="L,T,R,B,STEPS,FIRST,STEP",
        help="where the grey scale lies in the scan, as fractions, and its reflection densities",
    )
    parser.add_argument(
        "--strip",
        action="append",
        default=[],
        metavar="SETTING=L,T,R,B",
        help="where a strip lies in the scan; or its four corners, eight numbers; may be repeated",
    )
    parser.add_argument(
        "--rows", metavar="grey,00,2,5",
        help="the grey scale and the strips in the order they lie in the scan, from the top down or left to right, black paper "
        "behind them: their steps are found by themselves; --grey is then STEPS,FIRST,STEP",
    )  # fmt: skip
    parser.add_argument("--white", metavar="L,T,R,B", help="a piece of unexposed paper in the scan")


def run(options: argparse.Namespace) -> int:
    """Print the recipe, or fit what was read."""
    if options.kind == "recipe":
        return _recipe(options)
    if options.kind == "enlarger":
        from sim.command.own_enlarger_options import run as run_enlarger

        return run_enlarger(options)
    return _paper(options)


def _recipe(options: argparse.Namespace) -> int:
    """Write the page that says what to print for one's own paper or enlarger."""
    from sim.notebook.darkroom_page import save_page
    from sim.notebook.enlarger_recipe_page import enlarger_recipe
    from sim.notebook.wedge_recipe_page import wedge_recipe

    of_paper = options.what == "paper"
    out = Path(options.output or ("wedge-recipe.pdf" if of_paper else "enlarger-recipe.pdf"))
    files = save_page((wedge_recipe if of_paper else enlarger_recipe)(options.page, options.large), out)
    print(f"Recipe written to {' and '.join(map(str, files))}")
    return 0


def _paper(options: argparse.Namespace) -> int:
    """Fit the paper; nothing is written before all is sound."""
    from sim.bench.own_papers import lies_there, plain_name_of, title_of
    from sim.notebook.darkroom_page import page_kind, save_page
    from sim.shelf import HEAD, PAPER, own_shelf

    plain_name_of(options.name, "--name")
    if not options.anew and lies_there(options.name, paper=True):
        raise Refused(
            f"own:{options.name} lies on your own shelf already, and would be lost. Give another --name, or say --anew. "
            "Nothing was written"
        )
    report = Path(options.report or f"{options.name}-paper.pdf")
    page_kind(report, "--report")
    shelf, generic_name = own_shelf().with_typed(PAPER, options.generic)
    shelf, head_name = shelf.with_typed(HEAD, options.head)
    found = _found(options, generic_name, head_name, shelf)
    title = options.title or title_of(options.name)
    page = found.page(title, options.page, options.large)
    file = found.keep(options.name, title, options.read_on)
    save_page(page, report)
    return _show(options, found, (title, file, report))


def _found(options: argparse.Namespace, generic_name: str, head_name: str, shelf: Shelf) -> FoundPaper:
    """Return what the readings tell; where another story of them is likelier, the way to insist is said."""
    from sim.bench.own_papers import paper_of
    from sim.calibration.contradictions import Doubted

    try:
        return paper_of(_readings(options), generic_name, head_name, shelf, options.as_it_is)
    except Doubted as error:
        doubt = as_sentence(str(error))
        raise Refused(f"{doubt} Nothing was written. Are they so all the same, take them with --as-it-is") from None
    except (Refused, OutsideError) as error:
        raise Refused(f"{as_sentence(str(error))} Nothing was written") from None


def _show(options: argparse.Namespace, found: FoundPaper, written: tuple[str, Path, Path]) -> int:
    """Show what was found: ISO R and P per filter, what was left out, what to read next."""
    from sim.command.pictures import show_json, show_table

    title, file, report = written
    lines = found.lines()
    if options.json:
        named = {"paper": f"own:{options.name}", "file": str(file), "report": str(report)}
        steps = [{"strip": one.setting, "step": one.step, "off": round(one.off, 3)} for one in found.left_out]
        shown = found.sheet.what if found.sheet.worth_it else None
        filters = [_data(found, one) for one in found.curves]
        checked = {"wedge_checked": found.wedge_checked}
        show_json({**named, **checked, "filters": filters, "left_out": steps, "next": shown})
        return 0
    rows = [[*told, "yes" if read else "foretold"] for *told, read in found.rows()]
    for line in lines[: found.lines_before]:
        print(line)  # before any figure: all of them stand on it
    show_table(f"{title}: ISO R and P, nine of ten within", ["filter", "ISO R", "ISO P", "read"], rows)
    for line in lines[found.lines_before :]:
        print(line)
    print(f"Paper written to {file}; print on it with --paper own:{options.name}. Page of curves: {report}")
    return 0


def _data(found: FoundPaper, one: Behind) -> dict[str, Any]:
    from sim.notebook.own_paper_page import range_error

    return {
        "filter": one.setting, "read": one.read, "iso_range": round(one.iso_range, 1),
        "iso_range_error": round(range_error(found.own, one), 2), "iso_speed": round(one.iso_speed, 1),
        "log_speed_error": round(one.log_speed_error, 4),
    }  # fmt: skip


def _readings(options: argparse.Namespace) -> PaperReadings:
    from sim.calibration.readings_csv import read_readings

    file, lux, wedge = Path(options.readings), _lux(options), _wedge(options.wedge)
    if not options.scan:
        return read_readings(file, lux, wedge)
    from sim.command.flatbed_options import scanned_readings

    return scanned_readings(options, file, lux, wedge)


def _wedge(text: str | None) -> Wedge | None:
    from sim.calibration.readings_csv import Wedge
    from sim.command.scan_verb import numbers_of

    if text is None:
        return None
    steps, first, step = numbers_of(text, "--wedge", 3, 3)
    return Wedge.even(int(steps), first, step)


def _lux(options: argparse.Namespace) -> float | None:
    """Return the light on the paper: read with a meter, or what the head is said to give; None where neither is said."""
    if options.lux is not None:
        if options.height is not None:
            raise Refused("--lux and --height exclude each other: light read with a meter, or reckoned, got both")
        if not 0.001 <= options.lux <= 10_000.0:
            raise Refused(f"--lux must be between 0.001 and 10000, got {options.lux:g}")
        return float(options.lux)
    if options.height is None:
        return None
    from sim.calibration.empty_gate import empty_gate_lux

    return empty_gate_lux(options.head, options.lens, options.height, options.f_number)
