"""Results made by hand, so that every number on a page can be checked with pencil and paper."""

from __future__ import annotations

from typing import Any

from sim.marking.results import (
    AdviceResult,
    AttemptResult,
    CourseResults,
    CriterionResult,
    ExerciseResult,
    LateResult,
    OverrideResult,
    RowResult,
    SubmissionResult,
)

NO_DELAY = LateResult(late_s=0.0, percent=0.0, words="in time")


def criterion(name: str, share: float, full: float, hidden: bool = False) -> CriterionResult:
    return CriterionResult(
        name=name, kind="tone", place=name, negative=1, measured=0.5, wanted=0.6, tolerance=0.05, unit="density",
        share=share, points=share * full, full_points=full, hidden=hidden,
    )  # fmt: skip


def submission(shares: tuple[float, float], cause: str, sheets: float, **more: Any) -> SubmissionResult:
    marks = [criterion("cup", shares[0], 6.0), criterion("shade", shares[1], 4.0)]
    advice = AdviceResult(
        cause=cause, direction="more-light", size=0.5, unit="stops", place="cup", loss_points=2.0, words=f"About {cause}."
    )
    points = sum(one.points for one in marks)
    return SubmissionResult(
        content="c" * 64, status="marked", marker_version="m", points=points, full_points=10.0, quality_share=points / 10,
        passed=points >= 7.5, criteria=marks, advice=[advice], sheets_used=sheets, **more,
    )  # fmt: skip


def attempt(share: float, number: int, counted: bool) -> AttemptResult:
    return AttemptResult(
        file=f"f{number}", content="c" * 64, received="2026-12-01T12:00:00Z", number=number, status="marked", limit="",
        share=share, points=100 * share, counted=counted, note="", late=NO_DELAY,
    )  # fmt: skip


def row(
    learner: str, result: SubmissionResult | None, points: float | None, shares: tuple[float, ...] = (),
    override: OverrideResult | None = None, **more: Any,
) -> RowResult:  # fmt: skip
    status = "missing" if result is None else "marked"
    before = None if result is None else points
    values: dict[str, Any] = {
        "learner": learner, "name": f"Name of {learner}", "email": f"{learner}@kiln.example", "exercise": "one",
        "status": status, "limit": "", "points": points, "full_points": 100.0, "points_before_late": before,
        "late": NO_DELAY if result else None, "override": override, "reasons": [], "submission": result,
        "attempts": [attempt(s, n + 1, n == len(shares) - 1) for n, s in enumerate(shares)],
    }  # fmt: skip
    return RowResult(**{**values, **more})


def results(*rows: RowResult, exercises: tuple[str, ...] = ("one",), **more: Any) -> CourseResults:
    listed = [
        ExerciseResult(name=name, title=f"Exercise {name}", version=1, digest="d", due="", points=100.0, policy="best",
                       attempts=3)
        for name in exercises
    ]  # fmt: skip
    values: dict[str, Any] = {"course": "c", "title": "The course", "time_zone": "UTC", "marker_version": "m",
                              "anonymous": False, "exercises": listed, "rows": list(rows), "unplaced": []}  # fmt: skip
    return CourseResults(**{**values, **more})


def four_learners() -> CourseResults:
    """Three who handed in and one who did not."""
    return results(
        row("a", submission((1.0, 0.5), "exposure", 2.0), 80.0, (0.4, 0.8)),
        row("b", submission((0.5, 0.25), "contrast", 3.25), 40.0, (0.2, 0.3, 0.4)),
        row("c", submission((1.0, 0.0), "exposure", 2.5), 60.0, (0.6,)),
        row("d", None, None),
    )
