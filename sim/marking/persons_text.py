"""What people wrote, marked before a page is made of it: in whatever language the page is, it stands there as they wrote it.

Results say of every field whether a person wrote it (``WRITTEN``) or gave it as a name (``NAMED``); here all of them are
marked at once. Sentences that the program made of them earlier, such as reasons, have the names in them marked.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable
from typing import TypeVar

from pydantic import BaseModel

from sim.marking.results import GIVEN_BY_A_PERSON, NAMED, WRITTEN, CourseResults, RowResult, UnplacedResult
from sim.plain_text import as_named, as_written
from sim.viewing.plain_names import plain_name

Model = TypeVar("Model", bound=BaseModel)
MARKED_BY: dict[object, Callable[[str], str]] = {WRITTEN: as_written, NAMED: as_named}


def with_persons_text(results: CourseResults) -> CourseResults:
    """Return results whose every text of a person is marked as such."""
    lessons = {one.name for one in results.exercises if one.lesson}
    marked = _marked(results.model_copy(update={"rows": [], "unplaced": [], "exercises": []}))
    return marked.model_copy(
        update={
            "exercises": [one if one.lesson else _marked(one) for one in results.exercises],
            "rows": [_row(one, one.exercise in lessons) for one in results.rows],
            "unplaced": [_unplaced(one) for one in results.unplaced],
        }
    )


def _row(row: RowResult, lesson: bool) -> RowResult:
    """Return a row; of a lesson the criteria's names are the program's own."""
    made, files, result = _marked(row), _files(row), row.submission
    update: dict[str, object] = {
        "reasons": [_with_names(one, files) for one in row.reasons],
        "which_counts": _with_names(row.which_counts, files),
    }
    update["waiting"] = [one.model_copy(update={"words": _with_names(one.words, files)}) for one in row.waiting]
    if made.decision is not None:
        update["decision"] = made.decision.model_copy(update={"unsettled": _with_names(made.decision.unsettled, files)})
    if result is not None and made.submission is not None:
        own = {plain_name(one) for c in result.criteria for one in (c.name, c.place, c.called)}
        advice = [one.model_copy(update={"words": _with_names(one.words, own, as_named)}) for one in result.advice]
        criteria = result.criteria if lesson else made.submission.criteria
        update["submission"] = made.submission.model_copy(update={"advice": result.advice if lesson else advice,
                                                                  "criteria": criteria})  # fmt: skip
    return made.model_copy(update=update)


def _unplaced(one: UnplacedResult) -> UnplacedResult:
    made, names = _marked(one), {one.file, one.learner, one.exercise, *one.uploaders}
    return made.model_copy(update={"reasons": [_with_names(reason, names) for reason in one.reasons]})


def _files(row: RowResult) -> set[str]:
    """Return the names of files that sentences about a row may hold."""
    return {one.file for one in row.attempts} | {one.file for one in row.waiting}


def _with_names(sentence: str, names: Iterable[str], mark: Callable[[str], str] = as_written) -> str:
    """Return a sentence with every one of these names in it marked, where it stands as a word of its own."""
    here = sorted((one for one in names if one and one in sentence), key=len, reverse=True)
    if not here:
        return sentence
    any_of_them = re.compile(rf"(?<!\w)(?:{'|'.join(map(re.escape, here))})(?!\w)")
    return any_of_them.sub(lambda found: mark(found[0]), sentence)


def _marked(model: Model) -> Model:
    """Return a part of the results with its fields marked, and those of its parts."""
    update: dict[str, object] = {}
    for name, field in type(model).model_fields.items():
        value, mark = getattr(model, name), next((MARKED_BY[m] for m in field.metadata if m in MARKED_BY), None)
        if mark is not None and value != GIVEN_BY_A_PERSON:
            update[name] = [mark(one) for one in value] if isinstance(value, list) else mark(value)
        elif isinstance(value, BaseModel):
            update[name] = _marked(value)
        elif isinstance(value, list) and value and isinstance(value[0], BaseModel):
            update[name] = [_marked(one) for one in value]
    return model.model_copy(update=update) if update else model
