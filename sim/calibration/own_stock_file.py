"""A paper of one's own as a stock file like any other: the generic paper's, with what the readings decided in its place."""

from __future__ import annotations

import copy
import json
import math
from dataclasses import dataclass
from typing import Any

import numpy as np

from sim.calibration.drying import drying_of
from sim.calibration.next_strip import LOOKED_AT, curve_error
from sim.calibration.own_curves import NINETY, behind
from sim.calibration.own_paper import OwnPaper
from sim.calibration.own_shape import SPREADS
from sim.paper.emulsion import Emulsion

ENDS = ("00", "5")
INNER = tuple(name for name in LOOKED_AT if name not in ENDS)
LEAST_ERROR = 0.005
TOO_FEW = 2e-4  # share of a class that is not worth summing
UNREAD_LIGHT_ERROR = 0.10  # log10: level of light and speed of paper together, where nobody measured the light


@dataclass(frozen=True)
class Told:
    """What the person says of the paper: its title, and when it was read ("" where nobody says)."""

    title: str
    read_on: str = ""

    @property
    def source(self) -> str:
        """What stands in ``[sources]`` for a number that the readings decided."""
        return f"own readings, {self.read_on}" if self.read_on else "own readings, undated"


def stock_data(own: OwnPaper, generic_data: dict[str, Any], told: Told) -> dict[str, Any]:
    """Return the data of the stock's file: ``generic_data`` is the file it began from."""
    data, stock = copy.deepcopy(generic_data), own.stock
    emulsion = _kept_classes(stock.emulsion)
    data["title"], data["read_with"] = told.title, own.head.name
    data["base"]["density"] = round(stock.base_density, 4)
    data["emulsion"] = {
        "curve_a": round(emulsion.curve_a, 5),
        "curve_b": round(emulsion.curve_b, 5),
        "log_speed": round(emulsion.log_speed, 5),
        "image_density": round(emulsion.image_density, 5),
    }
    for key in ("green_nodes", "green_weights", "blue_nodes", "blue_weights"):
        values = getattr(emulsion, key)
        if values:
            data["emulsion"][key] = [round(v, 5) for v in values]
    data["behind"] = _behind(own)
    data["error"] = _error(own)
    changed = ["base.density", *(f"emulsion.{key}" for key in data["emulsion"]), "behind.log_blue", "behind.log_green"]
    sources = {key: text for key, text in data["sources"].items() if not key.startswith(("error.", "emulsion."))}
    sources |= dict.fromkeys(changed, told.source)
    sources |= {
        f"error.{key}": f"{told.source}: the readings' errors carried to curves nobody read" for key in data["error"]
    }
    data["sources"] = dict(sorted(sources.items()))
    data["uncertainty"] = {**data.get("uncertainty", {}), **_uncertainty(own)}
    drying = drying_of(own.stock, own.readings)
    if drying is not None:
        data["drying"]["wet_gelatin_share"] = drying.gelatin_share
        data["sources"]["drying.wet_gelatin_share"] = f"{told.source}: {drying.count} steps read wet and dry"
        data["uncertainty"]["drying.wet_gelatin_share"] = max(drying.error, 0.001)
    return data


def _kept_classes(emulsion: Emulsion) -> Emulsion:
    """Return the emulsion without classes of next to no grains."""
    from dataclasses import replace

    if not emulsion.green_nodes:
        return emulsion
    kept = [k for k, share in enumerate(emulsion.green_weights) if share >= TOO_FEW]
    total = sum(emulsion.green_weights[k] for k in kept)
    return replace(
        emulsion,
        green_nodes=tuple(emulsion.green_nodes[k] for k in kept),
        green_weights=tuple(emulsion.green_weights[k] / total for k in kept),
    )


def _behind(own: OwnPaper) -> list[dict[str, Any]]:
    out = []
    for k, setting in enumerate(own.readings.settings):
        blue, green = own.freedom.light_of(own.free, k)
        out.append({"setting": setting, "log_blue": round(blue, 5), "log_green": round(green, 5)})
    return out


def _error(own: OwnPaper) -> dict[str, float]:
    if not own.generic.grains:
        return {"along_curve": round(max(curve_error(own, ("none",)), LEAST_ERROR), 3)}
    worst = max(float(np.max(behind(own, s).from_speed_error)) for s in LOOKED_AT)
    return {
        "along_curve": round(max(curve_error(own, INNER), LEAST_ERROR), 3),
        "at_ends": round(max(curve_error(own, ENDS), LEAST_ERROR), 3),
        "worst": round(NINETY * worst, 3),
    }


def _uncertainty(own: OwnPaper) -> dict[str, float]:
    sure = dict(zip(own.freedom.shared, np.sqrt(np.diag(own.covariance)), strict=False))
    speed = behind(own, own.readings.settings[0]).log_speed_error if own.readings.light_known else UNREAD_LIGHT_ERROR
    return {
        "base.density": round(max(sure["base"] * SPREADS["base"], 0.002), 4),
        "emulsion.image_density": round(
            own.stock.emulsion.image_density * max(sure["silver"] * SPREADS["silver"], 0.002), 4
        ),
        "emulsion.log_speed": round(max(speed, 0.004), 4),
    }


def toml_of(data: dict[str, Any], remark: str) -> str:
    """Return the data as the text of a TOML file, ``remark`` above it."""
    lines = [f"# {line}" for line in remark.splitlines()]
    plain = {key: value for key, value in data.items() if not _is_table(value)}
    lines += [f"{key} = {toml_value(value)}" for key, value in plain.items()]
    for key, table in data.items():
        if isinstance(table, dict):
            lines += ["", f"[{key}]", *(f"{toml_key(name)} = {toml_value(value)}" for name, value in table.items())]
        elif _is_table(table):
            for entry in table:
                lines += [
                    "",
                    f"[[{key}]]",
                    *(f"{toml_key(name)} = {toml_value(value)}" for name, value in entry.items()),
                ]
    return "\n".join(lines) + "\n"


def _is_table(value: Any) -> bool:
    return isinstance(value, dict) or (isinstance(value, list) and bool(value) and isinstance(value[0], dict))


def toml_key(name: str) -> str:
    """Return a key as TOML has it, in quotation marks where it must be."""
    return name if name.replace("_", "").isalnum() else json.dumps(name)


def toml_value(value: Any) -> str:
    """Return a value as TOML has it; a table becomes one on its line."""
    if isinstance(value, dict):
        return "{ " + ", ".join(f"{toml_key(key)} = {toml_value(one)}" for key, one in value.items()) + " }"
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, str):
        return json.dumps(value, ensure_ascii=False)
    if isinstance(value, list | tuple):
        return "[" + ", ".join(toml_value(one) for one in value) + "]"
    if isinstance(value, float) and not math.isfinite(value):
        raise ValueError(f"a file's number must be finite, got {value!r}")
    return repr(float(value)) if isinstance(value, float | np.floating) else repr(value)
