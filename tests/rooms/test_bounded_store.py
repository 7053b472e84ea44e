"""What is kept for later is bounded by its bytes, whatever its number."""

from __future__ import annotations

import ast
import re
from dataclasses import dataclass, field
from functools import cached_property
from pathlib import Path

import numpy as np
from hypothesis import given
from hypothesis import strategies as st

import sim
from sim.bounded_store import LEAST_BYTES, KeptWithin, bytes_of


@dataclass(frozen=True, eq=False)
class Sheet:
    density: np.ndarray
    notes: list[object] = field(default_factory=list)

    @cached_property
    def doubled(self) -> np.ndarray:
        return self.density * 2.0


@given(st.lists(st.tuples(st.integers(0, 9), st.integers(0, 5000)), max_size=60), st.integers(1000, 20_000))
def test_the_sum_never_passes_the_bound_unless_one_thing_alone_does(puts: list[tuple[int, int]], most: int) -> None:
    kept: KeptWithin[np.ndarray] = KeptWithin(most)
    for key, size in puts:
        thing = kept.put(key, np.zeros(size, np.uint8))
        assert kept.get(key) is thing
        assert kept.bytes <= most or len(kept) == 1
        assert kept.bytes == sum(bytes_of(t) for t, _ in kept._things.values())


def test_what_was_used_last_stays() -> None:
    kept: KeptWithin[bytes] = KeptWithin(3 * (1000 + LEAST_BYTES))
    for name in "abc":
        kept.put(name, bytes(1000))
    assert kept.get("a") is not None
    kept.put("d", bytes(1000))
    assert "b" not in kept
    assert "a" in kept


def test_a_count_may_bind_as_well() -> None:
    kept: KeptWithin[int] = KeptWithin(10**9, most=2)
    for number in range(5):
        assert kept.keep(number, lambda n=number: n) == number
    assert len(kept) == 2


def test_a_view_counts_as_what_it_keeps_alive_and_everything_counts_once() -> None:
    whole = np.zeros((100, 100), np.float32)
    assert bytes_of(whole[:2, :2]) == LEAST_BYTES + whole.nbytes
    assert bytes_of((whole, whole[3], [whole.T])) == LEAST_BYTES + whole.nbytes
    assert bytes_of({"a": Sheet(whole, [whole]), "b": 3, "c": "words"}) == LEAST_BYTES + whole.nbytes


def test_what_is_worked_out_later_counts_too() -> None:
    sheet = Sheet(np.zeros(1000))
    before = bytes_of(sheet)
    assert sheet.doubled.size == 1000
    assert bytes_of(sheet) == before + 8000


def test_the_window_keeps_pictures_in_no_table_without_a_bound() -> None:
    """A table by number or name grows with every print; a store of bytes does not."""
    pictures = re.compile(r"\b(dict|list)\[.*\b(Surface|NDArray)\b")
    found = {
        f"{file.name}: {ast.unparse(node.target)}"
        for file in (Path(sim.__file__).parent / "window").rglob("*.py")
        for node in ast.walk(ast.parse(file.read_text("utf-8")))
        if isinstance(node, ast.AnnAssign) and ast.unparse(node.target).startswith("self._")
        if pictures.search(ast.unparse(node.annotation))
    }
    assert found == set()
