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
from sim.page_templates import from_template
from sim.paper.response import Response
from sim.paper.stock import Stock, find_stock
from sim.printing.make_print import make_print
from sim.printing.record import PrintingRecord
from sim.printing.record_file import record_data
from sim.printing.setup import usual_setup
from sim.reading import FileRefused, Problem, shown
from sim.refusals import Refused
from sim.scoring.best_print_of_a_negative import with_real_cards
from sim.scoring.exercise import CONTROL_NAMES
from sim.scoring.exercise_file import parse_exercise
from sim.scoring.points import eye_tolerance
from sim.scoring.reach import Reached, ReachOptions, reach
from sim.scoring.target_tones import ToneTarget, aim_tones
from sim.viewing.densitometer import read_place
from sim.words import Words
from sim.writing import write_text

TEMPLATES = Path(__file__).with_name("templates") / "new-exercise"
TEXTS = ("exercise.toml", "brief.md", "hints.md", "design.md", "trials/too-little-light.toml")
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
    contents = _texts(answers, start, targets, goal, found)
    contents["reference.json"] = json.dumps([record_data(reference)], indent=2, allow_nan=False) + "\n"
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
    own = str(start.exposures[0].filter.graded or "2")
    options = ReachOptions(
        filters=ReachOptions().filters if "filter" in answers.unlocked else (own,),
        card_places=tuple(t.place.name for t in targets if t.place.area) if "cards" in answers.unlocked else (),
    )
    found = reach(negative, start, stock, targets, "pair" if "exposures" in answers.unlocked else "one", options)
    record = with_real_cards(negative, found)
    exposures = (replace(e, time_s=round(e.time_s, 1), note="") for e in record.exposures)
    return record.with_exposures(*exposures), found


def _texts(
    answers: Answers, start: PrintingRecord, targets: Sequence[ToneTarget], goal: PrintingRecord | None,
    found: Reached | None,
) -> dict[str, str]:  # fmt: skip
    """Return what the folder's files say, from the templates that stand beside this one."""
    *most, last = (control_words(name, Words()) for name in answers.unlocked)
    limits = "; ".join(limit_words(limit, Words()) for limit in found.limits) if found and found.limits else "nothing binds"
    values = {
        "answers": answers, "first": start.exposures[0], "sheet": start.sheet, "targets": targets, "goal": goal,
        "quality": POINTS_PER_PLACE * len(targets), "limits": limits, "may": f"{', '.join(most)} and {last}" if most else last,
    }  # fmt: skip
    return {name: from_template(TEMPLATES / Path(name).name, **values).rstrip("\n") + "\n" for name in TEXTS}
