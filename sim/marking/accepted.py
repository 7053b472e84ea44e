"""What ``accept`` settles: one file a line. Where several wait and the line names none, nothing is settled, and it is said.

A file may wait for two reasons: only a person can settle what is doubtful in it, which shows once it is replayed, or somebody
else handed it in than it names, which shows at once.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path

from sim.marking.course_tables import CourseTables, Key
from sim.marking.file_codes import content_code
from sim.marking.handed_files import HandedFile
from sim.marking.uploader_names import OR

ACCEPTED_TWICE = "accepted both for whom the file names and for who handed it in: one of the two lines must go"


@dataclass(frozen=True)
class Accepted:
    """What decisions to accept come to.

    ``owners`` says whose attempt a file is that somebody else handed in than it names; ``twice`` are such files accepted for
    both. ``unsettled`` says by learner and exercise, in words for whoever teaches, why a decision has settled nothing.
    ``to_be_told``: which of a learner's files wait has to be known first. ``put_aside``: of several files of one name in a
    zip those that were decided against, because another of them was accepted.
    """

    owners: Mapping[Path, str] = field(default_factory=dict)
    settled: frozenset[Path] = frozenset()
    twice: frozenset[Path] = frozenset()
    unsettled: Mapping[Key, str] = field(default_factory=dict)
    to_be_told: frozenset[Key] = frozenset()
    put_aside: frozenset[Path] = frozenset()


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
            found, why = _named_by(decision.file, key[0], concerned[key], waiting, hide_names)
            _claim(claims, key, found)
            if why:
                unsettled[key] = why
    plain = [key for key in keys if (one := tables.decided.get(key)) is not None and one.choice == "accept"]
    to_be_told = frozenset(key for key in plain if waiting is None and not _can_be_told(concerned[key]))
    to_be_told |= frozenset(key for key in keys if waiting is None and _names_own(tables, key, concerned[key]))
    left = _claim_what_waits([key for key in plain if key not in to_be_told], concerned, claims, waiting, known)
    _claim_what_another_line_took([key for key, here in left.items() if not here], concerned, claims, waiting, known)
    unsettled |= {key: _several(here, hide_names) for key, here in left.items() if here}
    unsettled |= {key: _of_others(concerned[key], hide_names) for key, here in left.items()
                  if not here and not concerned[key].own and any(one.path not in claims for one in concerned[key].others)}
    own = {one.path for each in concerned.values() for one in each.own}
    owners = {path: next(iter(by))[0] for path, by in claims.items() if path not in own and len(by) == 1}
    twice = frozenset(path for path, by in claims.items() if path not in own and len(by) > 1)
    unsettled |= {key: ACCEPTED_TWICE for path in twice for key in claims[path] if key not in unsettled}
    aside = frozenset(path for key in keys for path in _decided_against(tables, key, concerned[key], claims, waiting))
    return Accepted(owners, frozenset(claims) - twice, twice, unsettled, to_be_told, aside)


def _decided_against(
    tables: CourseTables, key: Key, concerned: _Concerned, claims: Mapping[Path, set[Key]], waiting: Collection[str] | None
) -> Iterator[Path]:
    """Yield the files that wait as one of several of a name, of which a decision names another."""
    named = {one.path for decision in tables.of_files.get(key, ()) for one in _called(decision.file, concerned)}
    for one in concerned.own:
        of_its_name = _of_its_name(one, concerned) if one.of_its_name > 1 and one.content in (waiting or ()) else []
        if one.path not in claims and any(other.path in named for other in of_its_name):
            yield one.path


def _of_its_name(file: HandedFile, concerned: _Concerned) -> list[HandedFile]:
    """Return the other files that have this one's name in its zip."""
    return [one for one in concerned.own if one is not file and one.member and one.member == file.member
            and one.path.parent == file.path.parent]  # fmt: skip


def _claim(claims: dict[Path, set[Key]], key: Key, found: Iterable[HandedFile]) -> None:
    for one in found:
        claims.setdefault(one.path, set()).add(key)


def _claim_what_waits(
    keys: Sequence[Key], concerned: Mapping[Key, _Concerned], claims: dict[Path, set[Key]], waiting: Collection[str] | None,
    known: Collection[str],
) -> dict[Key, list[HandedFile]]:  # fmt: skip
    """Settle the only file that waits for each of these; return what waits for those for whom several do.

    What is settled for one learner alone waits for no other: so it is gone through twice.
    """
    left: dict[Key, list[HandedFile]] = {key: [] for key in keys}
    for _ in range(2):
        taken = {path: next(iter(by)) for path, by in claims.items() if len(by) == 1}
        for key in list(left):
            left[key] = list(_that_wait(key, concerned[key], taken, waiting, known))
            if len({one.content for one in left[key]}) == 1:
                _claim(claims, key, left.pop(key))
    return left


def _claim_what_another_line_took(
    keys: Sequence[Key], concerned: Mapping[Key, _Concerned], claims: dict[Path, set[Key]], waiting: Collection[str] | None,
    known: Collection[str],
) -> None:  # fmt: skip
    """Claim what would wait for these, for whom nothing else does, had another learner's line not taken it: accepted twice."""
    for key in keys:
        _claim(claims, key, _that_wait(key, concerned[key], {}, waiting, known))


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
    key: Key, concerned: _Concerned, taken: Mapping[Path, Key], waiting: Collection[str] | None, known: Collection[str]
) -> Iterator[HandedFile]:
    """Yield the files that wait for a word about this learner and exercise, without those that got theirs.

    What names another learner is that one's work: only a line that names the file makes it who handed it in's.
    """
    alone = _can_be_told(concerned)
    for one in concerned.own:
        if (alone or (waiting is not None and one.content in waiting)) and one.path not in taken:
            yield one
    for one in concerned.others:
        if (one.learner == key[0] or one.learner not in known) and one.path not in taken:
            yield one


def _names_own(tables: CourseTables, key: Key, concerned: _Concerned) -> bool:
    """Tell whether a decision names one of the learner's own files: that it waits shows once it is replayed."""
    named = {one.path for decision in tables.of_files.get(key, ()) for one in _called(decision.file, concerned)}
    return any(one.path in named for one in concerned.own)


def _named_by(
    name: str, learner: str, concerned: _Concerned, waiting: Collection[str] | None, hide_names: bool
) -> tuple[list[HandedFile], str]:
    """Return the files that a decision names, as far as they wait for it, and in words why it settles none."""
    found = _called(name, concerned)
    if not found:
        return [], _no_such_file(name, concerned, hide_names)
    same = [one for one in concerned.own if one.content == found[0].content]
    if not same or any(one in concerned.others for one in found):
        return [*found, *_copies_of(found, learner, concerned.others)], ""
    if waiting is None:
        return [], ""
    if found[0].content not in waiting and any(one.content in waiting for one in _of_its_name(found[0], concerned)):
        return [], ""  # it counts already; what is settled is that the others of its name do not
    if found[0].content not in waiting:
        why = "it counts or is out by the rules, or it cannot be marked"
        return [], f"accepted, but {_names(found, hide_names)} does not wait for a person's word: {why}"
    first = min(same, key=lambda one: (one.received, one.content, str(one.path)))
    if first not in found:
        return [], (f"accepted, but {_names(found, hide_names)} is the same file again: "
                    f"its file must be {_names([first], hide_names)}")  # fmt: skip
    return same, ""


def _copies_of(found: Sequence[HandedFile], learner: str, others: Sequence[HandedFile]) -> Iterator[HandedFile]:
    """Yield further copies of an evening that waits: of the learner's work all, of what they handed in what came from them."""
    for one in others:
        same = one.content == found[0].content and one not in found
        if same and (one.learner == learner or one.uploader == found[0].uploader):
            yield one


def _called(name: str, concerned: _Concerned) -> list[HandedFile]:
    """Return the file of that name, as pages or the folder call it; several only where the same evening lies there twice."""
    here = [*concerned.own, *concerned.others]
    for of in (lambda one: one.shown_as, lambda one: one.name, lambda one: one.path.name, hidden_name, content_code):
        found = [one for one in here if of(one) == name]
        if len({one.content for one in found}) == 1:
            return found
    return []


def hidden_name(file: HandedFile) -> str:
    """Return what a file is called where no name may be read."""
    return file.code or content_code(file)


def _several(here: Sequence[HandedFile], hide_names: bool) -> str:
    return (
        f"accepted, but {len({one.content for one in here})} files wait there and the decision names none: "
        f"its file must be one of {_names(here, hide_names)}"
    )


def _of_others(concerned: _Concerned, hide_names: bool) -> str:
    return (
        "accepted, but what waits there names another learner: for it to count for who handed it in, "
        f"the file of the decision must be one of {_names(concerned.others, hide_names)}"
    )


def _no_such_file(name: str, concerned: _Concerned, hide_names: bool) -> str:
    here = [*concerned.own, *concerned.others]
    there = f"there are {_names(here, hide_names)}" if here else "there is none"
    said = "of the name that the decision gives" if hide_names else f"called {name[:120]!r}"
    return f"accepted, but no file {said} is there: {there}"


def _names(here: Sequence[HandedFile], hide_names: bool) -> str:
    """Return the files by name, each once."""
    return ", ".join(dict.fromkeys(hidden_name(one) if hide_names else one.name for one in here))
