"""How an item of a drill is answered: by touching the picture, a plate with the answer, or seconds, stops and a filter."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from sim.teaching.drill_item import FILTERS, DrillItem
from sim.window.hands.thing import Gesture, Thing
from sim.window.kit.events import Key, Pointer
from sim.window.standing.room import OneRoom
from sim.window.teacher.note import AnswerPlate
from sim.window.things.in_room import InRoom
from sim.window.things.rows import Row

FIRST_S, FIRST_STOPS, NO_FILTER, MIDDLE_FILTER = 10.0, 1.0, -1, FILTERS.index("2")
SECONDS, STOPS = (0.1, 9999.0), (0.0, 6.0)
STEP_STOPS, STOPS_STEP = 1 / 12, 0.25  # one notch of the wheel


class Number(Row):
    """A number of an answer: Enter after typing says it, if nothing else is asked."""

    def __init__(
        self, room: OneRoom, id: str, read: Callable[[], str], turn: Callable[[int, bool], None],
        write: Callable[[float], None] | None, said: Callable[[], None],
    ):  # fmt: skip
        super().__init__(room, id, room.name(id), read, turn, write)
        self._said = said

    def key(self, key: Key) -> bool:
        """Enter after a number hands it over and says it, in one."""
        typed = self.typed
        used = super().key(key)
        if typed and used and key.name == "return":
            self._said()
        return used


class Answering:
    """The answer to one item. ``say`` is called with it in the form the drill reads."""

    def __init__(self, room: OneRoom, item: DrillItem, say: Callable[[str], None], focus: Callable[[Thing], None]):
        self.room, self.item, self._say, self._focus = room, item, say, focus
        self.seconds_s, self.stops, self.filter = FIRST_S, FIRST_STOPS, NO_FILTER
        self._given: set[str] = set()
        self.part = ""
        self.plates = [AnswerPlate(room, one.key, room.said(one.words), say, self._beside) for one in item.choices]
        self.numbers = self._numbers()

    def _numbers(self) -> list[Number]:
        room, item = self.room, self.item
        found: list[Number] = []
        if item.answer_s is not None:
            found.append(Number(room, "drill seconds", lambda: f"{room.number(self.seconds_s)} s", self._turn_seconds,
                                self._write_seconds, self.said))  # fmt: skip
        if item.answer_stops is not None:
            found.append(Number(room, "drill stops", lambda: room.number(self.stops, 2), self._turn_stops,
                                self._write_stops, self.said))  # fmt: skip
        if item.answer_filter is not None:
            found.append(Number(room, "drill filter", self._filter_said, self._turn_filter, None, self.said))
        return found

    def _filter_said(self) -> str:
        return FILTERS[self.filter] if self.filter != NO_FILTER else "–"

    def _turn_seconds(self, steps: int, fine: bool) -> None:
        self._write_seconds(self.seconds_s * 2.0 ** (steps * STEP_STOPS))

    def _write_seconds(self, seconds: float) -> None:
        self.seconds_s = min(SECONDS[1], max(SECONDS[0], seconds))
        self._given.add("drill seconds")

    def _turn_stops(self, steps: int, fine: bool) -> None:
        self._write_stops(self.stops + steps * STOPS_STEP)

    def _write_stops(self, stops: float) -> None:
        self.stops = min(STOPS[1], max(STOPS[0], stops))
        self._given.add("drill stops")

    def _turn_filter(self, steps: int, fine: bool) -> None:
        to = MIDDLE_FILTER if self.filter == NO_FILTER else self.filter + steps
        self.filter = max(0, min(len(FILTERS) - 1, to))
        self._given.add("drill filter")

    @property
    def text(self) -> str:
        """The numbers as the drill reads them; empty while one of them was not given: what stands there is no answer."""
        if not self.numbers or any(row.id not in self._given for row in self.numbers):
            return ""
        said = {
            "drill seconds": f"{self.seconds_s:.2f}", "drill stops": f"{self.stops:.2f}", "drill filter": FILTERS[self.filter],
        }  # fmt: skip
        return " ".join(said[row.id] for row in self.numbers)

    def said(self) -> None:
        """Say the numbers; what is still missing has the focus."""
        if self.text:
            self._say(self.text)
            return
        missing = next((row for row in self.numbers if row.id not in self._given), None)
        if missing is not None and self._given:
            self._focus(missing)
        else:
            self.room.say("answer first")

    def touch(self, x_share: float, y_share: float) -> None:
        """The picture was touched: what lies nearest is meant; where more than one answer fits, the plates say which."""
        if not self.item.touched:
            return
        key = min(self.item.touched, key=lambda one: (one[1] - x_share) ** 2 + (one[2] - y_share) ** 2)[0]
        keys = [one.key for one in self.item.choices]
        if key in keys:
            self._say(key)
        else:
            self.part = key

    def shown_plates(self) -> Sequence[AnswerPlate]:
        """Return the answers that fit what was touched."""
        return [one for one in self.plates if not self.part or one.key_said.startswith(f"{self.part}-")]

    def _beside(self, one: Thing, steps: int) -> None:
        shown = list(self.shown_plates())
        if one in shown:
            self._focus(shown[(shown.index(one) + steps) % len(shown)])


class Board(InRoom):
    """The picture of an item: touched where one means it."""

    cursor, reachable, large = "cross", False, True

    def __init__(self, room: OneRoom, touch: Callable[[float, float], None]):
        super().__init__(room, "drill board")
        self._touch = touch

    def press(self, at: Pointer) -> Gesture | None:
        """The point is what counts."""
        x, y = (at.pos[0] - self.rect.x) / max(1, self.rect.w), (at.pos[1] - self.rect.y) / max(1, self.rect.h)
        self._touch(x, y)
        return None
