"""The leaves of the notebook: every piece of paper of every evening, found again by its negative or by words."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path

from sim.bench.darkroom import LOG_NAME, Darkroom
from sim.bench.short_baths import short_baths
from sim.evening.evening import Evening
from sim.evening.evening_state import EveningState
from sim.notebook.notebook import pages
from sim.teaching.lesson_looks import said
from sim.teaching.lesson_texts import WHY_WORDS
from sim.window.standing.room import OneRoom
from sim.window.things.filters import stamped
from sim.window.things.scrolled import Paragraph
from sim.window.things.trays import clock

Said = Callable[..., str]


@dataclass(frozen=True)
class Leaf:
    """One piece of paper: its evening's folder and number, its own number, and what one looks for it by."""

    folder: Path
    number: int
    kind: str
    negative: str
    seconds: float
    filters: str
    counts: bool
    developed: bool
    words: str  # all that was written of it, in small letters


def leaves_of(folder: Path, state: EveningState, told: Callable[[str], str] = str) -> list[Leaf]:
    """Return an evening's leaves, oldest first; they are found by the log's words and by what ``told`` makes of them."""
    out = []
    for page, made in zip(pages(state), state.sheets, strict=True):
        record = made.record
        filters = " + ".join(dict.fromkeys(stamped(e.filter.name) for e in record.exposures))
        notes = " ".join(notes_of(state, made.number))
        written = (page.title, *page.lines, *page.predicted, *page.observed, *page.explained)
        said = " ".join((*_both(written, told), notes, filters))
        out.append(
            Leaf(folder, made.number, record.sheet.kind, record.negative, record.total_time_s, filters,
                 made.number in state.nominated, record.development.time_s > 0.0, f"{said} {record.negative}".lower())
        )  # fmt: skip
    return out


def _both(lines: Sequence[str], told: Callable[[str], str]) -> list[str]:
    """Return lines as they stand, and as they are read where that is otherwise."""
    read = [told(line) for line in lines]
    return [*lines, *(line for line in read if line not in lines)]


def notes_of(state: EveningState, number: int) -> list[str]:
    """Return the notes that stand beside a sheet, oldest first; a correction takes the place of all before it."""
    head, anew, found = f"sheet {number}: ", f"sheet {number}, corrected: ", list[str]()
    for note in state.notes:
        if note.startswith(anew):
            found = [words] if (words := note.removeprefix(anew).strip()) else []
        elif note.startswith(head):
            found.append(note.removeprefix(head))
    return found


def note_of(state: EveningState, number: int) -> str:
    """Return what stands beside a sheet as one note, to be corrected."""
    return "; ".join(notes_of(state, number))


def found(leaves: list[Leaf], negative: str, wanted: str) -> list[Leaf]:
    """Return the leaves of a negative (all without one) on which every wanted word stands, the newest first."""
    words = wanted.lower().split()
    return [
        leaf for leaf in reversed(leaves)
        if (not negative or leaf.negative == negative) and all(word in leaf.words for word in words)
    ]  # fmt: skip


def written_on(dark: Darkroom, number: int, say: Said, told: Callable[[str], str]) -> list[Paragraph]:
    """Return what stands on a leaf: its title, what was done, said and noted."""
    state = dark.evening.state
    page = next(page for page in pages(state) if page.number == number)
    out: list[Paragraph] = [(told(page.title), "strong", "ink"), *((told(line), "small", "ink") for line in page.lines)]
    for key, texts in (("expected", page.predicted), ("seen", page.observed), ("why", page.explained)):
        if texts:
            out.append((say(key, words="; ".join(told(_answer(text)) for text in texts)), "small", "soft"))
    for short in short_baths(state.notes, number):
        words = say(f"leaf short {short.bath}", had=clock(short.had_s), whole=clock(short.whole_s))
        out.append((words, "small", "warn"))
    out += [(say("noted", words=note), "small", "soft") for note in notes_of(state, number)]
    return out


def _answer(text: str) -> str:
    """Return an answer as it is read out: its key in words, then what was written beside it."""
    key, mark, own = text.partition(": ")
    return f"{WHY_WORDS.get(key) or said(key)}{mark}{own}"


def readings_on(dark: Darkroom, number: int, room: OneRoom) -> list[Paragraph]:
    """Return what the densitometer reads at every named place of a leaf."""
    out: list[Paragraph] = []
    for name, x_mm, y_mm, _ in dark.wall.places(number):
        read = dark.wall.read(number, x_mm, y_mm)
        words = room.line("place reads", place=room.place_name(name), density=room.number(read.density, 2),
                          lightness=f"{read.lightness:.0f}")  # fmt: skip
        out.append((words, "small", "ink"))
    return out


def keep_note(dark: Darkroom, number: int, words: str, here: bool) -> None:
    """Write a note beside a sheet, in place of what stood there; the log keeps both.

    Another evening is taken up for as long as that takes. Raises OpenElsewhere, Refused.
    """
    corrects = bool(notes_of(dark.evening.state, number))
    note = f"sheet {number}{', corrected' if corrects else ''}: {words}"
    if here:
        dark.note(note)
        return
    with Evening.open(dark.folder / LOG_NAME) as evening:
        evening.note(note)
