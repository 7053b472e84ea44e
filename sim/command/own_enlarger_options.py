"""What `tonewright calibrate enlarger` takes and does: grey patches, or one straight print that was right."""

from __future__ import annotations

import argparse
from pathlib import Path
from typing import TYPE_CHECKING

from sim.command.setting_options import add_setting_options, set_up_from
from sim.control_ranges import in_range
from sim.refusals import Refused

if TYPE_CHECKING:
    from sim.calibration.own_enlarger import OwnEnlarger
    from sim.enlarger.equipment import Head
    from sim.enlarger.own_light import OwnLight
    from sim.shelf import Shelf

USUAL_HEAD = "diffusion-small"
IMPROVES = {
    "filters": "patches behind other filters: what each really costs",
    "marks": "patches at other apertures: the ring's true stops",
    "height": "patches at a second height: the law of size",
    "dead time": "ten bursts of 1 s beside one of 10 s: what lamp and timer lose at a switching",
    "head": "clear film and a dense film step in the carrier, beside a known wedge: whether its light is directed",
    "corners": "a bare grey read in a corner too, off_mm from the middle: the fall-off, in prints as well",
}


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
        "--forget", type=int, metavar="N", help="leave out print N of those that the enlarger is known from"
    )
    parser.add_argument(
        "--film-gamma", type=float, default=0.64, metavar="G",
        help="gamma to which the film wedge of the column film was developed (default: %(default)s, as negatives are)",
    )  # fmt: skip
    parser.add_argument(
        "--safe-minutes", type=float, metavar="MIN", help="a coin on pre-exposed grey left no mark for so long"
    )
    parser.add_argument(
        "--coin", metavar="CLEAR,MARKED", help="a coin on pre-exposed grey left no mark in so many minutes, and one in so many"
    )
    add_setting_options(parser)


def run(options: argparse.Namespace) -> int:
    """Work the enlarger out and write its file; nothing is written before all is sound."""
    from sim.calibration.own_head_file import head_data, head_toml
    from sim.shelf import HEAD, is_plain, own_folder
    from sim.writing import write_text

    if not is_plain(options.name) or len(options.name) < 2:
        rule = "two or more small letters, digits and hyphens, and no device's name (con)"
        raise Refused(f"--name must be {rule}, got {options.name!r}")
    ways = (options.readings, options.right, options.forget)
    if sum(one is not None for one in ways) != 1:
        raise Refused(f"one of a table of patches, --right and --forget must be given, got {3 - ways.count(None)} of them")
    earlier = _earlier(options)
    head, found = _found(options)
    found = _with_safelight(found, options)
    source = f"own readings, {options.read_on}" if options.read_on else "own readings, undated"
    title = options.title or options.name.replace("-", " ").capitalize()
    file = HEAD.file(own_folder() / HEAD.folder, options.name)
    remark = f"An enlarger of one's own, begun from {head.name}; its level was measured on {found.light.paper}."
    write_text(file, head_toml(head_data(head, found, options.name, title, source), remark))
    print(begun_from(options.name, head, earlier, found))
    for line in told(found):
        print(line)
    print(f"Enlarger written to {file}; print with it with --head own:{options.name}")
    return 0


def _found(options: argparse.Namespace) -> tuple[Head, OwnEnlarger]:
    """Return the head begun from and what the patches, a print, or one print fewer tell of it."""
    from sim.calibration.right_print import enlarger_without

    if options.readings is not None:
        return _of_patches(options)
    if options.right is not None:
        return _of_right_print(options)
    earlier = _earlier(options)
    if earlier is None:
        raise Refused(f"--forget must be of an enlarger on your own shelf, got {options.name!r}, which is not there")
    return earlier, enlarger_without(earlier, options.forget)


def _earlier(options: argparse.Namespace) -> Head | None:
    """Return the enlarger as it lies on one's own shelf already."""
    from sim.enlarger.equipment import find_head
    from sim.shelf import HEAD, OWN, own_shelf

    shelf, name = own_shelf(), OWN + options.name
    return find_head(name, shelf) if shelf.find(HEAD, name) else None


def begun_from(name: str, head: Head, earlier: Head | None, found: OwnEnlarger) -> str:
    """Return in words whether an enlarger is new, added to, or measured anew, and from how many prints it is known."""
    prints = len(found.light.prints)
    known = f"known from {prints} print{'s' if prints != 1 else ''} that were right" if prints else "known from patches"
    known = known.replace("print that were", "print that was")
    if earlier is None:
        return f"own:{name} is new, begun from {head.title.lower()}; {known}."
    before = len(earlier.own.prints) if earlier.own is not None else 0
    if head.name == earlier.name:
        way = "added to" if prints > before else "kept, with a print fewer"
        return f"own:{name} was on your shelf and is {way}: now {known} (before: {before})."
    return (
        f"own:{name} was on your shelf and is begun anew from {head.title.lower()}: {known}. What {before} prints and other "
        "readings had told of it before is no longer in it; without --head a print is added to it."
    )


def _shelf_and_head(options: argparse.Namespace, usual: str) -> tuple[Shelf, Head]:
    """Return the shelf and the head to begin from: the one named, the enlarger's own earlier state, or the usual one."""
    from sim.enlarger.equipment import find_head
    from sim.shelf import HEAD, OWN, own_shelf

    shelf = own_shelf()
    earlier = OWN + options.name
    wanted = options.head or (earlier if shelf.find(HEAD, earlier) else usual)
    shelf, name = shelf.with_typed(HEAD, wanted)
    return shelf, find_head(name, shelf)


def _of_patches(options: argparse.Namespace) -> tuple[Head, OwnEnlarger]:
    from sim.calibration.own_enlarger import enlarger_of_patches
    from sim.calibration.patches_csv import read_patches
    from sim.paper.stock import find_stock
    from sim.shelf import PAPER

    options.head = options.head or USUAL_HEAD
    shelf, head = _shelf_and_head(options, USUAL_HEAD)
    shelf, paper = shelf.with_typed(PAPER, options.paper)
    in_range("--film-gamma", options.film_gamma, 0.2, 3.0)
    return head, enlarger_of_patches(
        head, options.lens or "80-mm", find_stock(paper, shelf), read_patches(Path(options.readings)), options.film_gamma
    )


def _of_right_print(options: argparse.Namespace) -> tuple[Head, OwnEnlarger]:
    """Return what one print tells: of an enlarger that is on the shelf already it tells something more."""
    from dataclasses import replace

    from sim.calibration.right_print import enlarger_of_right_print
    from sim.control_ranges import checked
    from sim.notebook.reprint import reference_place
    from sim.scoring.target_tones import LIGHTEST_NET_DENSITY

    checked("--right", options.right, "time_s")
    negative, stock, record = set_up_from(options, options.right)
    _, head = _shelf_and_head(options, record.enlarger.head)
    if head.own is not None and head.own.paper != stock.name:
        raise Refused(f"--paper must be {head.own.paper}, on which the enlarger was measured, got {stock.name}")
    record = replace(record, enlarger=replace(record.enlarger, head=head.name))
    place = reference_place(negative, record)
    if place.part != "lightest":
        raise Refused(
            f"--negative must name a lightest place that keeps its texture, got {place.name!r} as the best there is"
        )
    return head, enlarger_of_right_print(
        head, negative, record, stock, place, LIGHTEST_NET_DENSITY, options.read_on, options.as_it_is
    )


def _with_safelight(found: OwnEnlarger, options: argparse.Namespace) -> OwnEnlarger:
    """Return the enlarger with what a coin told of the safelight: how long it left no mark, and when it left one."""
    from dataclasses import replace

    from sim.command.scan_verb import numbers_of

    if options.coin is None and options.safe_minutes is None:
        return found
    if options.coin is not None and options.safe_minutes is not None:
        raise Refused("--coin and --safe-minutes exclude each other: the coin says both times, got both")
    if options.coin is None:
        clear, marked = options.safe_minutes, None
        in_range("--safe-minutes", clear, 0, 120)
    else:
        clear, marked = numbers_of(options.coin, "--coin", 2, 2)
        if not 0.0 <= clear < marked <= 120.0:
            raise Refused(f"--coin must be minutes without a mark, then more minutes with one, up to 120, got {options.coin!r}")
    return replace(found, light=replace(found.light, safe_min=clear, marked_min=marked))


def told(found: OwnEnlarger) -> list[str]:
    """Return in words what was found and what another reading would improve."""
    from sim.calibration.own_curves import NINETY
    from sim.calibration.print_scatter import nine_of_ten_within

    light, stop = found.light, 0.30103
    next_one = light.next_print(light.reference_filter, light.reference_mark, light.reference_magnification)
    since = "what was known before" if len(light.prints) > 1 else "the head begun from"
    lines = [
        f"Light against {since}: {found.log_level / stop:+.2f} stop. Nine of ten prints behind filter "
        f"{light.reference_filter} at f/{light.reference_mark:g} and this size will be right within "
        f"±{nine_of_ten_within(*next_one) / stop:.2f} stop, on {light.paper}."
    ]
    if len(light.prints) > 1:
        lines.append(
            f"Single prints scatter by {light.scatter / stop:.2f} stop, as far as these {len(light.prints)} tell; taken rather "
            "too large than too small, so that the interval holds where prints scatter much as well."
        )
    lines += [
        f"Filter {f.name}: {f.log_factor / stop:+.2f} ± {NINETY * f.error / stop:.2f} stop." for f in light.filters
    ]
    lines += [f"Mark f/{m.name}: {m.log_factor / stop:+.2f} ± {NINETY * m.error / stop:.2f} stop." for m in light.marks]
    if "height" not in found.left_open:
        lines.append(f"Law of size: twice (magnification + 1) costs {2.0 - light.power:.2f} stops instead of 2.")
    if found.dead_time_s is not None:
        lines.append(f"Lost at a switching: {found.dead_time_s:.2f} s.")
    lines += _head_type(found)
    lines += _corners_and_safelight(light)
    lines += [f"Would improve it: {IMPROVES[name]}." for name in found.left_open if name in IMPROVES]
    return lines


def _head_type(found: OwnEnlarger) -> list[str]:
    """Return in words whether the head's light is directed or diffuse, where film steps tell it."""
    cone = found.cone
    if cone is None:
        return []
    denser = f"density 1 of film prints as {cone.quotient:.2f} ({cone.least:.2f} to {cone.most:.2f} in nine of ten)"
    if not cone.directed:
        return [f"Head: diffusion, not told from it by {cone.count} film steps; {denser}."]
    angle = f"half its cone {cone.half_angle_deg:.0f} ± {1.645 * cone.error_deg:.0f} degrees"
    return [f"Head: directed light, as a condenser gives, {angle}; {denser}: negatives print harder in it."]


def _corners_and_safelight(light: OwnLight) -> list[str]:
    """Return in words how dark the corners are, and how long paper may lie under the safelight."""
    from sim.notebook.safelight_words import COIN_SHARE

    lines, stop = [], 0.30103
    if light.corner_stops is not None:
        where = "" if light.uneven_mm is None else f", {light.uneven / stop:.2f} of it the head's; prints and maps have it too"
        lines.append(f"Corners: {light.corner_stops:.2f} stop less light than in the middle{where}.")
        if light.uneven_mm is None:
            lines.append("Say off_mm, how far from the middle the corner was read, and prints with this head have it too.")
    if light.safe_min is not None:
        seen = "" if light.marked_min is None else f", a mark after {light.marked_min:g}"
        lines.append(
            f"Safelight: no mark after {light.safe_min:g} min{seen}. Keep paper under it for half of the time without a mark, "
            f"{COIN_SHARE * light.safe_min:g} min with developing and all, at the place where the coin lay."
        )
    return lines
