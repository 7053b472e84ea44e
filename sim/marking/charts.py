"""Charts as inline SVG: bars lying and standing, and curves over attempts. Text stays text: it scales, prints, is read out.

Numbers in, markup out; every text goes through ``escape``, which also makes it plain. Colours stand in the
drawing itself: one taken out stays right.
"""

from __future__ import annotations

from collections.abc import Sequence

from sim.plain_text import bare
from sim.plain_text import page_text as escape

WIDTH, ROW = 340, 22
BAR, RAIL, LINE, PALE, MEAN, INK = "#5a5247", "#e2ddd2", "#26231f", "#a79d8c", "#8f2f1c", "#26231f"
BOLD = ' font-weight="600"'


def _svg(width: int, height: int, title: str, body: Sequence[str]) -> str:
    return (
        f'<svg class="chart" viewBox="0 0 {width} {height}" font-size="12" role="img" aria-label="{escape(title)}">'
        f"<title>{escape(title)}</title>{''.join(body)}</svg>"
    )


def _text(x: float, y: float, words: str, anchor: str = "start", bold: bool = False) -> str:
    style = f'fill="{INK}"{BOLD if bold else ""}'
    return f'<text x="{x:.1f}" y="{y:.1f}" text-anchor="{anchor}" {style}>{escape(words)}</text>'


def standing_bars(title: str, bars: Sequence[tuple[str, int]], axis: str) -> str:
    """Return bars standing on an axis, each with its count above and its label below."""
    height, floor, left = 168, 124, 8
    most = max((count for _, count in bars), default=0) or 1
    step = (WIDTH - 2 * left) / max(len(bars), 1)
    width = min(step - 3, 60)
    body = [f'<line stroke="{LINE}" x1="{left}" y1="{floor}" x2="{WIDTH - left}" y2="{floor}"/>']
    for index, (label, count) in enumerate(bars):
        middle = left + (index + 0.5) * step
        tall = 96.0 * count / most
        if count:
            x, y = middle - width / 2, floor - tall
            body.append(f'<rect fill="{BAR}" x="{x:.1f}" y="{y:.1f}" width="{width:.1f}" height="{tall:.1f}"/>')
            body.append(_text(middle, floor - tall - 4, str(count), "middle", True))
        body.append(_text(middle, floor + 15, label, "middle"))
    body.append(_text(WIDTH / 2, floor + 36, axis, "middle"))
    return _svg(WIDTH, height, title, body)


def lying_bars(title: str, bars: Sequence[tuple[str, float, str]], most: float | None = None) -> str:
    """Return bars lying under their labels: label, length, and what is written behind it."""
    top = most or max((value for _, value, _ in bars), default=0.0) or 1.0
    body = []
    for index, (label, value, shown) in enumerate(bars):
        y = index * 2 * ROW
        length = 240.0 * min(max(value / top, 0.0), 1.0)
        body.append(_text(0, y + 15, label if len(bare(label)) <= 46 else label[:45] + "…"))
        body.append(f'<rect fill="{RAIL}" x="0" y="{y + 21}" width="240" height="12"/>')
        body.append(f'<rect fill="{BAR}" x="0" y="{y + 21}" width="{length:.1f}" height="12"/>')
        body.append(_text(248, y + 31, shown, "start", True))
    return _svg(WIDTH, max(2 * ROW * len(bars), ROW), title, body)


def attempt_curves(title: str, curves: Sequence[Sequence[float]], mean: Sequence[float]) -> str:
    """Return every learner's share of points over attempts as a thin line, the mean as a thick one."""
    left, right, top, floor = 52, WIDTH - 14, 12, 132
    count = max(len(mean), 2)

    def point(number: int, share: float) -> tuple[float, float]:
        return left + (right - left) * number / (count - 1), floor - (floor - top) * share

    body = []
    for percent in (0, 50, 100):
        y = point(0, percent / 100.0)[1]
        body.append(f'<line stroke="{RAIL}" x1="{left}" y1="{y:.1f}" x2="{right}" y2="{y:.1f}"/>')
        body.append(_text(left - 6, y + 4, f"{percent} %", "end"))
    for colour, wide, some in ((PALE, 1.0, list(curves)), (MEAN, 2.6, [mean])):
        for curve in some:
            places = [point(number, share) for number, share in enumerate(curve)]
            if len(places) > 1:
                line = " ".join(f"{x:.1f},{y:.1f}" for x, y in places)
                body.append(f'<polyline fill="none" stroke="{colour}" stroke-width="{wide}" points="{line}"/>')
            body += [f'<circle fill="{colour}" cx="{x:.1f}" cy="{y:.1f}" r="{1.2 + 0.7 * wide:.1f}"/>'
                     for x, y in places]  # fmt: skip
    for number in range(len(mean)):
        body.append(_text(point(number, 0.0)[0], floor + 18, str(number + 1), "middle"))
    body.append(_text((left + right) / 2, floor + 36, "attempt", "middle"))
    return _svg(WIDTH, 172, title, body)


def tolerance_gauge(measured: float, wanted: float, tolerance: float) -> str:
    """Return a small gauge: in the middle the window that earns all points, and where the reading lies (clipped)."""
    width, span = 120.0, 4.0  # four tolerances to each side, where the points end
    off = min(max((measured - wanted) / tolerance, -span), span) if tolerance > 0 else 0.0
    x = width / 2 + off / span * (width / 2 - 4)
    half = (width / 2 - 4) / span
    title = f"{measured:g} against {wanted:g}, tolerance {tolerance:g}"
    return (
        f'<svg class="gauge" viewBox="0 0 {width:.0f} 14" role="img" aria-label="{escape(title)}">'
        f'<rect class="rail" fill="{RAIL}" x="0" y="5" width="{width:.0f}" height="4"/>'
        f'<rect class="window" fill="#bfb6a4" x="{width / 2 - half:.1f}" y="2" width="{2 * half:.1f}" height="10"/>'
        f'<circle class="ink" fill="{INK}" cx="{x:.1f}" cy="7" r="4.2"/></svg>'
    )
