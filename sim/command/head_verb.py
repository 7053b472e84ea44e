"""tonewright head: what the lamp of a head gives at a voltage, at a current, or a moment after the switch."""

from __future__ import annotations

import argparse
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from sim.enlarger.lamp_told import LampTold


def add_options(parser: argparse.ArgumentParser) -> None:
    """Add the verb's options."""
    parser.add_argument("head", nargs="?", help="a head by name or a .toml file; without it, the heads are listed")
    run_at = parser.add_mutually_exclusive_group()
    run_at.add_argument("--voltage-share", type=float, default=1.0, metavar="X", help="voltage over the rated one, 0.3 to 1.3")
    run_at.add_argument("--current-share", type=float, metavar="X", help="current over the rated one, 0.3 to 1.3")
    when = parser.add_mutually_exclusive_group()
    when.add_argument("--after-s", type=float, metavar="S", help="seconds after switching the cold lamp on")
    when.add_argument("--after-off-s", type=float, metavar="S", help="seconds after switching the settled lamp off")
    parser.add_argument("--json", action="store_true", help="the answer as JSON")


def run(options: argparse.Namespace) -> int:
    """Tell what the lamp gives."""
    from sim.command.pictures import show_json, show_table
    from sim.enlarger.equipment import find_head, read_equipment
    from sim.enlarger.lamp_told import lamp_told
    from sim.shelf import HEAD, own_shelf

    if not options.head:
        heads = list(read_equipment()[0].values())
        if options.json:
            return show_json([{"name": head.name, "title": head.title} for head in heads])
        return show_table("Heads on the shelf", ["name", "what it is"], [[head.name, head.title] for head in heads])
    shelf, name = own_shelf().with_typed(HEAD, options.head)
    head = find_head(name, shelf)
    told = lamp_told(head, options.voltage_share, options.current_share, options.after_s, options.after_off_s)
    if options.json:
        from dataclasses import asdict

        return show_json(asdict(told))
    return show_table(head.title, ["lamp", ""], _rows(told))


def _rows(told: LampTold) -> list[list[str]]:
    lines = [["voltage over rated", f"{told.voltage_share:.3f}"], ["light over rated", f"{told.flux_share:.4f}"]]
    if told.colour_temperature_k is not None:
        lines += [
            ["colour temperature, K", f"{told.colour_temperature_k:.0f}"],
            ["current over rated", f"{told.current_share:.3f}"],
            ["current into the cold wire over rated", f"{told.inrush:.1f}"],
        ]
    return [
        *lines,
        ["lost at a switching, s", f"{told.dead_time_s:.3f}"],
        ["lost of blue, 450 nm, s", f"{told.dead_blue_s:.3f}"],
        ["lost of green, 530 nm, s", f"{told.dead_green_s:.3f}"],
    ]
