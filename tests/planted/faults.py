"""What can be planted in a module: a number a little off, a comparison turned, a sign, a branch taken the wrong way.

Everything is found in the text by its syntax; nothing here knows what a test looks at. A title says file, scope, what stood
there and what stands there then, and which one of its like it is, so that it finds its place again after the lines have moved.
"""

from __future__ import annotations

import ast
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path

FACTORS = (1.15, 0.87, 1.5, 0.67)
_TURNED: dict[type[ast.cmpop], tuple[str, ...]] = {
    ast.Lt: ("<=", ">"), ast.LtE: ("<", ">="), ast.Gt: (">=", "<"), ast.GtE: (">", "<="), ast.Eq: ("!=",), ast.NotEq: ("==",),
    ast.In: ("not in",), ast.NotIn: ("in",), ast.Is: ("is not",), ast.IsNot: ("is",),
}  # fmt: skip
_SAID: dict[type[ast.cmpop], str] = {
    ast.Lt: "<", ast.LtE: "<=", ast.Gt: ">", ast.GtE: ">=", ast.Eq: "==", ast.NotEq: "!=", ast.In: "in", ast.NotIn: "not in",
    ast.Is: "is", ast.IsNot: "is not",
}  # fmt: skip
_SIGNS: dict[type[ast.operator], str] = {ast.Add: "-", ast.Sub: "+"}
_JOINED: dict[type[ast.boolop], tuple[str, str]] = {ast.And: ("and", "or"), ast.Or: ("or", "and")}


@dataclass(frozen=True)
class Fault:
    """One fault: the file under ``sim``, the scope and line it stands in, its place in the bytes, and what is put there."""

    file: str
    scope: str
    line: int
    start: int
    end: int
    old: str
    new: str
    nth: int = 1
    name: str = ""

    @property
    def title(self) -> str:
        """Return what a list of survivors calls it."""
        which = f" #{self.nth}" if self.nth > 1 else ""
        return f"{self.file} {self.scope or 'module'}: {self.old} -> {self.new}{which}"

    def planted(self, text: bytes) -> bytes:
        """Return a file's text with the fault in it."""
        assert " ".join(text[self.start : self.end].decode().split()) == self.old
        return text[: self.start] + self.new.encode() + text[self.end :]


@dataclass(frozen=True)
class _Text:
    """A module's bytes, and where its lines begin."""

    raw: bytes
    begins: tuple[int, ...]

    @staticmethod
    def of(raw: bytes) -> _Text:
        begins = [0]
        for line in raw.splitlines(keepends=True):
            begins.append(begins[-1] + len(line))
        return _Text(raw, tuple(begins))

    def span(self, node: ast.AST) -> tuple[int, int]:
        """Return from where to where a node stands."""
        first, last = node.lineno, node.end_lineno  # type: ignore[attr-defined]
        return (
            self.begins[first - 1] + node.col_offset,  # type: ignore[attr-defined]
            self.begins[last - 1] + node.end_col_offset,  # type: ignore[attr-defined]
        )

    def between(self, left: ast.AST, right: ast.AST, sign: str) -> tuple[int, int] | None:
        """Return where a sign stands between two nodes; None where the gap holds a comment or more than one."""
        start, stop = self.span(left)[1], self.span(right)[0]
        gap = self.raw[start:stop]
        if b"#" in gap or gap.count(sign.encode()) != 1:
            return None
        at = start + gap.index(sign.encode())
        return at, at + len(sign)


@lru_cache(maxsize=2)
def modules(sim: Path) -> dict[str, str]:
    """Return the text of every module of the program, by its file."""
    return {path.relative_to(sim).as_posix(): path.read_text(encoding="utf-8") for path in sorted(sim.rglob("*.py"))}


@lru_cache(maxsize=512)
def tree_of(text: str) -> ast.Module:
    """Return a module's syntax."""
    return ast.parse(text)


def faults_of(sim: Path, file: str) -> list[Fault]:
    """Return every fault that can be planted in a module, in the order of its text."""
    raw = (sim / file).read_bytes()
    text, found = _Text.of(raw), []
    for scope, name, node in _nodes(ast.parse(raw)):
        for start, end, new in _changes(text, node):
            old = " ".join(raw[start:end].decode().split())
            found.append(Fault(file, scope, node.lineno, start, end, old, new, name=name))
    found.sort(key=lambda fault: (fault.start, fault.end))
    like: Counter[tuple[str, str, str]] = Counter()
    out = []
    for fault in found:
        key = (fault.scope, fault.old, fault.new)
        like[key] += 1
        out.append(Fault(**{**fault.__dict__, "nth": like[key]}))
    return out


def _nodes(tree: ast.Module) -> Iterator[tuple[str, str, ast.expr | ast.stmt]]:
    """Yield what faults can be in: with the function or class around it, and the name that a module gives to it."""

    def within(node: ast.AST, scope: str, name: str) -> Iterator[tuple[str, str, ast.expr | ast.stmt]]:
        for child in ast.iter_child_nodes(node):
            if isinstance(child, ast.Subscript):  # places in a row are no amounts
                yield from within(child, scope, name)
                continue
            if isinstance(child, ast.JoinedStr | ast.Assert | ast.Import | ast.ImportFrom):
                continue
            inner, named = scope, name
            if isinstance(child, ast.FunctionDef | ast.ClassDef):
                inner = f"{scope}.{child.name}".lstrip(".")
            elif not scope and isinstance(child, ast.Assign | ast.AnnAssign):
                named = ast.unparse(child.targets[0] if isinstance(child, ast.Assign) else child.target)
            if isinstance(child, ast.expr | ast.stmt) and not _is_index(node, child):
                yield inner if isinstance(child, ast.expr) else scope, named, child
            yield from within(child, inner, named)

    yield from within(tree, "", "")


def _is_index(parent: ast.AST, child: ast.AST) -> bool:
    return isinstance(parent, ast.Subscript | ast.Slice) and isinstance(child, ast.Constant | ast.UnaryOp)


def _changes(text: _Text, node: ast.expr | ast.stmt) -> Iterator[tuple[int, int, str]]:
    if isinstance(node, ast.Constant):
        yield from ((*text.span(node), new) for new in _other_numbers(node.value))
    elif isinstance(node, ast.Compare):
        yield from _turned(text, node)
    elif isinstance(node, ast.BinOp) and type(node.op) in _SIGNS:
        sign = "+" if isinstance(node.op, ast.Add) else "-"
        if at := text.between(node.left, node.right, sign):
            yield (*at, _SIGNS[type(node.op)])
    elif isinstance(node, ast.UnaryOp) and isinstance(node.op, ast.USub):
        start = text.span(node)[0]
        yield start, start + 1, ""
    elif isinstance(node, ast.BoolOp):
        word, other = _JOINED[type(node.op)]
        if at := text.between(node.values[0], node.values[1], word):
            yield (*at, other)
    elif isinstance(node, ast.If | ast.IfExp):
        start, end = text.span(node.test)
        yield start, end, f"not ({text.raw[start:end].decode()})"


def _turned(text: _Text, node: ast.Compare) -> Iterator[tuple[int, int, str]]:
    for left, sign, right in zip([node.left, *node.comparators], node.ops, node.comparators, strict=False):
        if at := text.between(left, right, _SAID[type(sign)]):
            yield from ((*at, new) for new in _TURNED[type(sign)])


def _other_numbers(value: object) -> Iterator[str]:
    """Yield what may stand for a number: a count is one more or less, an amount a little and much more or less."""
    if isinstance(value, bool):
        return
    if isinstance(value, int):
        yield from (str(value + 1), str(value - 1))
    elif isinstance(value, float) and value:
        yield from (repr(round(value * factor, 12)) for factor in FACTORS)


def in_rooms(sim: Path, rooms: tuple[str, ...]) -> list[Fault]:
    """Return every fault of the modules of some rooms, or of single modules named by file."""
    files = []
    for room in rooms:
        path = sim / room
        files += [path] if path.is_file() else sorted(path.glob("*.py"))
    return [fault for path in files for fault in faults_of(sim, path.relative_to(sim).as_posix())]
