"""What every thing in the room has: the room itself, its name and help by its key, and the lesson's lock of its control."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from pygame import Rect

from sim.window.hands.drags import Drag
from sim.window.hands.thing import Gesture, Thing
from sim.window.kit.boxes import stood
from sim.window.kit.canvas import Canvas
from sim.window.kit.events import Key, Pointer
from sim.window.standing.room import OneRoom

DIGITS = frozenset("0123456789.,-−/½")
MOST_DIGITS = 8


class InRoom(Thing):
    """A thing of the room. ``key`` finds its words, ``control`` names what a lesson may lock."""

    key_of_words = ""
    control = ""

    def __init__(self, room: OneRoom, id: str):
        super().__init__(id)
        self.room = room

    def name(self) -> str:
        """What it is called."""
        return self.room.name(self.key_of_words or self.id)

    def about(self) -> str:
        """How it is worked."""
        return self.room.about(self.key_of_words or self.id)

    def locked(self) -> str:
        """What a lesson says about it."""
        if not self.control or not self.room.open:
            return ""
        return self.room.darkroom.locked(self.control) or ""


class Knob(InRoom):
    """A thing that turns or slides one control of the desk: by drag, wheel and arrows, each gesture one step."""

    def set(self, value: float | str, settle: bool = False) -> None:
        """Turn the control; kept when the gesture ends."""
        self.room.darkroom.desk.set(self.control, value, settle)

    def dragged(self, at: Pointer, to: Callable[[int, int], None]) -> Gesture:
        """Return a drag that turns it: ``to`` gets the way of the hand since the touch."""
        desk = self.room.darkroom.desk
        stood = self.room.control(self.control).value
        return Drag(at, lambda dx, dy, _: to(dx, dy), desk.settle, self.pressed, lambda: self.set(stood, True))


class Slide(InRoom):
    """A slide: it stands where it is touched or dragged to."""

    cursor = "across"

    def to_share(self, share: float) -> None:
        """Stand at a share of its way; beyond its ends it is whatever the slide makes of it."""

    def press(self, at: Pointer) -> Gesture | None:
        """Slide it."""

        def to(x: int) -> None:
            self.to_share((x - self.rect.x) / max(1, self.rect.w))

        to(at.pos[0])
        return Drag(at, lambda dx, dy, now: to(now.pos[0]), lambda: None)


class TypedNumber(InRoom):
    """A number that is typed where it stands: digits are written, Enter keeps them, Escape leaves all as it was."""

    takes_all = False  # while it is written no key but the foot reaches anything else
    _write: Callable[[float], None] | None = None

    def key(self, key: Key) -> bool:
        """Digits are written once it was begun; Enter keeps them, Escape leaves all as it was."""
        if self.typed is None:
            return False
        if key.name == "return":
            self._take()
        elif key.name == "escape":
            self.typed = None
        elif key.name == "backspace":
            self.typed = self.typed[:-1]
        elif key.text and key.text in DIGITS and len(self.typed) < MOST_DIGITS:
            self.typed += key.text.replace(",", ".").replace("−", "-")
        else:
            return self.takes_all and key.name != "space"  # the foot is the foot
        return True

    def left(self) -> None:
        """What was written is kept."""
        self._take()

    def _take(self) -> None:
        typed, self.typed = self.typed, None
        if not typed or self._write is None:
            return
        try:
            value = float(typed)
        except ValueError:
            self.room.say("no number", warn=True, typed=typed)
            return
        self._write(value)


class Tag(TypedNumber):
    """A number that stands at the thing it belongs to and can be typed there: Enter or a touch begins, Enter ends."""

    cursor, takes_all = "write", True

    def __init__(
        self, room: OneRoom, id: str, read: Callable[[], str], write: Callable[[float], None],
        size: str = "small", control: str = "", of: Thing | None = None,
    ):  # fmt: skip
        super().__init__(room, id)
        self._read, self._write, self.size, self.control, self.of = read, write, size, control, of

    def turned(self, steps: int, fine: bool) -> bool:
        """The wheel turns what the number stands at."""
        return self.of is not None and self.of.turned(steps, fine)

    def now(self) -> str:
        """What it says."""
        return self._read()

    def pressed(self) -> None:
        """Begin to write."""
        self.typed = ""

    def wanted(self) -> tuple[int, int]:
        """Return the room it asks for."""
        look = self.room.look
        return look.width(self._read(), self.size) + look.px(12), look.line_height(self.size) + look.px(4)

    def draw(self, canvas: Canvas) -> None:
        """A plate with the number; while it is written, what stands there so far."""
        rect, writing = self.rect, self.typed is not None
        if self.hot or writing:
            canvas.plate(rect, "lamp" if writing else "edge", radius=4)
        if writing and not self.typed:  # what is to be changed stays in view until the first digit
            drawn = canvas.text(self._read(), rect.center, self.size, "faint", "center", rect.w)
            canvas.text("▏", drawn.midleft, self.size, "ink", "midright")
            return
        words = f"{self.typed}▏" if writing else self._read()
        canvas.text(words, rect.center, self.size, "ink", "center", rect.w)


def placed(tag: Tag, anchor: str, at: tuple[int, int], inside: Rect) -> None:
    """Put a number at a point, inside a rectangle."""
    tag.rect = stood(tag.wanted(), anchor, at, inside)


def flowed(things: Sequence[tuple[InRoom, tuple[int, int]]], area: Rect, gap: int) -> int:
    """Stand things of given sizes beside each other at the foot of an area, in as many rows as they need; return how high."""
    rows: list[list[tuple[InRoom, tuple[int, int]]]] = [[]]
    x = 0
    for thing, size in things:
        if x and x + size[0] > area.w:
            rows.append([])
            x = 0
        rows[-1].append((thing, size))
        x += size[0] + gap
    high = max((size[1] for _, size in things), default=0)
    for n, row in enumerate(rows):
        x, y = area.x, area.bottom - (len(rows) - n) * high - (len(rows) - 1 - n) * gap
        for thing, size in row:
            thing.rect = Rect(x, y + (high - size[1]) // 2, *size)
            x += size[0] + gap
    return len(rows) * high + (len(rows) - 1) * gap


class Plate(InRoom):
    """A plate to press, with words on it and, where it can be on, a lamp."""

    def __init__(self, room: OneRoom, id: str, press: Callable[[], None], lit: Callable[[], bool] | None = None):
        super().__init__(room, id)
        self._press, self._lit = press, lit
        self.why: Callable[[], str] = lambda: ""
        self.words: Callable[[], str] = super().name

    def name(self) -> str:
        """What stands on it."""
        return self.words()

    def locked(self) -> str:
        """Why it cannot be pressed now."""
        return super().locked() or self.why()

    def pressed(self) -> None:
        """Do what it is for, or say why not."""
        why = self.locked()
        if why:
            self.room.say_words(f"{self.name()}: {why}", warn=True)
        else:
            self._press()

    def wanted(self) -> tuple[int, int]:
        """As wide as its words."""
        look = self.room.look
        bare = self._lit is None and not self.locked()
        return look.width(self.name()) + look.px(24 if bare else 46), look.line_height() + look.px(12)

    def draw(self, canvas: Canvas) -> None:
        """Raised metal; a lock where it is locked."""
        look, rect, locked = canvas.look, self.rect, bool(self.locked())
        if not locked:
            canvas.plate(rect.move(0, look.px(2)), "", "shade")
        canvas.plate(rect, "faint", "panel" if locked else "raised", hot=self.hot and not locked)
        sign = look.px(22) if self._lit is not None or locked else 0
        wide = min(rect.w - look.px(8) - sign, look.width(self.name()))
        left = rect.centerx - (wide + sign) // 2
        if locked:
            canvas.mark("lock", (left + look.px(8), rect.centery), look.px(14), "soft")
        elif self._lit is not None:
            canvas.lamp((left + look.px(8), rect.centery), look.px(6), self._lit())
        canvas.text(self.name(), (left + sign, rect.centery), "body", "soft" if locked else "ink", "midleft", rect.right - left)


class AskedTwice(Plate):
    """A plate that asks before it does what leads away from here: touched once it asks, touched again it does it."""

    def __init__(self, room: OneRoom, id: str, press: Callable[[], None]):
        super().__init__(room, id, press)
        self._asks = False

    def name(self) -> str:
        """What stands on it, or the question."""
        return self.room.line("asked twice", what=self.words()) if self._asks else self.words()

    def pressed(self) -> None:
        """Ask; then do it."""
        self._asks = not self._asks
        if not self._asks:
            super().pressed()

    def left(self) -> None:
        """The hand went elsewhere: nobody meant it."""
        self._asks = False
