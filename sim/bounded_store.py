"""What was made lately, kept within so many bytes: the one rule for every store of prints, pictures, lights and texts.

A count of things is no bound: eighty pictures of a small window are ten megabytes, of a large one a gigabyte.
"""

from __future__ import annotations

from collections import OrderedDict
from collections.abc import Callable, Hashable, Iterator
from typing import Any, Generic, TypeVar

V = TypeVar("V")
MEGABYTE = 1024 * 1024
LEAST_BYTES = 200  # what a key, an entry and its objects take at least


def bytes_of(value: Any) -> int:
    """Return the memory of the arrays and pictures that a value holds, each counted once; the rest is small change."""
    return LEAST_BYTES + sum(_large_ones(value, set()))


def _large_ones(value: Any, seen: set[int]) -> Iterator[int]:
    """Yield the bytes of every array or surface in a value, in its fields, and in the lists and tables it holds."""
    while getattr(value, "base", None) is not None and hasattr(value, "nbytes"):
        value = value.base  # a view keeps the whole array alive
    if id(value) in seen:
        return
    seen.add(id(value))
    if isinstance(getattr(value, "nbytes", None), int):
        yield value.nbytes
    elif hasattr(value, "get_bytesize") and hasattr(value, "get_size"):  # a picture of the window
        wide, high = value.get_size()
        yield wide * high * value.get_bytesize()
    elif isinstance(value, bytes | bytearray):
        yield len(value)
    elif isinstance(value, tuple | list):
        for inner in value:
            yield from _large_ones(inner, seen)
    elif isinstance(value, dict):
        for inner in value.values():
            yield from _large_ones(inner, seen)
    elif hasattr(value, "__dict__") and not isinstance(value, type):
        # the fields of a dataclass; what was worked out once and kept (cached_property) stands there too
        yield from _large_ones(vars(value), seen)


class KeptWithin(Generic[V]):
    """Keeps what was used last, within ``most_bytes`` and, where given, ``most`` things; the newest is always kept.

    ``size`` says what a thing takes when it is put in; things that grow later (a light works its neutral picture out when
    it is first asked) state what they may grow to.
    """

    def __init__(self, most_bytes: int, size: Callable[[V], int] = bytes_of, most: int | None = None):
        self.most_bytes = most_bytes
        self._size, self._most = size, most
        self._things: OrderedDict[Hashable, tuple[V, int]] = OrderedDict()
        self.bytes = 0

    def __len__(self) -> int:
        return len(self._things)

    def __contains__(self, key: Hashable) -> bool:
        return key in self._things

    def get(self, key: Hashable) -> V | None:
        """Return what is kept under a key, which makes it the last used; None when it is not there."""
        found = self._things.get(key)
        if found is None:
            return None
        self._things.move_to_end(key)
        return found[0]

    def put(self, key: Hashable, thing: V) -> V:
        """Keep a thing and let go of those used longest ago, as far as the bound asks; returns the thing."""
        self.drop(key)
        size = self._size(thing)
        self._things[key] = thing, size
        self.bytes += size
        while len(self._things) > 1 and (
            self.bytes > self.most_bytes or (self._most is not None and len(self._things) > self._most)
        ):
            self.bytes -= self._things.popitem(last=False)[1][1]
        return thing

    def keep(self, key: Hashable, make: Callable[[], V]) -> V:
        """Return what is kept under a key, or make it and keep it."""
        found = self.get(key)
        return self.put(key, make()) if found is None else found

    def drop(self, key: Hashable) -> None:
        """Let go of one thing, if it is there."""
        gone = self._things.pop(key, None)
        if gone is not None:
            self.bytes -= gone[1]
