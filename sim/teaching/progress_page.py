"""The progress as one page that stands alone: no script, nothing fetched, readable on a telephone and on a desk."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from sim.page_templates import from_template
from sim.teaching.progress_picture import ProgressPicture

CURVE_WIDTH, CURVE_HEIGHT, EDGE = 240.0, 64.0, 6.0
MOST_POINTS = 40
TEMPLATE = Path(__file__).with_name("templates") / "progress.html"


@dataclass(frozen=True)
class CurvePoint:
    """A point of a learning curve in the picture's units."""

    x: float
    y: float
    passed: bool


def curve_points(shares: tuple[float, ...], passed: tuple[bool, ...]) -> tuple[CurvePoint, ...]:
    """Return the points of a learning curve: the last attempts from left to right, better is higher."""
    shares, passed = shares[-MOST_POINTS:], passed[-MOST_POINTS:]
    inside_w, inside_h = CURVE_WIDTH - 2 * EDGE, CURVE_HEIGHT - 2 * EDGE
    step = inside_w / max(1, len(shares) - 1)
    return tuple(
        CurvePoint(round(EDGE + k * step, 1), round(EDGE + (1.0 - share) * inside_h, 1), done)
        for k, (share, done) in enumerate(zip(shares, passed, strict=True))
    )


def progress_page(picture: ProgressPicture) -> str:
    """Return the page as HTML; every text from outside is escaped."""
    labels, points = {}, {}
    for skill in picture.skills:
        shares = ", ".join(f"{100 * share:.0f} %" for share in skill.curve[-MOST_POINTS:])
        labels[skill.skill] = f"{skill.title}, quality over attempts: {shares}"
        points[skill.skill] = curve_points(skill.curve, skill.passed)
    size = {"width": int(CURVE_WIDTH), "height": int(CURVE_HEIGHT)}
    return from_template(TEMPLATE, p=picture, labels=labels, points=points, **size) + "\n"
