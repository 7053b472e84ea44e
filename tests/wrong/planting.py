"""A copy of the product in which numbers are wrong."""

from __future__ import annotations

import re
import shutil
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

import sim

from .numbers_in import Number, numbers_of_data_file, numbers_of_module

SIM = Path(sim.__file__).parent


@dataclass(frozen=True)
class Wrong:
    """A wrong constant: ``factor`` times (or, with ``plus``, so much more than) the numbers of that name.

    ``files`` is a pattern under ``sim``; ``name`` a regular expression for the whole name of a number
    (``numbers_in``), or with ``text`` for the words of the file around one figure, which is its first group. ``also`` is
    changed with it: a limit that would refuse the wrong number before it does any harm.
    """

    files: str
    name: str
    factor: float = 1.0
    plus: float = 0.0
    text: bool = False
    also: Wrong | None = None

    def changes(self, root: Path = SIM) -> dict[str, str]:
        """Return the wrong text of every file it changes. Raises LookupError when no such number is there."""
        changed = {} if self.also is None else self.also.changes(root)
        hit = False
        for path in sorted(root.glob(self.files)):
            file = path.relative_to(root).as_posix()
            found = self._in_words(path) if self.text else self._by_name(root, file)
            if found:
                assert file not in changed, f"{file} cannot be changed twice"
                changed[file] = written(path, {number: self._of(number.value) for number in found})
                hit = True
        if not hit:
            raise LookupError(f"{self.files}: no number called {self.name}")
        return changed

    def _of(self, value: float) -> float:
        return value * self.factor + self.plus

    def _by_name(self, root: Path, file: str) -> list[Number]:
        read = numbers_of_data_file if file.endswith(".toml") else numbers_of_module
        return [number for number in read(root, file) if re.fullmatch(self.name, number.name)]

    def _in_words(self, path: Path) -> list[Number]:
        text = path.read_text(encoding="utf-8")
        return [
            Number(path.name, m.group(), m.start(1), m.end(1), float(m.group(1))) for m in re.finditer(self.name, text)
        ]


def written(path: Path, values: Mapping[Number, float]) -> str:
    """Return a file's text with other values at the places of some numbers."""
    text = path.read_text(encoding="utf-8")
    for number, value in sorted(values.items(), key=lambda item: -item[0].start):
        old = text[number.start : number.end]
        whole = re.fullmatch(r"-?\d+", old) and float(value).is_integer()
        text = text[: number.start] + (str(int(value)) if whole else repr(float(value))) + text[number.end :]
    return text


def plant(changed: Mapping[str, str], into: Path, root: Path = SIM) -> Path:
    """Make a folder that can stand first on the path of a Python: a copy of ``sim`` with the changed files in it.

    Copied, not linked: what finds its data files beside itself must find the changed ones.
    """
    shutil.copytree(root, into / root.name)  # with what is compiled: all but the changed files need not be again
    pictures = root.parent / "assets_generated"
    if pictures.is_dir():
        (into / pictures.name).symlink_to(pictures)
    for file, text in changed.items():
        path = into / root.name / file
        path.write_text(text, encoding="utf-8")
        for compiled in (path.parent / "__pycache__").glob(f"{path.stem}.*"):
            compiled.unlink()
    return into
