"""The developer tray: how far a sheet has come up after so many seconds.

The bath (sim/paper/developer.py) says how fast the first tones come and how fast density builds; the paper says how much
time that takes at 20 degrees C in fresh developer. Before completion the blacks are missing (and no exposure brings them
back); up to about twice the time little changes; beyond it fog creeps in. A tired bath is not a slow fresh one: its
bromide keeps the faintest lights from starting, and that no time brings back. A factor times the time of the first
tones gives nearly the same print cold or warm, because both follow the bath. Sources: L. P. Clerc, Photography: Theory
and Practice, sections 556-557 (black not reached before 140 s, no visible change to 200 s, fog at 280 s;
under-development cannot be made up by exposure); the rest in developer.toml.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Annotated

from pydantic import Field

from sim.control_ranges import checked
from sim.paper.developer import BathWork, print_developer

SHADOWS_FIRST = 0.22  # share of the time in which the lights catch up by a factor e; assumption, so that shadows show first


@dataclass(frozen=True)
class Development:
    """What the sheet got: seconds in the developer, its temperature, and how much work the bath had done before.

    ``sheets_before`` is in sheets of 8x10 in through a bath of ``bath_l`` litres; ``strength`` is over the usual working
    strength; ``age_h`` hours in the open tray.
    """

    time_s: float
    temperature_c: float = 20.0
    sheets_before: float = 0.0
    strength: float = 1.0
    bath_l: float = 1.0
    age_h: float = 0.0

    def __post_init__(self) -> None:
        checked("time_s", self.time_s, "development_time_s")
        checked("temperature_c", self.temperature_c)
        for name in ("sheets_before", "strength", "bath_l", "age_h"):
            checked(name, getattr(self, name))


@dataclass(frozen=True)
class Stage:
    """How far a sheet has come: ``started`` and ``built`` are 0 when the first tones show and 1 at completion.

    ``bromide`` is the restrainer around it, over that of fresh developer.
    """

    started: float
    built: float
    bromide: float


@dataclass(frozen=True)
class DevelopmentResponse:
    """How a stock develops.

    ``completion_time_s`` at 20 degrees C in fresh developer; ``emergence_share`` of it passes before anything shows;
    ``rate`` sets how quickly black builds; ``early_log_shift`` is how much log exposure the light tones lag behind at
    the start; ``fog_per_time`` is fog density per completion time spent beyond twice the completion time.
    """

    completion_time_s: Annotated[float, Field(ge=5.0, le=600.0)]
    emergence_share: Annotated[float, Field(ge=0.0, le=0.5)]
    rate: Annotated[float, Field(ge=0.5, le=20.0)]
    early_log_shift: Annotated[float, Field(ge=0.0, le=3.0)]
    fog_per_time: Annotated[float, Field(ge=0.0, le=1.0)]

    def emergence_time_s(self, development: Development) -> float:
        """Return the seconds until the first tones show in this bath (infinite in a dead one)."""
        start = _work(development).start
        return self.emergence_share * self.completion_time_s / start if start > 0.0 else math.inf

    def time_to_completion_s(self, development: Development) -> float:
        """Return the seconds after which this bath has built what fresh developer builds at 20 degrees C."""
        build = _work(development).build
        return self.emergence_time_s(development) + (
            (1.0 - self.emergence_share) * self.completion_time_s / build if build > 0.0 else math.inf
        )

    def stage(self, development: Development) -> Stage:
        """Return how far the sheet has come; with an emergence time of 0 it starts at once."""
        work = _work(development)
        developing_s = max(0.0, development.time_s - self.emergence_time_s(development))
        whole_s = (1.0 - self.emergence_share) * self.completion_time_s
        return Stage(developing_s * work.start / whole_s, developing_s * work.build / whole_s, work.bromide)

    def progress(self, development: Development) -> float:
        """Return development progress: 1 at completion, ``emergence_share`` when the first tones show."""
        built = self.stage(development).built
        if built > 0.0:
            return self.emergence_share + (1.0 - self.emergence_share) * built
        return development.time_s * _work(development).start / self.completion_time_s

    def image_share(self, stage: Stage) -> float:
        """Return the share of the completed image density that has formed (slightly above 1 beyond completion)."""
        return -math.expm1(-self.rate * stage.built) / -math.expm1(-self.rate)

    def log_shift(self, stage: Stage) -> float:
        """Return the log exposure by which tones lag (0 at completion in fresh developer, negative early or restrained)."""
        late = math.exp(-stage.started / SHADOWS_FIRST) - math.exp(-1.0 / SHADOWS_FIRST)
        return -self.early_log_shift * late - print_developer().speed_lost(stage.bromide)

    def fog_density(self, stage: Stage) -> float:
        """Return chemical fog from staying in too long."""
        progress = self.emergence_share + (1.0 - self.emergence_share) * stage.built
        return self.fog_per_time * max(0.0, progress - 2.0)


def _work(development: Development) -> BathWork:
    loaded = development.sheets_before / development.bath_l
    return print_developer().work(development.temperature_c, loaded, development.strength, development.age_h)
