"""What the replay of each evening gave, read from where it is kept when it is asked for: a few at hand, of however many."""

from __future__ import annotations

from collections import OrderedDict
from collections.abc import Iterator, Mapping
from pathlib import Path

from sim.marking.kept_work import Marked, kept
from sim.marking.results import SubmissionResult

MOST_AT_HAND = 512  # evenings, some 20 kB each without their pictures


class Replayed(Mapping[str, SubmissionResult]):
    """Results by the content of the file. What was no evening at all is held here; the rest lies in a folder."""

    def __init__(self, folder: Path):
        """Begin with nothing; ``folder`` is where replayed evenings are kept."""
        self.folder = folder
        self._names: dict[str, str] = {}
        self._unread: dict[str, SubmissionResult] = {}
        self._at_hand: OrderedDict[str, SubmissionResult] = OrderedDict()

    def is_kept(self, content: str, name: str, result: SubmissionResult) -> None:
        """Say under which name an evening's work is kept."""
        self._names[content] = name
        self._at_hand[content] = result
        if len(self._at_hand) > MOST_AT_HAND:
            self._at_hand.popitem(last=False)

    def is_nothing(self, content: str, result: SubmissionResult) -> None:
        """Hold the result of a file that could not be read, and of which nothing is kept."""
        self._unread[content] = result

    @property
    def unread(self) -> int:
        """How many files could not be read, or were not."""
        return len(self._unread)

    def marked(self, content: str) -> Marked | None:
        """Return a replayed evening with its pictures."""
        name = self._names.get(content)
        return kept(self.folder, name) if name else None

    def __getitem__(self, content: str) -> SubmissionResult:
        if content in self._unread:
            return self._unread[content]
        if content not in self._at_hand:
            found = self.marked(content)
            if found is None:
                raise KeyError(content)
            self.is_kept(content, self._names[content], found.result)
        return self._at_hand[content]

    def __iter__(self) -> Iterator[str]:
        yield from (*self._names, *self._unread)

    def __len__(self) -> int:
        return len(self._names) + len(self._unread)
