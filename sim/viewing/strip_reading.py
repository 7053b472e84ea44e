"""Reading a test strip: the density of every step where it lies, and which step comes nearest to a wanted tone."""

from __future__ import annotations

from dataclasses import dataclass

from sim.printing.make_print import Print
from sim.printing.strips import Strip
from sim.viewing.densitometer import spot_density
from sim.viewing.lightness import lightness


@dataclass(frozen=True)
class StripReading:
    """What the densitometer reads in the middle of each step."""

    labels: tuple[str, ...]
    times_s: tuple[float, ...]
    densities: tuple[float, ...]

    def nearest(self, density: float) -> int:
        """Return the index of the step whose lightness comes nearest to a density's."""
        wanted = float(lightness(density))
        return min(range(len(self.densities)), key=lambda k: abs(float(lightness(self.densities[k])) - wanted))


def read_strip(strip: Strip, sheet: Print, spot_mm: float = 3.0) -> StripReading:
    """Return the readings of a printed strip, one per step."""
    densities = tuple(spot_density(sheet, step.x_mm, step.y_mm, spot_mm) for step in strip.steps)
    return StripReading(
        tuple(step.label for step in strip.steps), tuple(step.time_s for step in strip.steps), densities
    )
