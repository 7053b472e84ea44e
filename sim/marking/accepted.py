"""What ``accept`` settles: one file a line. Where several wait and the line names none, nothing is settled, and it is said.

A file may wait for two reasons: only a person can settle what is doubtful in it, which shows once it is replayed, or somebody
else handed it in than it names, which shows at once.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path

from sim.marking.course_tables import CourseTables, Key
from sim.marking.handed_files import HandedFile
from sim.marking.uploader_names import OR


@dataclass(frozen=True)
class Accepted:
    """What decisions to accept come to.

    ``owners`` says whose attempt a file is that somebody else handed in than it names; ``twice`` are such files accepted for
    both. ``unsettled`` says by learner and exercise, in words for whoever teaches, why a decision has settled nothing.
    ``to_be_told``: which of a learner's files wait has to be known first.
    """

    owners: Mapping[Path, str] = field(default_factory=dict)
    settled: frozenset[Path] = frozenset()
    twice: frozenset[Path] = frozenset()
    unsettled: Mapping[Key, str] = field(default_factory=dict)
    to_be_told: frozenset[Key] = frozenset()


@dataclass
class _Concerned:
    """A learner's own files for an exercise, and those of others that have to do with them."""

    own: list[HandedFile] = field(default_factory=list)
    others: list[HandedFile] = field(default_factory=list)


def accepted_files(
    files: Sequence[HandedFile], others: Mapping[Path, str], tables: CourseTables, known: Collection[str],
    waiting: Collection[str] | None = None, hide_names: bool = False,
) -> Accepted:  # fmt: skip
    """Return what is settled. ``others`` are the files that somebody else handed in than they name, ``known`` the learners.

    ``waiting`` are the contents that only a person can settle, as a first replay found; None: not replayed yet.
    """
    keys = sorted({(one.learner, one.exercise) for one in tables.decisions if one.choice == "accept" and one.learner in known})
    concerned = _concerned(files, others, keys)
    claims: dict[Path, set[Key]] = {}
    unsettled: dict[Key, str] = {}
    for key in keys:
        for decision in tables.of_files.get(key, ()):
            found = _called(decision.file, concerned[key])
            _claim(claims, key, found)
            if not found:
                unsettled[key] = _no_such_file(decision.file, concerned[key], hide_names)
    plain = [key for key in keys if (one := tables.decided.get(key)) is not None and one.choice == "accept"]
    to_be_told = frozenset(key for key in plain if waiting is None and not _can_be_told(concerned[key]))
    left = _claim_what_waits([key for key in plain if key not in to_be_told], concerned, claims, waiting)
    unsettled |= {key: _several(here, hide_names) for key, here in left.items() if here}
    own = {one.path for each in concerned.values() for one in each.own}
    owners = {path: next(iter(by))[0] for path, by in claims.items() if path not in own and len(by) == 1}
    twice = frozenset(path for path, by in claims.items() if path not in own and len(by) > 1)
    return Accepted(owners, frozenset(claims) - twice, twice, unsettled, to_be_told)


def _claim(claims: dict[Path, set[Key]], key: Key, found: Iterable[HandedFile]) -> None:
    for one in found:
        claims.setdefault(one.path, set()).add(key)


def _claim_what_waits(
    keys: Sequence[Key], concerned: Mapping[Key, _Concerned], claims: dict[Path, set[Key]], waiting: Collection[str] | None
) -> dict[Key, list[HandedFile]]:
    """Settle the only file that waits for each of these; return what waits for those for whom several do.

    What is settled for one learner alone waits for no other: so it is gone through twice.
    """
    left: dict[Key, list[HandedFile]] = {key: [] for key in keys}
    for _ in range(2):
        taken = {path: next(iter(by)) for path, by in claims.items() if len(by) == 1}
        for key in list(left):
            left[key] = list(_that_wait(key, concerned[key], taken, waiting))
            if len({one.content for one in left[key]}) == 1:
                _claim(claims, key, left.pop(key))
    return left


def _concerned(files: Sequence[HandedFile], others: Mapping[Path, str], keys: Collection[Key]) -> dict[Key, _Concerned]:
    found = {key: _Concerned() for key in keys}
    for file in files:
        if file.path not in others:
            if (one := found.get((file.learner, file.exercise))) is not None:
                one.own.append(file)
            continue
        for who in dict.fromkeys((file.learner, *others[file.path].split(OR), others[file.path])):
            if (one := found.get((who, file.exercise))) is not None:
                one.others.append(file)
    return found


def _can_be_told(concerned: _Concerned) -> bool:
    """Tell whether what waits is known without a replay: only others' files, or only one of the learner's own."""
    contents = {one.content for one in concerned.own}
    return not contents or (len(contents) == 1 and not concerned.others)


def _that_wait(
    key: Key, concerned: _Concerned, taken: Mapping[Path, Key], waiting: Collection[str] | None
) -> Iterator[HandedFile]:
    """Yield the files that wait for a word about this learner and exercise, without those that got theirs."""
    alone = _can_be_told(concerned)
    for one in (*concerned.own, *concerned.others):
        known = one in concerned.others or alone or (waiting is not None and one.content in waiting)
        if known and one.path not in taken:
            yield one


def _called(name: str, concerned: _Concerned) -> list[HandedFile]:
    """Return the file of that name, as pages or the folder call it; several only where the same evening lies there twice."""
    here = [*concerned.own, *concerned.others]
    for of in (lambda one: one.shown_as, lambda one: one.name, lambda one: one.path.name, hidden_name):
        found = [one for one in here if of(one) == name]
        if len({one.content for one in found}) == 1:
            return found
    return []


def hidden_name(file: HandedFile) -> str:
    """Return what a file is called where no name may be read."""
    return f"file-{file.content[:16]}"


def _several(here: Sequence[HandedFile], hide_names: bool) -> str:
    return (
        f"accepted, but {len({one.content for one in here})} files wait there and the decision names none: "
        f"its file must be one of {_names(here, hide_names)}"
    )


def _no_such_file(name: str, concerned: _Concerned, hide_names: bool) -> str:
    here = [*concerned.own, *concerned.others]
    there = f"there are {_names(here, hide_names)}" if here else "there is none"
    said = "of the name that the decision gives" if hide_names else f"called {name[:120]!r}"
    return f"accepted, but no file {said} is there: {there}"


def _names(here: Sequence[HandedFile], hide_names: bool) -> str:
    """Return the files by name, each once."""
    return ", ".join(dict.fromkeys(hidden_name(one) if hide_names else one.name for one in here))
