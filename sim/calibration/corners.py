"""Light in the corners of one's own easel: what of it the lens explains, and what the head must be uneven by.

The lens's part is the fourth power of the cosine and its barrel. The rest is taken to be the head's: it falls with the square
of the distance from the axis on the film, as uneven light does near its middle (first term of any even law; assumption).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Protocol

import numpy as np

from sim.enlarger.fall_off import light_by_radius
from sim.enlarger.own_light import OwnLight
from sim.enlarger.settings import Bench, checked_aperture
from sim.refusals import Refused


class LaidPatch(Protocol):
    """What must be known of a patch here: whether it lay in a corner, how far out, at which mark, and its row."""

    @property
    def corner(self) -> bool: ...
    @property
    def off_mm(self) -> float: ...
    @property
    def f_number(self) -> float: ...
    @property
    def row(self) -> int: ...


@dataclass(frozen=True)
class Corners:
    """Per patch what the lens takes away where it lay (log10), and how far out it lay against the first corner, squared.

    ``film_mm`` is how far from the axis that first corner lies on the film; None where nobody said how far out it was.
    """

    of_lens: tuple[float, ...]
    reach: tuple[float, ...]
    film_mm: float | None

    @classmethod
    def of(cls, benches: Sequence[Bench], patches: Sequence[LaidPatch]) -> Corners:
        """Return what patches in corners ask of lens and head. Raises Refused where only some say how far out they lay."""
        laid = [(b, p) for b, p in zip(benches, patches, strict=True) if p.corner]
        silent = [p for _, p in laid if p.off_mm <= 0.0]
        if not laid or len(silent) == len(laid):
            return cls((0.0,) * len(patches), tuple(float(p.corner) for p in patches), None)
        if silent:
            rule = "off_mm must say how far from the middle the corner was read, as others do"
            raise Refused(f"line {silent[0].row}: {rule}, got none")
        out_mm = [p.off_mm / b.magnification for b, p in zip(benches, patches, strict=True)]
        first_mm = laid[0][1].off_mm / laid[0][0].magnification
        of_lens = [_of_lens(b, p) if p.corner else 0.0 for b, p in zip(benches, patches, strict=True)]
        reach = [(mm / first_mm) ** 2 if p.corner else 0.0 for mm, p in zip(out_mm, patches, strict=True)]
        return cls(tuple(of_lens), tuple(reach), first_mm)

    def told(self, light: OwnLight, more: float) -> OwnLight:
        """Return the measured light with its corners: ``more`` is the light (log10) there that the lens does not explain."""
        if not any(self.reach):
            return light
        first = next(k for k, reach in enumerate(self.reach) if reach > 0.0)
        whole = round(-(self.of_lens[first] + more) / float(np.log10(2.0)), 2)
        if self.film_mm is None:
            return replace(light, corner_stops=whole)
        return replace(light, corner_stops=whole, uneven=round(-more, 4), uneven_mm=round(self.film_mm, 2))


def _of_lens(bench: Bench, patch: LaidPatch) -> float:
    """Return the light (log10) that lens and angle leave where a patch lay, over that in the middle."""
    through = replace(bench, settings=replace(bench.settings, contact=False))
    radius, f_number = np.array([patch.off_mm]), checked_aperture(bench.lens, patch.f_number)
    share = float(light_by_radius(through, radius, f_number)[0])
    if share < 0.02:
        raise Refused(f"line {patch.row}: off_mm must lie within the light of the lens, got {patch.off_mm:g} mm off the middle")
    return float(np.log10(share))
