"""What `tonewright calibrate enlarger` takes and does: grey patches, or one straight print that was right."""

from __future__ import annotations

import argparse
from pathlib import Path
from typing import TYPE_CHECKING

from sim.command.setting_options import add_setting_options, set_up_from
from sim.control_ranges import in_range
from sim.plain_text import as_sentence
from sim.refusals import OutsideError, Refused

if TYPE_CHECKING:
    from sim.bench.own_enlargers import FoundEnlarger
    from sim.enlarger.equipment import Head
    from sim.shelf import Shelf

USUAL_HEAD = "diffusion-small"


def add_options(parser: argparse.ArgumentParser) -> None:
    """Add the options."""
    parser.add_argument(
        "readings",
        nargs="?",
        help="a CSV table of grey patches: height_mm, f_number, filter, seconds, density, "
        "and if wanted bursts, wedge, where, off_mm, film; without it, --right and a set-up",
    )
    parser.add_argument("--name", required=True, help="name of the enlarger on your own shelf, such as my-enlarger")
    parser.add_argument("--title", help="what it is called in tables (default: from its name)")
    parser.add_argument("--read-on", default="", metavar="DATE", help="when it was read, kept with its numbers")
    parser.add_argument(
        "--right",
        type=float,
        metavar="S",
        help="my straight print of --negative on --paper was right at so many "
        "seconds, at --f-number and --filter, on --sheet",
    )
    parser.add_argument(
        "--as-it-is", action="store_true",
        help="let a print count that the others hardly allow: the interval widens",
    )  # fmt: skip
    parser.add_argument(
        "--anew", action="store_true",
        help="begin an enlarger anew, from a table or from a print that was right and --head, though one of that name is "
        "known: what was known of it is left behind",
    )  # fmt: skip
    parser.add_argument(
        "--forget", type=int, metavar="N", help="leave out print N of those that the enlarger is known from"
    )
    parser.add_argument(
        "--film-gamma", type=float, default=0.64, metavar="G",
        help="gamma to which the film wedge of the column film was developed (default: %(default)s, as negatives are)",
    )  # fmt: skip
    _add_coin_options(parser)
    add_setting_options(parser)


def _add_coin_options(parser: argparse.ArgumentParser) -> None:
    """Add what a coin under the safelight tells."""
    parser.add_argument(
        "--safe-minutes", type=float, metavar="MIN", help="a coin on pre-exposed grey left no mark for so long"
    )
    parser.add_argument(
        "--coin", metavar="CLEAR,MARKED", help="a coin on pre-exposed grey left no mark in so many minutes, and one in so many"
    )


def run(options: argparse.Namespace) -> int:
    """Work the enlarger out and write its file; nothing is written before all is sound."""
    from sim.bench.own_papers import plain_name_of, title_of

    plain_name_of(options.name, "--name")
    ways = (options.readings, options.right, options.forget)
    given = 3 - ways.count(None)
    if given > 1 or not (given or options.coin is not None or options.safe_minutes is not None):
        raise Refused(f"one of a table of patches, --right and --forget must be given, or a coin alone, got {given} of them")
    found = _with_safelight(_found(options), options)
    file = found.keep(options.title or title_of(options.name), options.read_on)
    for line in found.lines():
        print(line)
    print(f"Enlarger written to {file}; print with it with --head own:{options.name}")
    return 0


def _found(options: argparse.Namespace) -> FoundEnlarger:
    """Return what the patches, a print, or one print fewer tell of an enlarger."""
    from sim.calibration.right_prints import CountedAlready, StandsAlone

    if options.readings is not None:
        return _of_patches(options)
    if options.forget is not None:
        return _without(options)
    if options.right is None:
        return _of_coin_alone(options)
    try:
        return _of_right_print(options)
    except CountedAlready as error:
        counted = as_sentence(str(error))
        raise Refused(f"{counted} Was it printed anew, and right again, count it with --as-it-is") from None
    except StandsAlone as error:
        leave = f"--forget {error.number} leaves print {error.number} out"
        way = "Look at it again" if error.newest else leave
        alone = as_sentence(str(error))
        raise Refused(f"{alone} Nothing was written. {way}, or let it count with --as-it-is: the interval widens") from None


def _of_coin_alone(options: argparse.Namespace) -> FoundEnlarger:
    """Return the enlarger as it was known, or one of which nothing is known yet: a coin tells of its safelight only."""
    from sim.bench.own_enlargers import as_it_was, earlier_state

    if options.head is not None and earlier_state(options.name) is not None:
        raise Refused(f"a coin alone is added to own:{options.name} as it is known: leave --head out, got {options.head}")
    _, head = _shelf_and_head(options, USUAL_HEAD)
    return as_it_was(options.name, head, options.paper)


def _without(options: argparse.Namespace) -> FoundEnlarger:
    from sim.bench.own_enlargers import without_print

    try:
        return without_print(options.name, options.forget)
    except Refused as error:
        raise Refused(f"--forget: {error}") from None


def _shelf_and_head(options: argparse.Namespace, usual: str) -> tuple[Shelf, Head]:
    """Return the shelf and the head to begin from: the one named, the enlarger's own earlier state, or the usual one."""
    from sim.enlarger.equipment import find_head
    from sim.shelf import HEAD, OWN, own_shelf

    shelf = own_shelf()
    earlier = OWN + options.name
    wanted = options.head or (earlier if shelf.find(HEAD, earlier) and not options.anew else usual)
    shelf, name = shelf.with_typed(HEAD, wanted)
    return shelf, find_head(name, shelf)


def _of_patches(options: argparse.Namespace) -> FoundEnlarger:
    from sim.bench.own_enlargers import earlier_state, of_patches
    from sim.shelf import PAPER

    known = earlier_state(options.name)
    if known is not None and not options.anew:
        raise Refused(
            f"own:{options.name} is known already, and a table would begin it anew; what was known would be lost. Put the new "
            "rows into the table of before and say --anew, or give another --name; a print that was right (--right) is added. "
            "Nothing was written"
        )
    options.head = options.head or USUAL_HEAD
    shelf, head = _shelf_and_head(options, USUAL_HEAD)
    shelf, paper = shelf.with_typed(PAPER, options.paper)
    in_range("--film-gamma", options.film_gamma, 0.2, 3.0)
    lens = options.lens or "80-mm"
    try:
        return of_patches(options.name, Path(options.readings), head, lens, paper, shelf, options.film_gamma)
    except OutsideError as error:
        raise Refused(f"{as_sentence(str(error))} Nothing was written") from None


def _of_right_print(options: argparse.Namespace) -> FoundEnlarger:
    """Return what one print tells: of an enlarger that is on the shelf already it tells something more, unless --anew."""
    from sim.bench.own_enlargers import earlier_state, of_right_print, only_a_coin_told
    from sim.control_ranges import checked

    checked("--right", options.right, "time_s")
    negative, stock, record = set_up_from(options, options.right)
    _, head = _shelf_and_head(options, record.enlarger.head)
    known = earlier_state(options.name)
    if known is not None and head.name != known.name and not (options.anew or only_a_coin_told(known)):
        raise Refused(
            f"{known.name} is known already, and --head {options.head} would begin it anew; what was known would be lost. "
            "Leave --head out, and the print is added; begin it anew with --anew, or give another --name. Nothing was written"
        )
    return of_right_print(options.name, head, negative, stock, record, options.read_on, options.as_it_is)


def _with_safelight(found: FoundEnlarger, options: argparse.Namespace) -> FoundEnlarger:
    """Return the enlarger with what a coin told of the safelight: how long it left no mark, and when it left one."""
    from sim.command.scan_verb import numbers_of

    if options.coin is None and options.safe_minutes is None:
        return found
    if options.coin is not None and options.safe_minutes is not None:
        raise Refused("--coin and --safe-minutes exclude each other: the coin says both times, got both")
    if options.coin is None:
        in_range("--safe-minutes", options.safe_minutes, 0, 120)
        return found.with_coin(options.safe_minutes, None)
    clear, marked = numbers_of(options.coin, "--coin", 2, 2)
    return found.with_coin(clear, marked, "--coin")
