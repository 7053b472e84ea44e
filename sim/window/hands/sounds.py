"""What is heard: a relay, a metronome, the last seconds, water, tongs. Each is made here from numbers; each is also seen."""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import Literal

import pygame

Sound = Literal["relay", "tick", "last", "water", "tongs"]
RATE_HZ = 22050
LOUDEST = 12000


def wave_of(sound: Sound) -> bytes:
    """Return a sound as 16-bit samples: short, soft at both ends, the same every time."""
    seconds, at = _made()[sound]
    count = int(seconds * RATE_HZ)
    levels = (max(-1.0, min(1.0, at(n / RATE_HZ))) * min(1.0, (count - n) / 60) for n in range(count))
    return b"".join(int(LOUDEST * level).to_bytes(2, "little", signed=True) for level in levels)


def _ring(hz: float, fade: float) -> Callable[[float], float]:
    """Return a note that dies away."""
    return lambda t: math.sin(2 * math.pi * hz * t) * math.exp(-fade * t)


def _made() -> dict[Sound, tuple[float, Callable[[float], float]]]:
    """Return how long each sound is, and its level at every moment."""
    high, higher = _ring(2600, 60), _ring(3170, 60)
    return {
        "relay": (0.05, lambda t: _ring(1900, 90)(t) + 0.6 * math.exp(-200 * t)),
        "tick": (0.04, _ring(1100, 110)),
        "last": (0.12, _ring(740, 22)),
        "water": (0.5, lambda t: _hiss(t) * math.sin(math.pi * t / 0.5) * 0.35),
        "tongs": (0.09, lambda t: (high(t) + higher(t)) / 2),
    }  # fmt: skip


def _hiss(t: float) -> float:
    """Return noise that is the same every time: what running water sounds like when it is mixed from many slow waves."""
    return math.sin(t * 91000.0 + math.sin(t * 37000.0) * 5.0) * math.sin(t * 5300.0 + 2.0 * math.sin(t * 710.0))


class Sounds:
    """Plays what is heard, where there is a loudspeaker and it is wanted."""

    def __init__(self, on: bool):
        self.on = on
        self._made: dict[Sound, pygame.mixer.Sound] = {}
        self._silent = False

    def play(self, sound: Sound) -> None:
        """Let something be heard; without a loudspeaker nothing happens, now and later."""
        if not self.on or self._silent:
            return
        try:
            if not pygame.mixer.get_init():
                pygame.mixer.init(RATE_HZ, -16, 1, 256)
            if sound not in self._made:
                self._made[sound] = pygame.mixer.Sound(buffer=wave_of(sound))
            self._made[sound].play()
        except (pygame.error, NotImplementedError, OSError, AttributeError):
            self._silent = True
