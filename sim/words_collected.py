"""Collects the sentences that rooms say in English without asking for a language: texts that stand there, and f-strings.

An f-string becomes a message with a name for each value: ``f"step {at.step}"`` is ``step {step}``. Where a value is one of two
texts (``'s' if n > 1 else ''``) there is a message for each, so that a language has its own plural. ``words_said`` finds
them again.
"""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from itertools import product

LEAST_COLUMNS = 2  # of a list of texts that heads a table
MOST_VARIANTS = 8  # of one f-string by its alternatives; beyond that each alternative is a message of its own
NOT_SAID = frozenset({  # calls whose texts nobody reads
    "compile", "line", "name", "about", "getLogger", "strftime", "encode", "startswith", "endswith", "partition", "split",
    "removeprefix", "removesuffix", "point", "getattr", "TypeVar", "open", "Literal", "match", "search", "sub", "fullmatch",
    "read_text", "joinpath", "info", "exception", "warning", "debug", "SimpleNamespace",
})  # fmt: skip
_WORDY = re.compile(r"[^\W\d_]{2,}.*\s.*[^\W\d_]|[^\W\d_].*\s.*[^\W\d_]{2,}", re.DOTALL)
_CODE = re.compile(r"\\[bdswW]|\(\?|<[a-z/!]|^[#.]|https?:|^\.|%\((?!default)|;\s*\}|\bfont\b|^-- ")
_JOINED = re.compile(r"[^\W\d_]{2,}|[:;,] ")
_LETTER = re.compile(r"[^\W\d_]")
_PLAIN = re.compile(r"[a-z][a-z ]+|[A-Z][a-z][a-z ]+")
_SHAPED = re.compile(r"\{([a-z_][a-z0-9_]*):[^{}]*\}")
_UNNAMED = re.compile(r"\{(:[^{}]*)?\}")


def sentences_of(tree: ast.Module) -> Iterator[str]:
    """Yield every message that a file says, in its order."""
    seen: set[int] = set(_unread(tree))
    for node in ast.walk(tree):
        if id(node) in seen:
            continue
        if isinstance(node, ast.JoinedStr):
            seen |= {id(value) for value in node.values}
            yield from (message for message in _messages(node) if _is_sentence(message))
        elif isinstance(node, ast.IfExp):
            yield from _alternatives(node)
        elif isinstance(node, ast.Constant) and isinstance(node.value, str) and _is_sentence(node.value):
            yield from _named(node.value)
        elif isinstance(node, ast.Assign | ast.AnnAssign) and node.value is not None:
            yield from _of_table(node)
        elif isinstance(node, ast.List) and len(node.elts) >= LEAST_COLUMNS:
            yield from _of_columns(node)


def _named(text: str) -> Iterator[str]:
    """Yield a text as it stands, and what ``format`` makes of it as a message with names."""
    names = iter(("one", "other", "third", "fourth", "fifth"))
    text = _SHAPED.sub(r"{\1}", text)
    yield _UNNAMED.sub(lambda found: f"{{{next(names)}}}", text) if 0 < len(_UNNAMED.findall(text)) <= 5 else text


def _unread(tree: ast.Module) -> Iterator[int]:
    """Yield the ids of nodes whose texts are for nobody to read: docstrings, keys, what is compared, names of things."""
    for node in ast.walk(tree):
        unread: list[ast.AST | None] = []
        if (
            isinstance(node, ast.Module | ast.ClassDef | ast.FunctionDef)
            and node.body
            and isinstance(node.body[0], ast.Expr)
        ):
            unread += [node.body[0].value] if isinstance(node.body[0].value, ast.Constant) else []
        elif isinstance(node, ast.Dict):
            unread += node.keys
        elif isinstance(node, ast.Subscript):
            unread.append(node.slice)
        elif isinstance(node, ast.Compare):
            unread += [node.left, *node.comparators]
        elif isinstance(node, ast.Call):
            called = node.func.attr if isinstance(node.func, ast.Attribute) else getattr(node.func, "id", "")
            unread += node.args if called in NOT_SAID else []
        elif isinstance(node, ast.FormattedValue):
            unread.append(node.format_spec)
        for one in unread:
            if one is not None:
                yield from (id(inner) for inner in ast.walk(one) if isinstance(inner, ast.Constant | ast.JoinedStr))


def _is_sentence(message: str) -> bool:
    """Tell whether a text is one that people read, and not a name, a pattern or a piece of a page."""
    plain = re.sub(r"\{[a-z_0-9]*\}", " ", message)
    letters = len(_LETTER.findall(plain))
    if _CODE.search(message) or "\0" in message or message.startswith("tonewright {"):
        return False
    if "{" in message:
        return letters >= 1 and " " in message.strip() and bool(_JOINED.search(plain))
    return bool(_WORDY.search(message))


def _alternatives(node: ast.IfExp) -> Iterator[str]:
    for branch in (node.body, node.orelse):
        if isinstance(branch, ast.Constant) and isinstance(branch.value, str) and _PLAIN.fullmatch(branch.value):
            yield branch.value


def _of_table(node: ast.Assign | ast.AnnAssign) -> Iterator[str]:
    """Yield the single words of a table: a constant in capitals that is a dict or a sequence of words."""
    targets = node.targets if isinstance(node, ast.Assign) else [node.target]
    if not any(getattr(target, "id", "").strip("_").isupper() for target in targets):
        return
    values = node.value.values if isinstance(node.value, ast.Dict) else []
    for value in values:
        for inner in value.elts if isinstance(value, ast.Tuple) else [value]:
            if isinstance(inner, ast.Constant) and isinstance(inner.value, str) and _PLAIN.fullmatch(inner.value):
                yield inner.value


def _of_columns(node: ast.List) -> Iterator[str]:
    """Yield the headings of a table's columns."""
    words = [one.value for one in node.elts if isinstance(one, ast.Constant) and isinstance(one.value, str)]
    if len(words) == len(node.elts) and all(
        _PLAIN.fullmatch(word) or " " in word or not word.isalpha() for word in words
    ):
        yield from (word for word in words if _PLAIN.fullmatch(word))


def _messages(node: ast.JoinedStr) -> Iterator[str]:
    """Yield an f-string's messages, one for every choice of its alternatives."""
    names: set[str] = set()
    parts = [_part(value, names) for value in node.values]
    count = 1
    for part in parts:
        count *= len(part)
    if count > MOST_VARIANTS:
        parts = [part if len(part) == 1 else (f"{{{_free('which', names)}}}",) for part in parts]
    for chosen in product(*parts):
        yield "".join(chosen)


def _part(value: ast.expr, names: set[str]) -> tuple[str, ...]:
    if isinstance(value, ast.Constant):
        return (str(value.value),)
    inner = value.value if isinstance(value, ast.FormattedValue) else value
    if isinstance(inner, ast.IfExp):
        ends = (inner.body, inner.orelse)
        if all(isinstance(end, ast.Constant) and isinstance(end.value, str) for end in ends):
            return tuple(str(end.value) for end in ends if isinstance(end, ast.Constant))
    return (f"{{{_free(_called(inner), names)}}}",)


def _called(node: ast.expr) -> str:
    """Return a name for a value, by what it is called where it stands."""
    unnamed = ast.Constant | ast.GeneratorExp | ast.Starred
    while isinstance(node, ast.Call) and node.args and not isinstance(node.args[0], unnamed):
        node = node.args[0]
    while isinstance(node, ast.BinOp | ast.UnaryOp):
        node = node.left if isinstance(node, ast.BinOp) and not isinstance(node.left, ast.Constant) else (
            node.right if isinstance(node, ast.BinOp) else node.operand)  # fmt: skip
    if isinstance(node, ast.Subscript):
        return _called(node.value)
    if isinstance(node, ast.Call):
        return _called(node.func)
    said = node.attr if isinstance(node, ast.Attribute) else getattr(node, "id", "")
    return re.sub(r"[^a-z0-9_]", "", said.lower()).strip("_") or "it"


def _free(name: str, names: set[str]) -> str:
    """Return a name that none of the values before has."""
    name = name if not name[:1].isdigit() else f"n{name}"
    free = next(one for one in (name, *(f"{name}_{n}" for n in range(2, 99))) if one not in names)
    names.add(free)
    return free
