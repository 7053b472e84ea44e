"""Which key does what: what comes with a place, changed by what somebody chose in the preferences."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from sim.refusals import Refused
from sim.window.keys_of_every_place import NOT_FREE
from sim.window.kit.action import Action


class Keys:
    """The bindings in force. ``chosen`` maps an action's id to the keys somebody chose for it."""

    def __init__(self, chosen: Mapping[str, tuple[str, ...]] | None = None):
        self.chosen: dict[str, tuple[str, ...]] = dict(chosen or {})

    def of(self, action: Action) -> tuple[str, ...]:
        """Return the keys of an action."""
        return self.chosen.get(action.id, action.keys)

    def action_for(self, chord: str, actions: Iterable[Action]) -> str:
        """Return the id of the action a key does, or nothing."""
        return next((action.id for action in actions if chord in self.of(action)), "")

    def clash(self, action: Action, chord: str, actions: Iterable[Action]) -> str:
        """Return the label of another action that has this key already, or nothing."""
        return next((other.label for other in actions if other.id != action.id and chord in self.of(other)), "")

    def choose(self, action: Action, chord: str) -> None:
        """Give an action one key of one's own. Raises ValueError for keys that every place needs."""
        if chord in NOT_FREE:
            raise Refused(f"key must not be one that every place needs ({', '.join(sorted(NOT_FREE))}), got {chord}")
        self.chosen[action.id] = (chord,)

    def forget(self) -> None:
        """Go back to the keys that come with the places."""
        self.chosen.clear()


SIGNS = {"left": "←", "right": "→", "up": "↑", "down": "↓", "space": "Space", "return": "Enter", "escape": "Esc"}


def shown_chord(chord: str) -> str:
    """Return a key as it is printed on a keyboard: ``ctrl+shift+z`` becomes ``Ctrl + Shift + Z``."""
    parts = chord.split("+") if chord != "+" else ["+"]
    if chord.endswith("++"):
        parts = [*chord[:-2].split("+"), "+"]
    return " + ".join(SIGNS.get(part, part.title() if len(part) > 1 else part.upper()) for part in parts)
