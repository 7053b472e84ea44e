"""The developer in the tray: a fast agent that starts the image, a building agent that keeps it going, and what slows both.

The fast agent alone makes every grain begin and builds a part; the building agent renews it where it works (the two
together do more than each alone: superadditivity), so their joint part goes as the root of both. Each has its own
activation energy. What a sheet's silver takes out of a litre and gives into it is plain chemistry: builder and alkali
are used up, bromide piles up; bromide slows both and costs speed. And every sheet carries developer away in its paper and on
its faces, so the next one works in less of it. Nothing here is fitted to a print. Sources: developer.toml.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path
from typing import Annotated

from pydantic import ConfigDict, Field, model_validator

from sim.reading import OutsideFile, OutsideTable, Uncertainty, read_toml, refuse_unsourced

DEVELOPER_FILE = Path(__file__).with_name("developer.toml")
EMPTY_SHARE = 1e-9  # of the litre, below which the tray is dry
GAS_CONSTANT_KJ_MOL_K = 8.314462618e-3
NORMAL_K = 293.15  # 20 degrees C, where a paper's own times hold

Energy = Annotated[float, Field(ge=5.0, le=200.0)]
Amount = Annotated[float, Field(gt=0.0, le=5000.0)]
Share = Annotated[float, Field(ge=0.0, le=1.0)]


@dataclass(frozen=True)
class BathWork:
    """What a bath does, over the fresh bath of working strength at 20 degrees C.

    ``start`` is the pace of the fast agent (and of the first tones), ``build`` the pace at which density grows,
    ``bromide`` the restrainer's concentration over that of fresh developer of the same strength.
    """

    start: float
    build: float
    bromide: float


class Developer(OutsideTable):
    """Agents, alkali and restrainer of a developer at working strength; amounts in mmol per litre.

    ``start_share`` of the fresh pace at 20 degrees C is the fast agent's alone. ``silver_mmol_sheet`` is what an 8x10 in
    sheet develops on average, ``carried_ml_sheet`` the developer that leaves the tray with it; ``bromide_share`` of the halide
    set free is bromide. ``rate_by_bromide``: pace goes as bromide to the power of minus this. ``speed_by_bromide``: log
    exposure lost per tenfold bromide. ``half_life_h``: of both agents in the open tray.
    """

    model_config = ConfigDict(frozen=True)
    start_activation_kj_mol: Energy
    build_activation_kj_mol: Energy
    start_share: Share
    builder_mmol_l: Amount
    alkali_mmol_l: Amount
    bromide_mmol_l: Amount
    silver_mmol_sheet: Amount
    carried_ml_sheet: Amount
    bromide_share: Share
    rate_by_bromide: Share
    speed_by_bromide: Share
    half_life_h: Amount

    def work(self, temperature_c: float, sheets_per_l: float, strength: float = 1.0, age_h: float = 0.0) -> BathWork:
        """Return what a bath does at 13 to 30 degrees C after so many sheets of 8x10 in per litre.

        ``strength`` is over the working strength, ``age_h`` hours in the open tray. Arrhenius' law for each agent; the amounts
        by the equation of development (one halide and one hydrogen ion per silver atom, two silver atoms per builder).
        """
        silver = self.silver_mmol_l(sheets_per_l)
        kept = strength * 2.0 ** (-age_h / self.half_life_h)
        builder = max(0.0, kept - 0.5 * silver / self.builder_mmol_l)
        alkali = max(0.0, 1.0 - silver / (strength * self.alkali_mmol_l))
        bromide = 1.0 + self.bromide_share * silver / (strength * self.bromide_mmol_l)
        pace = alkali * bromide**-self.rate_by_bromide
        start = kept * pace * _warmth(self.start_activation_kj_mol, temperature_c)
        together = math.sqrt(kept * builder) * pace * _warmth(self.build_activation_kj_mol, temperature_c)
        return BathWork(start, self.start_share * start + (1.0 - self.start_share) * together, bromide)

    def silver_mmol_l(self, sheets_per_l: float) -> float:
        """Return the silver that what is left of a litre has developed, in mmol per litre, after so many sheets of 8x10 in.

        Each sheet gives its share to what the sheets before it left in the tray: the sum of silver / (1 - carried), in the
        limit of small sheets (balance of mass).
        """
        carried_l = 1e-3 * self.carried_ml_sheet
        left = max(1.0 - sheets_per_l * carried_l, EMPTY_SHARE)
        return -self.silver_mmol_sheet / carried_l * math.log(left)

    def speed_lost(self, bromide: float) -> float:
        """Return the log exposure that restrainer costs, for its concentration over the fresh one (1 or more)."""
        return self.speed_by_bromide * math.log10(bromide)


def _warmth(activation_kj_mol: float, temperature_c: float) -> float:
    """Return how many times faster a step of an activation energy goes than at 20 degrees C (Arrhenius)."""
    kelvin = temperature_c + 273.15
    return math.exp(activation_kj_mol / GAS_CONSTANT_KJ_MOL_K * (1.0 / NORMAL_K - 1.0 / kelvin))


class _DeveloperFile(OutsideFile):
    developer: Developer
    sources: dict[str, str]
    uncertainty: dict[str, Uncertainty]

    @model_validator(mode="after")
    def _every_number_has_a_source(self) -> _DeveloperFile:
        refuse_unsourced(Developer.model_fields, self.sources, self.uncertainty)
        return self


@lru_cache(maxsize=1)
def print_developer() -> Developer:
    """Return the developer in the tray."""
    return read_toml(DEVELOPER_FILE, _DeveloperFile).developer
