"""The negatives of an evening, developed when they are first put into the carrier; the last few are remembered."""

from __future__ import annotations

from sim.bounded_store import MEGABYTE, KeptWithin
from sim.negative.develop import find_negative
from sim.negative.negative import Negative

NEGATIVE_BYTES = 24 * MEGABYTE  # four from the file; of large scans of one's own the one in the carrier


class DevelopedNegatives:
    """Developed negatives by name. Those given at the start are there beside the sleeves'."""

    def __init__(self, *negatives: Negative):
        self._kept: KeptWithin[Negative] = KeptWithin(NEGATIVE_BYTES)
        for negative in negatives:
            self._kept.put(negative.name, negative)

    def get(self, name: str) -> Negative:
        """Return a developed negative. Raises OutsideError."""
        return self._kept.keep(name, lambda: find_negative(name))
