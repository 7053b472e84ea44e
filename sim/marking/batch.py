"""A batch: everything handed in for a course, replayed where it was not replayed before, and settled into rows.

Nothing here knows the time or depends on the order of files or workers: the same folder gives the same results to the
byte, whether it was marked in one go, on many machines, or in pieces between two power cuts.
"""

from __future__ import annotations

import hashlib
from collections.abc import Callable, Iterator, Mapping, Sequence
from concurrent.futures import Executor
from dataclasses import dataclass, field, replace
from pathlib import Path

from sim.marking.course import Course, exercise_of, read_course, read_secret
from sim.marking.course_tables import CourseTables, read_tables
from sim.marking.extensions import Extensions, course_extensions
from sim.marking.handed_files import HandedFile, content_of, find_files
from sim.marking.held_back import own_prints
from sim.marking.kept_work import Marked, keep, kept, key_of
from sim.marking.received import Received, not_by_its_learner, read_received
from sim.marking.replaying import Task, mark_evening
from sim.marking.results import CourseResults, ExerciseResult, SubmissionResult
from sim.marking.roster import Learner, Roster, anonymous, read_roster, refuse_alike
from sim.marking.rows import Inputs, course_results
from sim.marking.running import IN_FLIGHT_PER_WORKER, Work, run_tasks
from sim.marking.worker_answers import kept_for
from sim.reading import FileRefused, Problem, ValueRefused
from sim.scoring.exercise import Exercise

RESULTS_FOLDER = "results"


@dataclass(frozen=True)
class Batch:
    """All that one run of marking is asked to do, read and checked.

    ``plain`` holds the exercises with densities in the place of the instructor's prints that are to be matched.
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

    ``not_believed`` counts answers that were none to what had been asked, and were made again here.
    """

    results: CourseResults
    kept_in: Path
    keys: Mapping[str, str] = field(default_factory=dict)
    replayed: int = 0
    not_believed: int = 0
    own_prints: Mapping[str, tuple[bytes, ...]] = field(default_factory=dict)

    def marked(self, content: str) -> Marked | None:
        """Return a replayed evening with its pictures, read from where it is kept."""
        key = self.keys.get(content)
        return kept(self.kept_in, key) if key else None


def read_batch(
    folder: Path, course_file: Path, roster_file: Path | None = None, received_file: Path | None = None,
    overrides_file: Path | None = None, hide_names: bool = False, time_limit_s: float = 20.0,
    accept_versions: bool = False,
) -> Batch:  # fmt: skip
    """Return everything a run needs. Raises OutsideError for any file that cannot be used, before any work is done."""
    from sim.marking.bundle import with_densities

    course = read_course(course_file)
    exercises = {one.name: _exercise(course, index) for index, one in enumerate(course.exercises)}
    roster_from, received_from = roster_file or course.roster, received_file or course.received
    received = read_received(received_from) if received_from else None
    needs_secret = hide_names or any(one.variants for one in course.exercises)
    plain = {name: with_densities(one) for name, one in exercises.items()}
    batch = Batch(
        course, exercises, plain, find_files(folder, received, course.uploader_in, course.zone),
        read_roster(roster_from, course.roster_columns) if roster_from else None,
        CourseTables(), read_secret(course) if needs_secret else b"",
        hide_names, time_limit_s, received=received, accept_versions=accept_versions,
    )  # fmt: skip
    refuse_alike(roster_from or course_file, batch.learners)
    tables = read_tables(course, [one.id for one in batch.learners], overrides_file)
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
    only when it is one of those that the secret makes for this learner, and nobody without the secret can name another.
    """
    from sim.marking.bundle import variants_in_turn

    entry = batch.course.exercise(exercise.name)
    if entry is None or not entry.variants:
        return exercise.negatives
    given = []
    for number in range(len(exercise.negatives)):
        own = list(variants_in_turn(exercise, batch.secret, file.learner, number))
        claimed = file.negatives[number] if number < len(file.negatives) else ""
        given.append(claimed if claimed in own else own[0])
    return tuple(given)


def task_of(batch: Batch, file: HandedFile) -> Task:
    """Return the work for a file, its content still to be read. Its key holds all that the result depends on."""
    from sim.marking.bundle import assigned_exercise

    exercise = batch.exercises.get(file.exercise)
    digests: tuple[str, ...] = ()
    if exercise is not None:
        given = assigned_exercise(batch.plain[exercise.name], given_negatives(batch, exercise, file))
        digests = tuple(sorted({e.digest for one in (exercise, given) for e in (one, one.public())}))
        exercise = given
    accepted = accepted_versions(batch, exercise) if exercise else ()
    settled = is_accepted(batch, file)
    told = [f"accepts {accepted} {settled}"] if accepted or settled else []  # else it is kept under the name it always had
    key = key_of([file.content, exercise.digest if exercise else "", *digests, *told])
    return Task(key, file.content, b"", exercise, digests, batch.time_limit_s, accepted, settled)


def is_accepted(batch: Batch, file: HandedFile) -> bool:
    """Tell whether a person has settled what only a person can, in the favour of the learner whom the file names."""
    decision = batch.tables.decided.get((file.learner, file.exercise))
    return decision is not None and decision.choice == "accept"


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
    work: Work = mark_evening,
) -> Outcome:  # fmt: skip
    """Replay what has not been replayed yet, keeping each result as it comes, and return the course's results.

    Raises WritingFailed when a result cannot be kept.
    """
    folder = out / RESULTS_FOLDER
    results: dict[str, SubmissionResult] = {}
    keys: dict[str, str] = {}
    waiting: list[Task] = []
    for file in _each_content_once(batch.files):
        if file.problem:
            results[file.content] = _unreadable(file)
            continue
        task = task_of(batch, file)
        keys[file.content] = task.key
        known = kept_for(folder, task.key, task) or kept_for(folder, _name_when_failed(task), task)
        if known is None:
            waiting.append(task)
        else:
            results[file.content] = known.result

    def done(task: Task, marked: Marked) -> None:
        keep(folder, task.key if marked.result.status != "failed" else _name_when_failed(task), marked)
        results[task.content] = marked.result
        if progress:
            progress(len(results), len(keys))

    # one negative after the other, so that workers find it developed; the content decides among the same
    waiting.sort(key=lambda task: (task.exercise.negatives if task.exercise else (), task.content))
    loaded = _loaded(waiting, batch.files, results)
    again = run_tasks(loaded, executor, done, work, IN_FLIGHT_PER_WORKER * max(jobs, 1))
    found = course_results(_inputs(batch, results))
    return Outcome(found, folder, keys, len(waiting), again, own_prints(batch.course))


def _loaded(
    waiting: Sequence[Task], files: Sequence[HandedFile], results: dict[str, SubmissionResult]
) -> Iterator[Task]:
    """Yield the tasks with their content, read when its turn comes; what has gone since it was listed gets its result here."""
    for task in waiting:
        lying = [file for file in files if file.content == task.content]  # the same evening may lie there twice
        data, words = None, ""
        while lying and data is None:
            file = lying.pop(0)
            try:
                data = _content_of(file)
            except FileRefused as error:
                words = words or "; ".join(str(problem) for problem in error.problems)
        if data is None:
            results[task.content] = _unreadable(replace(file, problem=words))
        else:
            yield replace(task, data=data)


def _name_when_failed(task: Task) -> str:
    """Return the name under which work ended by a limit is kept: a longer limit is a new try."""
    return f"{task.key}-{task.time_limit_s:g}s"


def _each_content_once(files: tuple[HandedFile, ...]) -> list[HandedFile]:
    return list({file.content: file for file in reversed(files)}.values())[::-1]


def _unreadable(file: HandedFile) -> SubmissionResult:
    from sim.marking.kept_work import MARKER_VERSION

    return SubmissionResult(
        content=file.content, status="unreadable", reasons=[file.problem], marker_version=MARKER_VERSION
    )


def _inputs(batch: Batch, results: Mapping[str, SubmissionResult]) -> Inputs:
    exercises = tuple(
        ExerciseResult(
            name=one.name, title=batch.exercises[one.name].title, version=batch.exercises[one.name].version,
            digest=batch.exercises[one.name].digest, due=one.due.isoformat() if one.due else "", points=one.points,
            policy=one.policy, attempts=one.attempts, held_back=one.held_back,
        )
        for one in batch.course.exercises
    )  # fmt: skip
    others = not_by_its_learner(batch.files, batch.roster.learners if batch.roster else ())
    accepted = {file.path for file in batch.files if file.path in others and is_accepted(batch, file)}
    return Inputs(
        batch.course, batch.learners, exercises, batch.files, results, batch.tables, batch.anonymous,
        batch.extensions, {path: who for path, who in others.items() if path not in accepted},
    )  # fmt: skip
