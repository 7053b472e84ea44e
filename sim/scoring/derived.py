"""What `tonewright derive` has written beside a lesson: reference, target densities, sizes of trials, numbers in its texts.

A folder's ``exercise.toml`` and texts are written by hand and say what is wished for; ``derived/`` holds what follows from
them on today's negatives, papers and enlargers. An exercise of one's own without ``derived/`` may have a ``reference.json``
made by hand beside its ``exercise.toml``.
"""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any

from sim.printing.record import PrintingRecord
from sim.printing.record_file import record_from_data
from sim.reading import MAX_RECORD_BYTES, Problem, ValueRefused, parse_json, read_text

DERIVED = "derived"
REFERENCE_FILE = "reference.json"
TARGETS_FILE = "targets.json"
TRIALS_FILE = "trials.json"
EXAMPLE_FILE = "example.json"
SHOWN_FILE = "shown.json"
NUMBERS_FILE = "numbers.json"
MANIFEST_FILE = "manifest.json"
_NAME_IN_TEXT = re.compile(r"\{([a-z][a-z0-9_]{0,63})\}")  # a plain name: no attribute, no index, no format


def reference_file(folder: Path) -> Path:
    """Return where an exercise's reference stands: in ``derived/``, or made by hand beside ``exercise.toml``."""
    derived = folder / DERIVED / REFERENCE_FILE
    return derived if derived.is_file() or not (folder / REFERENCE_FILE).is_file() else folder / REFERENCE_FILE


def read_reference(folder: Path) -> tuple[PrintingRecord, ...]:
    """Return the reference's records: a JSON list, one for each negative and copy in order. Raises OutsideError."""
    return _records(reference_file(folder))


def read_shown(folder: Path) -> tuple[PrintingRecord, ...]:
    """Return the records of the worked example, on negatives that are not practised on; empty when none were derived."""
    file = folder / DERIVED / SHOWN_FILE
    return _records(file) if file.is_file() else ()


def _records(file: Path) -> tuple[PrintingRecord, ...]:
    data = parse_json(file, read_text(file, MAX_RECORD_BYTES))
    if not isinstance(data, list) or not data:
        raise ValueRefused(file, [Problem("", "must be a JSON list of printing records", type(data).__name__)])
    return tuple(record_from_data(file, item) for item in data)


def read_targets(folder: Path) -> dict[str, float]:
    """Return the densities that the exercise's wishes come to on its paper, by criterion; empty when none were derived."""
    data = _derived(folder, TARGETS_FILE)
    return {name: float(value) for name, value in data.items() if isinstance(value, int | float)}


def read_trial_sizes(folder: Path) -> dict[str, float]:
    """Return how much of its cause each trial is off by, in the cause's own unit; empty when none were derived."""
    data = _derived(folder, TRIALS_FILE)
    return {name: float(one["size"]) for name, one in data.items() if isinstance(one, dict) and "size" in one}


def read_numbers(folder: Path) -> dict[str, str]:
    """Return the numbers that texts may name, as they are printed; empty when none were derived."""
    return {name: str(value) for name, value in _derived(folder, NUMBERS_FILE).items()}


def _derived(folder: Path, name: str) -> dict[str, Any]:
    file = folder / DERIVED / name
    if not file.is_file():
        return {}
    data = parse_json(file, read_text(file, MAX_RECORD_BYTES))
    if not isinstance(data, dict):
        raise ValueRefused(file, [Problem("", "must be a JSON object", type(data).__name__)])
    return data


def names_in(text: str) -> tuple[str, ...]:
    """Return the {names} that stand in a text, each once."""
    return tuple(dict.fromkeys(_NAME_IN_TEXT.findall(text)))


def filled(file: Path, text: str, numbers: dict[str, str] | None = None) -> str:
    """Return a lesson's text with every {name} replaced by its derived number. Raises OutsideError for an unknown name."""
    wanted = names_in(text)
    if not wanted:
        return text
    known = read_numbers(file.parent) if numbers is None else numbers
    missing = [name for name in wanted if name not in known]
    if missing:
        rule = f"must be one of the derived numbers ({', '.join(sorted(known)) or 'none; run `tonewright derive`'})"
        raise ValueRefused(file, [Problem(f"{{{name}}}", rule, name) for name in missing])
    return _NAME_IN_TEXT.sub(lambda found: known[found[1]], text)
