"""A beat to count by: a lamp that blinks, and if wanted a tick to hear. Never faster than the eye can bear."""

from __future__ import annotations

import pygame

from sim.window.preferences import LEAST_BEAT_S

FLASH_S = 0.15


class Beat:
    """Counts beats while it is on. ``lit`` is the visual half; the sound is a twin of it and may be missing."""

    def __init__(self, beat_s: float = 1.0):
        self.beat_s = max(LEAST_BEAT_S, beat_s)
        self.on = False
        self.elapsed_s = 0.0
        self.count = 0
        self._tick: pygame.mixer.Sound | None = None
        self._no_sound = False

    @property
    def lit(self) -> bool:
        """The lamp is lit for a moment at every beat."""
        return self.on and self.elapsed_s % self.beat_s < FLASH_S

    def start(self, on: bool) -> None:
        """Start at one, or stop."""
        self.on, self.elapsed_s, self.count = on, 0.0, 0

    def update(self, dt_s: float, sound: bool) -> None:
        """Let time pass."""
        if not self.on:
            return
        self.elapsed_s += dt_s
        count = int(self.elapsed_s / self.beat_s) + 1
        if count != self.count:
            self.count = count
            if sound:
                self._sound()

    def _sound(self) -> None:
        if self._no_sound:
            return
        try:
            if self._tick is None:
                pygame.mixer.init(22050, -16, 1, 256)
                wave = b"".join(
                    int(9000 * (1 - n / 600) * (1 if (n // 9) % 2 else -1)).to_bytes(2, "little", signed=True)
                    for n in range(600)
                )
                self._tick = pygame.mixer.Sound(buffer=wave)
            self._tick.play()
        except (pygame.error, NotImplementedError, OSError, AttributeError):
            self._no_sound = True  # no loudspeaker: the lamp goes on counting
