"""A batch: everything handed in for a course, replayed where it was not replayed before, and settled into rows.

Nothing here knows the time or depends on the order of files or workers: the same folder gives the same results to the
byte, whether it was marked in one go, on many machines, or in pieces between two power cuts.
"""

from __future__ import annotations

import hashlib
from collections.abc import Callable, Iterator, Mapping, Sequence
from concurrent.futures import Executor
from dataclasses import dataclass, field, replace
from functools import cached_property
from pathlib import Path

from sim.marking.accepted import Accepted, accepted_files
from sim.marking.bundle import assigned_exercise, variants_in_turn, with_densities
from sim.marking.course import Course, exercise_of, read_course, read_secret
from sim.marking.course_tables import CourseTables, read_tables
from sim.marking.extensions import Extensions, course_extensions
from sim.marking.file_codes import with_codes
from sim.marking.handed_files import HandedFile, content_of, find_files
from sim.marking.held_back import OwnPrint, own_prints
from sim.marking.kept_work import MARKER_VERSION, Marked, keep, key_of
from sim.marking.received import Received, read_received
from sim.marking.reopened import there_before
from sim.marking.replayed import Replayed
from sim.marking.replaying import Task, mark_evening
from sim.marking.results import CourseResults, ExerciseResult, SubmissionResult
from sim.marking.roster import Learner, Roster, anonymous, read_roster, refuse_alike
from sim.marking.rows import Inputs, course_results, files_of_nobody, lean
from sim.marking.running import IN_FLIGHT_PER_WORKER, Work, run_tasks
from sim.marking.set_aside import known_by_their_names
from sim.marking.shards import Shard
from sim.marking.statuses import ONE_OF_A_NAME, Status
from sim.marking.who_handed_in import not_by_its_learner
from sim.marking.worker_answers import kept_for
from sim.reading import FileRefused, Problem, ValueRefused
from sim.scoring.exercise import Exercise

RESULTS_FOLDER = "results"
MOST_IN_ONE, GROUP = 500, 200  # learners: up to so many have one page and one file together; beyond, groups of so many


@dataclass(frozen=True)
class Batch:
    """All that one run of marking is asked to do, read and checked.

    ``plain`` holds the exercises with densities in the place of the instructor's prints that are to be matched.
    ``waiting`` are the contents of evenings that only a person can settle, once a replay has found them; None: not yet.
    """

    course: Course
    exercises: Mapping[str, Exercise]
    plain: Mapping[str, Exercise]
    files: tuple[HandedFile, ...]
    roster: Roster | None
    tables: CourseTables = CourseTables()
    secret: bytes = b""
    anonymous: bool = False
    time_limit_s: float = 20.0
    extensions: Extensions = field(default_factory=dict)
    received: Mapping[str, Received] | None = None
    accept_versions: bool = False
    waiting: frozenset[str] | None = None

    @cached_property
    def others(self) -> Mapping[Path, str]:
        """The files that somebody else handed in than they name, with who that was."""
        return not_by_its_learner(self.files, self.roster.learners if self.roster else ())

    @cached_property
    def accepted(self) -> Accepted:
        """What decisions to accept come to."""
        return accepted_files(
            self.files, self.others, self.tables, frozenset(one.id for one in self.learners), self.waiting, self.anonymous
        )

    def is_doubtful(self, file: HandedFile) -> bool:
        """Tell whether an evening lies in a zip behind another of its name, learner and exercise, and nobody accepted it."""
        if file.of_its_name == 1 or file.problem or file.path in self.accepted.settled:
            return False
        before = [one for one in self._of_names[file.path.parent, file.member] if one.of_its_name < file.of_its_name]
        contents = {one.content for one in before if (one.learner, one.exercise) == (file.learner, file.exercise)}
        return bool(contents) and file.content not in contents

    @cached_property
    def _of_names(self) -> Mapping[tuple[Path, str], list[HandedFile]]:
        """The evenings of each of a zip's names."""
        found: dict[tuple[Path, str], list[HandedFile]] = {}
        for one in self.files:
            if one.member and not one.problem:
                found.setdefault((one.path.parent, one.member), []).append(one)
        return found

    @property
    def learners(self) -> tuple[Learner, ...]:
        """The roster's learners, or without a roster whoever handed something in; anonymous ones under codes."""
        if self.roster is not None:
            found = self.roster.learners
        else:
            found = tuple(Learner(name) for name in sorted({file.learner for file in self.files if file.learner}))
        if not self.anonymous:
            return found
        return tuple(sorted((anonymous(one, self.secret) for one in found), key=lambda one: one.shown_id))


@dataclass(frozen=True)
class Outcome:
    """What a run came to: the course's results, and the replayed evenings with their pictures by content.

    ``not_believed`` counts answers that were none to what had been asked, and were made again here. Of a class larger than
    ``MOST_IN_ONE`` the rows in ``results`` are lean; ``of_group`` gives them whole.
    """

    results: CourseResults
    inputs: Inputs
    work: Replayed
    evenings: int = 0
    replayed: int = 0
    not_believed: int = 0
    own_prints: Mapping[str, tuple[OwnPrint, ...]] = field(default_factory=dict)

    def marked(self, content: str) -> Marked | None:
        """Return a replayed evening with its pictures, read from where it is kept."""
        return self.work.marked(content)

    @property
    def unread(self) -> int:
        """How many files were no evening that could be replayed, or are not replayed until somebody has decided."""
        return self.work.unread

    @property
    def groups(self) -> tuple[tuple[Learner, ...], ...]:
        """The learners in groups, each of which has files of its own; one group where the class is not large."""
        return _groups(self.inputs.learners)

    @property
    def set_aside(self) -> frozenset[str]:
        """The learners, as shown, of whom a file came in that nobody can tell the exercise of, and something is missing."""
        rows = self.results.rows
        return frozenset(row.learner for row in rows if row.status == "missing" and any(one.open for one in row.waiting))

    def of_group(self, learners: Sequence[Learner]) -> CourseResults:
        """Return a group's rows with everything that pages show."""
        return course_results(self.inputs, learners)


def read_batch(
    folder: Path, course_file: Path, roster_file: Path | None = None, received_file: Path | None = None,
    overrides_file: Path | None = None, hide_names: bool = False, time_limit_s: float = 20.0,
    accept_versions: bool = False,
) -> Batch:  # fmt: skip
    """Return everything a run needs. Raises OutsideError for any file that cannot be used, before any work is done."""
    course = read_course(course_file)
    exercises = {one.name: _exercise(course, index) for index, one in enumerate(course.exercises)}
    roster_from, received_from = roster_file or course.roster, received_file or course.received
    received = read_received(received_from) if received_from else None
    needs_secret = hide_names or any(one.variants for one in course.exercises)
    plain = {name: with_densities(one) for name, one in exercises.items()}
    roster = read_roster(roster_from, course.roster_columns) if roster_from else None
    files = find_files(folder, received, course.uploader_in, course.zone, roster.known if roster else ())
    files = known_by_their_names(files, roster.learners if roster else (), [one.name for one in course.exercises])
    secret = read_secret(course) if needs_secret else b""
    batch = Batch(
        course, exercises, plain, with_codes(files, course, secret), roster, CourseTables(), secret,
        hide_names, time_limit_s, received=received, accept_versions=accept_versions,
    )  # fmt: skip
    refuse_alike(roster_from or course_file, batch.learners)
    tables = read_tables(course, [one.id for one in batch.learners], overrides_file)
    tables = replace(tables, there_before=there_before(course, tables, files, batch.others))
    return replace(batch, extensions=course_extensions(course, batch.roster), tables=tables)


def _exercise(course: Course, index: int) -> Exercise:
    entry = course.exercises[index]
    exercise = exercise_of(course, index)[1]
    if exercise.name != entry.name:
        rule = f"must be called {exercise.name!r}, as its folder is"
        raise ValueRefused(course.file, [Problem(f"exercise[{index}].folder", rule, repr(entry.folder))])
    return exercise


def given_negatives(batch: Batch, exercise: Exercise, file: HandedFile) -> tuple[str, ...]:
    """Return the negatives that were given to a file's learner: the exercise's own, or variants by the course's secret.

    Which of the learner's variants it was (the first one that could be printed) the file says itself; it is believed
    only when it is one of those that the secret makes for this learner, and nobody without the secret can name another. Where a
    person has accepted it as another's attempt, it may be one of either's.
    """
    whose = dict.fromkeys((batch.accepted.owners.get(file.path, file.learner), file.learner))
    entry = batch.course.exercise(exercise.name)
    if entry is None or not entry.variants:
        return exercise.negatives
    given = []
    for number in range(len(exercise.negatives)):
        own = [name for one in whose for name in variants_in_turn(exercise, batch.secret, one, number)]
        claimed = file.negatives[number] if number < len(file.negatives) else ""
        given.append(claimed if claimed in own else own[0])
    return tuple(given)


def task_of(batch: Batch, file: HandedFile) -> Task:
    """Return the work for a file, its content still to be read. Its key holds all that the result depends on."""
    exercise = None if file.by_name else batch.exercises.get(file.exercise)
    digests: tuple[str, ...] = ()
    if exercise is not None:
        given = assigned_exercise(batch.plain[exercise.name], given_negatives(batch, exercise, file))
        digests = tuple(sorted({e.digest for one in (exercise, given) for e in (one, one.public())}))
        exercise = given
    accepted = accepted_versions(batch, exercise) if exercise else ()
    settled = file.path in batch.accepted.settled
    told = [f"accepts {accepted} {settled}"] if accepted or settled else []  # else it is kept under the name it always had
    key = key_of([file.content, exercise.digest if exercise else "", *digests, *told])
    return Task(key, file.content, b"", exercise, digests, batch.time_limit_s, accepted, settled)


def accepted_versions(batch: Batch, exercise: Exercise) -> tuple[int, ...]:
    """Return the earlier versions of an exercise whose evenings are marked by today's: all, or those the course names."""
    if batch.accept_versions:
        return tuple(range(1, exercise.version))
    entry = batch.course.exercise(exercise.name)
    return tuple(v for v in entry.accepted_versions if v != exercise.version) if entry else ()


def _content_of(file: HandedFile) -> bytes:
    """Return a file's content, which must still be what was listed. Raises FileRefused."""
    data = content_of(file)
    if hashlib.sha256(data).hexdigest() != file.content:
        raise FileRefused(file.path, [Problem("", "must stay as it is while it is marked", "another content")])
    return data


def mark_batch(
    batch: Batch, out: Path, executor: Executor, jobs: int = 1, progress: Callable[[int, int], None] | None = None,
    work: Work = mark_evening, shard: Shard | None = None,
) -> Outcome:  # fmt: skip
    """Replay what has not been replayed yet, keeping each result as it comes, and return the course's results.

    Raises WritingFailed when a result cannot be kept.
    """
    replayed, made, again = _replay(batch, out / RESULTS_FOLDER, executor, jobs, progress, work, shard)
    if shard is None and batch.accepted.to_be_told:  # which of a learner's evenings wait is known only now
        asked = {one.content for one in batch.files if (one.learner, one.exercise) in batch.accepted.to_be_told}
        batch = replace(batch, waiting=frozenset(one for one in asked if replayed[one].status == "needs-person"))
        replayed, more, more_again = _replay(batch, out / RESULTS_FOLDER, executor, jobs, progress, work)
        made, again = max(made, more), again + more_again
    inputs = _inputs(batch, replayed)
    if shard is not None:  # others are at work on the rest: there are no rows yet
        return Outcome(course_results(inputs, ()), inputs, replayed, len(replayed), made, again)
    return Outcome(_rows(inputs), inputs, replayed, len(replayed), made, again, own_prints(batch.course))


def _replay(
    batch: Batch, folder: Path, executor: Executor, jobs: int, progress: Callable[[int, int], None] | None, work: Work,
    shard: Shard | None = None,
) -> tuple[Replayed, int, int]:  # fmt: skip
    """Replay what is not known yet; return all results, how many were made, and how many answers were made again here."""
    replayed, waiting = _waiting(batch, folder, shard)
    evenings = len(replayed) + len(waiting)

    def done(task: Task, marked: Marked) -> None:
        name = task.key if marked.result.status != "failed" else _name_when_failed(task)
        keep(replayed.folder, name, marked)
        replayed.is_kept(task.content, name, marked.result)
        if progress:
            progress(len(replayed), evenings)

    # one negative after the other, so that workers find it developed; the content decides among the same
    waiting.sort(key=lambda task: (task.exercise.negatives if task.exercise else (), task.content))
    loaded = _loaded(waiting, batch.files, replayed)
    return replayed, len(waiting), run_tasks(loaded, executor, done, work, IN_FLIGHT_PER_WORKER * max(jobs, 1))


def _groups(learners: tuple[Learner, ...]) -> tuple[tuple[Learner, ...], ...]:
    size = GROUP if len(learners) > MOST_IN_ONE else max(len(learners), 1)
    return tuple(learners[k : k + size] for k in range(0, max(len(learners), 1), size))


def _rows(inputs: Inputs) -> CourseResults:
    """Return all rows; of a large class lean ones, made group by group."""
    groups = _groups(inputs.learners)
    if len(groups) == 1:
        return course_results(inputs)
    rows = [lean(row) for group in groups for row in course_results(inputs, group).rows]
    return course_results(inputs, ()).model_copy(update={"rows": rows, "unplaced": files_of_nobody(inputs)})


def _waiting(batch: Batch, folder: Path, shard: Shard | None) -> tuple[Replayed, list[Task]]:
    """Return what is known from before, and the tasks that are still to be done here, their content still to be read."""
    replayed, waiting = Replayed(folder), []
    for file in _each_content_once(batch):
        if file.problem:
            replayed.is_nothing(file.content, _unreadable(file))
            continue
        if batch.is_doubtful(file):
            replayed.is_nothing(file.content, _one_of_a_name(file, file.path in batch.accepted.put_aside))
            continue
        task = task_of(batch, file)
        if shard is not None and not shard.holds(file.content):
            continue
        for name in (task.key, _name_when_failed(task)):
            known = kept_for(folder, name, task)
            if known is not None:
                replayed.is_kept(file.content, name, known.result)
                break
        else:
            waiting.append(task)
    return replayed, waiting


def _each_content_once(batch: Batch) -> Iterator[HandedFile]:
    """Yield a file of each content: where several have it, the first of which nothing is doubtful."""
    found: dict[str, HandedFile] = {}
    for file in batch.files:
        if file.content not in found or (batch.is_doubtful(found[file.content]) and not batch.is_doubtful(file)):
            found[file.content] = file
    yield from found.values()


def _loaded(
    waiting: Sequence[Task], files: Sequence[HandedFile], replayed: Replayed
) -> Iterator[Task]:
    """Yield the tasks with their content, read when its turn comes; what has gone since it was listed gets its result here."""
    by_content: dict[str, list[HandedFile]] = {}
    for one in files:
        by_content.setdefault(one.content, []).append(one)
    for task in waiting:
        lying = list(by_content[task.content])  # the same evening may lie there twice
        data, words = None, ""
        while lying and data is None:
            file = lying.pop(0)
            try:
                data = _content_of(file)
            except FileRefused as error:
                words = words or "; ".join(str(problem) for problem in error.problems)
        if data is None:
            replayed.is_nothing(task.content, _unreadable(replace(file, problem=words)))
        else:
            yield replace(task, data=data)


def _name_when_failed(task: Task) -> str:
    """Return the name under which work ended by a limit is kept: a longer limit is a new try."""
    return f"{task.key}-{task.time_limit_s:g}s"


def _one_of_a_name(file: HandedFile, put_aside: bool) -> SubmissionResult:
    """Return the result of an evening beside which another of the same name was handed in, as long as it is not accepted."""
    status: Status = "set-aside" if put_aside else "needs-person"
    reason = "another file of its name was decided for" if put_aside else ONE_OF_A_NAME
    return SubmissionResult(content=file.content, status=status, reasons=[reason], marker_version=MARKER_VERSION)


def _unreadable(file: HandedFile) -> SubmissionResult:
    return SubmissionResult(
        content=file.content, status="unreadable", reasons=[file.problem], marker_version=MARKER_VERSION
    )


def _inputs(batch: Batch, results: Mapping[str, SubmissionResult]) -> Inputs:
    exercises = tuple(
        ExerciseResult(
            name=one.name, title=batch.exercises[one.name].title, version=batch.exercises[one.name].version,
            digest=batch.exercises[one.name].digest, due=one.due.isoformat() if one.due else "", points=one.points,
            policy=one.policy, attempts=one.attempts, held_back=one.held_back,
            box_sheets=batch.exercises[one.name].box.sheets, box_minutes=batch.exercises[one.name].box.minutes,
            pass_share=batch.exercises[one.name].pass_share, lesson=batch.course.is_lesson(one),
        )
        for one in batch.course.exercises
    )  # fmt: skip
    accepted = batch.accepted
    return Inputs(
        batch.course, batch.learners, exercises, batch.files, results, batch.tables, batch.anonymous,
        batch.extensions, {path: who for path, who in batch.others.items() if path not in accepted.owners}, accepted,
    )  # fmt: skip
