"""What was handed in: every entry of a folder, with its content's hash, when it came, and what its first line says.

Only the first line is looked at here, bounded; everything else is read by a worker, behind walls. Times come from the
files themselves or from a table of the system that received them. Nothing that lies in the folder is passed over in
silence, and nothing in it stops the others: what is no file to be marked is listed with the reason.
"""

from __future__ import annotations

import hashlib
import os
import stat
from collections.abc import Collection, Iterator, Mapping
from dataclasses import dataclass, replace
from datetime import datetime
from pathlib import Path
from zoneinfo import ZoneInfo

from sim.marking.handed_zips import Member, members, read_member
from sim.marking.moments import moment_of
from sim.marking.received import Received
from sim.marking.uploader_names import uploader_of
from sim.reading import MAX_RECORD_BYTES, FileRefused, OutsideError, Problem, parse_json, read_bytes

_UTC = ZoneInfo("UTC")
MAX_FILES = 200_000
MAX_FIRST_LINE = 16_384
MAX_WORD = 200
MOST_FOLDERS_DEEP = 16


@dataclass(frozen=True, slots=True)
class HandedFile:
    """A file handed in; ``shown_as`` is its place in the folder.

    ``problem`` says why it could not even be taken in; ``content`` is then the hash of that. ``uploader`` is who handed it in
    as far as the list of the receiving system says; ``in_list`` tells whether that list named the file.
    ``member`` is its name in a zip, of which ``path`` then is a name of its own below the zip's, and ``of_its_name`` which of
    that name it is. ``by_name``: learner and exercise are not what it says itself, but what its name says. ``code`` is what it
    is called where no name may be read.
    """

    path: Path
    content: str
    received: datetime
    learner: str = ""
    exercise: str = ""
    negatives: tuple[str, ...] = ()
    problem: str = ""
    shown_as: str = ""
    uploader: str = ""
    in_list: bool = False
    member: str = ""
    of_its_name: int = 1
    by_name: bool = False
    code: str = ""

    @property
    def is_work(self) -> bool:
        """Tell whether it may be what somebody handed in: no folder, and no hidden file, which systems leave lying."""
        hidden = self.shown_as.rpartition("/")[2].startswith(".")
        return not hidden and self.problem not in (FOLDER, EMPTY_FOLDER)

    @property
    def name(self) -> str:
        """The file's place in the folder, printable; cut where it is very long, but for which of its name it is."""
        told = "".join(c if c.isprintable() else "?" for c in self.shown_as or self.path.name)
        which = f" ({self.of_its_name})" if self.of_its_name > 1 else ""
        return told.removesuffix(which)[: MAX_WORD - len(which)] + which


def find_files(
    folder: Path, received: Mapping[str, Received] | None = None, uploader_in: str = "", zone: ZoneInfo = _UTC,
    known: Collection[str] = (),
) -> tuple[HandedFile, ...]:
    """Return every entry of a folder and of the folders in it, by name. Links are not followed; no entry is left out.

    ``received`` gives time of handing in and uploader by the file's place in the folder, or its name alone; its time wins
    over the file's own; ``uploader_in`` finds who handed it in by its name, ``known`` ids and addresses first. ``folder`` may
    be a zip, whose times are the local ones of ``zone``. Raises FileRefused for a folder that cannot be looked through, or
    holds too much.
    """
    listed = received or {}

    def told_of(place: str, name: str) -> Received | None:
        told = listed.get(place, listed.get(name))
        who = "" if told and told.uploader else uploader_of(uploader_in, place, known)
        return replace(told or Received(None, "", False), uploader=who) if who else told

    if folder.is_file():
        return tuple(_member(folder, one, told_of(one.name, one.name.rpartition("/")[2])) for one in members(folder, zone))
    if not folder.is_dir():
        raise FileRefused(folder, [Problem("", "must be a folder of files handed in", "something else or nothing")])
    found: list[tuple[str, Path, str]] = []
    for place, path, problem in _entries(folder):
        found.append((place, path, problem))
        if len(found) > MAX_FILES:
            raise FileRefused(folder, [Problem("", f"must not hold more than {MAX_FILES} files", "more")])
    return tuple(_handed(path, place, problem, told_of(place, path.name)) for place, path, problem in sorted(found))


def content_of(file: HandedFile) -> bytes:
    """Return a file's bytes as they are now, bounded. Raises FileRefused."""
    if file.member:
        return read_member(file.path.parent, file.member, file.of_its_name)
    return read_bytes(file.path, MAX_RECORD_BYTES)


def _member(archive: Path, member: Member, listed: Received | None) -> HandedFile:
    """Return a member of a zip as a file handed in; its path is a name below the zip's, which nothing opens."""
    again = f"\n{member.number}" if member.number > 1 else ""
    path = archive / _digest(member.name + again)
    return _handed(path, member.shown_as, member.problem, listed, member.when, member)


def _digest(text: str) -> str:
    return hashlib.sha256(text.encode("utf-8", "backslashreplace")).hexdigest()


def _entries(folder: Path) -> Iterator[tuple[str, Path, str]]:
    """Yield every entry's place, its path, and what keeps it from being read as a file (empty: nothing)."""
    waiting = [(folder, "", 0)]
    while waiting:
        parent, above, depth = waiting.pop()
        try:
            with os.scandir(parent) as listing:
                entries = sorted(listing, key=lambda entry: entry.name)
        except OSError as error:
            if not above:
                raise FileRefused(folder, [Problem("", f"cannot be looked through ({error.strerror})", "")]) from None
            yield above[:-1], parent, f"a folder that cannot be looked through ({error.strerror})"
            continue
        if not entries and above:
            yield above[:-1], parent, EMPTY_FOLDER
        for entry in entries:
            place, path = above + entry.name, parent / entry.name
            problem = _no_file(entry)
            if problem == FOLDER and not entry.name.startswith(".") and depth < MOST_FOLDERS_DEEP:
                waiting.append((path, f"{place}/", depth + 1))
            else:
                yield place, path, problem


EMPTY_FOLDER = "an empty folder"
FOLDER = "a folder that was not looked into: it is hidden, or lies too deep"


def _no_file(entry: os.DirEntry[str]) -> str:
    """Return why an entry is no file to be read, empty when it is one. Nothing is opened."""
    try:
        mode = entry.stat(follow_symlinks=False).st_mode
    except OSError as error:
        return f"cannot be read ({error.strerror})"
    if stat.S_ISLNK(mode):
        return "must be the file itself, got a link"
    if stat.S_ISDIR(mode):
        return FOLDER
    if not stat.S_ISREG(mode):
        return "must be a regular file, got a pipe or device"
    return "a hidden file, which was not looked into" if entry.name.startswith(".") else ""


def _handed(
    path: Path, place: str, problem: str, listed: Received | None, came: datetime | None = None, member: Member | None = None
) -> HandedFile:
    """Return what lies at a place as a file handed in; what cannot be read is one too, and says why.

    ``came`` is when it was put into its zip; without it a file's own time holds, where the list says none.
    """
    told = listed or Received(None, "", False)
    file = HandedFile(
        path, "", told.when or came or moment_of(0), shown_as=place, uploader=told.uploader, in_list=told.in_list,
        member=member.name if member else "", of_its_name=member.number if member else 1,
    )  # fmt: skip
    try:
        if problem:
            raise FileRefused(path, [Problem("", problem, "")])
        when = told.when or came or moment_of(path.stat().st_mtime_ns // 10**9)
        file = replace(file, received=when)
        data = content_of(file)
        if not data:
            raise FileRefused(path, [Problem("", "the file is empty", "")])
    except (OutsideError, OSError, ValueError) as error:
        words = "; ".join(map(str, error.problems)) if isinstance(error, OutsideError) else str(getattr(error, "strerror", ""))
        return replace(file, content=_digest(f"{path.name if member else place}\n{words}"), problem=words or "cannot be read")
    first = first_words(data)
    return replace(
        file, content=hashlib.sha256(data).hexdigest(), learner=first.learner, exercise=first.exercise,
        negatives=first.negatives,
    )  # fmt: skip


@dataclass(frozen=True)
class FirstWords:
    """What a file's first line says about itself: a claim, to be looked at by whoever marks it."""

    learner: str = ""
    exercise: str = ""
    negatives: tuple[str, ...] = ()


def first_words(data: bytes) -> FirstWords:
    """Return what an evening's first line says; empty where there is no such line to be read."""
    line = data[: MAX_FIRST_LINE + 1].split(b"\n", 1)[0]
    if len(line) > MAX_FIRST_LINE:
        return FirstWords()
    try:
        opened = parse_json(Path("first line"), line.decode("utf-8-sig"))
    except (OutsideError, UnicodeDecodeError):
        return FirstWords()
    opening = opened.get("data") if isinstance(opened, dict) else None
    if not isinstance(opening, dict):
        return FirstWords()
    negatives = opening.get("negatives")
    said = (opening.get("learner"), opening.get("exercise"), *(negatives if isinstance(negatives, list) else ()))
    learner, exercise, *names = (word if isinstance(word, str) and len(word) <= MAX_WORD else "" for word in said)
    return FirstWords(learner, exercise, tuple(names))
