"""The negatives of an evening, developed when they are first put into the carrier; the last few are remembered."""

from __future__ import annotations

from collections import OrderedDict

from sim.negative.develop import find_negative
from sim.negative.negative import Negative

NEGATIVES_KEPT = 4


class DevelopedNegatives:
    """Developed negatives by name. Those given at the start are there beside the sleeves'."""

    def __init__(self, *negatives: Negative):
        self._kept = OrderedDict((negative.name, negative) for negative in negatives)

    def get(self, name: str) -> Negative:
        """Return a developed negative. Raises OutsideError."""
        kept = self._kept.pop(name, None) or find_negative(name)
        self._kept[name] = kept
        while len(self._kept) > NEGATIVES_KEPT:
            self._kept.popitem(last=False)
        return kept
