"""A lesson's step as the terminal shows it: texts, tables, and pictures in a folder."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from sim.command.loupe_pictures import point_of, write_focuser, write_loupe
from sim.command.pictures import SHOWN, save_print, show_table
from sim.notebook.control_words import control_words
from sim.notebook.mark_words import kind_words
from sim.paper.stock import Stock, find_stock
from sim.printing.record import PrintingRecord
from sim.printing.strips import strip_in
from sim.scoring.criterion_kinds import KINDS
from sim.scoring.criterion_measures import asked_for
from sim.scoring.exercise import CONTROL_NAMES, Criterion
from sim.scoring.marks import Mark
from sim.teaching.lesson import LessonRun
from sim.teaching.lesson_marks import index_of
from sim.teaching.lesson_step import Step
from sim.teaching.lesson_texts import sheets_in_words
from sim.teaching.strip_texts import asked_of
from sim.viewing.lightness import screen_values
from sim.viewing.plain_names import plain_name
from sim.writing import write_png

SURROUND_DENSITY = 0.75  # a neutral grey surround of about 18 % (ISO 3664 asks for an even neutral one)
GAP_PX = 40
STAGE_HEADS = {"brief": "brief", "predict": "predict", "make": "make", "see": "see", "explain": "explain", "marks": "marks",
               "done": "done"}  # fmt: skip


def show_step(step: Step, run: LessonRun) -> None:
    """Print what there is to read and to answer now."""
    print()
    minutes = "1 minute" if round(step.minutes_left) == 1 else f"{step.minutes_left:.0f} minutes"
    print(f"[{STAGE_HEADS[step.stage]}] {step.title}   {sheets_in_words(step.sheets_left)} and {minutes} left")
    for number, text in enumerate(step.texts, start=1):
        print(f"  {number}. {text}" if step.stage == "brief" else f"  {text}")
    if step.stage == "explain" and (step.readings or step.strip):
        show_readings(step, run)
    if step.stage == "marks":
        show_marks(step, run)
    if step.question:
        print(f"  {step.question}")
        verb = {"see": "see", "explain": "why"}.get(step.stage, "predict")
        for choice in step.choices:
            print(f"    {verb} {choice.key:<14} {choice.words}")
    others = [act for act in step.allowed if act not in ("predict", "see", "why") or not step.choices]
    if others:
        print(f"  Now: {', '.join(others)}")


def wanted_words(mark: Mark, criteria: Sequence[Criterion] = ()) -> str:
    """Return what is wanted: of a window both ends, else with the bound that it is where only one side costs: at least 2.00.

    ``criteria`` are those of the exercise: they know a window's ends, of which a mark has the nearer one.
    """
    window = next((one.window for one in criteria if one.name == mark.name), None)
    kind = KINDS.get(mark.kind)
    if kind is not None and (kind.yes_or_no or kind.side == "none"):
        return "yes" if kind.yes_or_no else "any"
    if window is not None and window[1] is not None:
        return f"{window[0]:.2f} to {window[1]:.2f}{_beside(mark.unit)}"
    return _bound(f"{mark.wanted:.2f}{_beside(mark.unit)}", kind.side if kind is not None else "")


def _bound(number: str, side: str) -> str:
    """Return a number as the bound it is where only one side of it costs."""
    if side == "too-little":
        return f"at least {number}"
    return f"at most {number}" if side == "too-much" else number


def measured_words(mark: Mark) -> str:
    """Return what was measured with its unit, or that nothing could be read."""
    if mark.missing:
        return "not read"
    kind = KINDS.get(mark.kind)
    if kind is not None and kind.yes_or_no:
        return "yes" if mark.share == 1.0 else "no"
    return f"{mark.measured:.2f}{_beside(mark.unit)}"


def _beside(unit: str) -> str:
    """Return a unit that stands beside its number; densities and shares are told by what is asked for."""
    return f" {unit}" if unit in ("s", "mm") else ""


def show_readings(step: Step, run: LessonRun) -> None:
    """Print the densitometer's readings of the last piece of paper; of a strip every place with a reading of its own."""
    if step.strip:
        made = run.last
        one_tone = made is not None and asked_of(run, made).everywhere is not None
        shows = step.strip_shows or ("",) * len(step.strip)
        rows = [
            [str(k), label, f"{density:.2f}", places or "nothing whole"]
            for k, ((label, density), places) in enumerate(zip(step.strip, shows, strict=True), start=1)
        ]
        read = "density" if one_tone else "its middle"  # one tone read in every step, or whatever lies in the middles
        show_table(f"Strip {step.sheet}", ["step", "seconds", read, SHOWN], rows)
        return
    show_read(f"Print {step.sheet}", step.readings, run)


def show_read(title: str, marks: Sequence[Mark], run: LessonRun) -> None:
    """Print what was read of a print beside what is wanted of it."""
    rows = [
        [plain_name(m.place), kind_words(m.kind, run.words), measured_words(m), wanted_words(m, run.exercise.criteria),
         "" if KINDS[m.kind].yes_or_no else f"{m.tolerance:.3f}{_beside(m.unit)}"]
        for m in marks
    ]  # fmt: skip
    show_table(title, ["place", "asked for", "measured", "wanted", "tolerance"], rows, words=("asked for",))


def show_marks(step: Step, run: LessonRun) -> None:
    """Print the marks of the nominated sheets, economy apart from quality; of a series which negative each is of."""
    if step.marks is None:
        return
    rows = [
        [plain_name(m.place), kind_words(m.kind, run.words), measured_words(m), wanted_words(m, run.exercise.criteria),
         f"{m.points:.1f} of {m.full_points:g}" if m.full_points else ""]
        for m in step.marks.marks
    ]  # fmt: skip
    films = [str(m.negative) for m in step.marks.marks]
    if step.marks.economy:
        e = step.marks.economy
        earned = f"{e.points:.1f} of {e.full_points:g}"
        used, expected = sheets_in_words(e.sheets_used), sheets_in_words(e.expected_sheets)
        rows.append(["", "paper used", used, f"at most {expected}", earned])
        films.append("")
    state = "passed" if step.passed else "not passed yet"
    if step.marks.provisional:
        state += f" so far; {step.marks.kept_back_points:g} points more are judged once it is handed in"
    kind = "Provisional marks" if step.marks.provisional else "Marks"
    title = f"{kind}: {step.marks.points:.1f} of {step.marks.full_points:g} ({state})"
    head, several = ["place", "asked for", "measured", "wanted", "points"], len(run.negatives) > 1
    if several:
        head, rows = ["negative", *head], [[film, *row] for film, row in zip(films, rows, strict=True)]
    show_table(title, head, rows, words=("place", "asked for"))


def _asked(one: Criterion, stock: Stock) -> str:
    """Return what is asked for on the lesson's paper, as its marks will tell it: both ends of a window, or the bound."""
    if one.most is not None:
        return f"{one.wanted:g} to {one.most:g}"
    return _bound(f"{asked_for(one, stock):.3g}", one.of_kind.side)


def _within(one: Criterion) -> str:
    """Return a tolerance with its unit."""
    if one.of_kind.unit == "density":
        return f"density {one.tolerance:.3g}"
    return f"{one.tolerance:.3g}{_beside(one.of_kind.unit)}"


def show_task(run: LessonRun) -> None:
    """Print what is asked for, as far as it is announced; what is free, and what the box holds."""
    exercise, words = run.exercise, run.words
    rows = []
    for one in exercise.criteria:
        if one.hidden or not (one.counts or one.spots):
            continue
        places = ", ".join(plain_name(spot.known_as(run.negatives[0].places) or spot.name) for spot in one.spots)
        numbers = one.counts and bool(one.of_kind.keys)
        wanted, within = (_asked(one, exercise.stock), _within(one)) if numbers else ("", "")
        film = "" if one.negative is None else plain_name(run.negatives[one.negative - 1].name)
        rows.append([film, places, kind_words(one.kind, words), wanted, within, f"{one.points:g}"])
    several = len(exercise.negatives) > 1
    head = ["negative", "place", "asked for", "wanted", "tolerance", "points"]
    show_table("Asked for", head if several else head[1:], rows if several else [row[1:] for row in rows], words=True)
    free = ", ".join(control_words(name, words) for name in CONTROL_NAMES if name in exercise.unlocked)
    print(f"  {100 * exercise.pass_share:.0f} % of the points pass. Free: {free}.")
    box = exercise.box
    print(f"  The box holds {sheets_in_words(box.sheets)}, the evening {box.minutes:.0f} minutes; the trade's rules need about "
          f"{sheets_in_words(box.expected_sheets)}.")  # fmt: skip


def show_sheets(step: Step) -> None:
    """Print the pieces of paper made so far."""
    rows = [[str(s.number), s.kind, s.negative, s.words, "counts" if s.nominated else ""] for s in step.sheets]
    show_table("Paper used", ["sheet", "kind", "negative", "how", ""], rows, words=True)


def write_picture(run: LessonRun, number: int, folder: Path) -> Path:
    """Write a piece of paper as it looks under white light; return the file."""
    record = run.evening.state.sheets[number - 1].record
    path = folder / f"{number:02d}-{'strip' if record.sheet.kind == 'strip' else 'print'}.png"
    strip = strip_in(record)
    save_print(path, run.sheet(number), strip.steps if strip else ())
    return path


def write_through_loupe(run: LessonRun, number: int, at: str, folder: Path) -> Path:
    """Write what a loupe shows of a piece of paper at a place or point; return the file. Raises Refused."""
    record = run.record_of(number)
    negative = run.negatives[index_of(run.negatives, record)]
    path = folder / f"{number:02d}-loupe-{_file_word(at)}.png"
    write_loupe(path, negative, record, find_stock(record.sheet.paper), point_of(at, "loupe", negative, record))
    return path


def write_through_focuser(run: LessonRun, record: PrintingRecord, at: str, folder: Path) -> Path:
    """Write what a grain focuser shows on the easel of a set-up, in the picture's middle unless told where. Raises Refused."""
    run.refuse_locked(record)
    negative = run.negatives[index_of(run.negatives, record)]
    middle = f"{record.sheet.width_mm / 2:g},{record.sheet.height_mm / 2:g}"
    path = folder / f"easel-{_file_word(at or 'middle')}.png"
    write_focuser(path, negative, record, point_of(at or middle, "at", negative, record))
    return path


def _file_word(at: str) -> str:
    return "".join(letter if letter.isalnum() else "-" for letter in at[:40])


def write_comparison(run: LessonRun, first: int, second: int, folder: Path) -> Path:
    """Write two pieces of paper side by side, to the same scale, in the same neutral surround; return the file."""
    import numpy as np
    from PIL import Image


    sheets = [run.sheet(number) for number in (first, second)]
    scale = min(sheet.grid.px_per_mm for sheet in sheets)
    pictures = []
    for sheet in sheets:
        picture = Image.fromarray(screen_values(sheet.density))
        factor = scale / sheet.grid.px_per_mm
        pictures.append(picture if factor == 1.0 else picture.resize(
            (max(1, round(picture.width * factor)), max(1, round(picture.height * factor)))
        ))  # fmt: skip
    height = max(picture.height for picture in pictures) + 2 * GAP_PX
    width = sum(picture.width for picture in pictures) + 3 * GAP_PX
    grey = int(screen_values(np.array([SURROUND_DENSITY]))[0])
    board = Image.new("L", (width, height), grey)
    left = GAP_PX
    for picture in pictures:
        board.paste(picture, (left, (height - picture.height) // 2))
        left += picture.width + GAP_PX
    path = folder / f"compare-{first:02d}-{second:02d}.png"
    write_png(path, board)
    return path
