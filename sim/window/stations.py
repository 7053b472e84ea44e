"""The places of the room, in the order one walks; each is imported when somebody first goes there."""

from __future__ import annotations

from sim.refusals import Refused
from sim.window.kit.screen import Screen
from sim.window.room import Room

PLACES: tuple[tuple[str, str], ...] = (
    ("enlarger", "Enlarger"),
    ("wet-bench", "Wet bench"),
    ("wall", "Wall"),
    ("notebook", "Notebook"),
    ("lessons", "Lessons"),
)
BESIDE = ("start", "preferences", "drills")  # reached otherwise


def open_place(name: str, room: Room) -> Screen:
    """Return the screen of a place. Raises ValueError for a place that is not there."""
    if name == "enlarger":
        from sim.window.dry.enlarger_screen import EnlargerScreen

        return EnlargerScreen(room)
    if name == "wet-bench":
        from sim.window.wet.wet_bench_screen import WetBenchScreen

        return WetBenchScreen(room)
    if name == "wall":
        from sim.window.wall.wall_screen import WallScreen

        return WallScreen(room)
    if name == "notebook":
        from sim.window.notebook.notebook_screen import NotebookScreen

        return NotebookScreen(room)
    return _beside(name, room)


def _beside(name: str, room: Room) -> Screen:
    if name == "lessons":
        from sim.window.lesson_screen import LessonScreen

        return LessonScreen(room)
    if name == "preferences":
        from sim.window.preferences_screen import PreferencesScreen

        return PreferencesScreen(room)
    if name == "drills":
        from sim.window.drill_screen import DrillScreen

        return DrillScreen(room)
    if name == "start":
        from sim.window.start_screen import StartScreen

        return StartScreen(room)
    raise Refused(f"place must be one of {', '.join([*(n for n, _ in PLACES), *BESIDE])}, got {name}")
