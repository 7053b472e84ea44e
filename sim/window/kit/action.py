"""Things a key can do: named, labelled, listed in the key overlay, and remappable."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class Action:
    """One thing to do by key: ``id``, an English label, and the keys it has until somebody chooses others."""

    id: str
    label: str
    keys: tuple[str, ...]

    def __init__(self, id: str, label: str, *keys: str):
        object.__setattr__(self, "id", id)
        object.__setattr__(self, "label", label)
        object.__setattr__(self, "keys", keys)
