"""The developer tray: how far a sheet has come up after so many seconds.

Time, temperature and tiring act together through ONE development progress: 1 means developed to completion as the
stock's sheet asks. Before that the blacks are missing (and no exposure brings them back); up to about twice the time
little changes; beyond it fog creeps in. Sources: L. P. Clerc, Photography: Theory and Practice, sections 556-557
(black not reached before 140 s, no visible change to 200 s, fog at 280 s; under-development cannot be made up by
exposure); rate doubles per about 10 degrees C (rule of thumb, common practice).
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Annotated

from pydantic import Field

from sim.control_ranges import checked
from sim.reading import OUTSIDE_RULES

HALF_LIFE_H = 24.0  # a tray left open works at half its rate after a day (assumption); half_life_sheets is of one litre


@dataclass(frozen=True)
class Development:
    """What the sheet got: seconds in the developer, its temperature, and how much work the bath had done before.

    ``sheets_before`` is in sheets of 8x10 in through a bath of ``bath_l`` litres; ``strength`` is over the usual working
    strength; ``age_h`` hours in the open tray.
    """

    __pydantic_config__ = OUTSIDE_RULES

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
class DevelopmentResponse:
    """How a stock develops.

    ``completion_time_s`` at 20 degrees C in fresh developer; ``emergence_share`` of it passes before anything shows;
    ``rate`` sets how quickly black builds; ``early_log_shift`` is how much log exposure the light tones lag behind at
    the start; ``doubling_c`` is the temperature step that doubles the rate; ``half_life_sheets`` is the number of
    sheets of 8x10 in after which the bath works at half its rate; ``fog_per_time`` is fog density per completion time
    spent beyond twice the completion time.
    """

    __pydantic_config__ = OUTSIDE_RULES
    completion_time_s: Annotated[float, Field(ge=5.0, le=600.0)]
    emergence_share: Annotated[float, Field(ge=0.0, le=0.5)]
    rate: Annotated[float, Field(ge=0.5, le=20.0)]
    early_log_shift: Annotated[float, Field(ge=0.0, le=3.0)]
    doubling_c: Annotated[float, Field(ge=3.0, le=30.0)]
    half_life_sheets: Annotated[float, Field(gt=0.0, le=10_000.0)]
    fog_per_time: Annotated[float, Field(ge=0.0, le=1.0)]

    def progress(self, development: Development) -> float:
        """Return development progress: 1 at completion, 0 before the image emerges."""
        warmth = 2.0 ** ((development.temperature_c - 20.0) / self.doubling_c)
        worn = development.sheets_before / development.bath_l / self.half_life_sheets + development.age_h / HALF_LIFE_H
        return development.time_s * warmth * development.strength * 2.0**-worn / self.completion_time_s

    def _since_emergence(self, progress: float) -> float:
        return max(0.0, (progress - self.emergence_share) / (1.0 - self.emergence_share))

    def image_share(self, progress: float) -> float:
        """Return the share of the completed image density that has formed (slightly above 1 beyond completion)."""
        x = self._since_emergence(progress)
        return -math.expm1(-self.rate * x) / -math.expm1(-self.rate)

    def log_shift(self, progress: float) -> float:
        """Return the log exposure by which light tones still lag (negative early, 0 at completion)."""
        x = self._since_emergence(progress)
        decay = 0.22  # share of the completion time; assumption, chosen so that shadows show first
        return -self.early_log_shift * (math.exp(-x / decay) - math.exp(-1.0 / decay))

    def fog_density(self, progress: float) -> float:
        """Return chemical fog from staying in too long."""
        return self.fog_per_time * max(0.0, progress - 2.0)
