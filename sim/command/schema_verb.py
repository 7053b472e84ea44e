"""tonewright schema: the JSON schema of a printing record, or of the results that marking writes."""

from __future__ import annotations

import argparse


def add_options(parser: argparse.ArgumentParser) -> None:
    """Add the verb's options."""
    parser.add_argument("--results", action="store_true", help="the schema of results.json, which `tonewright mark` writes")


def run(options: argparse.Namespace) -> int:
    """Print the schema."""
    from sim.command.pictures import show_json
    from sim.printing.record_file import record_schema

    if options.results:
        from sim.marking.results import results_schema

        return show_json(results_schema())
    return show_json(record_schema())
