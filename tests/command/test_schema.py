"""The published schema describes the records that the command writes: keys, kinds, ranges of lists, allowed words."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest
from running import Run

KINDS = {"string": str, "boolean": bool, "null": type(None), "object": dict, "array": list}


def faults(value: Any, schema: dict[str, Any], whole: dict[str, Any], key: str = "") -> list[str]:
    """Return where a value breaks a JSON schema: the part of the standard that this schema uses."""
    if "$ref" in schema:
        return faults(value, whole["$defs"][schema["$ref"].rsplit("/", 1)[1]], whole, key)
    for choice in ("anyOf", "oneOf"):
        if choice in schema:
            tried = [faults(value, one, whole, key) for one in schema[choice]]
            return [] if any(not found for found in tried) else min(tried, key=len)
    if ("const" in schema and value != schema["const"]) or ("enum" in schema and value not in schema["enum"]):
        return [f"{key}: {value!r} is not allowed"]
    kind = schema.get("type", "")
    if kind == "number":
        return [] if isinstance(value, int | float) and not isinstance(value, bool) else [f"{key}: no number"]
    if kind in KINDS and not isinstance(value, KINDS[kind]):
        return [f"{key}: {value!r} is no {kind}"]
    if kind == "array":
        return _array_faults(value, schema, whole, key)
    if kind == "object":
        known = schema.get("properties", {})
        found = [f"{key}.{name}: is missing" for name in schema.get("required", ()) if name not in value]
        if schema.get("additionalProperties") is False:
            found += [f"{key}.{name}: is unknown" for name in value if name not in known]
        for name, inner in value.items():
            found += faults(inner, known[name], whole, f"{key}.{name}") if name in known else []
        return found
    return []


def _array_faults(value: list[Any], schema: dict[str, Any], whole: dict[str, Any], key: str) -> list[str]:
    low, high = schema.get("minItems", 0), schema.get("maxItems", 10**9)
    found = [] if low <= len(value) <= high else [f"{key}: has {len(value)} entries"]
    first = schema.get("prefixItems", [])
    for index, inner in enumerate(value):
        each = first[index] if index < len(first) else schema.get("items", {})
        found += faults(inner, each, whole, f"{key}[{index}]") if isinstance(each, dict) else []
    return found


@pytest.fixture
def schema(run: Run) -> dict[str, Any]:
    done = run("schema")
    assert done.code == 0
    return dict(json.loads(done.out))


@pytest.fixture
def saved(run: Run, here: Path) -> dict[str, Any]:
    done = run("strip", "--negative", "wedge.toml", "--sheet", "120x60", "--save-record", "r.json", "-o", "s.png")
    assert done.code == 0, done.err
    return dict(json.loads((here / "r.json").read_text("utf-8")))


def test_a_saved_record_fits_the_schema(schema: dict[str, Any], saved: dict[str, Any]) -> None:
    assert faults(saved, schema, schema) == []


def test_the_schema_names_what_a_record_needs(schema: dict[str, Any]) -> None:
    assert set(schema["required"]) == {"negative", "sheet", "enlarger", "exposures", "development"}
    assert schema["additionalProperties"] is False
    assert {"Sheet", "Exposure", "Card", "EnlargerSettings", "FilterSetting"} <= set(schema["$defs"])


SPOILT = {
    "missing": (("negative",), None), "unknown": (("colour",), 3), "wrong-kind": (("sheet", "width_mm"), "wide"),
    "wrong-word": (("sheet", "kind"), "roll"), "next-format": (("format",), 3), "yes-for-a-number": (("sheet",
                   "border_mm"), True),
    "too-many": (("exposures",), [{"time_s": 1.0, "f_number": 8.0}] * 65),
}  # fmt: skip


@pytest.mark.parametrize("case", SPOILT)
def test_a_spoilt_record_does_not_fit_the_schema(case: str, schema: dict[str, Any], saved: dict[str, Any]) -> None:
    *way, last = SPOILT[case][0]
    inner = saved
    for key in way:
        inner = inner[key]
    if SPOILT[case][1] is None:
        del inner[last]
    else:
        inner[last] = SPOILT[case][1]
    assert faults(saved, schema, schema) != []
