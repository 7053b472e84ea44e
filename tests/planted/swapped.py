"""A changed module put in the place of the one that is loaded, so that a try costs its tests and not a new start.

Functions get the new code and defaults, numbers the new value wherever they were taken by name. What a module works out from
them when it is loaded cannot be put in place afterwards (``can_be_swapped`` says so): such a fault wants a fresh start. What
test modules worked out when they were collected stays as the whole program gave it.
"""

from __future__ import annotations

import ast
import sys
from collections.abc import Iterator
from functools import cached_property
from pathlib import Path
from types import FunctionType, ModuleType
from typing import Any

import numpy as np

from .faults import Fault, modules, tree_of

PLAIN = (bool, int, float, str, tuple, list, dict, frozenset, np.ndarray)


def can_be_swapped(sim: Path, fault: Fault) -> bool:
    """Tell whether a fault acts only in functions, not in what modules work out when they are loaded."""
    tree = tree_of(modules(sim)[fault.file])
    if any(function.body[0].lineno <= fault.line <= (function.end_lineno or 0) for function in _functions(tree)):
        return True
    names = [part.strip(" ()") for part in fault.name.split(",")]
    if fault.scope or not all(name.lstrip("_").isupper() for name in names):
        return False
    if not all(isinstance(n, ast.Constant | ast.Tuple | ast.Dict | ast.UnaryOp | ast.BinOp | ast.expr_context | ast.unaryop
                          | ast.operator) for n in _value_at(tree, fault.line)):  # fmt: skip
        return False
    found = ((other, text) for other, text in modules(sim).items() if any(name in text for name in names))
    return not any(_worked_out_from(tree_of(text), names, other == fault.file) for other, text in found)


def _functions(tree: ast.AST) -> Iterator[ast.FunctionDef]:
    return (node for node in ast.walk(tree) if isinstance(node, ast.FunctionDef))


def _value_at(tree: ast.Module, line: int) -> Iterator[ast.AST]:
    for node in tree.body:
        if isinstance(node, ast.Assign | ast.AnnAssign) and node.value and node.lineno <= line <= (node.end_lineno or 0):
            yield from ast.walk(node.value)


def _worked_out_from(tree: ast.Module, names: list[str], own: bool) -> bool:
    """Tell whether a module uses a name while it is loaded; its own defaults are put in place with its functions."""
    late = [part for f in _functions(tree) for part in (*f.body, *(f.args.defaults if own else ()))]
    late += [node.body for node in ast.walk(tree) if isinstance(node, ast.Lambda)]
    inside = {id(n) for part in late for n in ast.walk(part)}
    used = (n for n in ast.walk(tree) if isinstance(n, ast.Name) and isinstance(n.ctx, ast.Load) and n.id in names)
    return any(id(n) not in inside for n in used)


def swapped_in(module: ModuleType, source: bytes) -> None:
    """Put what a changed source says in the place of a loaded module's functions and numbers."""
    fresh = ModuleType(module.__name__)
    fresh.__dict__.update(__file__=module.__file__, __package__=module.__package__)
    exec(compile(source, str(module.__file__), "exec"), fresh.__dict__)
    for name, new in vars(fresh).items():
        old = vars(module).get(name)
        if old is new or name.startswith("__"):
            continue
        if isinstance(old, PLAIN) and type(old) is type(new):
            if repr(old) != repr(new):
                _everywhere(name, old, new)
        elif isinstance(old, type) and getattr(new, "__module__", "") == module.__name__:
            _class(old, new)
        else:
            _code(old, new)


def _everywhere(name: str, old: Any, new: Any) -> None:
    for module in list(sys.modules.values()):
        if vars(module).get(name) is old if hasattr(module, "__dict__") else False:
            setattr(module, name, new)


def _class(old: type, new: type) -> None:
    for name, value in vars(new).items():
        before = vars(old).get(name)
        if isinstance(before, PLAIN) and not name.startswith("__") and repr(before) != repr(value):
            setattr(old, name, value)
        else:
            _code(before, value)


def _code(old: Any, new: Any) -> None:
    """Give a function, or what is wrapped in a property or a memory, the new code and the new defaults."""
    for _ in range(4):
        if isinstance(old, FunctionType) and isinstance(new, FunctionType) and not hasattr(old, "__wrapped__"):
            if len(old.__code__.co_freevars) == len(new.__code__.co_freevars):
                old.__code__ = new.__code__
                old.__defaults__, old.__kwdefaults__ = new.__defaults__, new.__kwdefaults__
            return
        inner = "fget" if isinstance(old, property) else "func" if isinstance(old, cached_property) else ""
        inner = inner or ("__func__" if isinstance(old, staticmethod | classmethod) else "__wrapped__")
        old, new = getattr(old, inner, None), getattr(new, inner, None)
