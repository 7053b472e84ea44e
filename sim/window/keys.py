"""Which key does what: what comes with a place, changed by what somebody chose in the preferences."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from sim.refusals import Refused
from sim.window.kit.action import Action

PLACES_BY_KEY = 5
ROOM_ACTIONS: tuple[Action, ...] = (
    Action("help", "Explain what is under the pointer or has the focus", "f1"),
    Action("key-list", "Show all keys", "f2"),
    Action("preferences", "Open the preferences", "f3"),
    Action("place-1", "Go to the enlarger", "ctrl+1"),
    Action("place-2", "Go to the wet bench", "ctrl+2"),
    Action("place-3", "Go to the wall", "ctrl+3"),
    Action("place-4", "Go to the notebook", "ctrl+4"),
    Action("place-5", "Go to the lessons", "ctrl+5"),
    Action("next-place", "Walk to the next place", "page down"),
    Action("previous-place", "Walk to the previous place", "page up"),
    Action("beat", "Start or stop the counting beat", "f4"),
    Action("leave", "Leave the room", "ctrl+q"),
)
# What the controls themselves answer; listed in the overlay, not to be changed.
FIXED_KEYS: tuple[tuple[str, str], ...] = (
    ("tab", "Next control"),
    ("shift+tab", "Previous control"),
    ("space", "Press the button that has the focus"),
    ("return", "Press, open, or hand over what was typed"),
    ("left", "Step back, or the neighbour at the left"),
    ("right", "Step on, or the neighbour at the right"),
    ("up", "One more, or the row above"),
    ("down", "One less, or the row below"),
    ("shift+up", "Ten steps more"),
    ("shift+down", "Ten steps less"),
    ("home", "To the beginning of the range"),
    ("end", "To the end of the range"),
    ("backspace", "Take back a letter or digit"),
    ("escape", "Close what lies over the place"),
)
NOT_FREE = frozenset({"tab", "shift+tab", "escape"})


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
