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
from tests.readers.working import FURTHER, Evening, Outcome, Reader, work

HERE = Path(__file__).resolve().parent
DRAWN_AGAIN = 2  # a start that passes as it is says nothing of the words: another of its kind is drawn once


def drawn(lesson: Lesson, starts: int, rng: random.Random) -> Iterator[str]:
    """Yield kinds of start: every kind once, in an order of chance, before any comes again."""
    kinds = Draw(lesson, rng).kinds()
    order: list[str] = []
    while len(order) < starts:
        again = kinds[:]
        rng.shuffle(again)
        order += again
    yield from order[:starts]


def one_start(
    terminal: Terminal, reader: Reader, lesson: Lesson, start: Start, rng: random.Random, further: int
) -> Outcome:
    """Work a start in a folder of its own."""
    with tempfile.TemporaryDirectory() as folder:
        return work(Evening(terminal, lesson, start, rng, Path(folder)), reader, further)


def run_lesson(
    terminal: Terminal, reader: Reader, lesson: Lesson, starts: int, seed: int, further: int, stories: Path | None
) -> tuple[list[Outcome], float]:
    """Return the outcomes of a lesson's starts and the processor seconds the program took for each."""
    rng = random.Random(f"{seed} {lesson.name}")
    outcomes, before = [], terminal.cpu_s()
    for kind in drawn(lesson, starts, rng):
        for _ in range(DRAWN_AGAIN):
            outcome = one_start(terminal, reader, lesson, Draw(lesson, rng).start(kind), rng, further)
            outcomes.append(outcome)
            if stories:
                with stories.open("a", encoding="utf-8") as out:
                    out.write(story(lesson, outcome))
            if not outcome.at_once:
                break
    return outcomes, (terminal.cpu_s() - before) / max(1, len(outcomes))


def line(name: str, outcomes: list[Outcome]) -> str:
    """Return a row of the table; starts that pass as they are stand apart."""
    true = [one for one in outcomes if not one.at_once]
    n = len(true)
    hands = [one for one in true if one.start.faults and one.start.faults[0]["cause"] in HAND]
    named = f"{sum(one.first_named_hand for one in hands)} of {len(hands)}" if hands else "-"
    counts = [
        f"{sum(o.passed for o in true)} of {n}", f"{sum(o.first_right for o in true)} of {n}", named,
        sum(bool(o.contradictions) for o in true), sum(bool(o.refused) for o in true),
        sum(o.not_offered for o in true), len(outcomes) - n, f"{sum(o.further for o in true) / max(1, n):.1f}",
    ]  # fmt: skip
    return f"| {name} | {' | '.join(map(str, counts))} |"


COLUMNS = ("passed", "first line right", "hand named first", "lines contradict", "true answer refused",
           "no true answer offered", "passed as it was", "further sheets")  # fmt: skip


def head(first: str) -> str:
    """Return the head of a table."""
    return f"| {first} | {' | '.join(COLUMNS)} |\n|{'---|' * (len(COLUMNS) + 1)}"


def story(lesson: Lesson, outcome: Outcome) -> str:
    """Return what happened in one start, to be read by whoever mends it."""
    start = outcome.start
    verdict = f"passed={outcome.passed} first_right={outcome.first_right} further={outcome.further}"
    which = f" in print {start.at}" if start.at else ""
    told = [
        f"===== {lesson.name}: {start.kind}{which}: {verdict} as_it_was={outcome.at_once} better={outcome.better_sheet}",
        f"planted: {start.faults}",
        f"contradictions: {outcome.contradictions}",
        f"refused: {outcome.refused} not offered: {outcome.not_offered}",
        f"fault: {outcome.fault}",
    ]
    return "\n".join([*told, *outcome.story, ""])


def main() -> None:
    """Print the table; with --stories, write what was typed and shown to a file."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--lesson", action="append", help="a lesson by name, may be repeated (default: all)")
    parser.add_argument("--starts", type=int, default=20, help="starts of each lesson (default: 20)")
    parser.add_argument("--seed", type=int, default=1, help="from which the starts are drawn (default: 1)")
    parser.add_argument(
        "--further", type=int, default=FURTHER, help="sheets after the first (default: 4; 0: only the first words)"
    )
    parser.add_argument(
        "--reader", type=Path, default=HERE / "reader_by_words.py", help="another reader: a program of its own"
    )
    parser.add_argument("--stories", type=Path, help="a file for what was typed and shown, start by start")
    options = parser.parse_args()
    by_kind: dict[str, list[Outcome]] = {}
    every: list[Outcome] = []
    print(head("lesson"), flush=True)
    terminal, reader = Terminal(), Reader(options.reader)
    for name in options.lesson or all_lessons():
        lesson = read_lesson(name)
        outcomes, spent = run_lesson(
            terminal, reader, lesson, options.starts, options.seed, options.further, options.stories
        )
        print(f"{line(name, outcomes)} {spent:.1f} s", flush=True)
        every += outcomes
        for one in outcomes:
            by_kind.setdefault(one.start.kind, []).append(one)
    terminal.close()
    reader.close()
    print(line("all", every))
    print("\n" + head("what was wrong"))
    for kind, outcomes in by_kind.items():
        print(line(kind, outcomes))


if __name__ == "__main__":
    main()
