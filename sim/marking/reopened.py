"""What lay there when a re-opening without ``when`` was first read: it came before, and only what comes later uses it up.

That is remembered in a table beside the course's own, ``REVIEW.seen.csv``: learners under codes where the course has a
secret, files by the hash of their content. A decision that is taken out of the table, or gets its ``when``, is forgotten.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from pathlib import Path

from sim.marking.course import Course, read_secret
from sim.marking.course_tables import CourseTables, Key
from sim.marking.csv_tables import read_rows
from sim.marking.handed_files import HandedFile
from sim.marking.roster import anonymous_code
from sim.marking.uploader_names import OR
from sim.plain_text import table_text
from sim.reading import FileRefused, Problem
from sim.writing import WritingFailed, write_text

NOTHING_YET = "nothing"  # in the place of a hash: nothing lay there


@dataclass(frozen=True)
class _Seen:
    """One line: a file that lay there when the re-opening for this learner and exercise was first read."""

    learner: str
    exercise: str
    content: str


def seen_file(review: Path) -> Path:
    """Return where it is remembered what lay there."""
    return review.with_name(f"{review.name}.seen.csv")


def there_before(
    course: Course, tables: CourseTables, files: Iterable[HandedFile], others: Mapping[Path, str]
) -> dict[Key, frozenset[str]]:
    """Return the contents that came before each re-opening without ``when``: as remembered, else all that lies there now.

    Raises OutsideError where what is remembered cannot be read.
    """
    keys = [key for key, one in tables.decided.items() if one.choice == "re-open" and one.when is None]
    if course.review is None or not keys:
        return {}
    remembered, shown = _remembered(course.review), _shown(course, keys)
    lying = list(files)
    found = {}
    for learner, exercise in keys:
        known = remembered.get((shown[learner], exercise))
        if known is None:
            known = frozenset(one.content for one in lying if learner in (one.learner, *others.get(one.path, "").split(OR)))
        found[learner, exercise] = known
    return found


def remember(course: Course, tables: CourseTables) -> None:
    """Keep what came before each re-opening without ``when``. Raises FileRefused where that fails: then ``when`` is needed."""
    if course.review is None:
        return
    file, shown = seen_file(course.review), _shown(course, tables.there_before)
    lines = sorted(
        (shown[learner], exercise, content)
        for (learner, exercise), contents in tables.there_before.items()
        for content in contents or (NOTHING_YET,)
    )
    if not lines and not file.exists():
        return
    text = table_text([("learner", "exercise", "content"), *lines])
    if file.exists() and file.read_text("utf-8") == text:
        return
    try:
        write_text(file, text)
    except WritingFailed as failed:
        rule = "is required for re-open where what lies there cannot be remembered beside the table"
        raise FileRefused(course.review, [Problem("when", rule, str(failed)[:200])]) from None


def _remembered(review: Path) -> dict[Key, frozenset[str]]:
    file = seen_file(review)
    if not file.exists():
        return {}
    found: dict[Key, set[str]] = {}
    for line in read_rows(file, _Seen, ("learner", "exercise", "content")):
        found.setdefault((line.learner, line.exercise), set()).update({line.content} - {NOTHING_YET})
    return {key: frozenset(contents) for key, contents in found.items()}


def _shown(course: Course, keys: Iterable[Key]) -> dict[str, str]:
    """Return learners as they stand in the table that is kept: under codes where the course has a secret."""
    learners = {learner for learner, _ in keys}
    if course.secret_file is None or not course.secret_file.is_file():
        return {one: one for one in learners}
    secret = read_secret(course)
    return {one: anonymous_code(one, secret) for one in learners}
