"""The proof sheet of a roll at the bench: the frames by name, on the paper in the box, as a page to take along and to mark."""

from __future__ import annotations

import io
from collections.abc import Collection, Sequence
from dataclasses import dataclass
from pathlib import Path

from sim.bench.dry_side import SetUp
from sim.negative.develop import find_negative
from sim.notebook.darkroom_page import save_page
from sim.notebook.proof import Proof, proof_of
from sim.notebook.proof_page import Box, proof_laid
from sim.paper.stock import find_stock
from sim.shelf import OWN


@dataclass(frozen=True, eq=False)
class RollProof:
    """A roll printed at one time, the page it is laid on, and the files that this is written into, the picture last."""

    proof: Proof
    title: str
    size: str
    large: bool
    files: tuple[Path, ...]

    def without_rings(self) -> bytes:
        """Return the picture of the page (PNG) before anything is marked on it, to look at while one marks."""
        buffer = io.BytesIO()
        proof_laid(self.proof, self.title, self.size, self.large)[0][0].savefig(buffer, format="png", dpi=150)
        return buffer.getvalue()

    def write(self, marked: Collection[str] = ()) -> tuple[Box, ...]:
        """Write the page, with the marked negatives' frames ringed; return where every frame lies. Raises WritingFailed."""
        pages, boxes = proof_laid(self.proof, self.title, self.size, self.large, marked)
        for file in self.files:
            save_page(pages, file)
        return boxes


def proof_roll(
    negatives: Sequence[str], now: SetUp, title: str, files: tuple[Path, ...], size: str = "a4", large: bool = False
) -> RollProof:
    """Print a roll at one time with the paper, filter and head of a set-up. Raises Refused in words."""
    stock = find_stock(now.paper)
    filter_name = now.filter if stock.is_variable_contrast else "none"
    head = now.head if now.head.startswith(OWN) else None  # one's own has seconds of its own; of shipped ones the usual
    proof = proof_of([find_negative(name) for name in negatives], stock, filter_name, now.f_number, head)
    return RollProof(proof, title, size, large, files)
