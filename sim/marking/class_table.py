"""Learners by exercises, with totals: the whole class at a glance, in three orders, each learner a step from their page."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from typing import Any

from sim.marking.pages import file_name, number, points_text
from sim.marking.results import CourseResults, RowResult
from sim.marking.statuses import MARKED, said_status
from sim.plain_text import bare

NOTES = {"given": "*", "late": "late", "provisional": "so far", "held": "held back"}


def class_table(results: CourseResults, pages: str = "pages/") -> dict[str, Any]:
    """Return the table as plain data: its columns, and its lines by id, by name and by total."""
    by_learner: dict[str, list[RowResult]] = {}
    for row in results.rows:
        by_learner.setdefault(row.learner, []).append(row)
    names = [exercise.name for exercise in results.exercises]
    held = {exercise.name for exercise in results.exercises if exercise.held_back}
    lines = [_line(learner, rows, names, pages, held) for learner, rows in by_learner.items()]
    orders = [("by id", sorted(lines, key=lambda line: line["id"]))]
    if len(lines) > 1:
        if any(line["name"] for line in lines):
            orders.append(("by name", sorted(lines, key=_by_name)))
        orders.append(("by total", sorted(lines, key=lambda line: (-line["sum"], line["id"]))))
    return {
        "columns": [
            {"title": one.title, "full": points_text(one.points),
             "note": "not given out yet, in no total" if one.name in held else ""}
            for one in results.exercises
        ],
        "legend": _legend(results),
        "orders": [{"title": title, "lines": found} for title, found in orders],
    }  # fmt: skip


def _by_name(line: Mapping[str, Any]) -> tuple[bool, str, str]:
    """Return what lines are put in order by: who has no name comes last."""
    return not line["name"], bare(line["name"]).casefold(), line["id"]


def _line(learner: str, rows: Sequence[RowResult], names: Sequence[str], pages: str, held: Collection[str]) -> dict[str, Any]:
    by_exercise: Mapping[str, RowResult] = {row.exercise: row for row in rows}
    counting = [row for row in rows if row.exercise not in held]
    points = [row.points for row in counting if row.points is not None]
    owed = sum(row.full_points for row in counting if row.status != "excused")
    return {
        "id": learner, "name": rows[0].name, "page": f"{pages}{file_name(learner)}.html",
        "cells": [_cell(by_exercise.get(name)) for name in names],
        "total": points_text(sum(points)) if points else "", "full": points_text(owed), "sum": sum(points),
    }  # fmt: skip


def _legend(results: CourseResults) -> list[str]:
    """Return what the table's totals are out of, and what its marks beside points mean, as far as any stands in it."""
    away = [one.title for one in results.exercises if one.held_back]
    without = [f"without {' and '.join(away)}, whose marks are not given out yet"] if away else []
    if any(row.status == "excused" for row in results.rows):
        without.append("without what a learner is excused from")
    said = [f"Totals are of what counts so far{''.join(f', {one}' for one in without)}; what is missing counts as nothing."]
    if any(row.override for row in results.rows):
        said.append("* points given by a person.")
    if any(row.provisional for row in results.rows):
        said.append("So far: something is still to be judged by eye.")
    return said


def _cell(row: RowResult | None) -> dict[str, str]:
    if row is None:
        return {"points": "", "note": ""}
    notes = [row.status == "late" and NOTES["late"], row.provisional and NOTES["provisional"], row.override and NOTES["given"]]
    if row.points is None or row.status not in (*MARKED, "missing"):
        notes.insert(0, said_status(row.status, row.limit))
    return {"points": number(row.points, 1), "note": ", ".join(note for note in notes if note)}
