"""Taking up a lesson: from the shelf, from a folder of one's own, or the one that comes next."""

from __future__ import annotations

import contextlib

from sim.bench.darkroom import Darkroom
from sim.refusals import Refusal
from sim.shelf import VARIANT_MARK
from sim.teaching.lesson import LessonRun
from sim.window.standing.room import OneRoom

Found = tuple[Darkroom, LessonRun]


def open_lesson(room: OneRoom, name: str, again: bool = False) -> None:
    """Carry on with a lesson, or begin a new attempt; its negative is put out beside the window, for that may take long."""
    from sim.window.lesson_desk import attempts, start_lesson, task_in

    run, task = room.lesson, task_in(name)
    if run is not None and run.folder.resolve() == task.folder.resolve() and not again:
        room.wanted_place = "enlarger"
        return
    learner, folder = room.preferences.learner, room.folder
    before = [] if again else attempts(folder, task.exercise.name, task.where)
    if before and room.open and room.darkroom.folder.resolve() == before[-1].resolve():
        stand_in(room, start_lesson(folder, name, learner, again, room.darkroom))
        return
    room.say("lesson opening", holds=lambda: room.work.busy)
    room.later(lambda: start_lesson(folder, name, learner, again), lambda found: stand_in(room, found))


def stand_in(room: OneRoom, found: Found) -> None:
    """Stand in a lesson's evening; a new one begins with the lamp on, so that the picture is seen."""
    darkroom, run = found
    room.take_up(darkroom, run)
    state = run.evening.state
    if not state.sheets and not state.handed_in and darkroom.paper.piece is None:
        with contextlib.suppress(Refusal):  # an evening that is only looked at stays dark
            darkroom.desk.set("focus_light", True)
    room.wanted_place = "enlarger"
    if not darkroom.damage:
        room.say("lesson open", title=room.said(run.exercise.title))
        attempt = state.opening.attempt
        if attempt > 1 and not state.sheets and len(run.negatives) == 1:
            key = "lesson again other" if VARIANT_MARK in run.negatives[0].name else "lesson again"
            room.say(key, title=room.said(run.exercise.title), n=attempt, negative=room.title("negative"))


def again_words(room: OneRoom, run: LessonRun) -> str:
    """Return what another attempt is called: on another negative where it gets one."""
    other = run.mode == "solo" and len(run.negatives) == 1 and not run.exam
    return room.line("again other") if other else room.name("once more")


def after_marks(room: OneRoom, run: LessonRun) -> tuple[tuple[str, ...], str, str]:
    """Return what was won by the marks that are shown, and the lesson that comes next: words, its name, its title."""
    from sim.window.lesson_desk import shelf_of, task_in

    if run.exam or task_in(str(run.folder)).own:
        return (), "", ""
    shelf = shelf_of(room.folder, run.evening.state.opening.learner)
    own = next((one for one in shelf.lessons if one.slug == run.exercise.name), None)
    if own is None:
        return (), "", ""
    skill = room.words.text(own.title)
    met = min(own.negatives_met, own.negatives_needed)
    counted = run.mode != "example" and run.result()[0].passed(run.exercise) and not run.not_counted()
    key = "skill open" if not counted else ("skill owned" if met >= own.negatives_needed else "skill met")
    words = [room.line(key, skill=skill, n=met, all=own.negatives_needed)]
    following = next((one for one in shelf.lessons if one.slug == shelf.next_slug), None)
    title = room.words.text(following.title) if following is not None else ""
    if following is own:
        words.append(room.line("next again"))
    elif following is not None:
        words.append(room.line("next or again" if own.passed and met < own.negatives_needed else "next is", title=title))
    else:
        words.append(room.line("all done"))
    return tuple(words), shelf.next_slug, title


def to_free_work(room: OneRoom) -> None:
    """Leave the lesson for the newest evening without one; where there is none, for the shelf, where one is begun."""
    from sim.window.evenings import kept_evenings, task_of
    from sim.window.lesson_desk import exercise_of, open_evening

    for folder in reversed(kept_evenings(room.folder)):
        with contextlib.suppress(Refusal, OSError):  # one that cannot be read is passed over
            if not (task_of(folder) or exercise_of(folder)):
                room.take_up(*open_evening(folder))
                room.wanted_place = "enlarger"
                room.say("free again", n=int(folder.name))
                return
    room.wanted_place = "shelf"
    room.say("free at shelf")
