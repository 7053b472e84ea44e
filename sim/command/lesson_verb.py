"""tonewright lesson: work a lesson in the terminal, from a file of lines, or through a pipe; alone, list the syllabus."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING

from sim.command.learner_options import add_learner_options, evening_file, kept_in, today
from sim.refusals import Refused

if TYPE_CHECKING:
    from sim.evening.assignment import Assignment
    from sim.teaching.lesson import LessonRun

MAX_SCRIPT_BYTES = 1024 * 1024
MAX_SCRIPT_LINES = 20_000


def add_options(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("name", nargs="?", help="a lesson by name; without one the syllabus is listed")
    parser.add_argument("--folder", metavar="DIR", help="an exercise folder of one's own, or a bundle handed out in a course")
    parser.add_argument("--do", metavar="FILE", help="work through the lines of a file ('-': a pipe); see `help` inside")
    parser.add_argument("--log", metavar="FILE", help="the evening's log: continued when it is there, else begun")
    parser.add_argument("--new", action="store_true", help="begin a new attempt even if the last one was not finished")
    parser.add_argument("--mode", choices=("example", "completion", "solo"), help="how much is shown (default: by attempt)")
    parser.add_argument("--negative", action="append", default=[], metavar="SLEEVE", help="print another negative instead")
    parser.add_argument("--pictures", metavar="DIR", help="where the prints go as pictures (default: NAME-prints)")
    parser.add_argument("--json", action="store_true", help="at the end, where the lesson stands as JSON")
    add_learner_options(parser)


def run(options: argparse.Namespace) -> int:
    """Work the lesson, or list the syllabus."""
    from sim.teaching.progress import read_progress

    if not options.name and not options.folder:
        from sim.command.syllabus_list import list_syllabus

        return list_syllabus(read_progress(kept_in(options), options.learner), today(options), options.json)
    lesson = _opened(options)
    try:
        return _work(options, lesson)
    finally:
        lesson.evening.close()


def _work(options: argparse.Namespace, lesson: LessonRun) -> int:
    """Work the lesson line by line; keep the progress."""
    from sim.command.lesson_talk import Talk, typed_lines

    pictures = Path(options.pictures or f"{lesson.exercise.name}-prints")
    _say_hello(lesson)
    talk = Talk(lesson, pictures)
    if options.do or sys.stdin is None or not sys.stdin.isatty():
        talk.all_lines(script_lines(options.do), echo=True)
    else:
        talk.all_lines(typed_lines(talk), echo=False)
    _keep(options, lesson)
    if options.json:
        from sim.command.pictures import show_json

        show_json(_result(lesson, talk.refused))
    return 1 if talk.refused else 0


def script_lines(name: str | None) -> Iterator[str]:
    """Yield the lines of a file, or of what is piped in; bounded, and without an end of file being an error."""
    from sim.reading import read_text

    if name and name != "-":
        lines = read_text(Path(name), MAX_SCRIPT_BYTES).splitlines()
    else:
        lines = sys.stdin.read(MAX_SCRIPT_BYTES).splitlines() if sys.stdin is not None else []
    yield from lines[:MAX_SCRIPT_LINES]


def _opened(options: argparse.Namespace) -> LessonRun:
    """Return the lesson begun or continued."""
    from sim.evening.given_out import keep_begun, refuse_another_evening
    from sim.evening.log import refuse_foreign
    from sim.teaching.lesson import LessonRun
    from sim.teaching.lesson_opening import exercise_in
    from sim.teaching.progress import next_negatives, read_progress

    if options.name and options.folder:
        raise Refused(f"give a lesson's name or --folder, got both {options.name!r} and {options.folder!r}")
    where, name, learner, negatives = options.folder or options.name, "", options.learner, tuple(options.negative)
    assignment = _assigned(Path(options.folder), learner, negatives, kept_in(options)) if options.folder else None
    if assignment is not None:
        name, learner, negatives = assignment.exercise, assignment.learner, assignment.negatives
    folder, exercise = exercise_in(where, name)
    progress = read_progress(kept_in(options), learner)
    attempt = progress.attempts(exercise.name) + 1
    if options.new:
        attempt = _unused(options, exercise.name, learner, attempt)
    if options.log:
        refuse_foreign(Path(options.log))
    log = Path(options.log) if options.log else evening_file(options, exercise.name, learner, attempt)
    if assignment is not None and not log.exists():
        refuse_another_evening(kept_in(options), assignment)
    lesson = LessonRun.open(
        log, where, learner=learner, attempt=attempt, negatives=negatives or next_negatives(progress, exercise, folder),
        mode=options.mode or "", name=name, clean_successes=progress.clean_successes(exercise.skill),
    )  # fmt: skip
    if assignment is not None:
        keep_begun(kept_in(options), assignment, log)
    return lesson


def _assigned(folder: Path, learner: str, negatives: tuple[str, ...], keep: Path) -> Assignment | None:
    """Return the assignment of a bundle, None for any other folder; remember that its negatives were given out."""
    from sim.evening.assignment import assignment_in
    from sim.evening.given_out import keep_given_out

    assignment = assignment_in(folder)
    if assignment is None:
        return None
    if learner and learner != assignment.learner:
        raise Refused(f"--learner must be {assignment.learner!r}, whose bundle this is, got {learner!r}")
    if negatives:
        raise Refused(f"--negative cannot be chosen in a bundle, got {', '.join(negatives)}")
    keep_given_out(keep, assignment)
    return assignment


def _unused(options: argparse.Namespace, exercise: str, learner: str, attempt: int) -> int:
    """Return the first attempt from this one on that no log is there for."""
    while evening_file(options, exercise, learner, attempt).exists():
        attempt += 1
    return attempt


def _say_hello(lesson: LessonRun) -> None:
    opening = lesson.evening.state.opening
    shown = {"example": "worked example: you predict, the lesson prints (it does not count towards the skill)",
             "completion": "begun for you, finished by you",
             "solo": "on your own"}[lesson.mode]  # fmt: skip
    print(f"{lesson.exercise.title}: attempt {opening.attempt}, {shown}")
    print(f"Kept in {lesson.evening.file}")
    if lesson.evening.damage:
        print(f"Note: {lesson.evening.damage}")
    if lesson.changed_since:
        print("Note: the exercise has changed since this evening was begun.")
    print("Type `help` for the lines that are understood, `task` for what is asked.")


def _keep(options: argparse.Namespace, lesson: LessonRun) -> None:
    """Write the progress once a sheet counts; say how to go on otherwise."""
    from sim.teaching.progress import change_progress, evening_done, with_evening

    if not lesson.evening.state.nominated:
        print(f"\nNo sheet counts yet. The lesson is kept; go on with it at any time ({lesson.evening.file}).")
        return
    if lesson.exam:
        print(f"\nKept. To hand the evening in: tonewright submit {lesson.evening.file} -o FILE")
        return
    learner = lesson.evening.state.opening.learner  # the log given may belong to somebody else: the progress is theirs
    done = evening_done(lesson, today(options))
    _, file = change_progress(kept_in(options), learner, lambda kept: with_evening(kept, lesson.exercise.name, done))
    print(f"\nProgress kept in {file}. To hand the evening in: tonewright submit {lesson.evening.file} -o FILE")


def _result(lesson: LessonRun, refused: int) -> dict[str, object]:
    """Return where the lesson stands, for a machine."""
    from dataclasses import asdict

    from sim.notebook.advice_words import advice_words
    from sim.scoring.advice import advice_data

    step = lesson.step
    data: dict[str, object] = {
        "exercise": lesson.exercise.name, "log": str(lesson.evening.file), "stage": step.stage, "mode": lesson.mode,
        "sheets_left": step.sheets_left, "minutes_left": round(step.minutes_left, 2), "refused_lines": refused,
        "nominated": list(lesson.evening.state.nominated),
    }  # fmt: skip
    if lesson.evening.state.nominated and not lesson.exam:
        marks, advice, own = lesson.result()
        data["points"], data["full_points"] = round(marks.points, 2), marks.full_points
        data["provisional"], data["kept_back_points"] = marks.provisional, marks.kept_back_points
        data["passed"], data["share"] = marks.passed(lesson.exercise), round(marks.share, 4)
        data["marks"] = [asdict(mark) for mark in marks.marks]
        data["advice"] = [{**advice_data(one), "words": advice_words(one, lesson.words)} for one in advice]
        data["contrasts"] = [asdict(one) for one in own]
    return data
