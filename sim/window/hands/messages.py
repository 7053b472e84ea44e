"""What is said in the room: a line that stays while it is true, and leaves when it has been read or is no longer so."""

from __future__ import annotations

import logging
from collections import deque
from collections.abc import Callable
from dataclasses import dataclass

from sim.plain_text import one_line

KEPT, MOST_CHARACTERS = 200, 400
LEAST_S, REFUSED_LEAST_S, S_A_CHARACTER = 4.0, 6.0, 0.07  # long enough to be read twice (about 150 words a minute)


@dataclass(frozen=True)
class Message:
    """One thing said: it stays while ``holds`` says so, or as long as reading it takes."""

    words: str
    warn: bool = False
    holds: Callable[[], bool] | None = None


class Messages:
    """The line that is seen, and what was said before."""

    def __init__(self, log: logging.Logger):
        self.said: deque[Message] = deque(maxlen=KEPT)
        self.now: Message | None = None
        self._left_s = 0.0
        self._log = log

    def say(self, words: str, warn: bool = False, holds: Callable[[], bool] | None = None) -> None:
        """Say something; with ``holds`` it stays exactly as long as that is so."""
        clean = one_line(words)[:MOST_CHARACTERS]
        if not clean:
            return
        self.now = Message(clean, warn, holds)
        self._left_s = max(REFUSED_LEAST_S if warn else LEAST_S, S_A_CHARACTER * len(clean))
        self.said.append(self.now)
        self._log.log(logging.WARNING if warn else logging.INFO, "%s", clean)

    def done(self) -> None:
        """Something was done: what was refused before is no longer the matter."""
        if self.now is not None and self.now.warn and self.now.holds is None:
            self.now = None

    def update(self, dt_s: float) -> bool:
        """Let time pass; returns whether a message left."""
        if self.now is None:
            return False
        self._left_s -= dt_s
        stays = self.now.holds() if self.now.holds is not None else self._left_s > 0.0
        if not stays:
            self.now = None
        return not stays
