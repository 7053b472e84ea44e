"""The keys of every place, and those that are the same everywhere; what somebody chose instead is in chosen_keys.py."""

from __future__ import annotations

from sim.window.kit.action import Action
from sim.window.wall.wall_words import VIEWS

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
# The enlarger
ENLARGER_KEYS: tuple[Action, ...] = (
    Action("expose", "Foot switch: lamp on, or off before its time", "space", "f5"),
    Action("focus-light", "Focusing light on or off", "l"),
    Action("red-filter", "Swing the red filter in or out", "r"),
    Action("loupe", "Put the loupe down, or take it away", "o"),
    Action("sharp", "Turn the focus ring to sharp", "f"),
    Action("hold", "Hold the light under the probe as the reference", "m"),
    Action("keep-tone", "Dial the time that keeps the held place's tone", "shift+m"),
    Action("head-up", "Head up the column by 5 mm", "u"),
    Action("head-down", "Head down the column by 5 mm", "shift+u"),
    Action("lens-open", "Open the lens by a third of a stop", "["),
    Action("lens-close", "Close the lens by a third of a stop", "]"),
    Action("softer", "Next softer filter", "-"),
    Action("harder", "Next harder filter", "="),
    Action("shorter", "A sixth of a stop less time", ","),
    Action("longer", "A sixth of a stop more time", "."),
    Action("take-sheet", "Take a sheet of paper", "s"),
    Action("take-strip", "Take a strip", "shift+s"),
    Action("turn-strip", "Turn the strip", "t"),
    Action("cover-step", "Cover one step more of the strip", "c"),
    Action("lay-strip", "Expose the strip as set", "shift+c"),
    *(Action(f"tool-{n}", f"Take card {n} from the rack, or hang it back", str(n)) for n in range(1, 8)),
    Action("put-back-card", "Hang the card back", "0"),
    Action("card-higher", "Card in hand higher by 10 mm", "h"),
    Action("card-lower", "Card in hand lower by 10 mm", "shift+h"),
    Action("card-turn", "Turn the card in hand by 15 degrees", "g"),
    Action("fix-card", "Fix the card in hand by its numbers", "x"),
    Action("hand-left", "Move what is in hand to the left", "left"),
    Action("hand-right", "Move what is in hand to the right", "right"),
    Action("hand-up", "Move what is in hand up", "up"),
    Action("hand-down", "Move what is in hand down", "down"),
    Action("numbers", "Open or close the card by numbers", "n"),
    Action("negatives", "Open or close the light table", "v"),
    Action("set-up", "Open or close the set-up", "b"),
    Action("next-page", "Next page: paper, strip, cards, plan", "p"),
    Action("plan-add", "Add this setting to the plan", "a"),
    Action("plan-next", "Expose the next of the plan", "shift+a"),
    Action("develop", "Take the paper to the wet bench", "w"),
    Action("undo", "Take back the last change of a setting", "ctrl+z"),
    Action("redo", "Make it again", "ctrl+y"),
)
# The shelf of lessons, and a lesson
LESSON_KEYS: tuple[Action, ...] = (
    Action("lesson-on", "Go on, or say what is chosen", "g"),
    Action("lesson-hint", "Ask for a hint", "h"),
    Action("lesson-shelf", "Back to the shelf of lessons", "s"),
    Action("lesson-enlarger", "Go to the enlarger", "e"),
    Action("lesson-drills", "Go to the drills (from the shelf)", "d"),
    Action("lesson-recall", "Recall what is due today (from the shelf)", "r"),
)
# The wet bench
WET_BENCH_KEYS: tuple[Action, ...] = (
    Action("tray-on", "Into the next tray", "return", "space"),
    Action("tray-skip", "Skip to the dry print", "k"),
    Action("tray-speed", "Real seconds or eight times", "x"),
    Action("tray-white-light", "White light on or off", "w"),
)
# The door
DOOR_KEYS: tuple[Action, ...] = (
    Action("carry-on", "Carry on with the last evening", "c"),
    Action("free-evening", "Open a free evening", "n"),
    Action("to-lessons", "Look at the lessons", "l"),
)
# Drills
DRILL_KEYS: tuple[Action, ...] = (
    Action("drill-on", "Begin, say the answer, or on to the next", "return"),
    Action("drill-leave", "End the round, or back to the lessons", "s"),
)
# The notebook
NOTEBOOK_KEYS: tuple[Action, ...] = (
    Action("page-back", "Page back", "left"),
    Action("page-on", "Page on", "right"),
    Action("page-again", "Take it to the enlarger", "a"),
    Action("page-other", "On another negative or size", "o"),
    Action("page-map", "Printing map as a page", "m"),
    Action("page-export", "Export the evening", "e"),
)
# The wall
WALL_KEYS: tuple[Action, ...] = (
    Action("wall-pin", "Pin up or take down", "p"),
    Action("wall-nominate", "Name the sheet that counts", "n"),
    Action("wall-undo", "Take the last naming back", "ctrl+z"),
    Action("wall-nearer", "Nearer", "+", "="),
    Action("wall-back", "Farther away", "-"),
    Action("wall-wet", "Wet or dry", "w"),
    Action("wall-light", "Practical or critical light", "l"),
    *(Action(f"wall-view-{k}", words, str(n + 1)) for n, (k, words) in enumerate(VIEWS)),
)
