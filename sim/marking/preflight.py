"""What would go wrong, or surprise, when the gradebook is taken over: found and shown before anything is written."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from sim.marking.course_tables import OfALearner
from sim.marking.gradebook import Mapping as Columns
from sim.marking.handed_files import HandedFile
from sim.marking.received import Received
from sim.marking.results import CourseResults, UnplacedResult
from sim.marking.statuses import MARKED, SETTLED, said_status
from sim.marking.who_handed_in import names_without_file
from sim.plain_text import table_cell


@dataclass(frozen=True)
class Finding:
    """One finding: unknown id, duplicate, over-maximum, blank, or a list and a folder that do not agree.

    ``stops``: the gradebook must not be written so.
    """

    kind: str
    words: str
    stops: bool = False


def findings(
    results: CourseResults, mapping: Columns, overrides: Iterable[OfALearner], known_ids: Sequence[str]
) -> list[Finding]:
    """Return all findings, the grave ones first."""
    found = [
        *_duplicates(results, mapping),
        *_formulas(results, mapping),
        *(
            Finding("over-maximum", f"{row.learner}, {row.exercise}: {row.points:g} points of {row.full_points:g}")
            for row in results.rows
            if row.points is not None and row.points > row.full_points
        ),
        *_unknown(results, overrides, known_ids),
        *_decisions(results),
        *(
            Finding("comment", f"{row.learner}, {row.exercise}: a comment is about {one.about!r}, and the evening that counts "
                    "has no criterion or print of that name: it stands as one about all of it")
            for row in results.rows for one in row.comments if one.stray
        ),
        *_blanks(results, mapping),
    ]
    return sorted(found, key=lambda one: not one.stops)


def list_findings(
    received: Mapping[str, Received] | None, files: Sequence[HandedFile], hide_names: bool, uploader_in: str = ""
) -> list[Finding]:
    """Return where the list of what came in and the folder do not agree, and whose uploader neither list nor name tells.

    Nothing is said of a list, or of names, where the course has no list, or no pattern (``uploader_in``) for names.
    """
    found = []
    if received is not None:
        gone = names_without_file(received, files)
        unnamed = [file.name for file in files if not file.in_list]
        found += [Finding("not in the folder", f"{name} stands in the list of what came in") for name in gone]
        found += [Finding("not in the list", f"{name} came when its own clock says") for name in unnamed]
    if uploader_in:
        rule = f"is not named as uploader_in says ({uploader_in}): whose it is, nothing says but the file itself"
        claims = [file for file in files if not file.uploader and not file.problem]
        found += [Finding("uploader not known", f"{file.name} {rule}") for file in claims]
    if not hide_names:
        return found
    counts = Counter(one.kind for one in found)
    return [Finding(kind, f"{count} {'file' if count == 1 else 'files'}") for kind, count in sorted(counts.items())]


def _identities(results: CourseResults, mapping: Columns) -> dict[str, str]:
    return {row.learner: row.learner if mapping.identity == "id" else row.email for row in results.rows}


def _duplicates(results: CourseResults, mapping: Columns) -> list[Finding]:
    counts = Counter(value for value in _identities(results, mapping).values() if value)
    return [
        Finding("duplicate", f"{count} learners have the {mapping.identity} {value}; nothing could tell them apart", True)
        for value, count in sorted(counts.items())
        if count > 1
    ]


def _formulas(results: CourseResults, mapping: Columns) -> list[Finding]:
    """Return the keys that stand in the gradebook with an apostrophe before them, and may not be found again."""
    keys = sorted({one for one in _identities(results, mapping).values() if table_cell(one) != one})
    rule = "a spreadsheet would take for a formula: it stands with an apostrophe, and may not be known again on import"
    return [Finding("formula", f"the {mapping.identity} {one} {rule}") for one in keys]


def _unknown(results: CourseResults, overrides: Iterable[OfALearner], known_ids: Sequence[str]) -> list[Finding]:
    found = [
        Finding(_kind_of(one), f"{one.file}: {'; '.join(one.reasons)}")
        for one in results.unplaced
        if not one.settled
    ]
    exercises = {exercise.name for exercise in results.exercises}
    for one in overrides:
        if one.learner not in known_ids or one.exercise not in exercises:
            who = "a learner" if results.anonymous else one.learner
            found.append(Finding("unknown id", f"what a person wrote for {who}, {one.exercise} belongs to no row"))
    return found


def _kind_of(one: UnplacedResult) -> str:
    """Return what keeps a file from being anybody's attempt, in a word or two."""
    if one.uploaders:
        return "another's upload"
    return "unknown exercise" if one.learner and not one.exercise else "unknown id"


def _decisions(results: CourseResults) -> list[Finding]:
    """Return decisions that have settled nothing, and steps by eye that are still to be given."""
    unsettled = [row for row in results.rows if row.decision and row.decision.unsettled]
    found = [Finding("not settled", f"{row.learner}, {row.exercise}: {row.decision.unsettled}")
             for row in unsettled if row.decision]  # fmt: skip
    accepted = [row for row in results.rows if row.decision and row.decision.choice == "accept" and row not in unsettled]
    waiting = [row for row in accepted if row.status not in SETTLED]
    found += [
        Finding("not settled", f"{row.learner}, {row.exercise}: accepted, but it cannot be marked "
                f"({said_status(row.status, row.limit)}); "
                "give points with partial, or re-open") for row in waiting
    ]  # fmt: skip
    found += [
        Finding("not settled", f"{row.learner}, {row.exercise}: accepted, but nothing of theirs waits there")
        for row in accepted
        if row.status == "missing"
    ]
    found += [
        Finding("needs a person", f"{row.learner}, {row.exercise}: {', '.join(row.waiting_beside)} waits beside the evening "
                "that counts") for row in results.rows if row.waiting_beside
    ]  # fmt: skip
    found += [
        Finding("needs a person", f"{row.learner}, {row.exercise}: {', '.join(row.uploads_open)}, handed in by somebody else "
                "than it names, waits beside the evening that counts") for row in results.rows
        if row.status in MARKED and row.uploads_open
    ]  # fmt: skip
    found += [
        Finding("not marked", f"{row.learner}, {row.exercise}: {', '.join(row.unread_beside)} beside the evening that counts "
                "could not be marked") for row in results.rows if row.unread_beside
    ]  # fmt: skip
    by_eye = Counter(row.exercise for row in results.rows if row.provisional)
    found += [Finding("by eye", f"{exercise}: {count} still to be judged by eye") for exercise, count in sorted(by_eye.items())]
    return found


def _blanks(results: CourseResults, mapping: Columns) -> list[Finding]:
    found = [
        Finding("blank", f"{learner} has no {mapping.identity} for the gradebook", True)
        for learner, value in sorted(_identities(results, mapping).items())
        if not value
    ]
    by_status = Counter((row.exercise, row.status) for row in results.rows if row.points is None and row.status != "excused")
    found += [
        Finding("blank", f"{exercise}: {count} without points ({status})")
        for (exercise, status), count in sorted(by_status.items())
    ]
    return found
