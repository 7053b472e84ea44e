"""In what a paper of one's own may differ from the generic one, each number with how far papers are apart in it.

Its speed; its grains as ``grain_parts`` says them (how much green dye they took up, the curve they share); silver and base.
And two numbers of every setting's light: lamp and filters cannot be told from the paper, but how the settings stand to each
other can. All are counted in their prior's standard deviations; the generic paper is nil throughout.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from sim.calibration.grain_parts import NODES, UNDYED, DyedGrains
from sim.paper.emulsion import Emulsion
from sim.paper.stock import Stock
from sim.quantities import FloatArray
from sim.refusals import Refused

# Standard deviation from paper to paper. Speed: makers' figures of one kind lie within a stop (from memory). The others are
# assumptions, wide enough that ISO R of one filter moves by 20 to 30.
SPREADS = {
    "speed": 0.20,  # log10
    "green": 0.20,  # log10: all green sensitivities against blue
    "curve_a": 0.10,  # ln
    "curve_b": 0.25,  # ln
    "undyed": 0.35,  # ln: grains without dye against those with much
    "little": 0.35,  # ln: grains with little dye against those with much
    "little_at": 0.12,  # log10
    "little_spread": 0.20,  # ln
    "much_spread": 0.20,  # ln
    "spread": 0.25,  # ln: of blue speeds, in a paper of one grade
    "silver": 0.05,  # ln: image density
    "base": 0.02,  # density of the clean base
}
SPEED_NOT_KNOWN = 1.0  # log10, where nobody measured the light: exposures then only stand to each other
OF_ONE_GRADE = ("speed", "curve_a", "curve_b", "spread", "silver", "base")
SHARED = tuple(name for name in SPREADS if name != "spread")
LIGHT_SPREADS = (
    0.04,
    0.015,
)  # log10 a setting: all its light, and its green against its blue (sets of filters; assumption)


@dataclass(frozen=True)
class Generic:
    """A paper to begin from, its grains told in few numbers; ``green_at`` is where those with much dye lie (log10)."""

    stock: Stock
    grains: DyedGrains | None
    green_at: float

    @classmethod
    def of(cls, stock: Stock) -> Generic:
        """Return a stock as a place to begin. Raises Refused where its grains are not told by the three parts."""
        if not stock.is_variable_contrast:
            return cls(stock, None, 0.0)
        grains, green_at = grains_of(stock.emulsion)
        return cls(stock, grains, green_at)


def grains_of(emulsion: Emulsion) -> tuple[DyedGrains, float]:
    """Return the three parts of an emulsion whose first class has no dye, and where the grains with much dye lie."""
    from scipy.optimize import least_squares

    nodes, weights = np.array(emulsion.green_nodes), np.array(emulsion.green_weights)
    if len(nodes) < 6:
        raise Refused("the paper to begin from must have grains with and without green dye, got another kind")
    at, undyed = float(nodes[0] - UNDYED), float(weights[0])
    step = float(np.median(np.diff(nodes[1:])))
    dyed, density = nodes[1:] - at, weights[1:] / step

    def bell(centre: float, log_spread: float) -> FloatArray:
        spread = np.exp(log_spread)
        return np.asarray(np.exp(-0.5 * ((dyed - centre) / spread) ** 2) / (spread * np.sqrt(2.0 * np.pi)))

    def off(free: FloatArray) -> FloatArray:
        little = (1.0 - undyed) / (1.0 + np.exp(-free[0]))
        return np.asarray(little * bell(free[1], free[2]) + (1.0 - undyed - little) * bell(0.0, free[3]) - density)

    found = least_squares(off, (0.6, -0.65, -0.9, -1.6))
    if np.sqrt(np.mean(np.square(found.fun))) > 0.02 * density.max():
        raise Refused("the paper to begin from must have its green dye in two bells, got another spread of it")
    little = (1.0 - undyed) / (1.0 + np.exp(-found.x[0]))
    spreads = np.exp(found.x[[2, 3]])
    grains = DyedGrains(
        emulsion.curve_a,
        emulsion.curve_b,
        undyed,
        float(little),
        float(found.x[1]),
        float(spreads[0]),
        float(spreads[1]),
    )
    return grains, at


@dataclass(frozen=True)
class Freedom:
    """Which numbers the readings may move: those of the paper, and two for the light of every setting."""

    shared: tuple[str, ...]
    settings: int

    @classmethod
    def of(cls, generic: Generic, settings: int) -> Freedom:
        """Return the freedom of a paper like the generic one, read behind so many settings."""
        return cls(SHARED if generic.grains else OF_ONE_GRADE, settings)

    @property
    def count(self) -> int:
        """How many numbers there are."""
        return len(self.shared) + 2 * self.settings

    def light_of(self, free: FloatArray, setting: int) -> tuple[float, float]:
        """Return by how much blue and green light of a setting are stronger than supposed (log10)."""
        at = len(self.shared) + 2 * setting
        all_light, ratio = LIGHT_SPREADS[0] * free[at], LIGHT_SPREADS[1] * free[at + 1]
        return float(all_light - 0.5 * ratio), float(all_light + 0.5 * ratio)


def shaped(generic: Generic, freedom: Freedom, free: FloatArray, speed_spread: float = SPREADS["speed"]) -> Stock:
    """Return the generic paper moved by ``free`` (in standard deviations)."""
    moved = {name: free[k] * SPREADS[name] for k, name in enumerate(freedom.shared)}
    emulsion = _dyed(generic, moved) if generic.grains else _graded(generic.stock.emulsion, moved)
    own = generic.stock.emulsion
    emulsion = replace(
        emulsion,
        log_speed=float(np.clip(own.log_speed + free[0] * speed_spread, -6.0, 12.0)),
        image_density=float(np.clip(own.image_density * np.exp(moved["silver"]), 0.5, 4.0)),
    )
    base = float(np.clip(generic.stock.base_density + moved["base"], 0.0, 0.5))
    return replace(generic.stock, emulsion=emulsion, base_density=base)


def moved_grains(grains: DyedGrains, moved: dict[str, float]) -> DyedGrains:
    """Return grains with their seven numbers moved; shares stay shares."""
    undyed, little = grains.undyed * np.exp(moved["undyed"]), grains.little * np.exp(moved["little"])
    total = undyed + little + grains.much
    return DyedGrains(
        float(np.clip(grains.curve_a * np.exp(moved["curve_a"]), 1.0, 30.0)),
        float(np.clip(grains.curve_b * np.exp(moved["curve_b"]), 0.05, 20.0)),
        float(undyed / total),
        float(little / total),
        float(np.clip(grains.little_at + moved["little_at"], NODES[0], 0.0)),
        float(np.clip(grains.little_spread * np.exp(moved["little_spread"]), 0.05, 1.2)),
        float(np.clip(grains.much_spread * np.exp(moved["much_spread"]), 0.05, 1.2)),
    )


def _dyed(generic: Generic, moved: dict[str, float]) -> Emulsion:
    assert generic.grains is not None
    emulsion = moved_grains(generic.grains, moved).emulsion(generic.stock.emulsion.image_density, whole_grid=True)
    at = generic.green_at + moved["green"]
    return replace(emulsion, green_nodes=tuple(node + at for node in emulsion.green_nodes))


def _graded(emulsion: Emulsion, moved: dict[str, float]) -> Emulsion:
    """Return the emulsion of one grade with the speeds of its grains further apart or nearer."""
    nodes, weights = np.array(emulsion.blue_nodes), np.array(emulsion.blue_weights)
    centre = float(nodes @ weights)
    places = centre + (nodes - centre) * np.exp(moved["spread"])
    return replace(
        emulsion,
        curve_a=float(np.clip(emulsion.curve_a * np.exp(moved["curve_a"]), 1.0, 30.0)),
        curve_b=float(np.clip(emulsion.curve_b * np.exp(moved["curve_b"]), 0.05, 20.0)),
        blue_nodes=tuple(np.clip(places, -5.0, 3.0).tolist()),
    )
