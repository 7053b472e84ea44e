"""Parts of a course that are served in several places at once, without anybody asking the others."""

from __future__ import annotations

import hashlib
from dataclasses import dataclass

from sim.refusals import Refused

MOST_SHARDS = 1000


@dataclass(frozen=True)
class Shard:
    """Part ``number`` (from 1) of ``count``."""

    number: int
    count: int

    def holds(self, digest: str) -> bool:
        """Tell whether what has this hash belongs to this part."""
        return int(digest[:15], 16) % self.count == self.number - 1

    def holds_learner(self, learner: str) -> bool:
        """Tell whether a learner belongs to this part."""
        return self.holds(hashlib.sha256(learner.encode("utf-8", "backslashreplace")).hexdigest())


def shard_in(text: str | None) -> Shard | None:
    """Return which part of how many ``2/8`` means, None for all. Raises Refused."""
    if text is None:
        return None
    number, _, count = text.partition("/")
    whole = all(word.isascii() and word.isdigit() and len(word) < 6 for word in (number, count))
    if not whole or not 1 <= int(number) <= int(count) <= MOST_SHARDS:
        raise Refused(f"--shard must be a part and how many there are, such as 2/8, at most {MOST_SHARDS}, got {text[:40]!r}")
    return Shard(int(number), int(count))
