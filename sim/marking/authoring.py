"""A new exercise from a negative and a few answers: a folder with every file it needs, commented, ready to be changed.

Goals are the aim tones of the negative's places, or what a print reads that the instructor made ("these tones are the
goal"). The reference is a print that reach finds, with times rounded as they are dialled.
"""

from __future__ import annotations

import json
from collections.abc import Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from sim.negative.develop import find_negative
from sim.negative.negative import Negative
from sim.notebook.control_words import control_words
from sim.notebook.limit_words import limit_words
from sim.paper.response import Response
from sim.paper.stock import Stock, find_stock
from sim.printing.make_print import make_print
from sim.printing.record import PrintingRecord
from sim.printing.record_file import record_data
from sim.printing.setup import usual_setup
from sim.reading import FileRefused, Problem, shown
from sim.refusals import Refused
from sim.scoring.best_print import with_real_cards
from sim.scoring.exercise import CONTROL_NAMES
from sim.scoring.exercise_file import parse_exercise
from sim.scoring.points import eye_tolerance
from sim.scoring.reach import Goal, Reached, ReachOptions, reach
from sim.scoring.targets import ToneTarget, aim_tones
from sim.viewing.densitometer import read_place
from sim.words import Words
from sim.writing import write_text

POINTS_PER_PLACE = 4.0


@dataclass(frozen=True)
class Answers:
    """What an author is asked: negative, paper, what may be moved, which places count, and where the goal comes from."""

    name: str
    negative: str
    paper: str = "glossy-rc-vc"
    unlocked: tuple[str, ...] = ("time_s",)
    places: tuple[str, ...] = ()
    title: str = ""
    skill: str = "free-print"
    start_time_s: float = 10.0
    start_filter: str = "2"
    sheets: int = 20
    minutes: float = 45.0


def write_new_exercise(folder: Path, answers: Answers, goal: PrintingRecord | None = None) -> tuple[Path, ...]:
    """Write the folder of a new exercise; return its files. Raises OutsideError, ValueError or WritingFailed.

    With ``goal`` the tones of that print are the targets, read at the places. Nothing that stands there is written over.
    """
    if folder.exists() and any(folder.iterdir()):
        raise FileRefused(folder, [Problem("", "must be a new or empty folder", "one with files in it")])
    unknown = [control for control in answers.unlocked if control not in CONTROL_NAMES]
    if unknown:
        raise Refused(f"unlocked must be chosen from {', '.join(CONTROL_NAMES)}, got {unknown[0]!r}")
    if not answers.title.isprintable():
        raise Refused(f"title must be printable text on one line, got {shown(answers.title)}")
    if goal is not None:
        answers = replace(answers, negative=goal.negative, paper=goal.sheet.paper)
    negative, stock = find_negative(answers.negative), find_stock(answers.paper)
    start = _start(answers, negative, stock, goal)
    targets = _targets(answers, negative, stock, start, goal)
    reference, found = _reference(answers, negative, stock, start, targets, goal)
    contents = {
        "exercise.toml": _exercise_text(answers, start, targets, goal),
        "brief.md": _brief_text(answers),
        "hints.md": _HINTS,
        "design.md": _design_text(answers, found),
        "reference.json": json.dumps([record_data(reference)], indent=2, allow_nan=False) + "\n",
        "trials/too-little-light.toml": _TRIAL,
    }
    toml = folder / "exercise.toml"  # read back before a file is written: what is made here must be readable
    parse_exercise(toml, contents["exercise.toml"])
    for name, text in contents.items():
        (folder / name).parent.mkdir(parents=True, exist_ok=True)
        write_text(folder / name, text)
    return tuple(folder / name for name in contents)


def _start(answers: Answers, negative: Negative, stock: Stock, goal: PrintingRecord | None) -> PrintingRecord:
    """Return the start: what is usual for the negative, or the goal's own set-up with the unlocked controls undone."""
    from sim.scoring.start import filter_setting

    chosen = filter_setting(answers.start_filter)
    if goal is None:
        return usual_setup(negative, stock, time_s=answers.start_time_s, filtration=chosen)
    first = goal.exposures[0]
    filtration = chosen if "filter" in answers.unlocked else first.filter
    return usual_setup(
        negative, stock, goal.sheet.width_mm, goal.sheet.height_mm, goal.sheet.border_mm, answers.start_time_s,
        first.f_number, filtration, goal.enlarger.contact,
    )  # fmt: skip


def _targets(
    answers: Answers, negative: Negative, stock: Stock, start: PrintingRecord, goal: PrintingRecord | None
) -> tuple[ToneTarget, ...]:
    names = answers.places or tuple(p.name for p in negative.places if p.part in ("lightest", "darkest"))
    if not names:
        raise Refused(f"places must be named: {negative.name} has none marked lightest or darkest")
    places = [negative.place(name) for name in names]
    if goal is not None:
        sheet = make_print(negative, goal, stock)
        readings = [(place, round(read_place(sheet, place), 2)) for place in places]
        return tuple(ToneTarget(p, d, max(0.01, round(eye_tolerance(d), 3)), POINTS_PER_PLACE) for p, d in readings)
    aims = {aim.place.name: aim for aim in aim_tones(negative, Response(stock, start.development))}
    missing = [name for name in names if name not in aims]
    if missing:
        raise Refused(f"places without a goal print must be the lightest or darkest ones, got {missing[0]!r}; "
                         "give a record whose tones are the goal")  # fmt: skip
    return tuple(
        replace(aims[n], density=round(aims[n].density, 2), tolerance_density=round(aims[n].tolerance_density, 3),
                points=POINTS_PER_PLACE) for n in names
    )  # fmt: skip


def _reference(
    answers: Answers, negative: Negative, stock: Stock, start: PrintingRecord, targets: Sequence[ToneTarget],
    goal: PrintingRecord | None,
) -> tuple[PrintingRecord, Reached | None]:  # fmt: skip
    """Return the goal print itself, or the print that reach finds with the unlocked controls."""
    if goal is not None:
        return goal, None
    goals = [Goal(target.place, target.density) for target in targets]
    own = str(start.exposures[0].filter.graded or "2")
    options = ReachOptions(
        filters=ReachOptions().filters if "filter" in answers.unlocked else (own,),
        card_places=tuple(t.place.name for t in targets if t.place.area) if "cards" in answers.unlocked else (),
    )
    found = reach(negative, start, stock, goals, "pair" if "exposures" in answers.unlocked else "one", options)
    record = with_real_cards(negative, found)
    exposures = (replace(e, time_s=round(e.time_s, 1), note="") for e in record.exposures)
    return record.with_exposures(*exposures), found


def _exercise_text(
    answers: Answers, start: PrintingRecord, targets: Sequence[ToneTarget], goal: PrintingRecord | None
) -> str:
    first, quality = start.exposures[0], POINTS_PER_PLACE * len(targets)
    source = "read from the print that was set as the goal" if goal else "the negative's aim tones"
    lines = [
        "# An exercise. Every field with unit and range: lessons/README.md. `tonewright check FOLDER` says what is wrong.",
        "format = 1",
        "version = 1                       # raise it when targets or controls change",
        f"title = {json.dumps(answers.title or answers.name)}",
        f"skill = {json.dumps(answers.skill)}          # mastery is counted per skill",
        f"negatives = [{json.dumps(answers.negative)}]",
        f"paper = {json.dumps(answers.paper)}",
        "# what the learner may move; everything else must stay as [start] has it",
        f"unlocked = [{', '.join(json.dumps(name) for name in answers.unlocked)}]",
        "pass_share = 0.75",
        f"economy_points = {round(0.15 * quality, 1)!r}               # at most 20 % of all points",
        "",
        "[box]",
        f"sheets = {answers.sheets}                        # a strip is a quarter of a sheet",
        f"minutes = {float(answers.minutes)!r}",
        "expected_sheets = 2.25            # what strip, print and one correction need; economy earns all up to here",
        "",
        "[start]                           # differences from what is usual for the negative",
        f"time_s = {float(first.time_s)!r}",
        f"f_number = {float(first.f_number)!r}",
        f"filter = {json.dumps(first.filter.graded or 'none')}",
        f"width_mm = {float(start.sheet.width_mm)!r}",
        f"height_mm = {float(start.sheet.height_mm)!r}",
        f"border_mm = {float(start.sheet.border_mm)!r}",
        *(_goal_setup(goal) if goal else ()),
        "",
        *_spread_lines(answers),
        f"# targets: {source}",
    ]
    return "\n".join([*lines, *(line for target in targets for line in _criterion_lines(target))])


def _criterion_lines(target: ToneTarget) -> tuple[str, ...]:
    return (
        "[[criterion]]",
        'kind = "tone"',
        f"place = {json.dumps(target.place.name)}",
        f"density = {target.density!r}",
        f"tolerance_density = {target.tolerance_density!r}        # the eye sees about 0.01-0.02 in lights, 0.08 in blacks",
        f"points = {target.points!r}",
        "",
    )


def _goal_setup(goal: PrintingRecord) -> tuple[str, ...]:
    """Return the goal's own set-up where it is not what is usual."""
    stand = goal.enlarger
    return (
        f"head = {json.dumps(stand.head)}",
        f"lens = {json.dumps(stand.lens)}",
        f"column_mm = {float(stand.height_mm)!r}",
        f"contact = {'true' if stand.contact else 'false'}",
        f"carrier = {json.dumps(stand.carrier)}",
        f"focus_offset_mm = {float(stand.focus_offset_mm)!r}",
        f"development_time_s = {float(goal.development.time_s)!r}",
        f"temperature_c = {float(goal.development.temperature_c)!r}",
    )


def _spread_lines(answers: Answers) -> list[str]:
    lines = ["[spread]                          # where random starts may lie, for `check`; unlocked controls only"]
    if "time_s" in answers.unlocked:
        lines.append("time_stops = [-2.0, 2.0]")
    if "filter" in answers.unlocked:
        lines.append('filter = ["0", "1", "2", "3", "4", "5"]')
    if "cards" in answers.unlocked:
        lines.append("card_stops = [-1.0, 1.0]")
    return [*lines, ""]


def _brief_text(answers: Answers) -> str:
    *most, last = (control_words(name, Words()) for name in answers.unlocked)
    may = f"{', '.join(most)} and {last}" if most else last
    return (
        f"# {answers.title or answers.name}\n\n"
        f"1. Look at the negative on the light table before anything else, and say which place must keep texture in its "
        f"lights and which must still separate in its darks.\n"
        f"2. You may change {may}. Everything else is set and stays.\n"
        f"3. Lay a strip across the lightest place that must keep texture, read it under white light, and print.\n"
        f"4. Judge the print: lights first, then blacks. Change one thing at a time.\n"
        f"5. Name the sheet that counts and stop; paper left in the box is worth something too.\n"
    )


def _design_text(answers: Answers, found: Reached | None) -> str:
    limits = "; ".join(limit_words(limit, Words()) for limit in found.limits) if found and found.limits else "nothing binds"
    return (
        f"# Design of {answers.name}\n\n"
        f"Goal: {answers.title or 'say it in one sentence'}.\n\n"
        f"Objectives: the learner brings the named places to their tones with {', '.join(answers.unlocked)}.\n\n"
        "Out of scope: everything that is locked.\n\n"
        "Prerequisites: the lessons that teach the unlocked controls.\n\n"
        "The habit that fails here: say which one.\n\n"
        f"What reach says about the negative: {limits}.\n"
    )


_HINTS = """## look at

Compare the two places that count, on the print and with the densitometer. Are both off in the same direction?

## principle

Both off the same way is light; one too light while the other is too dark is contrast. The lights decide the time, the
darks decide the filter.

## neighbouring case

On a negative of a white jug, a print had a grey highlight and weak blacks. Less light cleared the jug and weakened the
blacks further; only a harder filter, with its own time for the jug, brought both home.
"""

_TRIAL = """# The reference with exactly one decision changed; the advice must name the cause first, its size within 25 %.
change = { time_stops = -0.8 }
cause = "exposure"
direction = "more-light"
size = 0.8
"""
