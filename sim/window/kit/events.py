"""What reaches a place (pointer, key) and what it answers (an outcome); nothing else passes between them."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

if TYPE_CHECKING:
    from sim.window.preferences import Preferences


@dataclass(frozen=True)
class Pointer:
    """The pointer went down, up, moved, or its wheel turned (``steps`` > 0: away from the hand)."""

    kind: Literal["down", "up", "move", "wheel"]
    pos: tuple[int, int]
    button: int = 0
    steps: int = 0
    buttons: frozenset[int] = frozenset()
    shift: bool = False


@dataclass(frozen=True)
class Key:
    """A key went down or up; ``text`` is what it writes, if anything."""

    name: str
    down: bool = True
    shift: bool = False
    control: bool = False
    alt: bool = False
    text: str = ""
    repeat: bool = False

    @property
    def chord(self) -> str:
        """The key with what is held beside it, as it stands in the key list: ``ctrl+shift+z``."""
        held = (("ctrl", self.control), ("alt", self.alt), ("shift", self.shift))
        return "+".join([*(name for name, on in held if on), self.name])


Event = Pointer | Key


@dataclass(frozen=True)
class Answer:
    """One answer to a question: its id and its words."""

    id: str
    label: str


@dataclass(frozen=True)
class Question:
    """What is asked; ``then(answer id)`` says what happens next. Escape gives the last answer, the careful one."""

    title: str
    words: str
    answers: tuple[Answer, ...]
    then: Callable[[str], Outcome | None]


@dataclass(frozen=True)
class Outcome:
    """What happens next. ``say`` goes to the message line; ``go_to`` names a place; ``ask`` opens a question;
    ``layout`` lays the place out again; ``prefer`` changes the preferences;
    ``rebuild`` makes all places anew (another evening was opened)."""

    handled: bool = True
    say: str = ""
    warn: bool = False
    go_to: str = ""
    ask: Question | None = None
    leave: bool = False
    layout: bool = False
    prefer: Preferences | None = None
    rebuild: bool = False


HANDLED = Outcome()
UNUSED = Outcome(handled=False)


def said(words: str) -> Outcome:
    """Put words into the message line."""
    return Outcome(say=words)


def warned(words: str) -> Outcome:
    """Put a warning into the message line (with a sign, and logged)."""
    return Outcome(say=words, warn=True)


def went(place: str) -> Outcome:
    """Walk to another place in the room."""
    return Outcome(go_to=place)


def asked(question: Question) -> Outcome:
    """Open a question; the room goes on behind it."""
    return Outcome(ask=question)
