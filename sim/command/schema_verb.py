"""tonewright schema: the JSON schema of a printing record."""

from __future__ import annotations

import argparse


def add_options(parser: argparse.ArgumentParser) -> None:
    """This verb has no options."""


def run(options: argparse.Namespace) -> int:
    """Print the schema."""
    from sim.command.pictures import show_json
    from sim.printing.record_file import record_schema

    show_json(record_schema())
    return 0
