"""What the fit of the papers reads: readings of a paper at several contrast settings, and what filters and grades are for."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import numpy as np
from pydantic import BaseModel, ConfigDict, Field, model_validator

from sim.paper.sensitometry import NET_SPEED_POINT
from sim.quantities import FloatArray
from sim.reading import read_toml
from sim.refusals import Refused

FAMILY_FILE = Path(__file__).with_name("paper_family.toml")
Error = Annotated[float, Field(gt=0.0)]


class _Part(BaseModel):
    model_config = ConfigDict(strict=True, extra="forbid")


class Setting(_Part):
    """Readings of the paper at one contrast setting: log exposures relative to net density 0.60."""

    iso_range: float
    log_exposure: list[float]


class Readings(_Part):
    """One paper read at several settings, softest first; ``net_density`` above base and fog is common to all."""

    net_density: list[float]
    density_error: Error
    log_exposure_error: Error
    iso_range_error: Error
    setting: list[Setting]

    @model_validator(mode="after")
    def _every_density_is_read_at_every_setting(self) -> Readings:
        for number, setting in enumerate(self.setting, 1):
            if len(setting.log_exposure) != len(self.net_density):
                raise Refused(
                    f"setting {number} must have a log_exposure for each of {len(self.net_density)} densities, "
                    f"got {len(setting.log_exposure)}"
                )
        return self

    def errors(self, setting: Setting) -> FloatArray:
        """Return the error of each reading in density: the instrument's, and the exposure's where the curve is steep."""
        net = np.array([*self.net_density, NET_SPEED_POINT])
        log_exposure = np.array([*setting.log_exposure, 0.0])
        order = np.argsort(net)
        slope = np.empty(len(net))
        slope[order] = np.gradient(net[order], log_exposure[order])
        return np.hypot(self.density_error, self.log_exposure_error * slope[:-1])

    def without(self, number: int) -> Readings:
        """Return the readings with one setting left out."""
        kept = [setting for k, setting in enumerate(self.setting) if k != number]
        return self.model_copy(update={"setting": kept})


class FilterAims(_Part):
    """Ranges and equal times wanted from the graded set."""

    temperature_k: float
    names: list[str]
    iso_range: list[float]
    iso_range_error: Error
    double_time_from: str
    unfiltered_iso_range: float


class FixedGrade(_Part):
    """The range of the paper of one grade."""

    iso_range: float
    iso_range_error: Error


class Family(_Part):
    """Everything the fit reads."""

    format: Annotated[int, Field(ge=1, le=1)]
    readings: Readings
    filters: FilterAims
    fixed_grade: FixedGrade


def read_family() -> Family:
    """Return the published readings and ranges that the fit aims at."""
    return read_toml(FAMILY_FILE, Family)
