"""Draw wrong constants by seed and see whether the tests notice: python -m wrong.drawn --seed 13 --count 40 --into FOLDER.

Whoever draws knows the names of the numbers and nothing of the tests. Results are kept line by line in
``FOLDER/results.jsonl``: what has been tried is not tried again, so that the work can be stopped and carried on.
``FOLDER/survivors.txt`` lists what passed unnoticed, and says where a number was moved by no more than the uncertainty stated
beside it (no published value tells such a paper or lens from a real one) or by no more than an eye sees (``unseen``). Asked
are what carries weight and costs least: the published checks, measured without their proof, the oracle (of numbers of
modules) and the laws. ``--titles FILE`` tries what is named there, a title a line, when a draw's numbers have changed since.
Run it with ``tests`` on the path.
"""

from __future__ import annotations

import argparse
import json
import os
import re
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

import numpy as np

from .named import NAMED
from .numbers_in import Number, every_number, uncertainty_of
from .planting import SIM, plant, written
from .unseen import UNSEEN

TESTS = Path(__file__).parents[1]
CHANGES = (("x 1.15", 1.15), ("x 0.87", 0.87), ("x 1.5", 1.5), ("x 0.67", 0.67), ("sign", -1.0))
# Besides the published checks. Rooms' own tests repeat what they were told; a golden value only says that a print changed.
ASKED = ("tests/oracle", "tests/laws")
# the tables and files that are likely to notice a number of a folder or file, likeliest first
LIKELY: dict[str, tuple[str, ...]] = {
    "negative/films": ("published_film", "film_oracle", "published_sharp", "whole_prints"),
    "negative": ("published_film", "film_oracle", "published_heads", "published_sharp", "whole_prints"),
    "enlarger/filters.toml": ("published_papers", "whole_prints", "published_heads"),
    "enlarger/filament.py": ("published_heads", "test_oracle.py"),
    "enlarger/equipment.toml": ("published_heads", "published_sharp", "whole_prints", "test_oracle.py"),
    "enlarger": ("published_sharp", "published_heads", "test_oracle.py"),
    "paper/stocks": ("published_papers", "published_tray", "whole_prints", "test_oracle.py"),
    "paper": ("published_tray", "published_papers", "test_oracle.py"),
}
LONGEST_S = 1500.0


@dataclass(frozen=True)
class Wrongness:
    """One wrong constant: its name, the changed text of its files, whether it is within its uncertainty or listed as unseen."""

    title: str
    changed: Mapping[str, str]
    within: bool = False
    unseen: bool = False


def drawn(seed: int, count: int) -> Iterator[Wrongness]:
    """Yield so many wrong constants: a file's or module's list counts as one number, and one of its entries is drawn."""
    generator = np.random.Generator(np.random.PCG64(seed))
    groups: dict[str, list[Number]] = {}
    for number in every_number(SIM):
        groups.setdefault(re.sub(r"\[\d+\]$", "", number.title), []).append(number)
    names = sorted(groups)
    for index in generator.choice(len(names), size=min(count, len(names)), replace=False):
        numbers = groups[names[int(index)]]
        number = numbers[int(generator.integers(len(numbers)))]
        label, factor = CHANGES[int(generator.integers(len(CHANGES)))]
        yield _moved(number, label, factor)


def titled(titles: list[str]) -> Iterator[Wrongness]:
    """Yield wrong constants by the titles that a draw gave them. Raises KeyError where there is no such number any more."""
    numbers = {number.title: number for number in every_number(SIM)}
    for title in titles:
        label, factor = next((label, factor) for label, factor in CHANGES if title.endswith(" " + label))
        number = numbers[title.removesuffix(" " + label)]
        yield _moved(number, label, factor)


def _moved(number: Number, label: str, factor: float) -> Wrongness:
    changed = {number.file: written(SIM / number.file, {number: number.value * factor})}
    within = abs(factor - 1.0) * abs(number.value) <= uncertainty_of(SIM, number) * (1.0 + 1e-9)
    unseen = any(one.wrong.files == number.file and one.wrong.changes() == changed for one in UNSEEN.values())
    return Wrongness(f"{number.title} {label}", changed, within, unseen)


def named() -> Iterator[Wrongness]:
    """Yield the wrong constants that once passed unnoticed."""
    for title, wrong in NAMED.items():
        yield Wrongness(title, wrong.changes())


def likely(changed: Mapping[str, str]) -> list[str]:
    """Return the names of tables and files that are likely to notice a change of some files, likeliest first."""
    return [name for file in changed for start, names in LIKELY.items() if file.startswith(start) for name in names]


def in_order(asked: Sequence[str], changed: Mapping[str, str]) -> list[str]:
    """Return the test files of folders, those that are likely to notice a changed file before the others."""
    names, files = likely(changed), []
    for folder in asked:
        path = TESTS.parent / folder
        files += [str(found) for found in ([path] if path.is_file() else sorted(path.glob("test_*.py")))]
    files = [file for file in files if "is_sharp" not in file]  # plants wrong numbers of its own
    return sorted(files, key=lambda file: next((k for k, name in enumerate(names) if name in file), len(names)))


def _run(into: Path, arguments: list[str], at: Path) -> subprocess.CompletedProcess[str]:
    environment = {
        **os.environ, "PYTHONPATH": os.pathsep.join([str(into), str(TESTS)]), "PYTHONDONTWRITEBYTECODE": "1"
    }  # fmt: skip
    return subprocess.run(
        [sys.executable, *arguments],
        env=environment,
        cwd=at,
        capture_output=True,
        text=True,
        timeout=LONGEST_S,
        check=False,
    )


def by_published(into: Path, changed: Mapping[str, str]) -> str:
    """Return the first published check that a copy of the product does not hold, with both figures; '' when it holds all."""
    done = _run(into, ["-m", "published.report", "--until-wrong", *likely(changed)], into)
    rows = [json.loads(line) for line in done.stdout.splitlines() if line.startswith("{")]
    if done.returncode or not rows:
        return f"refused: {done.stderr.strip()[-200:]}"
    last = rows[-1]
    assert last["sim"].startswith(str(into)), "the copy was not imported"
    if last["holds"]:
        return ""
    said = f"measured {last['measured']}, published {last['value']:.4g} +- {last['tolerance']:.3g}"
    return f"{'refused' if last['holds'] is None else 'check'}: {last['what']}: {said}"


def by_tests(into: Path, changed: Mapping[str, str], asked: Sequence[str]) -> str:
    """Return the first test that fails with a copy of the product; '' when none does."""
    if not asked:
        return ""
    begin = (
        f"import sys; sys.path.insert(0, {str(into)!r}); import sim, pytest; "
        f"assert sim.__file__.startswith({str(into)!r}); sys.exit(pytest.main(sys.argv[1:]))"
    )
    options = ["-x", "-q", "-n", "0", "-p", "no:cacheprovider", "--no-header", "--tb", "no", "-m", "not slow"]
    done = _run(into, ["-c", begin, *options, *in_order(asked, changed)], TESTS.parent)
    failed = re.findall(r"^(?:FAILED|ERROR) (\S+)", done.stdout, re.MULTILINE)
    return "" if done.returncode == 0 else failed[0] if failed else f"refused: {(done.stderr or done.stdout)[-200:]}"


def noticed_by(wrongness: Wrongness, asked: tuple[str, ...]) -> tuple[str, float]:
    """Return what notices first ('' when nothing does; 'refused' when the product will not start), and seconds."""
    begun = time.monotonic()
    with tempfile.TemporaryDirectory() as folder:
        into, changed = plant(wrongness.changed, Path(folder)), wrongness.changed
        # the oracle reads the same data files, so only a number of a module can set it and the product apart
        oracle, others = ([one for one in asked if ("oracle" in one) is wanted] for wanted in (True, False))
        by = by_tests(into, changed, oracle) if all(file.endswith(".py") for file in changed) else ""
        by = by or by_published(into, changed) or by_tests(into, changed, others)
    return by, time.monotonic() - begun


def try_all(wrongnesses: list[Wrongness], into: Path, asked: tuple[str, ...], most: int) -> None:
    """Try what has not been tried yet, at most so many, and write the list of survivors."""
    into.mkdir(parents=True, exist_ok=True)
    results = into / "results.jsonl"
    lines = results.read_text(encoding="utf-8").splitlines() if results.exists() else []
    rows = [json.loads(line) for line in lines]
    done = {row["title"] for row in rows}
    for wrongness in [w for w in wrongnesses if w.title not in done][:most]:
        by, seconds = noticed_by(wrongness, asked)
        row = {"title": wrongness.title, "noticed_by": by, "within": wrongness.within}
        row |= {"unseen": wrongness.unseen, "s": round(seconds, 1)}
        rows.append(row)
        with results.open("a", encoding="utf-8") as file:
            file.write(json.dumps(row) + "\n")
        print(f"{'noticed ' if by else 'SURVIVED'} {wrongness.title} {by} ({seconds:.0f} s)", flush=True)
    excuses = (("within", " (within its uncertainty)"), ("unseen", " (too little to be seen)"))
    survivors = sorted(
        row["title"] + "".join(words for key, words in excuses if row.get(key)) for row in rows if not row["noticed_by"]
    )
    (into / "survivors.txt").write_text("".join(f"{title}\n" for title in survivors), encoding="utf-8")
    print(f"{len(rows)} tried, {len(survivors)} survived")


def main() -> None:
    """Read what is asked for and try it."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--seed", type=int, default=13)
    parser.add_argument("--count", type=int, default=40)
    parser.add_argument("--most", type=int, default=1000, help="try at most so many this time")
    parser.add_argument("--named", action="store_true", help="those that once passed unnoticed, instead of a draw")
    parser.add_argument("--titles", type=Path, help="a file of titles, one a line, instead of a draw")
    parser.add_argument("--list", action="store_true", help="only name them")
    parser.add_argument("--into", type=Path, required=True)
    parser.add_argument("asked", nargs="*", default=list(ASKED))
    given = parser.parse_args()
    if given.titles:
        wrongnesses = list(titled(given.titles.read_text(encoding="utf-8").splitlines()))
    else:
        wrongnesses = list(named() if given.named else drawn(given.seed, given.count))
    if given.list:
        print("\n".join(wrongness.title for wrongness in wrongnesses))
    else:
        try_all(wrongnesses, given.into, tuple(given.asked), given.most)


if __name__ == "__main__":
    main()
