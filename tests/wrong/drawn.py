"""Draw wrong constants by seed and see whether the tests notice: python -m wrong.drawn --seed 13 --count 40 --into FOLDER.

Whoever draws knows the names of the numbers and nothing of the tests. Results are kept line by line in
``FOLDER/results.jsonl``: what has been tried is not tried again, so that the work can be stopped and carried on.
``FOLDER/survivors.txt`` lists what passed unnoticed. Run it with ``tests`` on the path.
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
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import numpy as np

from .named import NAMED
from .numbers_in import Number, every_number
from .planting import SIM, plant, written

TESTS = Path(__file__).parents[1]
CHANGES = (("x 1.15", 1.15), ("x 0.87", 0.87), ("x 1.5", 1.5), ("x 0.67", 0.67), ("sign", -1.0))
# What carries weight first, then the rooms' own tests. What a changed picture breaks by its golden value alone is not asked.
CARRY = ("tests/published", "tests/oracle", "tests/laws")
ASKED = (*CARRY, "tests/enlarger", "tests/paper", "tests/negative", "tests/calibration")
# of those that carry weight, the files that are likely to notice a number of a folder or file, likeliest first
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
    """One wrong constant: what it is called and the changed text of its files."""

    title: str
    changed: dict[str, str]


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
        text = written(SIM / number.file, {number: number.value * factor})
        yield Wrongness(f"{number.title} {label}", {number.file: text})


def named() -> Iterator[Wrongness]:
    """Yield the wrong constants that once passed unnoticed."""
    for title, wrong in NAMED.items():
        yield Wrongness(title, wrong.changes())


def in_order(asked: tuple[str, ...], changed: dict[str, str]) -> list[str]:
    """Return the test files of folders, those that are likely to notice a changed file before the others."""
    names = [name for file in changed for start, names in LIKELY.items() if file.startswith(start) for name in names]
    files: list[str] = []
    for folder in asked:
        path = TESTS.parent / folder
        files += [str(found) for found in ([path] if path.is_file() else sorted(path.glob("test_*.py")))]
    return sorted(files, key=lambda file: next((k for k, name in enumerate(names) if name in file), len(names)))


def asked_of(changed: dict[str, str], asked: tuple[str, ...], more: list[str]) -> tuple[int, list[str], str]:
    """Run tests against a copy of the product; return the exit code, the tests that failed, and the last words."""
    with tempfile.TemporaryDirectory() as folder:
        into = plant(changed, Path(folder))
        begin = (
            f"import sys; sys.path.insert(0, {str(into)!r}); import sim, pytest; "
            f"assert sim.__file__.startswith({str(into)!r}); sys.exit(pytest.main(sys.argv[1:]))"
        )
        environment = {
            **os.environ, "PYTHONPATH": os.pathsep.join([str(into), str(TESTS)]), "PYTHONDONTWRITEBYTECODE": "1"
        }  # fmt: skip
        options = ["-q", "-n", "0", "-p", "no:cacheprovider", "--no-header", "--tb", "no", "-m", "not slow", *more]
        done = subprocess.run(
            [sys.executable, "-c", begin, *options, *in_order(asked, changed)],
            env=environment, cwd=TESTS.parent, capture_output=True, text=True, timeout=LONGEST_S, check=False,
        )  # fmt: skip
    failed = re.findall(r"^(?:FAILED|ERROR) (\S+)", done.stdout, re.MULTILINE)
    return done.returncode, failed, (done.stderr or done.stdout)[-200:]


def fails_anyway(into: Path, asked: tuple[str, ...]) -> list[str]:
    """Return the tests that fail with nothing wrong planted, kept in a file; they are not asked."""
    kept = into / "fails_anyway.json"
    if not kept.exists():
        into.mkdir(parents=True, exist_ok=True)
        kept.write_text(json.dumps(asked_of({}, asked, [])[1], indent=1), encoding="utf-8")
    return list(json.loads(kept.read_text(encoding="utf-8")))


def noticed_by(wrongness: Wrongness, asked: tuple[str, ...], left_out: list[str]) -> tuple[str, float]:
    """Return the first test that fails ('' when none does; 'refused' when the product will not start), and seconds."""
    begun = time.monotonic()
    more = ["-x", *[part for name in left_out for part in ("--deselect", name)]]
    code, failed, words = asked_of(wrongness.changed, asked, more)
    seconds = time.monotonic() - begun
    return ("" if code == 0 else failed[0] if failed else f"refused: {words}"), seconds


def try_all(wrongnesses: list[Wrongness], into: Path, asked: tuple[str, ...], most: int) -> None:
    """Try what has not been tried yet, at most so many, and write the list of survivors."""
    into.mkdir(parents=True, exist_ok=True)
    results = into / "results.jsonl"
    lines = results.read_text(encoding="utf-8").splitlines() if results.exists() else []
    rows = [json.loads(line) for line in lines]
    done = {row["title"] for row in rows}
    left_out = fails_anyway(into, asked)
    for wrongness in [w for w in wrongnesses if w.title not in done][:most]:
        by, seconds = noticed_by(wrongness, asked, left_out)
        row = {"title": wrongness.title, "noticed_by": by, "s": round(seconds, 1)}
        rows.append(row)
        with results.open("a", encoding="utf-8") as file:
            file.write(json.dumps(row) + "\n")
        print(f"{'noticed ' if by else 'SURVIVED'} {wrongness.title} {by} ({seconds:.0f} s)", flush=True)
    survivors = sorted(row["title"] for row in rows if not row["noticed_by"])
    (into / "survivors.txt").write_text("".join(f"{title}\n" for title in survivors), encoding="utf-8")
    print(f"{len(rows)} tried, {len(survivors)} survived")


def main() -> None:
    """Read what is asked for and try it."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--seed", type=int, default=13)
    parser.add_argument("--count", type=int, default=40)
    parser.add_argument("--most", type=int, default=1000, help="try at most so many this time")
    parser.add_argument("--named", action="store_true", help="those that once passed unnoticed, instead of a draw")
    parser.add_argument("--list", action="store_true", help="only name them")
    parser.add_argument("--into", type=Path, required=True)
    parser.add_argument("asked", nargs="*", default=list(ASKED))
    given = parser.parse_args()
    wrongnesses = list(named() if given.named else drawn(given.seed, given.count))
    if given.list:
        print("\n".join(wrongness.title for wrongness in wrongnesses))
    else:
        try_all(wrongnesses, given.into, tuple(given.asked), given.most)


if __name__ == "__main__":
    main()
