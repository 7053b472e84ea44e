"""Every key and what it does, place by place, as help lists them; and the keys somebody chose instead.

A line is the keys with spaces between, and words. A line of one key may be given another key in the preferences.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from sim.refusals import Refused
from sim.window.kit.events import Key
from sim.words import Words

KeyWords = tuple[tuple[str, str], ...]

ROOM_KEY_WORDS: KeyWords = (
    ("tab shift+tab", "The next thing the keyboard works; the one before"),
    ("return", "Press, write or take what has the focus"),
    ("left right up down", "Turn or move what has the focus; Shift: finely. Without a focus ← → walk"),
    ("pageup pagedown", "Walk along the bench"),
    ("alt+1 alt+2 alt+3 alt+4", "Walk to shelf, enlarger, trays, wall"),
    ("w", "Pull the cord: white light or safelight"),
    ("ctrl+z", "Take the last change of the set-up back"),
    ("ctrl+y", "Do it again"),
    ("f", "The picture fills the window, or not"),
    ("j", "In a lesson: on; at a question the answers have the focus"),
    ("y", "In a lesson: the note away, or back"),
    ("i", "In a lesson: the card with the task"),
    ("u", "In a lesson: a hint"),
    ("f1", "Help"),
    ("f2", "Notebook"),
    ("f3", "Preferences"),
    ("f4", "The counting lamp begins or ends"),
    ("f11", "Full screen"),
    ("escape", "Put card or densitometer back, close what lies over the room"),
    ("ctrl+q", "Leave"),
)

ENLARGER_KEY_WORDS: KeyWords = (
    ("space", "The foot: the lamp to look by; over paper the timer's exposure"),
    ("shift+space", "The lamp goes out before its time"),
    ("s", "Take a sheet, or put it back"),
    ("t", "Take a strip, or put it back"),
    ("r", "Turn the strip"),
    ("return", "Under the lamp: move the strip's card on; after the light: into the developer"),
    ("1 2 3 4 5 6 7 8 9", "Take a card from the rack, or hang it up"),
    ("0", "Empty hands"),
    ("x", "Scissors: draw round a shape; piece and card with the hole hang in the rack"),
    ("g", "Loupe on the easel, or away"),
    ("m", "Meter on the easel; again: hold its light"),
    ("h", "Set the time that keeps the held tone"),
    ("d", "Red filter in or out"),
    ("o", "Opal sheet under the lens, or aside: the foot flashes without the picture"),
    ("a", "Add an exposure to the plan"),
    ("b", "Open the drawer of negatives"),
    ("delete", "Throw the paper away"),
)

TRAYS_KEY_WORDS: KeyWords = (
    ("return", "Slide the sheet in, on to the next bath, to the wall"),
    ("k", "Leave it in every bath for the time that is set, then hang it up"),
    ("r", "Rock the tray"),
    ("x", "Real seconds in this bath, or eight times as fast"),
    ("d", "Fresh developer into the tray, where a tired one stands and may go"),
)

WALL_KEY_WORDS: KeyWords = (
    ("n", "Nominate this print"),
    ("p", "Take the chosen print down"),
    ("shift+p", "Everything from the drawer hangs again"),
    ("c", "Compare two prints: wipe, flicker, difference, side by side"),
    ("e", "As they look wet"),
    ("k", "The paper's curve"),
    ("r", "Ring-around of the chosen print"),
    ("g", "Loupe over the prints"),
    ("l", "Viewing lamp brighter"),
    ("shift+l", "Viewing lamp dimmer"),
    ("t", "This time? Sets the timer to the touched step"),
    ("shift+t", "The touched steps of a soft and a hard strip become the plan"),
    ("+ -", "Nearer, farther"),
    ("home", "Show all"),
)

SHELF_KEY_WORDS: KeyWords = (
    ("l", "The lessons, and drills"),
    ("c", "Carry on with the newest evening"),
    ("n", "A new evening with a fresh box of paper"),
    ("b", "A new evening with paper, sheets and minutes of your choice"),
)

KEY_WORDS: dict[str, KeyWords] = {
    "enlarger": ENLARGER_KEY_WORDS, "trays": TRAYS_KEY_WORDS, "wall": WALL_KEY_WORDS, "shelf": SHELF_KEY_WORDS,
}  # fmt: skip

Chosen = Mapping[str, tuple[str, ...]]  # "enlarger s" or "room f2" -> the one key that somebody chose for it
NOT_FREE = frozenset({"space", "shift+space", "tab", "shift+tab", "return", "escape", "left", "right", "up", "down"})
SIGNS = {"left": "←", "right": "→", "up": "↑", "down": "↓", "-": "−"}
KEY_CAP_WORDS = {  # another language prints other words on its keys
    "space": "Space", "return": "Enter", "escape": "Esc", "pageup": "Page ↑", "pagedown": "Page ↓", "shift": "Shift",
    "ctrl": "Ctrl", "home": "Home", "end": "End", "insert": "Insert", "delete": "Delete", "backspace": "Backspace",
}  # fmt: skip
ENGLISH = Words()


def shown_chord(chord: str, words: Words = ENGLISH) -> str:
    """Return a key as it is printed on a keyboard: ``ctrl+shift+z`` becomes ``Ctrl + Shift + Z``."""
    parts = chord.split("+") if chord != "+" else ["+"]
    caps = [words.text(KEY_CAP_WORDS[part]) if part in KEY_CAP_WORDS else SIGNS.get(part, "") for part in parts]
    return " + ".join(cap or (part.title() if len(part) > 1 else part.upper()) for cap, part in zip(caps, parts, strict=True))


def shown_keys(place: str, chords: str, chosen: Chosen, words: Words = ENGLISH) -> str:
    """Return the keys of a line as help shows them: what somebody chose, else what comes with the room."""
    every = chosen.get(f"{place} {chords}") or tuple(chords.split(" "))
    if len(every) > 3 and all(one[-1].isdigit() for one in every):
        every = (every[0], "…", every[-1])
    return "  ".join(shown_chord(one, words) for one in every)


def may_change(chords: str) -> bool:
    """Tell whether a line may be given another key."""
    return " " not in chords and chords not in NOT_FREE


def changeable() -> list[tuple[str, str, str]]:
    """Return every line that may be given another key: place, key, words."""
    every = [("room", ROOM_KEY_WORDS), *KEY_WORDS.items()]
    return [(place, chords, words) for place, lines in every for chords, words in lines if may_change(chords)]


def usual_key(place: str, key: Key, chosen: Chosen) -> Key | None:
    """Return the key that comes with the room for one that was pressed; None for one whose work somebody gave another key."""
    if not chosen:
        return key
    for where in (place, "room"):
        for name, mine in chosen.items():
            at, _, usual = name.partition(" ")
            if at == where and key.chord in mine:
                return _as(key, usual)
    for where in (place, "room"):
        if f"{where} {key.chord}" in chosen:
            return None
    return key


def _as(key: Key, chord: str) -> Key:
    *held, name = chord.split("+") if chord != "+" else ["+"]
    return replace(key, name=name, shift="shift" in held, control="ctrl" in held, alt="alt" in held)


def with_key(place: str, usual: str, chord: str, chosen: Chosen) -> dict[str, tuple[str, ...]]:
    """Return the chosen keys with one more. Raises Refused for a key that does something already, in words."""
    if chord in NOT_FREE:
        raise Refused(f"{shown_chord(chord)} must stay as it is: it is wanted everywhere")
    after = {name: keys for name, keys in chosen.items() if name != f"{place} {usual}"}
    if chord == usual:
        return after
    for where, line, words in _every_line():
        if place not in (where, "room") and where != "room":
            continue
        if (where, line) != (place, usual) and chord in after.get(f"{where} {line}", tuple(line.split(" "))):
            raise Refused(f"{shown_chord(chord)} does something already: {words}")
    return {**after, f"{place} {usual}": (chord,)}


def _every_line() -> list[tuple[str, str, str]]:
    every = [("room", ROOM_KEY_WORDS), *KEY_WORDS.items()]
    return [(place, chords, words) for place, lines in every for chords, words in lines]
