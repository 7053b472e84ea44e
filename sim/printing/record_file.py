"""The printing record as JSON: read strictly, written durably, its schema published."""

from __future__ import annotations

import json
from pathlib import Path as FilePath
from typing import Any

from sim.printing.record import MAX_CARDS, MAX_EXPOSURES, RECORD_FORMAT, PrintingRecord
from sim.printing.record_lift import lifted
from sim.printing.strip_agreement import disagreement
from sim.reading import MAX_RECORD_BYTES, Problem, ValueRefused, adapter_of, parse_json, read_text, validate
from sim.refusals import refuse_any
from sim.writing import write_text


def record_from_data(file: FilePath, data: Any) -> PrintingRecord:
    """Return a record from parsed JSON; one of version 1 is lifted. Raises ValueRefused naming every broken key."""
    if not isinstance(data, dict):
        raise ValueRefused(file, [Problem("", "must be a printing record (a JSON object)", type(data).__name__)])
    version = data.get("format", 1)
    if isinstance(version, bool) or version not in (1, RECORD_FORMAT):
        raise ValueRefused(file, [Problem("format", f"must be 1 or {RECORD_FORMAT}", repr(version)[:40])])
    _refuse_counts(file, data.get("exposures"))
    if version == 1:
        if "strip" in data:
            raise ValueRefused(file, [Problem("format", f"must be {RECORD_FORMAT} where strip is given", "1")])
        return lifted(validate(file, {**data, "format": RECORD_FORMAT}, PrintingRecord))
    record = validate(file, data, PrintingRecord)
    problem = disagreement(record)
    if problem:
        raise ValueRefused(file, [Problem(*problem, "")])
    return record


def _refuse_counts(file: FilePath, exposures: Any) -> None:
    """Refuse more exposures and cards than a record holds before any of them is looked at, one by one."""
    problems = []
    if isinstance(exposures, list):
        if len(exposures) > MAX_EXPOSURES:
            problems.append(Problem("exposures", f"must number 1 to {MAX_EXPOSURES}", str(len(exposures))))
        for index, exposure in enumerate(exposures[:MAX_EXPOSURES]):
            cards = exposure.get("cards") if isinstance(exposure, dict) else None
            if isinstance(cards, list) and len(cards) > MAX_CARDS:
                key = f"exposures[{index}].cards"
                problems.append(Problem(key, f"must number at most {MAX_CARDS}", str(len(cards))))
    refuse_any(file, problems)


def read_record(file: FilePath) -> PrintingRecord:
    """Return the printing record in a JSON file. Raises OutsideError with file, key, rule and value received."""
    return record_from_data(file, parse_json(file, read_text(file, MAX_RECORD_BYTES)))


def record_data(record: PrintingRecord) -> dict[str, Any]:
    """Return a record as plain JSON data, keys in the order of the dataclasses."""
    data: dict[str, Any] = adapter_of(PrintingRecord).dump_python(record, mode="json")
    return data


def record_json(record: PrintingRecord) -> str:
    """Return a record as JSON text."""
    return json.dumps(record_data(record), indent=2, ensure_ascii=False, allow_nan=False)


def write_record(file: FilePath, record: PrintingRecord) -> None:
    """Write a record durably."""
    write_text(file, record_json(record) + "\n")


def record_schema() -> dict[str, Any]:
    """Return the JSON schema of the record."""
    return adapter_of(PrintingRecord).json_schema()
