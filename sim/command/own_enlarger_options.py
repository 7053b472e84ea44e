"""What `tonewright calibrate enlarger` takes and does: grey patches, or one straight print that was right."""

from __future__ import annotations

import argparse
from pathlib import Path
from typing import TYPE_CHECKING

from sim.command.setting_options import add_setting_options, set_up_from
from sim.refusals import Refused

if TYPE_CHECKING:
    from sim.calibration.own_enlarger import OwnEnlarger
    from sim.enlarger.equipment import Head
    from sim.shelf import Shelf

USUAL_HEAD = "diffusion-small"
IMPROVES = {
    "filters": "patches behind other filters: what each really costs",
    "marks": "patches at other apertures: the ring's true stops",
    "height": "patches at a second height: the law of size",
    "dead time": "ten bursts of 1 s beside one of 10 s: what lamp and timer lose at a switching",
    "corners": "a bare grey read in a corner too: the fall-off",
}


def add_options(parser: argparse.ArgumentParser) -> None:
    """Add the options."""
    parser.add_argument(
        "readings",
        nargs="?",
        help="a CSV table of grey patches: height_mm, f_number, filter, seconds, density, "
        "and if wanted bursts, wedge, where; without it, --right and a set-up",
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
        "--safe-minutes", type=float, metavar="MIN", help="a coin on pre-exposed grey left no mark for so long"
    )
    add_setting_options(parser)


def run(options: argparse.Namespace) -> int:
    """Work the enlarger out and write its file; nothing is written before all is sound."""
    from sim.calibration.own_head_file import head_data, head_toml
    from sim.shelf import HEAD, is_plain, own_folder
    from sim.writing import write_text

    if not is_plain(options.name) or len(options.name) < 2:
        raise Refused(f"--name must be two or more small letters, digits and hyphens, got {options.name!r}")
    if (options.readings is None) == (options.right is None):
        raise Refused("either a table of patches or --right must be given, got both or none")
    head, found = _of_right_print(options) if options.right is not None else _of_patches(options)
    if options.safe_minutes is not None:
        found = _with_safelight(found, options.safe_minutes)
    source = f"own readings, {options.read_on}" if options.read_on else "own readings, undated"
    title = options.title or options.name.replace("-", " ").capitalize()
    file = HEAD.file(own_folder() / HEAD.folder, options.name)
    remark = f"An enlarger of one's own, begun from {head.name}; its level was measured on {found.light.paper}."
    write_text(file, head_toml(head_data(head, found, options.name, title, source), remark))
    for line in told(found):
        print(line)
    print(f"Enlarger written to {file}; print with it with --head own:{options.name}")
    return 0


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
    return head, enlarger_of_patches(
        head, options.lens or "80-mm", find_stock(paper, shelf), read_patches(Path(options.readings))
    )


def _of_right_print(options: argparse.Namespace) -> tuple[Head, OwnEnlarger]:
    """Return what one print tells: of an enlarger that is on the shelf already it tells something more."""
    from dataclasses import replace

    from sim.calibration.own_enlarger import enlarger_of_right_print
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
    return head, enlarger_of_right_print(head, negative, record, stock, place, LIGHTEST_NET_DENSITY)


def _with_safelight(found: OwnEnlarger, minutes: float) -> OwnEnlarger:
    from dataclasses import replace

    if not 0.0 <= minutes <= 120.0:
        raise Refused(f"--safe-minutes must be between 0 and 120, got {minutes:g}")
    return replace(found, light=replace(found.light, safe_min=minutes))


def told(found: OwnEnlarger) -> list[str]:
    """Return in words what was found and what another reading would improve."""
    from sim.calibration.own_curves import NINETY

    light, stop = found.light, 0.30103
    sure = NINETY * light.level_error / stop
    lines = [
        f"Light against the head begun from: {found.log_level / stop:+.2f} stop, known to ±{sure:.2f} stop "
        f"(nine of ten) behind filter {light.reference_filter} at f/{light.reference_mark:g}, on {light.paper}."
    ]
    lines += [
        f"Filter {f.name}: {f.log_factor / stop:+.2f} ± {NINETY * f.error / stop:.2f} stop." for f in light.filters
    ]
    lines += [f"Mark f/{m.name}: {m.log_factor / stop:+.2f} ± {NINETY * m.error / stop:.2f} stop." for m in light.marks]
    if "height" not in found.left_open:
        lines.append(f"Law of size: twice (magnification + 1) costs {2.0 - light.power:.2f} stops instead of 2.")
    if found.dead_time_s is not None:
        lines.append(f"Lost at a switching: {found.dead_time_s:.2f} s.")
    if light.corner_stops is not None:
        lines.append(f"Corners: {light.corner_stops:.2f} stop less light than in the middle.")
    if light.safe_min is not None:
        lines.append(f"Safelight: {light.safe_min:g} minutes without a mark; keep to half of it.")
    lines += [f"Would improve it: {IMPROVES[name]}." for name in found.left_open if name in IMPROVES]
    return lines
