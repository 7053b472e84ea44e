"""tonewright drill: a few short questions on one decision, each answered with its cause and direction."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING, Any

from sim.command.learner_options import add_learner_options, kept_in, today
from sim.control_ranges import in_range
from sim.refusals import Refused

if TYPE_CHECKING:
    from sim.teaching.drill_item import DrillItem
    from sim.teaching.drill_rounds import DrillRound

MOST_TRIES = 3  # an answer that cannot be read is asked for again so often


def add_options(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("name", nargs="?", help="a drill by name; without one they are listed")
    parser.add_argument("--items", type=int, default=10, metavar="N", help="how many questions (default: %(default)s)")
    parser.add_argument("--seed", type=int, metavar="S", help="which questions (default: by learner, day and round)")
    parser.add_argument("--do", metavar="FILE", help="answers from a file, one a line ('-': through a pipe)")
    parser.add_argument("--pictures", metavar="DIR", help="where pictures go (default: NAME-pictures)")
    parser.add_argument("--step-scale", metavar="FILE", help="write a step scale to try the screen by, and say how")
    parser.add_argument("--least-seen", type=float, default=1.0, metavar="L",
                        help="ask nothing that differs by less lightness (L*; default: %(default)s)")  # fmt: skip
    parser.add_argument("--recall", metavar="SKILL", help="count the round as recall of this skill")
    parser.add_argument("--json", action="store_true", help="at the end, the round as JSON")
    add_learner_options(parser)


def run(options: argparse.Namespace) -> int:
    """Ask, mark, and keep the round."""
    from sim.teaching.drill_rounds import drill_round
    from sim.teaching.progress import change_progress, with_recall

    if options.step_scale:
        return _try_the_screen(Path(options.step_scale))
    if not options.name:
        return _list()
    _refuse_wrong(options)
    drill = drill_round(
        options.name, kept_in(options), options.learner, today(options), options.items, options.seed, options.least_seen
    )
    answers = _answers(options)
    done: list[dict[str, Any]] = []
    while not drill.over:
        item = drill.draw()
        _show(options, item, len(done) + 1)
        answer = _ask(options, drill, item, answers)
        if answer is None:
            print("  The drill ends here.")
            break
        done.append({**answer, "question": item.question, "facts": list(item.facts)})
    if options.recall and done:
        right = drill.right == len(done)
        change_progress(kept_in(options), options.learner, lambda p: with_recall(p, options.recall, today(options), right))
    print(f"{drill.right} of {len(done)} right.")
    if options.json:
        from sim.command.pictures import show_json

        show_json({"drill": options.name, "items": done, "right": drill.right})
    return 0


def _refuse_wrong(options: argparse.Namespace) -> None:
    """Refuse, in words, what cannot be asked for."""
    from sim.teaching.drills import DRILLS
    from sim.teaching.progress import read_progress

    if options.name not in DRILLS:
        raise Refused(f"drill must be one of {', '.join(DRILLS)}, got {options.name[:60]!r}")
    in_range("--items", options.items, 1, 50)
    progress = read_progress(kept_in(options), options.learner)
    if options.recall and options.recall not in progress.met:
        met = ", ".join(progress.met) or "none yet"
        raise Refused(f"--recall must be a skill met before ({met}), got {options.recall[:60]!r}")
    if options.seed is not None and not 0 <= options.seed < 2**32:
        raise Refused(f"--seed must be between 0 and {2**32 - 1}, got {options.seed}")
    in_range("--least-seen", options.least_seen, 0, 10, "L*")


def _try_the_screen(file: Path) -> int:
    """Write the step scale and say what to look for."""
    from sim.teaching.drill_boards import SCALE_STEPS_L, step_scale_board
    from sim.writing import write_png

    write_png(file, step_scale_board())
    print(f"Look at {file}, with the room as dim as when you judge prints.")
    print("In every row the halves of three fields, light, middle and dark, differ by as many steps of lightness (L*):")
    for number, step in enumerate(SCALE_STEPS_L, start=1):
        print(f"  row {number}: {step:g}")
    print("Take the last row in which you tell all halves apart, and begin drills with --least-seen and its number.")
    return 0


def _list() -> int:
    from sim.command.pictures import show_table
    from sim.teaching.drills import DRILLS

    rows = [[name, title] for name, (title, _) in DRILLS.items()]
    return show_table("Drills", ["drill", "what it asks"], rows, words=True)


def _answers(options: argparse.Namespace) -> Iterator[str]:
    """Return the answers: from a file or a pipe, read before the first question, or typed at the prompt."""
    if options.do or sys.stdin is None or not sys.stdin.isatty():
        from sim.command.lesson_verb import script_lines

        return iter([line for line in script_lines(options.do) if line.strip() and not line.startswith("#")])
    return _typed()


def _typed() -> Iterator[str]:
    while True:
        try:
            yield input("answer> ")
        except EOFError:
            return


def _show(options: argparse.Namespace, item: DrillItem, number: int) -> None:
    print(f"\n{number}. {item.question}")
    for fact in item.facts:
        print(f"   {fact}")
    from sim.writing import write_png

    path = Path(options.pictures or f"{options.name}-pictures") / f"{number:02d}.png"
    write_png(path, item.board)
    print(f"   Look at {path}")
    for choice in item.choices:
        print(f"     {choice.key:<12} {choice.words}")
    print(f"   Answer in {item.form}.")


def _ask(options: argparse.Namespace, drill: DrillRound, item: DrillItem, answers: Iterator[str]) -> dict[str, Any] | None:
    """Return the answer, marked and kept, or None when no more answers come."""
    for _ in range(MOST_TRIES):
        text = next(answers, None)
        if text is None:
            return None
        try:
            marked = drill.answer(item, text, kept_in(options))
        except Refused as error:
            print(f"  Not so: {error}")
            continue
        print(f"   {text.strip()[:60]}: {marked.words}")
        return {"answer": text.strip()[:60], "right": marked.right, "error": marked.error, "words": marked.words}
    return None
