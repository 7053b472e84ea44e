"""An enlarger of one's own from prints made with it: level, marks, filters, height, dead time, corners.

Every reading is one grey patch of known light on a known paper. The paper's curve turns its density into light, and the
light's differences say what the enlarger does. All numbers have a prior: each reading improves what it can, and no more.
Shorter is one print that was right (``right_prints``, ``right_print``).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from sim.calibration.corners import Corners
from sim.calibration.empty_gate import empty_gate_bench
from sim.calibration.head_cone import Cone, cone_of
from sim.calibration.own_curves import curve_in_light
from sim.calibration.right_prints import LEAST_LEVEL_ERROR, LEVEL_PRIOR, together_of
from sim.enlarger.equipment import Head
from sim.enlarger.filters import FilterSetting
from sim.enlarger.geometry import lens_tangent
from sim.enlarger.illuminance import open_gate_lux
from sim.enlarger.light_given import dead_time_s, expected_light_s
from sim.enlarger.own_light import FILTER_ERROR, MARK_ERROR, POWER_ERROR, Factor, OwnLight
from sim.enlarger.settings import checked_aperture
from sim.enlarger.spectra import per_lux
from sim.negative.negative import NORMAL_GAMMA
from sim.paper.sensitometry import CharacteristicCurve
from sim.paper.stock import Stock
from sim.quantities import FloatArray
from sim.refusals import Refused

DEAD_TIME_PRIOR_S = 0.3
CORNER_PRIOR = 0.3  # log10
PATCH_ERROR = 0.02  # density of one reading
LEAST_SLOPE = 0.35  # density per log exposure below which a patch says little of the light
MOST_STRAY = 5.0  # errors


@dataclass(frozen=True)
class Patch:
    """One grey patch: how it was exposed, what it read. ``wedge`` is the density laid over it, ``corner`` where it lay.

    ``off_mm`` is how far from the middle of the light a corner lay on the paper (0: not said).

    ``bursts`` is the number of switchings that the seconds were cut into; ``row`` is its line in the table, for refusals.
    ``film`` is the density above clear film of the step in the carrier that it was printed through (None: empty carrier).
    """

    height_mm: float
    f_number: float
    filter: str
    seconds: float
    density: float
    bursts: int = 1
    wedge: float = 0.0
    corner: bool = False
    row: int = 0
    off_mm: float = 0.0
    film: float | None = None


@dataclass(frozen=True)
class OwnEnlarger:
    """What was found: the measured light, the level (log10 against the head begun from), and seconds lost a switching.

    ``left_open`` names what no reading told; ``misfit`` is the mean square of the readings' misses in their errors. ``cone``
    is what film steps told of the head's light (None: no step was printed).
    """

    light: OwnLight
    log_level: float
    dead_time_s: float | None
    left_open: tuple[str, ...]
    misfit: float
    cone: Cone | None = None


class _Numbers:
    """Which numbers the patches can tell, and where each stands among the free ones."""

    def __init__(self, patches: Sequence[Patch], magnifications: Sequence[float]):
        first = patches[0]
        self.filters = tuple(dict.fromkeys(p.filter for p in patches if p.filter != first.filter))
        self.marks = tuple(dict.fromkeys(p.f_number for p in patches if p.f_number != first.f_number))
        self.sizes = len({round(m, 3) for m in magnifications}) > 1
        self.bursts = len({(p.bursts, p.seconds) for p in patches}) > 1 and any(p.bursts > 1 for p in patches)
        self.corner = any(p.corner for p in patches)
        names = ["level", *(f"filter {f}" for f in self.filters), *(f"mark {m:g}" for m in self.marks)]
        names += ["power"] * self.sizes + ["dead time"] * self.bursts + ["corner"] * self.corner
        self.at = {name: k for k, name in enumerate(names)}
        priors = {"level": LEVEL_PRIOR, "power": POWER_ERROR, "dead time": DEAD_TIME_PRIOR_S, "corner": CORNER_PRIOR}
        self.priors = np.array([priors.get(n, FILTER_ERROR if n.startswith("filter") else MARK_ERROR) for n in names])

    def of(self, free: FloatArray, name: str) -> float:
        """Return a number in its own unit; nil where nothing tells it."""
        return float(free[self.at[name]] * self.priors[self.at[name]]) if name in self.at else 0.0


def enlarger_of_patches(
    head: Head, lens: str, stock: Stock, patches: Sequence[Patch], film_gamma: float = NORMAL_GAMMA
) -> OwnEnlarger:
    """Return the enlarger that the patches tell, begun from a head. Raises Refused naming the line that cannot be.

    ``film_gamma`` is that to which the film wedge was developed whose steps lay in the carrier.
    """
    steps = [patch for patch in patches if patch.film is not None]
    found = _of_empty_gate(head, lens, stock, [patch for patch in patches if patch.film is None])
    if not steps:
        return replace(found, left_open=(*found.left_open, "head"))
    return replace(found, cone=_cone(replace(head, own=None), lens, stock, steps, film_gamma))


def _cone(head: Head, lens: str, stock: Stock, steps: Sequence[Patch], film_gamma: float) -> Cone:
    """Return what steps of a film wedge in the carrier tell of a head's light."""
    bench = empty_gate_bench(head.name, lens, steps[0].height_mm)
    told = [_log_light(stock, head, patch) for patch in steps]
    given = [np.log10(max(p.bursts * expected_light_s(p.seconds / p.bursts, head), 0.01)) - p.wedge for p in steps]
    log_light = np.array([light for light, _ in told]) - np.array(given)
    tangent = lens_tangent(checked_aperture(bench.lens, steps[0].f_number), bench.magnification)
    return cone_of(steps, log_light, np.array([error for _, error in told]), tangent, film_gamma)


def _of_empty_gate(head: Head, lens: str, stock: Stock, patches: Sequence[Patch]) -> OwnEnlarger:
    """Return what patches printed with an empty carrier tell."""
    from scipy.optimize import least_squares

    if not patches:
        raise Refused("the table must hold one patch or more with an empty carrier, got none")
    benches = [empty_gate_bench(head.name, lens, p.height_mm) for p in patches]
    size = [bench.magnification for bench in benches]
    numbers, plain = _Numbers(patches, size), replace(head, own=None)
    supposed = [
        np.log10(open_gate_lux(replace(b, head=plain), p.f_number)) - p.wedge
        for b, p in zip(benches, patches, strict=True)
    ]
    far = Corners.of([replace(b, head=plain) for b in benches], patches)
    supposed = [light + of_lens for light, of_lens in zip(supposed, far.of_lens, strict=True)]
    told = [_log_light(stock, plain, p) for p in patches]
    usual_s = dead_time_s(plain)

    def missed(free: FloatArray) -> FloatArray:
        out = []
        for p, m, before, reach, (log_h, error) in zip(patches, size, supposed, far.reach, told, strict=True):
            each = p.seconds / p.bursts
            lit = (
                expected_light_s(each, plain) if not numbers.bursts else each - usual_s - numbers.of(free, "dead time")
            )
            log_light = before + np.log10(max(p.bursts * lit, 0.01)) + numbers.of(free, "level")
            log_light += numbers.of(free, f"filter {p.filter}") + numbers.of(free, f"mark {p.f_number:g}")
            log_light += numbers.of(free, "power") * np.log10((1.0 + m) / (1.0 + size[0]))
            log_light += numbers.of(free, "corner") * reach
            out.append((log_light - log_h) / error)
        return np.array(out)

    solution = least_squares(lambda x: np.concatenate([missed(x), x]), np.zeros(len(numbers.at)), x_scale=1.0)
    off = missed(solution.x)
    _refuse_stray(patches, off, [error for _, error in told])
    misfit = float(np.mean(off**2))
    both = np.linalg.inv(solution.jac.T @ solution.jac) * max(misfit, 1.0) * np.outer(numbers.priors, numbers.priors)
    found = _found(numbers, solution.x, both, patches[0], size[0], stock, usual_s, misfit)
    return replace(found, light=far.told(found.light, numbers.of(solution.x, "corner")))


def _refuse_stray(patches: Sequence[Patch], off: FloatArray, errors: Sequence[float]) -> None:
    """Refuse the patch that lies furthest from what the others ask for, when no error of reading explains it."""
    worst = int(np.argmax(np.abs(off)))
    if abs(off[worst]) <= MOST_STRAY:
        return
    stops, way = abs(off[worst] * errors[worst]) / float(np.log10(2.0)), "more" if off[worst] < 0 else "less"
    raise Refused(
        f"line {patches[worst].row} must go with the others, got density {patches[worst].density:.2f}, which tells "
        f"{stops:.2f} stop {way} light than they do: read it again"
    )


def _found(
    numbers: _Numbers, free: FloatArray, both: FloatArray, first: Patch, magnification: float, stock: Stock, usual_s: float,
    misfit: float,
) -> OwnEnlarger:  # fmt: skip
    sure, acting = np.sqrt(np.diag(both)), [k for k, n in enumerate(numbers.at) if n not in ("dead time", "corner")]

    def factor(kind: str, name: str) -> Factor:
        key = f"{kind} {name}"
        return Factor(name, round(numbers.of(free, key), 4), round(float(sure[numbers.at[key]]), 4))

    power_error = round(float(sure[numbers.at["power"]]), 4) if numbers.sizes else POWER_ERROR
    light = OwnLight(
        stock.name, round(max(float(sure[0]), LEAST_LEVEL_ERROR), 4), first.filter, first.f_number, round(magnification, 3),
        tuple(factor("filter", f) for f in numbers.filters), tuple(factor("mark", f"{m:g}") for m in numbers.marks),
        round(numbers.of(free, "power"), 4), power_error,
        together=together_of([list(numbers.at)[k] for k in acting], both[np.ix_(acting, acting)]),
    )  # fmt: skip
    told = {"filters": bool(numbers.filters), "marks": bool(numbers.marks), "height": numbers.sizes,
            "dead time": numbers.bursts, "corners": numbers.corner}  # fmt: skip
    lost_s = round(max(usual_s + numbers.of(free, "dead time"), 0.0), 3) if numbers.bursts else None
    return OwnEnlarger(light, numbers.of(free, "level"), lost_s, tuple(k for k, v in told.items() if not v), misfit)


def _log_light(stock: Stock, head: Head, patch: Patch) -> tuple[float, float]:
    """Return log10 lux s of unfiltered light that a patch's density tells, and its standard error."""
    blue, green = stock.emulsion.exposures(
        per_lux(head.lamp) * FilterSetting.named(patch.filter).densities().transmittance()
    )
    more_blue, more_green = stock.seen_behind(patch.filter)
    curve = curve_in_light(stock, blue * more_blue, green * more_green)
    return _log_h_at(curve, patch)


def _log_h_at(curve: CharacteristicCurve, patch: Patch) -> tuple[float, float]:
    density, log_h = curve.density, curve.log_exposure
    at = float(np.interp(patch.density, density, log_h))
    slope = float((np.interp(at + 0.02, log_h, density) - np.interp(at - 0.02, log_h, density)) / 0.04)
    if not density[0] < patch.density < density[-1] or slope < LEAST_SLOPE:
        raise Refused(
            f"line {patch.row}: density must be a middle grey of this paper, well between its white {density[0]:.2f} and its "
            f"black {density[-1]:.2f}, got {patch.density:.2f}: nothing can be told from it"
        )
    return at, float(np.hypot(PATCH_ERROR / slope, 0.004))
