"""The prediction that comes before developing: what is asked, and what was committed for the next sheet."""

from __future__ import annotations

from sim.bench.desk_file import DeskFile
from sim.bench.house_rules import HouseRules
from sim.evening.evening import Evening


class Predicting:
    """What the learner says a sheet will show, in the log before the sheet is."""

    def __init__(self, evening: Evening, desk_file: DeskFile, rules: HouseRules):
        self._evening, self._desk_file, self._rules = evening, desk_file, rules

    @property
    def made(self) -> tuple[str, str] | None:
        """What was committed for the sheet that comes next, or None."""
        said = self._evening.state.said_of("predicted", len(self._evening.state.sheets))
        return (said[-1].choice, said[-1].text) if said else None

    def wanted(self) -> str | None:
        """Return the question to be answered before the piece in hand is developed, or None."""
        hand = self._desk_file.now.hand
        if hand is None or self.made is not None:
            return None
        return self._rules.prediction_wanted(hand.kind == "strip")
