"""One run of marking from start to end: read, replay, show what was found and what changes, and only then write."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from sim.marking.batch import Outcome, mark_batch, read_batch
from sim.marking.gradebook import Mapping, read_mapping, usual_mapping
from sim.marking.outputs import RESULTS_FILE, hand_back, write_outputs
from sim.marking.preflight import Finding, findings, list_findings
from sim.marking.regrade import changes_in_words, changes_of, changes_text, earlier_results
from sim.marking.reopened import remember
from sim.marking.running import chosen_executor
from sim.marking.shards import Shard
from sim.marking.statuses import shown_status
from sim.reading import FileRefused, Problem
from sim.words import Words
from sim.words_page import pages_in
from sim.writing import write_text

LINES_SHOWN = 30

Say = Callable[[str], None]
Progress = Callable[[int, int], None]


@dataclass(frozen=True)
class Wanted:
    """What a run is asked for: where things are, who works, and what is written."""

    folder: Path
    course: Path
    out: Path
    roster: Path | None = None
    received: Path | None = None
    overrides: Path | None = None
    mapping: Path | None = None
    jobs: int = 1
    scheduler: str | None = None
    anonymous: bool = False
    dry_run: bool = False
    hand_back_to: Path | None = None
    time_limit_s: float = 20.0
    accept_versions: bool = False
    changes: Path | None = None
    as_zip: bool = False
    shard: Shard | None = None


def run_course(wanted: Wanted, say: Say, progress: Progress | None = None) -> int:
    """Mark a course; return how many findings there were. Raises OutsideError, WritingFailed or ValueError.

    Everything that is found, and every mark that changes, is said before anything but replayed evenings is written.
    """
    _refuse_among_evenings(wanted)
    batch = read_batch(
        wanted.folder, wanted.course, wanted.roster, wanted.received, wanted.overrides, wanted.anonymous,
        wanted.time_limit_s, wanted.accept_versions,
    )  # fmt: skip
    names = tuple(exercise.name for exercise in batch.course.exercises)
    mapping = read_mapping(wanted.mapping, names) if wanted.mapping else None
    earlier = earlier_results(wanted.out / RESULTS_FILE)
    with chosen_executor(wanted.jobs, wanted.time_limit_s, wanted.scheduler) as executor:
        outcome = mark_batch(batch, wanted.out, executor, wanted.jobs, progress, shard=wanted.shard)
    if wanted.shard is not None:
        say(f"Part {wanted.shard.number} of {wanted.shard.count}: {outcome.replayed} evenings replayed and kept. "
            "When all parts are done, mark once more without --shard: that writes marks and pages.")  # fmt: skip
        return 0
    mapping = mapping or usual_mapping(outcome.results)
    found = findings(outcome.results, mapping, batch.tables.lines, [learner.id for learner in batch.learners])
    found += list_findings(batch.received, batch.files, batch.anonymous, batch.course.uploader_in)
    _say_states(outcome, say)
    _say_all("Before the gradebook is taken over", [f"{one.kind}: {one.words}" for one in found], say)
    if earlier is not None and earlier.anonymous == outcome.results.anonymous:
        changes = changes_of(earlier, outcome.results)
        _say_all("Marks that change", [one.in_words() for one in changes] or ["none"], say)
        if changes:
            say(changes_in_words(changes))
        if wanted.changes:
            write_text(wanted.changes, changes_text(changes))
            say(f"All of them stand in {wanted.changes}")
    if wanted.dry_run:
        say("Dry run: marks, pages and gradebook stay as they were.")
    else:
        remember(batch.course, batch.tables)
        _write(wanted, outcome, mapping, found, say)
    return len(found)


def _refuse_among_evenings(wanted: Wanted) -> None:
    for option, place in (("--output", wanted.out), ("--hand-back", wanted.hand_back_to)):
        if place is not None and place.resolve().is_relative_to(wanted.folder.resolve()):
            rule = "must lie outside the folder of handed-in files, or what is written would be taken for evenings"
            raise FileRefused(place, [Problem(option, rule, "")])


def _say_states(outcome: Outcome, say: Say) -> None:
    results = outcome.results
    counts = Counter(shown_status(row.status, row.limit) for row in results.rows)
    states = ", ".join(f"{count} {status}" for status, count in sorted(counts.items()))
    say(f"{results.title}: {len(results.rows)} marks to give: {states or 'none'}")
    say(f"{outcome.replayed} evenings replayed, {outcome.evenings - outcome.replayed - outcome.unread} known from before")
    if outcome.unread:
        say(f"Not replayed, since they are no evenings or wait for a decision: {outcome.unread}")
    if outcome.not_believed:
        say(f"{outcome.not_believed} answers of other machines were none to what had been asked and were made again here; "
            "find out why before you trust the rest")  # fmt: skip


def _say_all(title: str, lines: list[str], say: Say) -> None:
    if not lines:
        return
    say(f"{title}:")
    for line in lines[:LINES_SHOWN]:
        say("  " + "".join(c if c.isprintable() else "?" for c in line))
    if len(lines) > LINES_SHOWN:
        say(f"  and {len(lines) - LINES_SHOWN} more")


def _write(wanted: Wanted, outcome: Outcome, mapping: Mapping, found: list[Finding], say: Say) -> None:
    stopped = any(one.stops for one in found)
    with pages_in(Words(outcome.inputs.course.language)):
        written = write_outputs(outcome, wanted.out, None if stopped else mapping)
    gradebook = f", {written.gradebook.name}" if written.gradebook else ""
    names = f"{written.class_page.name}, {written.results.name}{gradebook}"
    say(f"Written to {wanted.out}: {written.pages} learners' pages, {names}")
    if stopped:
        say("No gradebook was written: its key column is not unique or not filled (see above).")
    if wanted.hand_back_to:
        given, waiting = hand_back(outcome.results, wanted.out, wanted.hand_back_to, wanted.as_zip, outcome.set_aside)
        say(f"{len(given)} pages handed back in {wanted.hand_back_to}; {len(waiting)} wait until somebody has looked")
