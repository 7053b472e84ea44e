"""An enlarger of one's own as a head's file like any other, with what was measured of it in a table of its own."""

from __future__ import annotations

from dataclasses import asdict, fields
from typing import Any

from sim.calibration.own_enlarger import OwnEnlarger
from sim.enlarger.equipment import Head


def head_data(head: Head, found: OwnEnlarger, name: str, title: str, source: str) -> dict[str, Any]:
    """Return the data of the head's file: the head begun from, its level and dead time as found."""
    plain = {f.name: getattr(head, f.name) for f in fields(head) if getattr(head, f.name) not in (None, ())}
    sources, uncertainty = dict(plain.pop("sources")), dict(plain.pop("uncertainty"))
    plain.pop("own", None)
    plain |= {
        "name": name,
        "title": title,
        "gate_luminance_cd_m2": round(head.gate_luminance_cd_m2 * 10.0**found.log_level, 2),
    }
    sources |= {"gate_luminance_cd_m2": source, "own": source}
    uncertainty["gate_luminance_cd_m2"] = round(plain["gate_luminance_cd_m2"] * 2.303 * found.light.level_error, 2)
    if found.dead_time_s is not None:
        for key in ("rated_volts", "rated_watts"):
            for table in (plain, sources, uncertainty):
                table.pop(key, None)
        plain["dead_time_s"] = found.dead_time_s
        sources["dead_time_s"], uncertainty["dead_time_s"] = source, 0.02
    if found.cone is not None:
        plain["light_half_angle_deg"] = found.cone.half_angle_deg
        sources["light_half_angle_deg"] = f"{source}: {found.cone.count} steps of a film wedge beside a known one"
        uncertainty["light_half_angle_deg"] = found.cone.error_deg
    own = {key: value for key, value in asdict(found.light).items() if value not in (None, ())}
    if "begun" in own:
        own["begun"] = {key: value for key, value in own["begun"].items() if value != ()}
    listed = {key: list(value) if isinstance(value, tuple) else value for key, value in plain.items()}
    return {"format": 1, "head": {**listed, "own": own, "sources": sources, "uncertainty": uncertainty}}


def head_toml(data: dict[str, Any], remark: str) -> str:
    """Return the file's text."""
    from sim.calibration.own_stock_file import toml_key, toml_value

    head = data["head"]
    lines = [*(f"# {line}" for line in remark.splitlines()), f"{'format'} = {data['format']}", "", "[head]"]
    tables = ("own", "sources", "uncertainty")
    lines += [f"{key} = {toml_value(value)}" for key, value in head.items() if key not in tables]
    for table in tables:
        lines += ["", f"[head.{table}]"]
        lines += [f"{toml_key(key)} = {toml_value(value)}" for key, value in head[table].items()]
    return "\n".join(lines) + "\n"
