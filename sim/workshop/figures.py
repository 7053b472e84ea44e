"""What figures are drawn with: the grey wall, charts on paper white, and the picture as PNG bytes."""

from __future__ import annotations

import io
from typing import Any

WALL = "#6f6f6f"  # the neutral grey that prints are judged against
INK = "#f4f2ee"
FAINT = "#c9c6c0"
PAPER = "#f3f1ec"  # charts are drawn on paper white
LINE = "#202020"


def png_of(figure: Any, dpi: int = 110) -> bytes:
    """Return a matplotlib figure as PNG bytes, without a date in it."""
    from matplotlib import pyplot

    buffer = io.BytesIO()
    figure.savefig(buffer, format="png", dpi=dpi, facecolor=figure.get_facecolor(), metadata={"Software": None})
    pyplot.close(figure)
    return buffer.getvalue()


def new_figure(width_in: float, height_in: float) -> Any:
    """Return an empty figure on the grey wall, drawn without a display."""
    import matplotlib

    matplotlib.use("Agg")
    from matplotlib import pyplot

    return pyplot.figure(figsize=(width_in, height_in), facecolor=WALL)


def hang(figure: Any, box: tuple[float, float, float, float], picture: Any, title: str, below: str = "") -> Any:
    """Hang a picture (uint8 grey or RGB) in a box of the figure (left, bottom, width, height), title above, note below."""
    axes = figure.add_axes(box)
    axes.imshow(picture, cmap="gray", vmin=0, vmax=255, interpolation="antialiased")
    axes.set_axis_off()
    axes.set_title(title, color=INK, fontsize=11, pad=7, loc="left")
    if below:
        axes.text(0.0, -0.02, below, transform=axes.transAxes, color=INK, fontsize=8.5, va="top", linespacing=1.4)
    return axes


def chart(figure: Any, box: tuple[float, float, float, float], x_label: str, y_label: str) -> Any:
    """Return axes for a curve, in the figure's colours."""
    axes = figure.add_axes(box, facecolor=PAPER)
    axes.set_xlabel(x_label, color=INK, fontsize=9)
    axes.set_ylabel(y_label, color=INK, fontsize=9)
    axes.tick_params(colors=INK, labelsize=8)
    for spine in axes.spines.values():
        spine.set_color(FAINT)
    axes.grid(color="#dad7d0", linewidth=0.6)
    axes.set_axisbelow(True)
    return axes
