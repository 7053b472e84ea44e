"""Rooms before the notebook return facts: no sentence stands in them but refusals, and what is listed here with its reason."""

from __future__ import annotations

import ast
from collections.abc import Iterator
from pathlib import Path

import sim

PACKAGE = Path(sim.__file__).parent
ROOMS = ("negative", "enlarger", "paper", "printing", "viewing", "calibration", "scoring", "evening")
REFUSING = frozenset(
    {"Refused", "Problem", "NoSuchPlace", "KeyError", "ValueError", "TypeError", "EveningEnded", "WritingFailed", "Doubted"}
    | {"_refused"}
)
REFUSING_NAMES = frozenset({"rule", "message", "span", "number"})  # parts of refusals, put together before they are raised
WORDS_OF_A_SENTENCE = 3

# Still otherwise, or no sentence for people at the bench; an entry that is no longer needed fails.
LEFT = {
    "calibration/paper_files.py": "sources written into data files",
    "calibration/own_stock_file.py": "sources written into data files",
    "calibration/own_head_file.py": "sources written into data files",
    "calibration/paper_fit.py": "sources written into data files",
    "calibration/scan_by_rows.py": "part of a refusal",
    "printing/record_lift.py": "notes of records of version 1, which it reads",
    "negative/scene_file.py": "part of a refusal",
    "printing/strip_agreement.py": "parts of refusals",
    "scoring/exercise_file.py": "a line of TOML",
    "scoring/advice_facts.py": "units, which stand in results as codes",
    "scoring/criterion_kinds.py": "units, which stand in results as codes",
    "scoring/advice_from_settings.py": "units, which stand in results as codes",
    "scoring/advice_from_sharpness.py": "units, which stand in results as codes",
    "evening/evening.py": "why an evening is only looked at: refusals that are kept",
    "evening/log.py": "what is wrong with a log: refusals that are kept",
}


def sentences(node: ast.AST, refusing: bool = False) -> Iterator[str]:
    """Yield texts of three words and more that stand outside refusals and docstrings."""
    for child in ast.iter_child_nodes(node):
        inside = refusing or isinstance(child, ast.Raise | ast.Assert)
        if isinstance(child, ast.Call):
            called = child.func.attr if isinstance(child.func, ast.Attribute) else getattr(child.func, "id", "")
            inside = inside or called in REFUSING
        if isinstance(child, ast.Assign):
            inside = inside or bool({getattr(target, "id", "") for target in child.targets} & REFUSING_NAMES)
        if isinstance(child, ast.Expr) and isinstance(child.value, ast.Constant):
            continue
        if isinstance(child, ast.JoinedStr | ast.Constant):
            parts = child.values if isinstance(child, ast.JoinedStr) else [child]
            text = "".join(str(part.value) if isinstance(part, ast.Constant) else "{}" for part in parts)
            whole = isinstance(child, ast.JoinedStr) or isinstance(child.value, str)
            if whole and not inside and len(text.split()) >= WORDS_OF_A_SENTENCE and any(c.isalpha() for c in text):
                yield text
            continue
        yield from sentences(child, inside)


def found_in(room: str) -> dict[str, list[str]]:
    """Return the sentences of a room by file."""
    files = sorted((PACKAGE / room).rglob("*.py"))
    found = {f.relative_to(PACKAGE).as_posix(): [*sentences(ast.parse(f.read_text("utf-8")))] for f in files}
    return {name: texts for name, texts in found.items() if texts}


def test_rooms_before_the_notebook_hold_no_sentence() -> None:
    found = {name: texts for room in ROOMS for name, texts in found_in(room).items()}
    assert {name: texts for name, texts in found.items() if name not in LEFT} == {}
    assert set(LEFT) <= set(found), "an entry of LEFT is no longer needed"


def test_a_sentence_is_found_and_a_refusal_is_not() -> None:
    tree = ast.parse('def f(n):\n    """What it does here."""\n    if n: raise Refused(f"n must be 0, got {n}")\n'
                     '    return f"{n} is too dark", "soft", {"a": "the print is flat"}')  # fmt: skip
    assert [*sentences(tree)] == ["{} is too dark", "the print is flat"]
