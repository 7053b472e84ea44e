"""Where events go: to the gesture under way, to what is touched, to the foot, to what has the focus, to the room's keys.

Space is the foot, whatever has the focus; only letters that are being written come before it. Enter presses what has the
focus, unless a touch put it there: then Enter is the place's. A held key acts once; arrows and letters go on. A wheel or a
held arrow is one gesture: it is settled when the hand rests.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Protocol

from sim.window.hands.thing import Cursor, Gesture, Thing
from sim.window.kit.events import Key, Pointer

RESTS_S = 0.45  # a wheel or an arrow that rests so long has ended its gesture
HELP_AFTER_S = 0.5
# what a held key may do again and again
GO_ON = frozenset({"left", "right", "up", "down", "pageup", "pagedown", "tab", "+", "-", "="})
ARROWS = {"left": (-1, 0), "right": (1, 0), "up": (0, -1), "down": (0, 1)}


class Surroundings(Protocol):
    """What the dispatcher asks of the room."""

    def things(self) -> Sequence[Thing]:
        """Return what can be touched where one stands, from below to above."""
        ...

    def foot(self, key: Key) -> None:
        """The foot pressed its switch."""
        ...

    def room_key(self, key: Key) -> bool:
        """A key that belongs to the room went down; returns whether it was used."""
        ...

    def hand_rests(self) -> None:
        """A gesture by wheel or arrows is over."""
        ...

    def hand_moved(self, at: Pointer) -> None:
        """The hand moves through the room without touching."""
        ...


class Dispatcher:
    """Takes events to where they belong. ``guard`` does something and says it where it is refused."""

    def __init__(self, room: Surroundings, guard: Callable[[Callable[[], object]], bool]):
        self._room, self._guard = room, guard
        self.focus: Thing | None = None
        self.focus_shown = False
        self.over: Thing | None = None
        self.still_s = 0.0
        self.pointer = (-1, -1)
        self._gesture: Gesture | None = None
        self._unsettled_s: float | None = None
        self._foot_down = False

    @property
    def writing(self) -> bool:
        """Whether letters are being written somewhere in sight."""
        return self.focus is not None and self.focus.shown and self.focus.writing

    @property
    def busy(self) -> bool:
        """Whether a hand holds something."""
        return self._gesture is not None

    def handle(self, event: Pointer | Key) -> None:
        """Take one event to where it belongs."""
        if isinstance(event, Pointer):
            self._pointer(event)
        elif event.down:
            self._key(event)
        elif event.name == "space":
            self.foot_up()

    def update(self, dt_s: float) -> None:
        """Let time pass: a resting wheel settles, a resting pointer is told about what is under it."""
        self.still_s += dt_s
        if self._unsettled_s is not None:
            self._unsettled_s -= dt_s
            if self._unsettled_s <= 0.0:
                self.rest()

    def rest(self) -> None:
        """End the gesture of wheel or arrows, should one be under way."""
        if self._unsettled_s is not None:
            self._unsettled_s = None
            self._guard(self._room.hand_rests)

    def let_go(self) -> None:
        """Whatever is held is let go where it was: one walks away, or the room changes."""
        gesture, self._gesture = self._gesture, None
        if gesture is not None:
            self._guard(gesture.cancel)
        self.rest()
        if self.over is not None:
            self.over.hot = False
        self.over, self.still_s = None, 0.0

    def foot_up(self) -> None:
        """No foot stands on the switch any more, whether that was told or not."""
        self._foot_down = False

    def put_focus(self, thing: Thing | None, shown: bool = True) -> None:
        """Let the keyboard work another thing."""
        before, self.focus, self.focus_shown = self.focus, thing, shown
        if before is not None and before is not thing:
            self._guard(before.left)

    def told(self) -> Thing | None:
        """Return what help is shown for now: what the pointer has rested on."""
        there = self.over is not None and self.over.shown and any(one is self.over for one in self._room.things())
        rests = there and self.still_s >= HELP_AFTER_S and self._gesture is None
        return self.over if rests else None

    def cursor(self) -> Cursor:
        """What the pointer shows."""
        if self._gesture is not None:
            return "grab"
        return self.over.cursor_at(self.pointer) if self.over is not None else "arrow"

    def _at(self, pos: tuple[int, int]) -> Thing | None:
        return next((thing for thing in reversed(self._room.things()) if thing.hit(pos)), None)

    def _pointer(self, at: Pointer) -> None:
        if at.pos != self.pointer:
            self.still_s = 0.0
        self.pointer = at.pos
        if at.kind == "move" and self._gesture is None:
            self._look_under(at.pos)
            self._guard(lambda: self._room.hand_moved(at))
            return
        if at.kind == "wheel":
            self._turn(at)
        elif at.kind == "down" and self._gesture is None:
            self._touch(at)
        elif self._gesture is not None:
            self._go_on(self._gesture, at)

    def _look_under(self, pos: tuple[int, int]) -> None:
        under = self._at(pos)
        if under is not self.over:
            for thing, hot in ((self.over, False), (under, True)):
                if thing is not None:
                    thing.hot = hot
            self.over, self.still_s = under, 0.0

    def _turn(self, at: Pointer) -> None:
        under = self._at(at.pos)
        self._look_under(at.pos)
        used = [False]

        def turn() -> None:
            if under is not None and not under.locked():
                used[0] = under.turned(at.steps, at.shift)

        self._guard(turn)
        self.still_s = -1e9  # what is being worked needs no telling until the hand moves again
        if used[0]:
            self._unsettled_s = RESTS_S
        elif not (under and under.locked()):
            self._room.room_key(Key("wheel-up" if at.steps > 0 else "wheel-down"))

    def _touch(self, at: Pointer) -> None:
        self.rest()
        self.still_s = -1e9  # what is being worked needs no telling
        under = self._at(at.pos)
        self._look_under(at.pos)
        if at.button != 1 or under is None:
            self.put_focus(None)
            return
        self.put_focus(under, shown=False)

        def touch() -> None:
            self._gesture = under.press(at)

        self._guard(touch)

    def _go_on(self, gesture: Gesture, at: Pointer) -> None:
        if at.kind == "move":
            if not self._guard(lambda: gesture.move(at)):
                pass  # said; the hand may go back to where it is allowed
        elif at.kind == "up" and at.button == 1:
            self._gesture = None
            self._guard(lambda: gesture.drop(at))
            self._look_under(at.pos)
            self.still_s = -1e9  # nor does it once the hand has let go and rests there

    def _key(self, key: Key) -> None:
        self.still_s = -1e9  # nor while keys are worked
        focus = self.focus if self.focus is not None and self.focus.shown else None
        if key.repeat and (key.name in ("return", "escape") or not (self.writing or key.name in GO_ON)):
            return
        if focus is not None and self._used(lambda: focus.key(key)):
            self.focus_shown = True
            return
        if key.name == "space":
            if not self._foot_down and not key.repeat:
                self._foot_down = True
                self.rest()
                self._guard(lambda: self._room.foot(key))
            return
        if key.name == "tab" and not (key.control or key.alt):
            self.rest()
            self.walk(-1 if key.shift else 1)
            return
        if key.name == "escape" and self._gesture is not None:
            self.let_go()
            return
        if focus is not None and self._worked(focus, key):
            return
        self._room.room_key(key)

    def _worked(self, focus: Thing, key: Key) -> bool:
        """Press what has the focus, or move it by the arrows; returns whether the key was used."""
        if key.name == "return" and not (key.control or key.alt):
            self.rest()
            if not self.focus_shown:  # the hand is there, not the keyboard: Enter is what the place promises
                used = self._room.room_key(key)
                if used or not focus.large:
                    return True
            self.focus_shown = True
            self._guard(focus.pressed)
            return True
        if key.name not in ARROWS or key.control or key.alt:
            return False
        right, down = ARROWS[key.name]
        if self._used(lambda: focus.nudged(right, down, key.shift)):
            self.focus_shown, self._unsettled_s = True, RESTS_S
            return True
        return False

    def _used(self, act: Callable[[], bool]) -> bool:
        """Do something; returns whether it was used (a refusal that was said counts)."""
        used = [True]

        def do() -> None:
            used[0] = act()

        self._guard(do)
        return used[0]

    def walk(self, steps: int) -> None:
        """Take the focus to the next thing, or the one before."""
        reachable = [thing for thing in self._room.things() if thing.shown and thing.reachable]
        if not reachable:
            return
        there = self.focus in reachable
        here = reachable.index(self.focus) if there and self.focus is not None else (-1 if steps > 0 else 0)
        self.put_focus(reachable[(here + steps) % len(reachable)])
