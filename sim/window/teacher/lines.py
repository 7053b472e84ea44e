"""The lines of a lesson at one moment, each with the thing it stands beside. The texts are the lesson's own."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from sim.evening.assignment import Assignment
from sim.notebook.advice_words import advice_words
from sim.scoring.advice_facts import Advice
from sim.scoring.hints import brief_of, hints_of
from sim.teaching.lesson import LessonRun
from sim.teaching.lesson_looks import USUAL_STEPS, about_a_strip, print_choices, strip_choices
from sim.teaching.lesson_step import Choice, Step
from sim.teaching.worked_example import main_place
from sim.window.standing.room import OneRoom
from sim.window.teacher.target import target_of


@dataclass(frozen=True)
class Line:
    """One line, and the id of the thing it means. ``asks``: answers stand under it.

    ``words`` are the lesson's own, which tell what is meant; ``said`` is what is read, in the window's language.
    """

    words: str
    at: str
    asks: bool = False
    told: str = ""

    @property
    def said(self) -> str:
        """What is read."""
        return self.told or self.words


def lines_of(room: OneRoom, run: LessonRun, again: bool, hint: bool, after: Sequence[str]) -> tuple[Line, ...]:
    """Return what is said now. ``again``: after marks another print is asked about; ``hint``: one was just taken;
    ``after`` follows the marks: what was won, and what comes next."""
    step = run.step
    at = _thing_of(run, step)
    question = room.line("what next") if again else step.question
    asked = (Line(_clean(question), at, True, room.said(_clean(question))),) if question else ()
    if hint:
        words = hints_of(run.folder, room.words.language)[step.hint_level - 1] if step.hint_level else step.hint
        return (Line(room.line("hint line", level=step.hint_level, hint=_clean(words)), at), *asked)
    if again:
        return asked
    texts = [_clean(text) for text in step.texts if text.strip()]
    if step.stage == "brief":
        return _of_the_brief(room, run, texts)
    if step.stage == "see" and _on_its_way(room, step.sheet):
        return (Line(room.line("on its way"), "trays"),)
    last = f"print {step.sheet}" if step.sheet else at
    thing = last if step.stage in ("predict", "marks") else at
    said = [Line(text, thing, told=room.said(text)) for text in texts]
    if step.stage == "see" and room.light != "white" and not room.darkroom.why_dark:
        said.insert(0, Line(room.line("pull the cord"), "cord"))
    said += [Line(words, last) for words in after]
    if step.stage == "predict" and _asks_for_nothing_more(run, step):
        said.append(Line(room.line("name it now"), "counts"))
    return (*said, *asked)


def _of_the_brief(room: OneRoom, run: LessonRun, texts: Sequence[str]) -> tuple[Line, ...]:
    """Return the brief's steps, each at the thing that its English names, in the window's language where they stand in it."""
    free, told = run.exercise.unlocked, brief_of(run.folder, room.words.language).steps
    read = [_clean(step) for step in told] if len(told) == len(texts) else texts
    given = (Line(words, target_of(words, free)) for words in assigned_words(room, run))
    return (*given, *(Line(text, target_of(text, free), told=said) for text, said in zip(texts, read, strict=True)))


def _on_its_way(room: OneRoom, number: int) -> bool:
    """Tell whether a sheet still lies in a bath in which no white light may come on."""
    tray = room.darkroom.tray
    return tray.number == number and tray.stage in ("developer", "stop", "fix") and bool(room.darkroom.why_dark)


def _asks_for_nothing_more(run: LessonRun, step: Step) -> bool:
    """Tell whether the last sheet was looked at and its readings ask for nothing more: then naming it ends the lesson."""
    looked = step.sheet_kind == "sheet" and "nominate" in step.allowed and not run.exam and not run.shown_next
    return looked and not run.readings(step.sheet)[1]


def _clean(text: str) -> str:
    return " ".join(text.split())


def _thing_of(run: LessonRun, step: Step) -> str:
    """Return the thing a stage is about: the print that is looked at, or the paper that comes next."""
    if step.stage in ("see", "explain", "marks", "done") and step.sheet:
        return f"print {step.sheet}"
    if step.stage == "make":
        if "play" in step.allowed:
            return "easel"
        return "strips" if about_a_strip(run.prediction) else "paper box"
    if run.shown_next:
        return "easel"
    return "strips" if run.exercise.predict == "which-step" and step.sheet_kind != "strip" else "paper box"


def choices_of(room: OneRoom, run: LessonRun, again: bool, pointed: str) -> tuple[Choice, ...]:
    """Return the answers that may be touched: of a place pointed at three, of the paper in hand those that fit it."""
    step = run.step
    if pointed:
        return tuple(Choice(f"{pointed}={one.key}", one.words) for one in print_choices("", ""))
    choices = _said_anew(room, run) if again else step.choices
    piece = room.darkroom.paper.piece
    if (step.stage != "predict" and not again) or run.shown_next or piece is None:
        return choices
    wholes = tuple(one for one in choices if not about_a_strip(one.key))
    if piece.kind == "sheet":
        return wholes
    return strip_choices(_steps_in_hand(room)) if len(wholes) < len(choices) else wholes


def _steps_in_hand(room: OneRoom) -> int:
    """Return how many steps the strip on the easel has had, or the usual number while it has had none."""
    return len(room.darkroom.paper.strip_steps) or USUAL_STEPS


def _said_anew(room: OneRoom, run: LessonRun) -> tuple[Choice, ...]:
    """Return the answers to what the next piece of paper will show: of one that is shown, those that fit it."""
    prints = print_choices(run.exercise.predict, main_place(run.exercise, run.negatives[0]))
    strip = run.plan[run.made].record.strip if run.shown_next else None
    if run.shown_next:
        return strip_choices(len(strip.times_s)) if strip is not None else prints
    return (*(strip_choices(_steps_in_hand(room)) if run.exercise.predict == "which-step" else ()), *prints)


def advice_in(run: LessonRun, step: Step, words: str) -> Advice | None:
    """Return the advice that a line says: whose readings belong on the print while it is said. None for any other line."""
    told: Sequence[Advice] = step.advice
    if step.marks is None and step.readings and step.stage in ("explain", "predict", "make") and not run.exam:
        told = (*run.readings(step.sheet)[1], *run.holds(step.sheet))
    return next((one for one in told if _clean(advice_words(one, run.words)) in words), None)


def assigned_words(room: OneRoom, run: LessonRun) -> tuple[str, ...]:
    """Return what a course asks before the task: whose bundle it is, until when, how often it may be handed in."""
    from sim.window.lesson_desk import assignment_of

    given: Assignment | None = assignment_of(run)
    if given is None:
        return ()
    words = [room.line("course for", course=given.course, learner=given.learner)]
    if given.due:
        words.append(room.line("due by", due=given.due))
    attempt = run.evening.state.opening.attempt
    key = "attempt of" if given.attempts else "attempt"
    words.append(room.line(key, n=attempt, most=given.attempts))
    return (" ".join(words),)


def head_words(room: OneRoom, step: Step | None, counted: tuple[int, int] | None) -> tuple[str, str]:
    """Return what stands over a note, and its banner: which line of how many (1-based), and what the marks came to.

    ``step`` is left out while something is worked out, ``counted`` where a note stands alone.
    """
    count = room.line("line of", n=counted[0], all=counted[1]) if counted else ""
    if step is None or step.marks is None:
        return count, ""
    won = room.line("all in" if step.passed else "not yet")
    return f"{count} · {won}", room.line("passed banner") if step.passed else ""
