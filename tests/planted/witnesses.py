"""Who is no witness to a wrong number: a test that names it itself, or asks a helper that does.

Such a test goes with the number wherever it goes, or says it a second time; either way it tells nothing about what a user sees.
"""

from __future__ import annotations

import ast
from collections.abc import Iterator, Sequence
from functools import lru_cache
from pathlib import Path

Place = tuple[Path, str]


@lru_cache(maxsize=512)
def _asked_by(file: Path) -> tuple[dict[str, frozenset[str]], dict[str, Place]]:
    """Return the names that every top-level thing of a test module uses, and where its imported helpers stand."""
    tree = ast.parse(file.read_text(encoding="utf-8"))
    uses = {name: _names(node) for node in tree.body for name in _defined(node)}
    helpers = {
        alias.asname or alias.name: (where, alias.name)
        for node in tree.body if isinstance(node, ast.ImportFrom) and (where := _helper(file, node))
        for alias in node.names
    }  # fmt: skip
    return uses, helpers


def _names(node: ast.AST) -> frozenset[str]:
    found = {n.id if isinstance(n, ast.Name) else n.attr for n in ast.walk(node) if isinstance(n, ast.Name | ast.Attribute)}
    return frozenset(found | {n.arg for n in ast.walk(node) if isinstance(n, ast.arg)})  # an argument may be a fixture


def _defined(node: ast.stmt) -> Iterator[str]:
    if isinstance(node, ast.FunctionDef | ast.ClassDef):
        yield node.name
    elif isinstance(node, ast.Assign | ast.AnnAssign):
        targets = node.targets if isinstance(node, ast.Assign) else [node.target]
        yield from (n.id for target in targets for n in ast.walk(target) if isinstance(n, ast.Name))


def _helper(file: Path, node: ast.ImportFrom) -> Path | None:
    parts = (node.module or "").split(".")
    root = next((folder for folder in file.parents if folder.name == "tests"), file.parent)
    base = file.parents[node.level - 1] if node.level else root
    path = base.joinpath(*(parts[1:] if parts[0] == "tests" and not node.level else parts)).with_suffix(".py")
    return path if path.is_file() else None


def names_it(file: Path, test: str, numbers: Sequence[str]) -> bool:
    """Tell whether a test of a file, or anything of the tests that it asks, names one of some numbers of the program."""
    wanted, seen, left = set(numbers), set[Place](), [(file, test)]
    while left:
        place = left.pop()
        if place in seen:
            continue
        seen.add(place)
        uses, helpers = _asked_by(place[0])
        names = uses.get(place[1], frozenset())
        if names & wanted:
            return True
        left += [(place[0], name) for name in names if name in uses]
        left += [helpers[name] for name in names if name in helpers]
    return False
