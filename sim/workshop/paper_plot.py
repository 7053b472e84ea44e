"""The curve family of a paper as a picture: one line per filter, at the exposures the lamp gives."""

from __future__ import annotations

from sim.paper.sensitometry import NET_SPEED_POINT
from sim.paper.stock import find_stock
from sim.printing.paper_family import PaperFamily, paper_family
from sim.workshop.figures import FAINT, INK, LINE, PAPER, chart, new_figure, png_of

SHOWN = ("00", "0", "1", "2", "3", "4", "5")
DASHES: tuple[tuple[int, ...], ...] = ((1, 0), (6, 2), (1, 2), (1, 0), (6, 2), (1, 2), (1, 0))


def paper_plot_png(family: PaperFamily) -> bytes:
    """Return the plot: density against log exposure behind each filter, soft filters pale, hard ones dark.

    All exposures are as the lamp gives them, so the picture shows that filters 00 to 3.5 cross at net density 0.60 and
    that 4 and 5 need twice the light.
    """
    figure = new_figure(8.6, 6.0)
    axes = chart(figure, (0.09, 0.11, 0.87, 0.79), "log exposure at the easel before the filter (lux s)", "density")
    for k, name in enumerate(SHOWN):
        curve = family.member(name).curve
        net = curve.density - curve.base_plus_fog
        visible = (net > 0.002) & (net < 0.999 * curve.net_dmax)
        style = {} if DASHES[k] == (1, 0) else {"dashes": DASHES[k]}
        label = f"filter {name},  ISO R {family.member(name).iso_range:.0f}"
        shade = str(0.62 - 0.60 * k / (len(SHOWN) - 1))
        width = 1.3 + 0.15 * k
        axes.plot(curve.log_exposure[visible], curve.density[visible], color=shade, linewidth=width, label=label, **style)
    axes.legend(loc="lower right", facecolor=PAPER, edgecolor=FAINT, labelcolor=LINE, fontsize=9, handlelength=3.2)
    base = family.member("2").curve.base_plus_fog
    axes.axhline(base + NET_SPEED_POINT, color=LINE, linewidth=0.7, linestyle=":")
    axes.text(0.012, base + NET_SPEED_POINT + 0.02, "net 0.60: the tone that stays", color=LINE, fontsize=8,
              transform=axes.get_yaxis_transform())  # fmt: skip
    start = family.member("2").curve.log_exposure_at_net(NET_SPEED_POINT)
    axes.set_xlim(start - 1.1, start + 2.0)
    axes.set_ylim(0.0, 2.45)
    axes.set_title(f"{family.stock.title}, {family.head}", color=INK, fontsize=11, loc="left")
    return png_of(figure)


def stock_plot_png(name: str) -> bytes:
    """Return the plot of a stock under the usual head for sheet film."""
    return paper_plot_png(paper_family(find_stock(name), "diffusion-sheet"))
