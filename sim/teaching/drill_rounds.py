"""A round of a drill: ten items on one decision, or one item for each skill that is to be recalled today.

What was answered is written into the learner's progress answer by answer, so that a round may be left at any moment.
"""

from __future__ import annotations

import hashlib
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

import numpy as np

from sim.teaching.drill_item import DrillAnswer, DrillItem, answer_item
from sim.teaching.drills import LEAST_SEEN_L, draw_item, drill_for
from sim.teaching.progress import (
    ERRORS_LOOKED_AT,
    DrillDone,
    Progress,
    change_progress,
    read_progress,
    retrieval_items,
    with_drill,
    with_recall,
)

ITEMS = 10
RECALL = "recall"


@dataclass(frozen=True)
class Asked:
    """What an item of a round asks: its drill, and the skill it recalls (empty: none)."""

    drill: str
    skill: str = ""


def round_seed(name: str, learner: str, day: int, rounds: int) -> int:
    """Return the seed of a round: the same learner, day and count of rounds always meet the same items."""
    text = f"{name}\n{learner}\n{day}\n{rounds}"
    return int.from_bytes(hashlib.sha256(text.encode("utf-8", "replace")).digest()[:4], "big")


class DrillRound:
    """A round under way. ``draw`` takes long and may be called beside other work; answers belong to one thread."""

    def __init__(
        self, asked: Sequence[Asked], progress: Progress, day: int, seed: int, least_seen_l: float = LEAST_SEEN_L
    ) -> None:
        """Begin a round for the learner whose progress this is. ``day`` counts days, ``least_seen_l`` is the screen's L*."""
        self.least_seen_l = least_seen_l
        self.asked = tuple(asked)
        self.learner, self.day = progress.learner, day
        self.answers: list[DrillAnswer] = []
        self._errors = {one.drill: list(progress.recent_errors(one.drill)) for one in asked}
        self._generator = np.random.Generator(np.random.PCG64(seed))
        self._kept: dict[str, DrillDone] = {}

    @property
    def over(self) -> bool:
        """Everything was answered."""
        return len(self.answers) >= len(self.asked)

    @property
    def now(self) -> Asked:
        """What is asked now; the last when the round is over."""
        return self.asked[min(len(self.answers), len(self.asked) - 1)]

    @property
    def right(self) -> int:
        """How many answers were right."""
        return sum(answer.right for answer in self.answers)

    def stop(self) -> None:
        """End the round after what was answered."""
        self.asked = self.asked[: len(self.answers)] or self.asked

    def draw(self) -> DrillItem:
        """Return the next item, as fine as the last answers allow."""
        drill = self.now.drill
        return draw_item(drill, self._generator, self._errors[drill][-ERRORS_LOOKED_AT:], self.least_seen_l)

    def answer(self, item: DrillItem, text: str, folder: Path) -> DrillAnswer:
        """Mark an answer and keep it in the learner's progress.

        Raises Refused for text that answers something else, OutsideError or WritingFailed for the progress; then
        nothing has been answered.
        """
        asked, marked = self.now, answer_item(item, text)
        done = [*zip(self.asked, self.answers, strict=False), (asked, marked)]
        own = [one for what, one in done if what.drill == asked.drill]
        entry = DrillDone(day=self.day, errors=[one.error for one in own], right=sum(one.right for one in own))

        def one_more(progress: Progress) -> Progress:
            before = progress.drills.get(asked.drill, [])
            if before and asked.drill in self._kept and before[-1] == self._kept[asked.drill]:
                progress = progress.model_copy(update={"drills": {**progress.drills, asked.drill: before[:-1]}})
            progress = with_drill(progress, asked.drill, entry)
            return with_recall(progress, asked.skill, self.day, marked.right) if asked.skill else progress

        change_progress(folder, self.learner, one_more)
        self._kept[asked.drill] = entry
        self._errors[asked.drill].append(marked.error)
        self.answers.append(marked)
        return marked


def drill_round(
    drill: str, folder: Path, learner: str, day: int, items: int = ITEMS, seed: int | None = None,
    least_seen_l: float = LEAST_SEEN_L,
) -> DrillRound:
    """Return a new round of a drill; without a seed one by learner, day and round. Raises OutsideError for the progress."""
    progress = read_progress(folder, learner)
    if seed is None:
        seed = round_seed(drill, learner, day, len(progress.drills.get(drill, [])))
    return DrillRound([Asked(drill)] * items, progress, day, seed, least_seen_l)


def recall_round(folder: Path, learner: str, day: int) -> DrillRound | None:
    """Return a round of one item for each skill to recall today, three at most; None when nothing is due."""
    progress = read_progress(folder, learner)
    skills = retrieval_items(progress, day)
    if not skills:
        return None
    return DrillRound(
        [Asked(drill_for(skill), skill) for skill in skills], progress, day, round_seed(RECALL, learner, day, 0)
    )
