"""Tones wished for in the paper's own terms: so much above its white, or such a share of its net black.

``exercise.toml`` may say so in the place of a density; ``tonewright derive`` works out what that comes to on the paper, and
an exercise is read with the densities that were derived.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from sim.reading import Problem, ValueRefused, shown
from sim.refusals import refuse_any
from sim.scoring.criterion_kinds import TONE_KINDS

DENSITY = "density"
WISHED_AS = {"net_density": 2.0, "share": 1.0}  # above paper white; of the paper's net black: the most of each


@dataclass(frozen=True)
class PaperWish:
    """A criterion's wish: its index in the file, the name it goes by, its key and the number beside it."""

    index: int
    name: str
    key: str
    value: float


def paper_wishes(file: Path, data: Mapping[str, Any]) -> tuple[PaperWish, ...]:
    """Return the wishes in the paper's own terms among parsed ``exercise.toml`` data. Raises ValueRefused."""
    problems, wishes = [], []
    for index, entry, keys in _wishing(data):
        given = [*keys, *([DENSITY] if DENSITY in entry else [])]
        value = entry[keys[0]]
        if len(given) > 1:
            rule = f"exactly one of {', '.join((DENSITY, *WISHED_AS))} says what is wished for"
            problems.append(Problem(f"criterion[{index}]", rule, " and ".join(given)))
        elif not isinstance(value, float) or not 0.0 < value <= WISHED_AS[keys[0]]:
            rule = f"must be a number above 0, up to {WISHED_AS[keys[0]]:g}"
            problems.append(Problem(f"criterion[{index}].{keys[0]}", rule, shown(value)))
        else:
            wishes.append(PaperWish(index, _called(entry), keys[0], value))
    refuse_any(file, problems)
    return tuple(wishes)


def in_densities(file: Path, data: dict[str, Any], targets: Mapping[str, float]) -> dict[str, Any]:
    """Return the data with every such wish replaced by its derived density. Raises ValueRefused where one has none."""
    wishes = paper_wishes(file, data)
    missing = [wish for wish in wishes if wish.name not in targets]
    if missing:
        rule = "has no derived density; run `tonewright derive`"
        raise ValueRefused(file, [Problem(f"criterion[{w.index}].{w.key}", rule, w.name) for w in missing])
    if not wishes:
        return data
    entries: list[Any] = list(data["criterion"])
    for wish in wishes:
        entry = {key: value for key, value in entries[wish.index].items() if key != wish.key}
        entries[wish.index] = {**entry, DENSITY: targets[wish.name]}
    return {**data, "criterion": entries}


def _wishing(data: Mapping[str, Any]) -> Iterator[tuple[int, dict[str, Any], list[str]]]:
    entries = data.get("criterion")
    for index, entry in enumerate(entries if isinstance(entries, list) else []):
        if isinstance(entry, dict) and entry.get("kind") in TONE_KINDS:
            keys = [key for key in WISHED_AS if key in entry]
            if keys:
                yield index, entry, keys


def _called(entry: Mapping[str, Any]) -> str:
    """Return the name that a criterion goes by: its own, else kind, place and negative."""
    place = entry.get("place", "")
    place = place.get("name", "") if isinstance(place, dict) else place
    tail = [str(part) for part in (place, entry.get("negative")) if part]
    return str(entry.get("name") or "-".join([str(entry["kind"]), *tail]))
