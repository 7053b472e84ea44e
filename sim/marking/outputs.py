"""Writing what a run came to: results, gradebook, the learners' pages and the class page; and handing the pages back.

Building the pages gives them to nobody: they lie in the output folder until somebody hands them back, and pages whose
work still needs a person are then held back.
"""

from __future__ import annotations

import json
from collections.abc import Collection
from dataclasses import dataclass
from pathlib import Path

from sim.marking.batch import Outcome
from sim.marking.class_page import GroupLink, class_text
from sim.marking.feedback_page import feedback_text
from sim.marking.gradebook import Mapping, gradebook_text
from sim.marking.pages import file_name
from sim.marking.results import CourseResults
from sim.marking.statuses import SETTLED
from sim.marking.zips import INDEX_FILE, index_text, write_zip
from sim.reading import FileRefused, Problem
from sim.writing import write_bytes, write_text

PAGES_ZIP = "pages.zip"
GROUPS_FOLDER = "groups"
RESULTS_FILE, GRADEBOOK_FILE, CLASS_FILE, PAGES_FOLDER = "results.json", "gradebook.csv", "class.html", "pages"


@dataclass(frozen=True)
class Written:
    """What was written: the learners' pages and everything else."""

    pages: int
    gradebook: Path | None
    results: Path
    class_page: Path


def results_text(results: CourseResults) -> str:
    """Return results.json: the one source of gradebook and pages."""
    return json.dumps(results.model_dump(mode="json"), indent=1, ensure_ascii=False, allow_nan=False) + "\n"


def page_name(learner: str) -> str:
    """Return the file name of a learner's page."""
    return file_name(learner) + ".html"


def learners_of(results: CourseResults) -> list[str]:
    """Return the learners in the order of the rows, each once."""
    return list(dict.fromkeys(row.learner for row in results.rows))


def write_outputs(outcome: Outcome, out: Path, mapping: Mapping | None) -> Written:
    """Write everything; without ``mapping`` no gradebook. Pages of learners no longer in the course are taken away.

    Raises WritingFailed; what was there before is then still whole.
    """
    results, pages, groups = outcome.results, out / PAGES_FOLDER, outcome.groups
    learners, files = learners_of(results), []
    for number, group in enumerate(groups, start=1):
        whole = outcome.of_group(group) if len(groups) > 1 else results
        for learner in learners_of(whole):
            write_text(pages / page_name(learner), feedback_text(whole, learner, outcome.marked, outcome.own_prints))
        if len(groups) > 1:
            files.append(_write_group(outcome, out, number, whole))
    _take_away(out / GROUPS_FOLDER, {Path(file.name).name for one in files for file in one})
    _take_away(pages, {page_name(learner) for learner in learners}, "*.html")
    links = tuple(GroupLink(page.relative_to(out).as_posix(), group[0].shown_id, group[-1].shown_id, len(group))
                  for (_, page), group in zip(files, groups, strict=False))  # fmt: skip
    write_text(out / CLASS_FILE, class_text(results, outcome.marked, groups=links))
    gradebook = out / GRADEBOOK_FILE
    if mapping is not None:
        write_text(gradebook, gradebook_text(results, mapping))
    else:
        gradebook.unlink(missing_ok=True)
    if files:
        named = [file.relative_to(out).as_posix() for file, _ in files]
        results = results.model_copy(update={"rows": [], "groups": named})
    write_text(out / RESULTS_FILE, results_text(results))
    return Written(len(learners), gradebook if mapping else None, out / RESULTS_FILE, out / CLASS_FILE)


def _write_group(outcome: Outcome, out: Path, number: int, whole: CourseResults) -> tuple[Path, Path]:
    """Write one group's results and its page; return the files."""
    results, page = (out / GROUPS_FOLDER / name for name in (f"results-{number:03d}.json", f"class-{number:03d}.html"))
    write_text(results, results_text(whole))
    write_text(page, class_text(whole, outcome.marked, f"../{PAGES_FOLDER}/"))
    return results, page


def _take_away(folder: Path, current: set[str], pattern: str = "*-*.*") -> None:
    """Take away the files of groups, or the pages of learners, that are no more."""
    for stale in folder.glob(pattern):
        if stale.name not in current:
            stale.unlink()


def hand_back(
    results: CourseResults, out: Path, folder: Path, as_zip: bool = False, set_aside: Collection[str] = ()
) -> tuple[list[str], list[str]]:
    """Copy the finished learners' pages, and nothing else, into a folder; return whose were handed back and whose wait.

    ``as_zip``: as one zip, with a list of whose page is which. Those wait who have work that a person must look at first, be it
    beside an evening that counts or another's upload, and those whose work was ``set_aside``: somebody else handed it in, and
    their page would call it missing.
    Raises FileRefused when the folder is the output itself.
    """
    if folder.resolve() in (out.resolve(), (out / PAGES_FOLDER).resolve()):
        raise FileRefused(folder, [Problem("--hand-back", "must be another folder than the output", "the same one")])
    held = {one.learner for one in results.rows
            if (one.status not in SETTLED and one.override is None) or one.waiting_beside or one.uploads_open}  # fmt: skip
    held |= {*set_aside}
    given = [learner for learner in learners_of(results) if learner not in held]
    for learner in held:  # what was handed back before is not what is waited for
        (folder / page_name(learner)).unlink(missing_ok=True)
    if as_zip:
        _zip_pages(results, given, out, folder)
        return given, sorted(held)
    for learner in given:
        name = page_name(learner)
        write_bytes(folder / name, (out / PAGES_FOLDER / name).read_bytes())
    return given, sorted(held)


def _zip_pages(results: CourseResults, given: list[str], out: Path, folder: Path) -> None:
    emails = {row.learner: row.email for row in results.rows}
    lines = [(learner, emails[learner], page_name(learner)) for learner in given]
    files = {page_name(one): (out / PAGES_FOLDER / page_name(one)).read_bytes() for one in given}
    files[INDEX_FILE] = index_text(("id", "email", "file"), lines).encode("utf-8")
    write_zip(folder / PAGES_ZIP, files)
