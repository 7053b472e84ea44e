"""A place in the room: its controls, its keys, and how pointer and keyboard find their way to them."""

from __future__ import annotations

from typing import TYPE_CHECKING, ClassVar, TypeVar

from pygame import Rect

from sim.refusals import Refused
from sim.window.kit.action import Action
from sim.window.kit.canvas import Canvas
from sim.window.kit.control import Control
from sim.window.kit.events import HANDLED, UNUSED, Event, Key, Outcome, Pointer

if TYPE_CHECKING:
    from sim.window.room import Room

C = TypeVar("C", bound=Control)


class Screen:
    """A place. Subclasses say what is there (build), where (layout), in what state (refresh), and draw the rest."""

    NAME = ""
    LIGHT = "safelight"
    HELP: ClassVar[dict[str, str]] = {}
    ACTIONS: ClassVar[tuple[Action, ...]] = ()

    def __init__(self, room: Room):
        self.room = room
        self.controls: list[Control] = []
        self.focus: Control | None = None
        self.focus_shown = False
        self._captured: Control | None = None
        self._held: dict[str, str] = {}  # key name -> the action it started

    def build(self) -> None:
        """Make the controls; called once, before the first layout."""

    def layout(self, area: Rect) -> None:
        """Give every control its rectangle; called at every change of size, scale or language."""

    def refresh(self) -> None:
        """Copy the darkroom's state into the controls."""

    def act(self, action: str) -> Outcome:
        """Do what a key asks for."""
        return UNUSED

    def released(self, action: str) -> Outcome:
        """The key that started an action was let go."""
        return HANDLED

    def pointer(self, event: Pointer) -> Outcome:
        """Answer the pointer where no control is."""
        return UNUSED

    def update(self, dt_s: float) -> Outcome:
        """Let time pass."""
        return UNUSED

    def entered(self) -> None:
        """Somebody came to this place."""

    def left(self) -> None:
        """Somebody went elsewhere; whatever was held is let go."""
        self._captured = None
        for action in list(self._held.values()):
            self.released(action)
        self._held.clear()

    def add(self, control: C) -> C:
        """Put a control into the place; the order is the order of the Tab key."""
        if any(other.id == control.id for other in self.controls):
            raise Refused(f"control id must be used once, got {control.id!r} twice in {self.NAME}")
        self.controls.append(control)
        return control

    def find(self, name: str) -> Control:
        """Return a control by its id. Raises KeyError."""
        for control in self._all():
            if control.id == name:
                return control
        raise KeyError(name)

    def _all(self) -> list[Control]:
        return [*self.controls, *self.room.frame]

    def _reachable(self) -> list[Control]:
        return [c for c in self._all() if c.visible and c.focusable]

    def control_at(self, pos: tuple[int, int]) -> Control | None:
        """Return the control under a point."""
        for control in reversed(self._all()):
            if control.visible and control.focusable and control.rect.collidepoint(pos):
                return control
        return None

    def set_focus(self, control: Control | None, shown: bool = True) -> Outcome:
        """Give the keyboard to a control; the one that loses it may have something to say."""
        before, self.focus, self.focus_shown = self.focus, control, shown
        if before is not None and before is not control:
            return before.lost_focus() or HANDLED
        return HANDLED

    def handle(self, event: Event) -> Outcome:
        """Take an event to where it belongs; returns what happens next."""
        if self.focus is not None and not self.focus.visible:
            self.focus = None
        answer = self._pointer(event) if isinstance(event, Pointer) else self._key(event)
        outcome = answer if isinstance(answer, Outcome) else HANDLED  # a callback may return what it likes
        if outcome.handled:
            self.refresh()
        return outcome

    def _pointer(self, event: Pointer) -> Outcome:
        over = self.control_at(event.pos)
        if event.kind == "move":
            for control in self._all():
                control.hot = control is over
        if self._captured is not None:
            target = self._captured
            if event.kind == "up":
                self._captured = None
            return target.pointer(event, self.room.look)
        if over is None:
            if event.kind == "down" and self.focus is not None:
                loosened = self.set_focus(None)
                answer = self.pointer(event)
                return answer if answer.handled and answer != HANDLED else loosened
            return self.pointer(event)
        if event.kind == "down":
            self._captured = over
            lost = self.set_focus(over, shown=over.writes)
            answer = over.pointer(event, self.room.look)
            return answer if answer.say or answer.go_to or answer.ask or not lost.say else lost
        return over.pointer(event, self.room.look)

    def _key(self, event: Key) -> Outcome:
        if not event.down:
            action = self._held.pop(event.name, "")
            return self.released(action) if action else UNUSED
        if event.name == "tab" and not (event.control or event.alt):
            return self._walk(-1 if event.shift else 1)
        if self.focus is not None:
            outcome = self.focus.key(event)
            if outcome.handled:
                self.focus_shown = True
                return outcome
        if not event.repeat and event.name in self._held:  # let go while a question lay over the place
            self.released(self._held.pop(event.name))
        action = self.room.keys.action_for(event.chord, self.ACTIONS)
        if not action or event.name in self._held:
            return HANDLED if action else UNUSED
        outcome = self.act(action)
        if outcome.handled:
            self._held[event.name] = action
        return outcome

    def _walk(self, steps: int) -> Outcome:
        reachable = self._reachable()
        if not reachable:
            return HANDLED
        here = reachable.index(self.focus) if self.focus in reachable else (-1 if steps > 0 else 0)
        return self.set_focus(reachable[(here + steps) % len(reachable)])

    def help_for(self, control: Control) -> str:
        """Return the English help text of a control, or nothing."""
        return self.HELP.get(control.help_key) or self.room.frame_help.get(control.help_key, "")

    def draw(self, canvas: Canvas) -> None:
        """Draw the controls; a place draws its own picture first."""
        for control in self.controls:
            if control.visible:
                self.draw_control(canvas, control)

    def draw_control(self, canvas: Canvas, control: Control) -> None:
        """Draw one control and say that it can be clicked."""
        if control.focusable:
            canvas.hit(control.id, control.rect)
        control.draw(canvas, self.focus_shown and control is self.focus)
