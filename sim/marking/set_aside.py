"""Files that are nobody's attempt as they came: whom each of them concerns, and what a person has decided about it.

Somebody else handed one in than it names; another is empty, too large or damaged, so that only the name around it says whose
it is. None of them is passed over: each stands on the pages of those whom it concerns until a person has decided.
"""

from __future__ import annotations

import re
from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from sim.marking.course_tables import CourseTables
from sim.marking.handed_files import HandedFile
from sim.marking.roster import Learner
from sim.marking.uploader_names import OR, uploader_of
from sim.marking.who_handed_in import ids_of

USUAL_NAMES = ("{id}*", "{id}*/*")  # submit calls what is handed in after learner, exercise, attempt; or a folder each


def known_by_their_names(
    files: Sequence[HandedFile], learners: Sequence[Learner], exercises: Sequence[str]
) -> tuple[HandedFile, ...]:
    """Return the files; of those in which nothing says whose they are, the name around them does, as far as it can.

    Who handed one in is told by the list or the pattern of the course, else by a name that begins with an id, as ``submit``
    gives it; the exercise by its name, or because there is only one. Nothing is marked for it: it says on whose page such a
    file stands.
    """
    ids = {one.id for one in learners}
    who = ids_of(learners)

    def named(file: HandedFile) -> HandedFile:
        if file.learner or file.exercise or not file.is_work:
            return file
        place = file.member or file.shown_as or file.path.name
        called = who(file.uploader) if file.uploader else _called_after(place, ids)
        if len(called) != 1 or called[0] not in ids:
            return file
        return replace(file, learner=called[0], exercise=_exercise_in(place, exercises), by_name=True)

    return tuple(named(file) for file in files)


def _called_after(place: str, ids: Collection[str]) -> tuple[str, ...]:
    """Return the learner, or all of them, with whose id a file's name or its folder begins."""
    found = (uploader_of(pattern, place, ids) for pattern in USUAL_NAMES)
    return tuple(dict.fromkeys(one for one in found if one in ids))


def _exercise_in(place: str, exercises: Sequence[str]) -> str:
    """Return the exercise whose name a file's place holds as a word of its own; empty where that is none or several."""
    found = []
    for one in sorted(exercises, key=len, reverse=True):  # the longer first: grey-steps also stands in grey-steps-b
        left = re.sub(rf"(?<![^\W_]){re.escape(one)}(?![^\W_])", "/", place)
        found += [one] if left != place else []
        place = left
    if len(found) == 1:
        return found[0]
    return exercises[0] if len(exercises) == 1 else ""


def _ids_in(who: str, known: frozenset[str]) -> tuple[str, ...]:
    """Return the learners of the roster among those who may have handed a file in."""
    return (who,) if who in known else tuple(one for one in who.split(OR) if one in known)


@dataclass(frozen=True)
class SetAside:
    """A file that is nobody's attempt: who of the roster may have handed it in, and whose work it says it is.

    ``exercise`` is empty where it is none of the course's, ``learner`` where the learner is not on the roster.
    """

    file: HandedFile
    uploaders: tuple[str, ...]
    learner: str
    exercise: str
    settled_for: frozenset[str] = frozenset()

    @property
    def settled(self) -> bool:
        """Tell whether a person has decided about it under whose work it is; where that is nobody's, under any it concerns."""
        return self.learner in self.settled_for if self.learner else bool(self.settled_for)

    def settled_on(self, learner: str) -> bool:
        """Tell whether nothing of it waits on a learner's page."""
        return self.settled or learner in self.settled_for

    @property
    def concerns(self) -> tuple[str, ...]:
        """The learners on whose pages it stands."""
        return tuple(dict.fromkeys((*filter(None, (self.learner,)), *self.uploaders)))


def set_aside(
    files: Iterable[HandedFile], uploaders: Mapping[Path, str], known: frozenset[str], exercises: frozenset[str],
    tables: CourseTables,
) -> dict[Path, SetAside]:  # fmt: skip
    """Return the files that are nobody's attempt by their paths, in the order in which they came."""
    found: dict[Path, SetAside] = {}
    for file in sorted(files, key=lambda one: (one.received, one.shown_as)):
        exercise = file.exercise if file.exercise in exercises else ""
        handed_in = _ids_in(uploaders[file.path], known) if file.path in uploaders else ()
        one = SetAside(file, handed_in, file.learner if file.learner in known else "", exercise)
        settled = frozenset(who for who in one.concerns if exercise and _settles(tables, (who, exercise), file))
        found[file.path] = replace(one, settled_for=settled)
    return found


def _settles(tables: CourseTables, key: tuple[str, str], file: HandedFile) -> bool:
    """Tell whether what a person wrote for a learner and an exercise is the last word about a file that concerns them."""
    if key in tables.given:
        return True
    decision = tables.decided.get(key)
    if decision is None or decision.choice == "accept":
        return False
    if decision.choice == "excused":
        return True
    return not tables.came_after(decision, file.content, file.received)


def words_for(one: SetAside, learner: str, name: str) -> str:
    """Return what a learner's page says of such a file; it names nobody else."""
    then = "somebody has looked at it" if one.settled else "somebody looks at it"
    if one.settled_on(learner) and not one.settled:
        then = "your marks do not wait for it, and somebody still looks at whose it is"
    if learner in one.uploaders and learner == one.learner:
        return f"{name} says that it is your work; whether you or somebody else handed it in cannot be told; {then}."
    if learner in one.uploaders:
        by = "which you handed in" if len(one.uploaders) == 1 else "which you or somebody else handed in"
        return f"{name}, {by}, says that it is another learner's work; {then}."
    if one.uploaders or (not one.file.by_name and one.exercise):
        return f"{name} says that it is your work, but somebody else handed it in; {then}."
    if not one.file.by_name:
        return f"{name} is for an exercise that is not part of this course."
    why = f": {one.file.problem}" if one.file.problem else ""
    return f"{name} came in from you and cannot be marked{why}; which exercise it is for cannot be told from it."


def what_can_be_done(exercise: str, concerns: Sequence[str], uploaders: Sequence[str], learner: str) -> str:
    """Return what a person may write into the table of decisions about a file that is nobody's attempt."""
    if not concerns:
        return "find out whose it is, then hand it in anew under a name that says so, or take it out of the folder"
    if not exercise:
        return "ask for it again with its exercise, or take it out of the folder"
    accept = [f"under {one} it counts for who handed it in" for one in uploaders if one != learner]
    accept += [f"under {learner} for whom it names"] if learner else []
    either = f"partial, re-open or excused under {learner or ' or '.join(concerns)}, for all of the exercise and without a file"
    if not uploaders:
        return f"for {exercise}: accept ({', '.join(accept)}; where several wait, with this file in the column file); {either}"
    return (f"for {exercise}: accept ({', '.join(accept)}; under who handed it in, or where several wait, with this file in "
            f"the column file); {either}")  # fmt: skip
