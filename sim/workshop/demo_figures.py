"""The figures of the demonstration: the strip with its readings, and the straight and the split print side by side."""

from __future__ import annotations

from sim.bench.demonstration import Demonstration, demonstrate
from sim.viewing.lightness import screen_values
from sim.workshop.figures import INK, hang, new_figure, png_of
from sim.workshop.sleeve_sheet import in_words


def demo_strip_png(demo: Demonstration | None = None) -> bytes:
    """Return the half-stop strip with the seconds and the density of every step beside it."""
    done = demo or demonstrate()
    made = done.strip
    sheet = made.sheet
    rows, cols = sheet.density.shape
    tall = rows > cols
    figure = new_figure(5.2, 8.6) if tall else new_figure(11.0, 4.4)
    axes = hang(figure, (0.06, 0.05, 0.60, 0.86) if tall else (0.05, 0.10, 0.9, 0.62), screen_values(sheet.density),
                "Half-stop strip, filter 2")  # fmt: skip
    for step, density in zip(done.laid.steps, done.reading.densities, strict=True):
        row, col = sheet.at(step.x_mm, step.y_mm)
        words = f"{step.time_s:.1f} s   D {density:.2f}"
        if tall:
            axes.text(cols * 1.06, row, words, color=INK, fontsize=9.5, va="center")
        else:
            axes.text(col, -rows * 0.04, words.replace("   ", "\n"), color=INK, fontsize=8, ha="center")
    return png_of(figure, 100)


def demo_prints_png(demo: Demonstration | None = None) -> bytes:
    """Return the straight print and the split print with a card in one exposure, with what was done below each."""
    done = demo or demonstrate()
    pairs = ((done.straight, "One exposure"), (done.split, "Soft and hard, a card in one of them"))
    figure = new_figure(13.0, 6.6)
    for k, (made, title) in enumerate(pairs):
        hang(figure, (0.03 + 0.49 * k, 0.17, 0.45, 0.75), screen_values(made.sheet.density), title, in_words(made.record))
    return png_of(figure, 100)

