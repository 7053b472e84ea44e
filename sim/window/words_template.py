"""Collects every text of the window for translators: a .pot file, made from the source, never kept beside it."""

from __future__ import annotations

import ast
import json
from collections.abc import Iterator
from pathlib import Path

SOURCE = Path(__file__).parent
CALLS = frozenset({"t", "text", "words", "count"})  # how the window's own code asks for a text
LABELLED = frozenset({"Action"})
TABLES = frozenset({"HELP"})
LEAST_LETTERS = 2


def messages() -> dict[str, list[str]]:
    """Return message -> the files it stands in, in the order of the files."""
    found: dict[str, list[str]] = {}
    for file in sorted(SOURCE.rglob("*.py")):
        name = file.relative_to(SOURCE.parent.parent).as_posix()
        for message in _messages_of(ast.parse(file.read_text(encoding="utf-8"))):
            places = found.setdefault(message, [])
            if name not in places:
                places.append(name)
    return found


def _messages_of(tree: ast.AST) -> Iterator[str]:
    for node in ast.walk(tree):
        if isinstance(node, ast.Call):
            called = node.func.attr if isinstance(node.func, ast.Attribute) else getattr(node.func, "id", "")
            if called in CALLS:
                yield from _texts(node.args[: 2 if called == "count" else 1])
            elif called in LABELLED:
                yield from _texts(node.args[1:2])
        elif isinstance(node, ast.Assign | ast.AnnAssign) and node.value is not None:
            targets = node.targets if isinstance(node, ast.Assign) else [node.target]
            names = {getattr(target, "id", "") for target in targets}
            if names & TABLES and isinstance(node.value, ast.Dict):
                yield from _texts(node.value.values)
            elif any(
                name.isupper() for name in names
            ):  # tables of (key, words) that are translated where they are used
                yield from _pairs(node.value)


def _texts(nodes: list[ast.expr]) -> Iterator[str]:
    for node in nodes:
        if isinstance(node, ast.Constant) and isinstance(node.value, str) and len(node.value) >= LEAST_LETTERS:
            yield node.value


def _pairs(node: ast.expr) -> Iterator[str]:
    if isinstance(node, ast.Tuple | ast.List):
        for pair in node.elts:
            if isinstance(pair, ast.Tuple) and len(pair.elts) == 2:
                yield from _texts(pair.elts[1:])


def template() -> str:
    """Return the text of a .pot file; a translator writes each msgstr and saves it as LANGUAGE/tonewright.po."""
    head = 'msgid ""\nmsgstr ""\n"Content-Type: text/plain; charset=UTF-8\\n"\n'
    entries = [head]
    for message, places in messages().items():
        quoted = json.dumps(message, ensure_ascii=False)
        entries.append(f'#: {" ".join(places)}\nmsgid {quoted}\nmsgstr ""\n')
    return "\n".join(entries)
