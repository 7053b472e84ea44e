"""The figures of the demonstration: the strip with its readings, and the straight and the split print side by side."""

from __future__ import annotations

from sim.notebook.control_words import filter_words
from sim.teaching.demonstration import Demonstration, demonstrate
from sim.viewing.lightness import screen_values
from sim.workshop.figures import INK, hang, new_figure, png_of
from sim.workshop.sleeve_sheet import in_words


def demo_strip_png(demo: Demonstration | None = None) -> bytes:
    """Return the half-stop strip with the seconds and the density of every step above it."""
    done = demo or demonstrate()
    made = done.strip
    sheet = made.sheet
    rows = sheet.density.shape[0]
    figure = new_figure(11.0, 4.0)
    axes = hang(figure, (0.03, 0.04, 0.94, 0.68), screen_values(sheet.density), "")
    title = f"Half-stop strip, {filter_words(made.record.exposures[0].filter)}, the same place on every step"
    figure.text(0.105, 0.93, title, color=INK, fontsize=11, va="center")
    for step, density in zip(done.laid.steps, done.reading.densities, strict=True):
        _, col = sheet.at(step.x_mm, step.y_mm)
        axes.text(col, -rows * 0.05, f"{step.time_s:.1f} s\nD {density:.2f}", color=INK, fontsize=9, ha="center")
    return png_of(figure, 100)


def demo_prints_png(demo: Demonstration | None = None) -> bytes:
    """Return the straight print and the split print burnt in through a hole, with what was done below each."""
    done = demo or demonstrate()
    pairs = ((done.straight, "One exposure"), (done.split, "Soft and hard, then both through a hole cut to the panes"))
    figure = new_figure(13.0, 6.6)
    for k, (made, title) in enumerate(pairs):
        hang(figure, (0.03 + 0.49 * k, 0.17, 0.45, 0.75), screen_values(made.sheet.density), title, in_words(made.record))
    return png_of(figure, 100)

