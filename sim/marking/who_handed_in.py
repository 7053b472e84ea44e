"""What a file says about itself is a claim: it is held against the list of what came in, and against who handed it in.

A file handed in by somebody else than it names is set aside for a person, and so is nobody's mark.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from pathlib import Path

from sim.marking.handed_files import HandedFile
from sim.marking.received import Received
from sim.marking.roster import Learner
from sim.marking.uploader_names import OR


def names_without_file(listed: Mapping[str, Received], files: Sequence[HandedFile]) -> list[str]:
    """Return the names of the list that no file in the folder has."""
    there = {file.shown_as for file in files} | {file.path.name for file in files}
    return [name for name in listed if name not in there]


def not_by_its_learner(files: Sequence[HandedFile], learners: Sequence[Learner]) -> dict[Path, str]:
    """Return the files that somebody else handed in than the learner they name, with who that was.

    An uploader is known by id or e-mail address, whatever the letters' case. An address that several learners have could be any
    of them: then a person looks.
    """
    ids, found = ids_of(learners), {}
    for file in files:
        if file.uploader and file.learner and (who := ids(file.uploader)) != (file.learner,):
            found[file.path] = OR.join(who)
    return found


def ids_of(learners: Sequence[Learner]) -> Callable[[str], tuple[str, ...]]:
    """Return a call that says whom an uploader's name may mean: ids in order, or the name itself where it is nobody's."""
    ids = {one.id for one in learners}
    written: dict[str, set[str]] = {}
    for one in learners:
        for name in {one.id.casefold(), one.email.casefold()} - {""}:
            written.setdefault(name, set()).add(one.id)

    def found(uploader: str) -> tuple[str, ...]:
        return (uploader,) if uploader in ids else tuple(sorted(written.get(uploader.casefold(), {uploader})))

    return found
