"""The command in another language: help, refusals and what verbs print are said in it, line by line; data stays as it is.

Verbs print English and know no language. What they print goes through a stream that finds each sentence's message again;
words that are typed (verbs, keys, names of files and places) stay as the program reads them.
"""

from __future__ import annotations

import argparse
import re
import sys
from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from typing import TextIO

from sim.plain_text import PlainStream
from sim.refusals import Refused
from sim.words import PSEUDO, SOURCE, Words, languages

OPTION = "--language"
_NUMBERED = re.compile(r"(\s*(?:\d+\. )?)(.*?)(\s*)", re.DOTALL)
_ANSWER = re.compile(r"(    (?:predict|see|why) \S+ +)(.+)")  # what is typed, and what it means
_COLUMNS = re.compile(r"(\s{2,})")
_DATA = re.compile(r"""\s*([{}"\]]|\[(?!\w+\] ))""")  # a line of data for machines; ``[brief]`` is the head of a step


def language_in(arguments: Sequence[str]) -> tuple[str, list[str]]:
    """Return the language asked for and the other arguments. Raises Refused for a language there are no words for."""
    left, asked = list(arguments), SOURCE
    for number, word in enumerate(left):
        if word == "--":
            break
        if word == OPTION or word.startswith(f"{OPTION}="):
            apart = word == OPTION
            asked = (left[number + 1] if number + 1 < len(left) else "") if apart else word.partition("=")[2]
            del left[number : number + 1 + apart]
            break
    known = [*languages(), PSEUDO]
    if asked not in known:
        raise Refused(f"{OPTION} must be one of {', '.join(known)}, got {asked[:40]!r}")
    return asked, left


def speak(parser: argparse.ArgumentParser, words: Words) -> None:
    """Say all help of a parser, and of the parsers of its verbs, in a language."""
    for name in ("description", "epilog"):
        setattr(parser, name, words.said(getattr(parser, name) or "") or None)
    for group in parser._action_groups:
        group.title = words.said(group.title) if group.title else group.title
        group.description = words.said(group.description) if group.description else group.description
    for action in parser._actions:
        action.help = words.said(action.help) if action.help and action.help != argparse.SUPPRESS else action.help
        if isinstance(action, argparse._SubParsersAction):
            for choice in action._choices_actions:
                choice.help = words.said(choice.help or "")
            for sub in set(action.choices.values()):
                speak(sub, words)


class Spoken(PlainStream):
    """A stream that says whole lines in a language. ``know`` teaches it texts that stand in a language elsewhere."""

    def __init__(self, below: TextIO, words: Words):
        super().__init__(below)
        self.words = words
        self._known: dict[str, str] = {}
        self._waiting = ""

    def know(self, texts: Mapping[str, str]) -> None:
        """Take texts with what they are in the language."""
        self._known |= texts

    def write(self, text: str) -> int:
        """Write the lines that are whole now; the rest waits."""
        *whole, self._waiting = (self._waiting + text).split("\n")
        for line in whole:
            self.below.write(f"{self.line(line)}\n")
        return len(text)

    def flush(self) -> None:
        """Hand on what is waiting, a prompt too."""
        if self._waiting:
            waiting, self._waiting = self._waiting, ""
            self.below.write(self.line(waiting))
        self.below.flush()

    def line(self, line: str) -> str:
        """Return a line in the language: its number and columns stay where they are."""
        if _DATA.match(line) or not line.strip():
            return line
        answer = _ANSWER.fullmatch(line)
        if answer is not None:
            return f"{answer[1]}{self.told(answer[2])}"
        found = _NUMBERED.fullmatch(line)
        before, body, after = found.groups() if found is not None else ("", line, "")
        if self.words.unsaid(body) == 0 or body in self._known or body.partition(": ")[2] in self._known:
            return f"{before}{self.told(body)}{after}"
        return f"{before}{self._by_columns(body)}{after}"

    def told(self, text: str) -> str:
        """Return one text in the language."""
        head, mark, tail = text.partition(": ")
        if tail in self._known:  # a hint is said behind what it is
            return f"{self.words.said(head)}{mark}{self._known[tail]}"
        return self._known.get(text) or self.words.said(text)

    def _by_columns(self, body: str) -> str:
        """Return columns with each said by itself, padded to stand where they stood."""
        parts, said = _COLUMNS.split(body), ""
        for cell, gap in zip(parts[::2], [*parts[1::2], ""], strict=True):
            told = self.told(cell)
            said += told + (" " * max(2, len(gap) + len(cell) - len(told)) if gap else "")
        return said


def told_on(stream: object) -> Callable[[str], str]:
    """Return what says a text in the language of a stream; on any other stream it stays as it is."""
    return stream.told if isinstance(stream, Spoken) else str


def tell_whole(stream: TextIO, text: str) -> None:
    """Write a text of many lines that is one message, so that none of its lines is looked for by itself."""
    if isinstance(stream, Spoken):
        stream.flush()
        stream.below.write(f"{stream.words.text(text)}\n")
    else:
        stream.write(f"{text}\n")


def know_on(stream: object, texts: Callable[[str], Mapping[str, str]]) -> None:
    """Teach a stream texts that stand in its language elsewhere; ``texts`` gets the language."""
    if isinstance(stream, Spoken):
        stream.know(texts(stream.words.language))


@contextmanager
def spoken(words: Words) -> Iterator[None]:
    """Say everything printed in a language for a while, on both streams."""
    out, err = sys.stdout, sys.stderr
    sys.stdout, sys.stderr = Spoken(out, words), Spoken(err, words)
    try:
        yield
    finally:
        for stream in (sys.stdout, sys.stderr):
            stream.flush()
        sys.stdout, sys.stderr = out, err
