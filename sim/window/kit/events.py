"""What reaches the room: the pointer and the keys."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal


@dataclass(frozen=True)
class Pointer:
    """The pointer went down, up, moved, or its wheel turned (``steps`` > 0: away from the hand)."""

    kind: Literal["down", "up", "move", "wheel"]
    pos: tuple[int, int]
    button: int = 0
    steps: int = 0
    buttons: frozenset[int] = frozenset()
    shift: bool = False


@dataclass(frozen=True)
class Key:
    """A key went down or up; ``text`` is what it writes, if anything."""

    name: str
    down: bool = True
    shift: bool = False
    control: bool = False
    alt: bool = False
    text: str = ""
    repeat: bool = False

    @property
    def chord(self) -> str:
        """The key with what is held beside it, as it stands in the key list: ``ctrl+shift+z``."""
        held = (("ctrl", self.control), ("alt", self.alt), ("shift", self.shift))
        return "+".join([*(name for name, on in held if on), self.name])


Event = Pointer | Key
