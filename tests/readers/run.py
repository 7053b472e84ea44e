"""Run a reader of words over starts of the lessons: python -m tests.readers.run --lesson NAME --starts 20 --seed S."""

from __future__ import annotations

import argparse
import random
import tempfile
from collections.abc import Iterator
from pathlib import Path

from tests.readers.judging import HAND
from tests.readers.lessons_from import Lesson, all_lessons, read_lesson
from tests.readers.starts import Draw, Start
from tests.readers.terminal import Terminal
from tests.readers.working import Evening, Outcome, Reader, work

HERE = Path(__file__).resolve().parent
REDRAWN = 3


def drawn(lesson: Lesson, starts: int, rng: random.Random) -> Iterator[str]:
    """Yield kinds of start: every kind once, in an order of chance, before any comes again."""
    kinds = Draw(lesson, rng).kinds()
    order: list[str] = []
    while len(order) < starts:
        again = kinds[:]
        rng.shuffle(again)
        order += again
    yield from order[:starts]


def one_start(terminal: Terminal, reader: Reader, lesson: Lesson, start: Start, rng: random.Random) -> Outcome:
    """Work a start in a folder of its own."""
    with tempfile.TemporaryDirectory() as folder:
        return work(Evening(terminal, lesson, start, rng, Path(folder)), reader)


def run_lesson(lesson: Lesson, starts: int, seed: int, reader_file: Path) -> tuple[list[Outcome], float]:
    """Return the outcomes of a lesson's starts and the processor seconds the program took for each."""
    rng = random.Random(f"{seed} {lesson.name}")
    terminal, reader, outcomes = Terminal(), Reader(reader_file), []
    for kind in drawn(lesson, starts, rng):
        for _ in range(REDRAWN):
            outcome = one_start(terminal, reader, lesson, Draw(lesson, rng).start(kind), rng)
            outcomes.append(outcome)
            if not outcome.at_once:
                break
    spent = terminal.cpu_s() / max(1, len(outcomes))
    terminal.close()
    reader.close()
    return outcomes, spent


def line(name: str, outcomes: list[Outcome]) -> str:
    """Return a row of the table; starts that pass as they are stand apart."""
    true = [one for one in outcomes if not one.at_once]
    n = len(true)
    hands = [one for one in true if one.start.faults and one.start.faults[0]["cause"] in HAND]
    named = f"{sum(one.first_named_hand for one in hands)} of {len(hands)}" if hands else "-"
    return (
        f"| {name} | {sum(o.passed for o in true)} of {n} | {sum(o.first_right for o in true)} of {n} | {named} "
        f"| {sum(bool(o.contradictions) for o in true)} | {sum(bool(o.refused) for o in true)} | {sum(o.not_offered for o in true)} "
        f"| {len(outcomes) - n} | {sum(o.further for o in true) / max(1, n):.1f} |"
    )


HEAD = "| {} | passed | first line right | hand named first | starts with lines that contradict | true answers refused | no true answer offered | passed as they were | further sheets |\n|---|---|---|---|---|---|---|---|---|"  # fmt: skip


def story(lesson: Lesson, outcome: Outcome) -> str:
    """Return what happened in one start, to be read by whoever mends it."""
    start = outcome.start
    verdict = f"passed={outcome.passed} first_right={outcome.first_right} further={outcome.further} better_sheet={outcome.better_sheet}"
    head = [f"===== {lesson.name} / {start.kind} {('print ' + start.at) if start.at else ''}  {verdict}  at_once={outcome.at_once}",
            f"planted: {start.faults}", f"contradictions: {outcome.contradictions}", f"refused: {outcome.refused} not offered: {outcome.not_offered}",
            f"fault: {outcome.fault}"]  # fmt: skip
    return "\n".join([*head, *outcome.story, ""])


def main() -> None:
    """Print the table; with --stories, write every start that went wrong to a file."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--lesson", action="append", help="a lesson by name, may be repeated (default: all)")
    parser.add_argument("--starts", type=int, default=20, help="starts of each lesson (default: 20)")
    parser.add_argument("--seed", type=int, default=1, help="from which the starts are drawn (default: 1)")
    parser.add_argument("--reader", type=Path, default=HERE / "reader_by_words.py", help="another reader: a program of its own")
    parser.add_argument("--stories", type=Path, help="a file for what was typed and shown in the starts that went wrong")
    options = parser.parse_args()
    by_kind: dict[str, list[Outcome]] = {}
    every: list[Outcome] = []
    print(HEAD.format("lesson"), flush=True)
    for name in options.lesson or all_lessons():
        lesson = read_lesson(name)
        outcomes, spent = run_lesson(lesson, options.starts, options.seed, options.reader)
        print(f"{line(name, outcomes)} {spent:.1f} s", flush=True)
        every += outcomes
        for one in outcomes:
            by_kind.setdefault(one.start.kind, []).append(one)
        if options.stories:
            with options.stories.open("a", encoding="utf-8") as out:
                out.writelines(story(lesson, one) for one in outcomes)
    print(line("all", every))
    print("\n" + HEAD.format("what was wrong"))
    for kind, outcomes in by_kind.items():
        print(line(kind, outcomes))


if __name__ == "__main__":
    main()
