"""The plan of exposures as bars on one axis of seconds; forms, signs and words tell the kinds apart, not colour."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING

import pygame
from pygame import Rect

from sim.window.kit.canvas import Canvas
from sim.window.kit.look import Look

if TYPE_CHECKING:
    from sim.bench.paper_in_hand import PlanBar

ROW, GAP = 22, 5  # logical units
HATCH = {"soft": 11, "hard": 5}  # distance of the hatching: a hard filter's bar is the denser one
SIGNS = {"dodge": "−", "burn": "+"}


def plan_height(look: Look, bars: Sequence[PlanBar]) -> int:
    """Return the pixels the bars would like to have."""
    return look.px(ROW + GAP) * max(1, len(bars)) + look.line_height("small") + look.px(6)


def draw_plan(
    canvas: Canvas, rect: Rect, bars: Sequence[PlanBar], t: Callable[[str], str] = str, chosen: int | None = None
) -> Rect:
    """Draw one row per bar: what it is, when on the axis of seconds, how many seconds and stops. Returns what it fills."""
    look = canvas.look
    if not bars:
        return canvas.lines(t("Nothing planned yet."), rect, "small", "soft")
    pitch, foot = look.px(ROW + GAP), look.line_height("small") + look.px(6)
    most = max(1, (rect.h - foot) // pitch)
    shown = list(bars) if len(bars) <= most else list(bars[: max(1, most - 1)])
    label_w = min(rect.w * 2 // 5, max(look.width(_label(bar, t), "small") for bar in shown) + look.px(26))
    value_w = max(look.width(_amount(bar), "small") for bar in shown) + look.px(8)
    axis = Rect(rect.x + label_w, rect.y, max(look.px(20), rect.w - label_w - value_w), pitch * len(shown))
    last = max(bar.start_s + bar.seconds for bar in bars)
    tick_s = _tick(last, axis.w / look.px(44))
    _draw_axis(canvas, axis, last, tick_s)
    for n, bar in enumerate(shown):
        row = Rect(rect.x, rect.y + n * pitch, rect.w, look.px(ROW))
        _draw_row(canvas, row, axis, bar, last, _label(bar, t), bar.exposure == chosen)
    used = axis.bottom + foot
    if len(shown) < len(bars):
        words = t("and {count} more").format(count=len(bars) - len(shown))
        canvas.text(words, (rect.x, used), "small", "soft", room=rect.w, shorten=True)
        used += pitch
    return Rect(rect.x, rect.y, rect.w, used - rect.y)


def _label(bar: PlanBar, t: Callable[[str], str]) -> str:
    return bar.label or t(bar.kind)


def _amount(bar: PlanBar) -> str:
    sign = SIGNS.get(bar.kind, "")
    stops = f"  {bar.stops:+.2f}".replace("-", "−") if bar.stops else ""
    return f"{sign}{bar.seconds:.1f} s{stops}"


def _tick(last_s: float, most: float) -> float:
    """Return a round step of seconds that leaves room between the numbers."""
    for step in (0.5, 1.0, 2.0, 5.0, 10.0, 20.0, 30.0, 60.0, 120.0, 300.0):
        if last_s / step <= max(1.0, most):
            return step
    return 600.0


def _draw_axis(canvas: Canvas, axis: Rect, last_s: float, tick_s: float) -> None:
    look, surface = canvas.look, canvas.surface
    pygame.draw.line(surface, look.colour("faint"), axis.bottomleft, axis.bottomright)
    count = int(last_s / tick_s + 1e-9)
    for k in range(count + 1):
        x = axis.x + round(k * tick_s / last_s * (axis.w - 1))
        pygame.draw.line(surface, look.colour("lamp-off"), (x, axis.y), (x, axis.bottom + look.px(3)))
        unit = " s" if k == count else ""
        anchor = "topleft" if k == 0 else ("topright" if x + look.px(16) > axis.right else "midtop")
        canvas.text(f"{k * tick_s:g}{unit}", (x, axis.bottom + look.px(4)), "small", "soft", anchor)


def _draw_row(canvas: Canvas, row: Rect, axis: Rect, bar: PlanBar, last_s: float, label: str, chosen: bool) -> None:
    look, surface = canvas.look, canvas.surface
    left = row.x
    if bar.done:
        canvas.mark("tick", (left + look.px(7), row.centery), look.px(13), "ink")
    elif chosen:
        canvas.mark("arrow", (left + look.px(7), row.centery), look.px(13), "ink")
    left += look.px(18)
    canvas.text(label, (left, row.centery), "small", "ink", "midleft", axis.x - left - look.px(6), shorten=True)
    x = axis.x + round(bar.start_s / last_s * axis.w)
    wide = max(look.px(3), round(bar.seconds / last_s * axis.w))
    body = Rect(x, row.y + look.px(3), min(wide, axis.right - x), row.h - look.px(6))
    _draw_bar(canvas, body, bar.kind)
    canvas.text(_amount(bar), (row.right, row.centery), "small", "ink", "midright")
    pygame.draw.line(surface, look.colour("lamp-off"), (axis.x, row.bottom + look.px(2)), (axis.right, row.bottom + look.px(2)))


def _draw_bar(canvas: Canvas, body: Rect, kind: str) -> None:
    look, surface = canvas.look, canvas.surface
    ink, ground = look.colour("soft"), look.colour("sunk")
    if kind in ("dodge", "flash"):
        pygame.draw.rect(surface, ground, body)
    else:
        pygame.draw.rect(surface, ink, body)
    if kind in HATCH:
        _hatch(surface, body, look.px(HATCH[kind]), ground, look.px(1))
    if kind == "flash":
        for x in range(body.x + look.px(4), body.right - look.px(2), look.px(6)):
            pygame.draw.circle(surface, ink, (x, body.centery), max(1, look.px(1.5)))
    pygame.draw.rect(surface, ink, body, look.px(1))
    if kind in SIGNS and body.w >= look.px(14):
        colour, arm, wide = (ink if kind == "dodge" else ground), look.px(4), look.px(2)
        cx, cy = body.center
        pygame.draw.line(surface, colour, (cx - arm, cy), (cx + arm, cy), wide)
        if kind == "burn":
            pygame.draw.line(surface, colour, (cx, cy - arm), (cx, cy + arm), wide)


def _hatch(surface: pygame.Surface, body: Rect, step: int, colour: tuple[int, int, int], width: int) -> None:
    """Slanting lines within a rectangle."""
    clip = surface.get_clip()
    surface.set_clip(body.clip(clip))
    for x in range(body.x - body.h, body.right + body.h, max(2, step)):
        pygame.draw.line(surface, colour, (x, body.bottom), (x + body.h, body.y), width)
    surface.set_clip(clip)
