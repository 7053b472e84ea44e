"""A part of the dry side: some controls, where they stand, and what is drawn beside them."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from pygame import Rect

from sim.window.kit.canvas import Canvas
from sim.window.kit.control import Control
from sim.window.kit.look import Look

if TYPE_CHECKING:
    from sim.window.dry.enlarger_screen import EnlargerScreen


class Part:
    """A part knows its screen; it keeps its rectangle and whether it is shown."""

    def __init__(self, screen: EnlargerScreen):
        self.screen = screen
        self.rect = Rect(0, 0, 0, 0)
        self.shown = True
        self.controls: list[Control] = []

    @property
    def room(self) -> Any:
        """The room: words, preferences, long work."""
        return self.screen.room

    @property
    def look(self) -> Look:
        """Sizes and colours."""
        look: Look = self.screen.room.look
        return look

    @property
    def darkroom(self) -> Any:
        """The darkroom itself."""
        return self.screen.room.darkroom

    def words(self, message: str, **values: object) -> str:
        """Return a text in the language of the window."""
        text: str = self.screen.room.words.text(message, **values)
        return text

    def add(self, control: Any) -> Any:
        """Put a control into the screen and remember that it belongs here."""
        self.controls.append(self.screen.add(control))
        return control

    def show(self, shown: bool) -> None:
        """Show or hide the part and all its controls."""
        self.shown = shown
        for control in self.controls:
            control.visible = shown

    def build(self) -> None:
        """Make the controls."""

    def layout(self, rect: Rect) -> None:
        """Stand in a rectangle."""
        self.rect = rect

    def refresh(self) -> None:
        """Copy the darkroom's state into the controls."""

    def draw(self, canvas: Canvas) -> None:
        """Draw what is not a control, before the controls."""

    def desk_control(self, control: Control, name: str) -> Any:
        """Copy a control of the desk into one of the window: its value and why it is locked. Returns the desk's."""
        found = self.darkroom.desk.control(name)
        control.value = found.value
        control.why_not = found.locked or ""
        return found
