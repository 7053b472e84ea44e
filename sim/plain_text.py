"""Words from outside as they may be shown: on a terminal, on a page, in the window, in a table. One rule for all of them.

Names, titles, notes and file names come from people and files. A control character moves a terminal's cursor or ends a line
that another line should follow; a mark that turns the direction of writing makes ``gnp.exe`` read as ``exe.png``.
"""

from __future__ import annotations

import io
import re
from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from typing import Any, TextIO

BREAKS = "\n\t"
# Around what a person wrote, for as long as a page is made: no language touches it. Signs of no writing; no page keeps them.
WRITTEN, NAMED, ENDED = "\ue001", "\ue002", "\ue003"
_MARKS = re.compile(f"([{WRITTEN}{NAMED}{ENDED}])")
INSTEAD = "?"
# Letters of some scripts are joined or kept apart by these two: they belong to how a name is written.
_JOINERS = "\u200c\u200d"
# Marks that nobody sees and that change nothing outside mixed directions are left out without a trace.
_UNSEEN = "\u200b\u200e\u200f\u061c\ufeff\u00ad"
# What a spreadsheet takes for the beginning of a formula, half and full width; also after what another country's
# spreadsheet takes for the end of a cell.
_FORMULA = re.compile("(^|[;,|\t])(?=[\\s\"]*[=+\\-@＝＋－＠])")


def plain(text: str, breaks: bool = False) -> str:
    """Return text without anything that is no character to be read; with ``breaks`` line ends and tabs stay."""
    if text.isprintable():
        return text
    return "".join(_shown(c, breaks) for c in text)


def as_written(text: str) -> str:
    """Return a person's text marked as such: on a page in another language it stands as it was written."""
    return f"{WRITTEN}{bare(text)}{ENDED}" if text else text


def as_named(name: str) -> str:
    """Return a name marked as such: in another language it is what a name that comes with the program is, else as written."""
    return f"{NAMED}{bare(name)}{ENDED}" if name else name


def bare(text: str) -> str:
    """Return a text without such marks."""
    return _MARKS.sub("", text)


def _plain_within(text: str) -> str:
    """Return text for a page made plain, its marks left for ``words_page``, which takes them away."""
    return "".join(part if _MARKS.fullmatch(part) else plain(part, breaks=True) for part in _MARKS.split(text))


def as_sentence(text: str) -> str:
    """Return words with a full stop at their end, where they do not end a sentence already."""
    return text if text.endswith((".", "?", "!", "…")) else f"{text}."


def _shown(character: str, breaks: bool) -> str:
    if character.isprintable() or character in _JOINERS or (breaks and character in BREAKS):
        return character
    if character in _UNSEEN:
        return ""
    control = ord(character) < 32 or 127 <= ord(character) < 160
    return " " if control or character.isspace() else INSTEAD


def one_line(text: str) -> str:
    """Return text as one line: plain, and every run of spaces one space."""
    return " ".join(plain(text).split())


def page_text(text: str) -> str:
    """Return text as it may stand on a page: plain, and no markup of its own."""
    import html

    return html.escape(_plain_within(text))


def finalized(value: Any) -> Any:
    """Return what a template is about to write: outside text made plain, markup of our own (which says so) left as it is."""
    if isinstance(value, str) and not hasattr(value, "__html__"):
        return _plain_within(value)
    return value


def table_cell(text: str) -> str:
    """Return text as a cell of a table that no spreadsheet, whatever its separator, takes for a formula."""
    return _FORMULA.sub(r"\1'", plain(text))


def table_text(lines: Iterable[Iterable[str]]) -> str:
    """Return lines as a CSV table (RFC 4180). Words go through ``table_cell`` before; numbers stand as they are."""
    import csv

    buffer = io.StringIO(newline="")
    csv.writer(buffer, lineterminator="\r\n").writerows(lines)
    return buffer.getvalue()


class PlainStream(io.TextIOBase):
    """A stream that lets only plain text through; all else is that of the stream below, which ``below`` is."""

    def __init__(self, below: TextIO):
        self.below = below

    def write(self, text: str) -> int:
        """Write text, made plain."""
        self.below.write(plain(text, breaks=True))
        return len(text)

    def flush(self) -> None:
        """Hand on what is waiting."""
        self.below.flush()

    def fileno(self) -> int:
        """The number of the file below."""
        return self.below.fileno()

    def isatty(self) -> bool:
        """Whether somebody sits there."""
        return self.below.isatty()

    def writable(self) -> bool:
        """It is there to be written to."""
        return True

    @property
    def encoding(self) -> str:  # type: ignore[override]
        """How the stream below writes letters."""
        return self.below.encoding

    @property
    def errors(self) -> str | None:  # type: ignore[override]
        """What the stream below does with letters it cannot write."""
        return self.below.errors


@contextmanager
def plain_output() -> Iterator[None]:
    """Make everything printed plain for a while, on both streams; a program without a console prints into nothing."""
    import os
    import sys

    out, err = sys.stdout, sys.stderr
    with open(os.devnull, "w", encoding="utf-8") as nothing:
        sys.stdout, sys.stderr = PlainStream(out or nothing), PlainStream(err or nothing)
        try:
            yield
        finally:
            sys.stdout, sys.stderr = out, err


def drawn_on(stream: TextIO) -> TextIO:
    """Return the stream for a drawing of our own, which moves the cursor; what stands in it must be plain already."""
    while isinstance(stream, PlainStream):
        stream.flush()
        stream = stream.below
    return stream
