"""What a lesson shows beside its words: the path of its stages, the table of marks, the progress picture. Pure drawing."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from itertools import pairwise
from typing import Any

import pygame
from pygame import Rect

from sim.window.kit.canvas import Canvas

STAGES = (
    ("brief", "The task"), ("predict", "Predict"), ("make", "Print"), ("see", "Look"), ("explain", "Why"), ("marks", "Marks"),
)  # fmt: skip
ROW = 24
EDGES = (0.37, 0.53, 0.78, 1.0)  # where the table's columns end
Translate = Callable[[str], str]


def draw_path(canvas: Canvas, rect: Rect, stage: str, t: Translate) -> None:
    """Draw the stages one under the other; where the lesson stands has a lit lamp and bold words."""
    look = canvas.look
    step = look.px(30)
    here = {"done": len(STAGES)}.get(stage, next((n for n, (key, _) in enumerate(STAGES) if key == stage), 0))
    x = rect.x + look.px(9)
    for n, (_, label) in enumerate(STAGES):
        y = rect.y + n * step + step // 2
        if n:
            canvas.line((x, y - step + look.px(9)), (x, y - look.px(9)), "edge", 1)
        canvas.lamp((x, y), look.px(5), n == here)
        words = (look.px(24) + rect.x, y)
        canvas.text(
            t(label),
            words,
            "strong" if n == here else "body",
            "ink" if n == here else "soft",
            "midleft",
            rect.w - look.px(24),
            shorten=True,
        )


def path_height(px: Callable[[float], int]) -> int:
    """Return the height of the path in pixels."""
    return px(30) * len(STAGES)


def number(value: float, unit: str) -> str:
    """Return a reading as it is written: densities with two decimals."""
    if unit in ("density", ""):
        return f"{value:.2f}"
    return f"{value:.1f} {unit}" if unit not in ("share",) else f"{value:.0%}"


def nearness(value: float, unit: str) -> str:
    """Return a tolerance as it is written: of densities a third decimal where it is not a whole hundredth."""
    if unit in ("density", "") and abs(100.0 * value - round(100.0 * value)) > 0.05:
        return f"{value:.3f}"
    return number(value, unit)


def draw_marks(
    canvas: Canvas,
    rect: Rect,
    marks: Sequence[Any],
    economy: Any,
    total: tuple[float, float] | None,
    t: Translate,
) -> int:
    """Draw a table: sign and place, measured, wanted with tolerance, points. Returns the pixels used."""
    row = canvas.look.px(ROW)
    lines = [(t("Place"), t("Measured"), t("Wanted"), t("Points"))]
    signs, sizes = [""], ["small"]
    last = _last_lines(economy, total, t)
    for mark in list(marks)[: max(0, rect.h // row - 1 - len(last))]:
        lines.append(_mark_words(mark))
        signs.append("cross" if mark.missing else ("tick" if mark.share >= 0.999 else "dot"))
        sizes.append("body")
    for words, sign, size in last:
        lines.append(words)
        signs.append(sign)
        sizes.append(size)
    rights = [rect.x + int(rect.w * edge) for edge in EDGES]
    y = rect.y
    for n, (words, sign, size) in enumerate(zip(lines, signs, sizes)):
        if n == 1 or size == "strong":
            canvas.line((rect.x, y), (rect.right, y), "edge")
        _cells(canvas, rect.x, rights, y, words, size, "soft" if n == 0 else "ink", sign)
        y += row
    return y - rect.y


def _mark_words(mark: Any) -> tuple[str, str, str, str]:
    """Return one criterion as the table shows it."""
    wanted = f"{number(mark.wanted, mark.unit)} ± {nearness(mark.tolerance, mark.unit)}"
    measured = "–" if mark.missing else number(mark.measured, mark.unit)
    return (mark.place or mark.name).replace("-", " "), measured, wanted, f"{mark.points:.1f} / {mark.full_points:g}"


def _last_lines(
    economy: Any, total: tuple[float, float] | None, t: Translate
) -> list[tuple[tuple[str, str, str, str], str, str]]:
    """Return what stands under the criteria: the paper used, apart from the quality, and the sum."""
    found: list[tuple[tuple[str, str, str, str], str, str]] = []
    if economy is not None and economy.full_points:
        points = f"{economy.points:.1f} / {economy.full_points:g}"
        words = (t("Sheets used"), f"{economy.sheets_used:g}", f"≤ {economy.expected_sheets:g}", points)
        found.append((words, "dot", "body"))
    if total is not None:
        found.append(((t("All together"), "", "", f"{total[0]:.1f} / {total[1]:g}"), "", "strong"))
    return found


def _cells(
    canvas: Canvas, left: int, rights: list[int], y: int, words: Sequence[str], size: str, colour: str, sign: str
) -> None:
    look = canvas.look
    middle = y + look.px(ROW) // 2
    x = left
    if sign:
        canvas.mark(sign, (x + look.px(7), middle), look.px(12), colour)
    x += look.px(18)
    canvas.text(words[0], (x, middle), size, colour, "midleft", rights[0] - x - look.px(6), shorten=True)
    for n in range(1, 4):
        if words[n]:
            room = rights[n] - rights[n - 1] - look.px(8)
            canvas.text(words[n], (rights[n], middle), size, colour, "midright", room, shorten=True)


def draw_strip_readings(canvas: Canvas, rect: Rect, steps: Sequence[tuple[str, float]], t: Translate) -> None:
    """Draw a strip's steps with label and density, darker steps with longer bars."""
    look = canvas.look
    row = look.px(ROW)
    canvas.text(t("The strip, read step by step"), rect.topleft, "small", "soft", room=rect.w, shorten=True)
    darkest = max((density for _, density in steps), default=1.0) or 1.0
    for n, (label, density) in enumerate(steps):
        y = rect.y + row * (n + 1) + row // 2
        if y + row // 2 > rect.bottom:
            break
        canvas.text(label, (rect.x, y), "body", "ink", "midleft", rect.w * 40 // 100, shorten=True)
        track = Rect(rect.x + rect.w * 42 // 100, y - look.px(3), rect.w * 42 // 100, look.px(6))
        pygame.draw.rect(canvas.surface, look.colour("sunk"), track, border_radius=look.px(3))
        bar = Rect(track.x, track.y, max(look.px(2), int(track.w * density / darkest)), track.h)
        pygame.draw.rect(canvas.surface, look.colour("soft"), bar, border_radius=look.px(3))
        canvas.text(f"{density:.2f}", (rect.right, y), "body", "ink", "midright")


def draw_progress(
    canvas: Canvas, rect: Rect, curves: Sequence[tuple[str, tuple[float, ...], bool]], t: Translate
) -> None:
    """Draw every lesson as a column: each attempt a step on its height, the last one a disc; passed ones are ticked."""
    look = canvas.look
    title = canvas.text(t("Your attempts, lesson by lesson"), rect.topleft, "small", "soft", room=rect.w, shorten=True)
    body = Rect(
        rect.x + look.px(40), title.bottom + look.px(8), rect.w - look.px(44), rect.bottom - title.bottom - look.px(26)
    )
    if body.h < look.px(24) or not curves:
        return
    for share in (0.0, 0.5, 1.0):
        y = body.bottom - int(body.h * share)
        canvas.line((body.x, y), (body.right, y), "lamp-off")
        canvas.text(f"{share:.0%}", (body.x - look.px(6), y), "small", "soft", "midright")
    wide = body.w / len(curves)
    for n, (_, curve, passed) in enumerate(curves):
        points = [
            (int(body.x + wide * (n + (k + 1) / (len(curve) + 1))), body.bottom - int(body.h * s))
            for k, s in enumerate(curve)
        ]
        for one, other in pairwise(points):
            canvas.line(one, other, "soft", 1.5)
        for k, point in enumerate(points):
            last = k == len(points) - 1
            canvas.mark("dot", point, look.px(13 if last else 7), "ink" if last else "soft")
        if passed:
            canvas.mark("tick", (int(body.x + wide * (n + 0.5)), body.bottom + look.px(10)), look.px(11), "ink")
        else:
            canvas.mark("dot", (int(body.x + wide * (n + 0.5)), body.bottom + look.px(10)), look.px(7), "faint")
