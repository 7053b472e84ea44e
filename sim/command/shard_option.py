"""The option ``--shard K/N`` of the verbs that serve a whole course: which part of how many is done here."""

from __future__ import annotations

from typing import TYPE_CHECKING

from sim.refusals import Refused

if TYPE_CHECKING:
    from sim.marking.batch import Shard

MOST_SHARDS = 1000


def shard_in(text: str | None) -> Shard | None:
    """Return which part of how many is wanted, None for all. Raises Refused."""
    from sim.marking.batch import Shard

    if text is None:
        return None
    number, _, count = text.partition("/")
    whole = all(word.isascii() and word.isdigit() and len(word) < 6 for word in (number, count))
    if not whole or not 1 <= int(number) <= int(count) <= MOST_SHARDS:
        raise Refused(f"--shard must be a part and how many there are, such as 2/8, at most {MOST_SHARDS}, got {text[:40]!r}")
    return Shard(int(number), int(count))
