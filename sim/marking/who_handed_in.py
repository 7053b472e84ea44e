"""What a file says about itself is a claim: it is held against the list of what came in, and against who handed it in.

A file handed in by somebody else than it names is set aside for a person, and so is nobody's mark.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from pathlib import Path

from sim.marking.handed_files import HandedFile
from sim.marking.received import Received
from sim.marking.roster import Learner


def names_without_file(listed: Mapping[str, Received], files: Sequence[HandedFile]) -> list[str]:
    """Return the names of the list that no file in the folder has."""
    there = {file.shown_as for file in files} | {file.path.name for file in files}
    return [name for name in listed if name not in there]


def not_by_its_learner(files: Sequence[HandedFile], learners: Sequence[Learner]) -> dict[Path, str]:
    """Return the files that somebody else handed in than the learner they name, with who that was.

    An uploader is known by id or, whatever the letters' case, by e-mail address.
    """
    known = {one.email.casefold(): one.id for one in learners if one.email} | {one.id: one.id for one in learners}
    found = {}
    for file in files:
        if file.uploader and file.learner:
            uploader = known.get(file.uploader) or known.get(file.uploader.casefold(), file.uploader)
            if uploader != file.learner:
                found[file.path] = uploader
    return found
