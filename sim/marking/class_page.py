"""The page for whoever teaches: how the class did, what was hardest, what went wrong most often, and the prints themselves."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Any

from sim.marking.answer_words import side_words
from sim.marking.charts import attempt_curves, lying_bars, standing_bars
from sim.marking.class_figures import BINS, ExerciseFigures, exercise_figures
from sim.marking.class_table import class_table
from sim.marking.fairness import fairness
from sim.marking.feedback_page import Marker
from sim.marking.looked_at import to_look_at
from sim.marking.pages import number, page_text, picture_link, points_text
from sim.marking.persons_text import with_persons_text
from sim.marking.results import CourseResults, ExerciseResult, RowResult
from sim.marking.said_figures import SaidFigures, said_figures
from sim.marking.similar_work import signs_in
from sim.marking.statuses import SETTLED, said_status
from sim.page_templates import our_markup
from sim.plain_text import as_written
from sim.viewing.plain_names import plain_name

SIGN_WORDS = {
    "same-light": "lamp and timer erred in the same way as in the evening of {other}: "
    "one evening may be a copy of the other",
    "same-decisions": "{value:.0f} sheets or more in a row were decided exactly as {other} did",
    "first-sheet": "the very first piece of paper earned {percent:.0f} % of the quality",
    "no-strip": "in {value:.0f} exercises a very good print within two sheets and without a strip",
    "small-card": "a card of {value:g} mm was used on a sheet that counts",
    "left-early": "haste: {percent:.0f} % of the quality was put forward, with half or more of paper and minutes left",
    "same-answer": "haste: the same was said to be seen on all {value:.0f} prints, and on most of them it was not so",
}
UNDECIDED = ("needs-person", "tampered", "out-of-range", "failed")
MOST_CONTACT, MOST_LOOK = 1200, 400
CRITERIA_SHOWN, CAUSES_SHOWN, MISREAD_SHOWN = 8, 6, 3
CHOICE_WORDS = {"accept": "accepted", "re-open": "open again for one more evening", "excused": "excused"}
CAUSE_WORDS = {
    "local": "burning in and holding back", "economy": "paper used", "evenness": "card's edge showing",
    "place": "card over another place", "hand": "how the card was held", "time": "length of exposure",
    "match": "match with another print", "flash": "length of the flash", "pair": "one filter where it takes two",
    "paper": "another paper than asked for", "missing-print": "prints that are missing",
}  # fmt: skip


@dataclass(frozen=True)
class GroupLink:
    """The page of one group of a large class: where it lies, from whom to whom, and how many they are."""

    href: str
    first: str
    last: str
    count: int


def class_text(
    results: CourseResults, marked: Marker, pages: str = "pages/", groups: Sequence[GroupLink] = ()
) -> str:
    """Return the class page of a course; ``pages`` leads to the folder of the learners' pages.

    With ``groups``, each of which has a page of its own, it says what they came to together.
    """
    results = with_persons_text(results)
    page = {
        "results": results,
        "learners": len({row.learner for row in results.rows}),
        "look": to_look_at(results),
        "most": MOST_LOOK,
        "groups": [replace(one, first=as_written(one.first), last=as_written(one.last)) for one in groups],
        "table": None if groups else class_table(results, pages),
        "signs": _signs(results), "unmarked": _unmarked(results),
        "parts": [_part(results, exercise, marked, bool(groups)) for exercise in results.exercises],
    }
    return page_text("class.html", page, number, said_status, cause_words, given_words)


def cause_words(cause: str) -> str:
    """Return what cost points as a teacher says it."""
    return CAUSE_WORDS.get(cause, plain_name(cause))


def _who(row: RowResult) -> str:
    return row.name or as_written(row.learner)


def _signs(results: CourseResults) -> list[dict[str, str]]:
    """Return where somebody may want to look twice, in words."""
    names = {row.learner: _who(row) for row in results.rows}
    titles = {exercise.name: exercise.title for exercise in results.exercises}
    return [
        {"who": names[one.learner], "exercise": titles.get(one.exercise, "")
         + (f", under version {one.version}" if one.version else ""),
         "words": SIGN_WORDS[one.what].format(
             other=names.get(one.other, ""), value=one.value, percent=100.0 * one.value)}
        for one in signs_in(results)
    ]  # fmt: skip


def _unmarked(results: CourseResults) -> str:
    """Say of how many evenings only a part of the signs can be told, because they wait for a person."""
    waiting = sum(len(waiting_files(row)) for row in results.rows)
    waiting += sum(not one.settled and one.status in UNDECIDED for one in results.unplaced)
    if not waiting:
        return ""
    some = "1 evening waits" if waiting == 1 else f"{waiting} evenings wait"
    return f"{some} unmarked for a person: of such it is told where two are alike, not how well they were printed."


def waiting_files(row: RowResult) -> set[str]:
    """Return the contents of a row's evenings that wait for a person; what is no evening at all is none."""
    if (row.status in SETTLED and not row.waiting_beside) or row.override is not None:
        return set()
    states = ("needs-person",) if row.waiting_beside else UNDECIDED
    return {one.content for one in row.attempts if one.status in states}


def _part(results: CourseResults, exercise: ExerciseResult, marked: Marker, together: bool) -> dict[str, Any]:
    rows = [row for row in results.rows if row.exercise == exercise.name]
    figures = exercise_figures(results, exercise.name)
    return {
        "exercise": exercise,
        "due": exercise.due.replace("T", " ").removesuffix(":00"),
        "policy": _which_counts(exercise)
        + ("; an examination, on no learner's page yet" if exercise.held_back else ""),
        "summary": _summary(figures),
        "sentences": [*_sentences(figures), *_said_sentences(said_figures(rows))],
        "fairness": fairness(rows),
        "charts": _charts(figures),
        "contact": [] if together else _contact(rows, marked),
        "rows": [] if together else rows,
    }


def _which_counts(exercise: ExerciseResult) -> str:
    """Say which attempt counts; where there is only one, nothing is best or last."""
    if exercise.attempts == 1:
        return "one attempt: the first file that can be marked counts"
    allowed = f", {exercise.attempts} attempts allowed" if exercise.attempts else ""
    return f"the {exercise.policy} attempt counts{allowed}"


def _summary(figures: ExerciseFigures) -> str:
    states = ", ".join(f"{said_status(status)}: {count}" for status, count in figures.statuses)
    return f"{states}." if states else "Nobody is in this course yet."


def _sentences(figures: ExerciseFigures) -> list[str]:
    found = []
    if figures.mean_points is not None and figures.median_points is not None:
        found.append(
            f"Mean {points_text(figures.mean_points)}, median {points_text(figures.median_points)} of "
            f"{points_text(figures.full_points)} points over {figures.counted}; {figures.passed} passed."
        )
    if figures.hardest is not None and figures.hardest.mean_share < 0.995:
        hard = figures.hardest
        found.append(f"Hardest: {plain_name(hard.name)}, {100 * hard.mean_share:.0f} % of its points on average; "
                     f"{hard.below_half} of {hard.count} earned less than half.")  # fmt: skip
    if figures.commonest_cause:
        cause, count = figures.causes[0]
        found.append(f"What cost most points most often: {cause_words(cause)} ({'once' if count == 1 else f'{count} times'}).")
    return found


def _said_sentences(said: SaidFigures) -> list[str]:
    """Return what was expected and seen against what was read, and the hints that were taken."""
    found = []
    if said.predicted:
        found.append(f"Predictions of a print: {said.predicted_right} of {said.predicted} were right.")
    if said.observed:
        commonest = said.misread[:MISREAD_SHOWN]
        sides = [(side_words(told), side_words(read), count) for told, read, count in commonest]
        misread = "; ".join(f"{told} was said where it was {read} ({count})" for told, read, count in sides)
        seen = f"What was seen, before the numbers: {said.observed_right} of {said.observed} were right."
        found.append(" ".join([seen, *([f"Misread most often: {misread}."] if misread else [])]))
    if said.hints:
        found.append(f"Hints taken: {said.hints}, by {said.took_hints} of the learners.")
    return found


def _charts(figures: ExerciseFigures) -> list[dict[str, str]]:
    charts = []

    def add(title: str, svg: str) -> None:
        charts.append({"title": title, "svg": our_markup(svg)})

    if figures.counted:
        bars = [(f"{100 * n // BINS}", count) for n, count in enumerate(figures.distribution)]
        add("How the points fell", standing_bars("How the points fell", bars, "percent of the points, from"))
    if figures.criteria:
        shown = figures.criteria[:CRITERIA_SHOWN]
        lying = [(plain_name(one.name), one.mean_share, f"{100 * one.mean_share:.0f} %") for one in shown]
        add("Mean share of points, hardest first", lying_bars("Mean share of points by criterion", lying, 1.0))
    if figures.causes:
        lying = [(cause_words(cause), float(count), str(count)) for cause, count in figures.causes[:CAUSES_SHOWN]]
        add("What cost most", lying_bars("How often each cause cost most", lying))
    if len(figures.mean_curve) > 1:
        title = "From attempt to attempt (thick: mean of those who tried again)"
        add(title, attempt_curves("Share of points over attempts", figures.curves, figures.mean_curve))
    if figures.sheets_used:
        bars = [(str(n), count) for n, count in figures.sheets_used]
        add("Sheets of paper used", standing_bars("Sheets of paper used", bars, "sheets, a begun one counts whole"))
    return charts


def _contact(rows: list[RowResult], marked: Marker) -> list[dict[str, str]]:
    shown: list[dict[str, str]] = []
    for row in rows:
        result = row.submission
        if row.points_before_late is None or result is None or len(shown) >= MOST_CONTACT:
            continue
        evening = marked(result.content)
        for sheet in result.sheets:
            data = evening.pictures.get(f"thumb-{sheet.number}") if evening else None
            if sheet.nominated and data:
                shown.append({"who": _who(row), "points": number(row.points, 1), "picture": picture_link(data)})
    return shown


def given_words(row: RowResult) -> str:
    """Return what a person decided and why: what the learner was told, and what was not for the learner."""
    said = []
    if row.decision is not None and row.decision.choice != "partial":
        choice = CHOICE_WORDS[row.decision.choice]
        if row.decision.used_by:
            choice = f"was opened again, used up by {row.decision.used_by}"
        if row.decision.unsettled:
            choice = row.decision.unsettled if row.decision.choice == "accept" else f"{choice} ({row.decision.unsettled})"
        said.append(_with_private(f"{choice}: {row.decision.reason}".rstrip(": "), row.decision.private))
    if row.override is not None:
        said.append(_with_private(row.override.reason, row.override.private))
    return "; ".join(said)


def _with_private(reason: str, private: str) -> str:
    return f"{reason} (not for the learner: {private})" if private else reason
