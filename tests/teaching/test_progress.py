"""Progress: met on two negatives, faded and skipped, spaced recall, kept durably, drawn on one page."""

from __future__ import annotations

import json
import re
from dataclasses import replace
from html.parser import HTMLParser
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from sim.negative.develop import find_negative
from sim.reading import OutsideError
from sim.scoring.exercise_file import find_exercise
from sim.scoring.ladder_bench import LadderBench
from sim.scoring.syllabus import LessonEntry, Syllabus, read_syllabus
from sim.shelf import data_of_ones_own, own_folder
from sim.teaching.fresh_negative import fresh_negative
from sim.teaching.lesson import LessonRun, NotNow
from sim.teaching.own_decisions import shown_prints
from sim.teaching.progress import (
    MOST_KEPT,
    SPACING_DAYS,
    DrillDone,
    EveningDone,
    Progress,
    Recalled,
    due_day,
    evening_done,
    is_open,
    needed_for,
    next_lesson,
    next_negatives,
    passed_once,
    progress_file,
    read_progress,
    retrieval_items,
    with_drill,
    with_evening,
    with_recall,
    write_progress,
)
from sim.teaching.progress_page import curve_points, progress_page
from sim.teaching.progress_picture import progress_picture
from sim.writing import WritingFailed

SKILL = "time-from-strip"


def done(log: str = "a", **more: Any) -> EveningDone:
    kept: dict[str, Any] = {
        "attempt": 1, "day": 10, "negatives": ["morning-shelf"], "skill": SKILL, "mode": "solo", "version": 1, "share": 0.9,
        "points": 9.0, "full_points": 10.0, "passed": True, "hints": 0, "sheets": 1.25, "expected_sheets": 1.25,
    }  # fmt: skip
    return EveningDone(log=log, **{**kept, **more})


def kept(*evenings: EveningDone, exercise: str = "time-from-a-strip") -> Progress:
    progress = Progress()
    for one in evenings:
        progress = with_evening(progress, exercise, one)
    return progress


def test_a_skill_is_met_on_two_different_negatives_only() -> None:
    once = kept(done("a"))
    assert not once.mastered(SKILL)
    assert not kept(done("a"), done("b", attempt=2)).mastered(SKILL), "twice on the same negative"
    assert kept(done("a"), done("b", negatives=["cup-close"])).mastered(SKILL)
    assert not kept(done("a"), done("b", negatives=["cup-close"], passed=False)).mastered(SKILL)
    assert kept(done("a", negatives=["sitting-1", "sitting-2"])).mastered(SKILL), "a series is more than one negative"


def test_a_worked_example_counts_for_nothing() -> None:
    progress = kept(done("a", mode="example"), done("b", mode="example", negatives=["cup-close"]))
    assert progress.met == {}
    assert not passed_once(progress, "time-from-a-strip")
    assert progress.attempts("time-from-a-strip") == 1


def test_attempts_are_without_limit_and_what_was_met_stays_met() -> None:
    progress = kept(done("first"))
    for number in range(MOST_KEPT + 20):
        progress = with_evening(progress, "time-from-a-strip", done(f"n{number}", attempt=number + 2, passed=False))
    assert len(progress.evenings["time-from-a-strip"]) == MOST_KEPT
    assert progress.met[SKILL] == ["morning-shelf"]
    assert progress.attempts("time-from-a-strip") == MOST_KEPT + 21


def test_the_same_evening_again_takes_its_own_place() -> None:
    progress = kept(done("a", share=0.4, passed=False), done("a", share=0.95))
    (only,) = progress.evenings["time-from-a-strip"]
    assert only.share == 0.95


def test_two_clean_successes_in_a_row_skip_what_is_shown() -> None:
    assert not kept(done("a")).may_skip(SKILL)
    assert kept(done("a"), done("b", attempt=2)).may_skip(SKILL)
    assert not kept(done("a"), done("b", attempt=2, hints=1)).may_skip(SKILL)
    assert not kept(done("a"), done("b", attempt=2), done("c", attempt=3, passed=False)).may_skip(SKILL)
    assert not kept(done("a", mode="completion"), done("b", mode="completion")).may_skip(SKILL)


SYLLABUS = Syllabus(
    (LessonEntry("one", "One", "s"), LessonEntry("two", "Two", "s"), LessonEntry("three", "Three", "t", ("s",)))
)
NEEDED = {"s": 2, "t": 2}


def passed(*pairs: tuple[str, str, str], **more: Any) -> Progress:
    progress = Progress()
    for number, (slug, skill, negative) in enumerate(pairs):
        one = done(f"{number}", attempt=number + 1, skill=skill, negatives=[negative], hints=1, **more)
        progress = with_evening(progress, slug, one)
    return progress


@pytest.mark.parametrize(
    ("pairs", "slug"),
    [
        ((), "one"),
        ((("one", "s", "a"),), "two"),
        ((("one", "s", "a"), ("two", "s", "a")), "one"),  # passed twice on one negative: once more on another
        ((("one", "s", "a"), ("two", "s", "b")), "three"),
        ((("one", "s", "a"), ("one", "s", "b")), "two"),
        ((("one", "s", "a"), ("two", "s", "b"), ("three", "t", "c"), ("three", "t", "d")), None),
    ],
)
def test_the_next_lesson_is_the_first_open_one_still_needed(pairs: tuple[Any, ...], slug: str | None) -> None:
    found = next_lesson(passed(*pairs), SYLLABUS, NEEDED)
    assert (found.slug if found else None) == slug


def test_two_clean_successes_skip_the_rest_of_a_skill_that_is_met() -> None:
    progress = kept(done("a", skill="s", negatives=["a"]), done("b", attempt=2, skill="s", negatives=["b"]), exercise="one")
    found = next_lesson(progress, SYLLABUS, NEEDED)
    assert found is not None
    assert found.slug == "three"


def test_a_lesson_is_closed_until_what_it_builds_on_is_met() -> None:
    third = SYLLABUS.lessons[2]
    assert not is_open(passed(("one", "s", "a")), third, NEEDED)
    assert is_open(passed(("one", "s", "a")), third, {"s": 1})
    assert is_open(passed(("one", "s", "a"), ("two", "s", "b")), third, NEEDED)


def test_every_skill_of_the_syllabus_can_be_met_and_leads_on() -> None:
    syllabus = read_syllabus()
    needed = needed_for(syllabus)
    assert set(needed) == set(syllabus.skills)
    progress, order = Progress(), []
    for _ in range(4 * len(syllabus.lessons)):
        lesson = next_lesson(progress, syllabus, needed)
        if lesson is None:
            break
        _, exercise = find_exercise(lesson.slug)
        attempt = progress.attempts(lesson.slug) + 1
        one = done(f"{lesson.slug}{attempt}", attempt=attempt, skill=lesson.skill, hints=1,
                   negatives=list(next_negatives(progress, exercise)))  # fmt: skip
        progress = with_evening(progress, lesson.slug, one)
        order.append(lesson.slug)
    assert next_lesson(progress, syllabus, needed) is None
    assert all(progress.mastered(skill, count) for skill, count in needed.items())
    assert set(order) == {lesson.slug for lesson in syllabus.lessons}


def test_every_attempt_of_ones_own_is_on_a_negative_not_printed_before() -> None:
    _, exercise = find_exercise("time-from-a-strip")
    exercise = replace(exercise, also=("cup-close",), mode="solo")
    assert next_negatives(Progress(), exercise) == ("morning-shelf",)
    assert next_negatives(kept(done("a", passed=False)), exercise) == ("cup-close",)
    both = kept(done("a"), done("b", attempt=2, negatives=["cup-close"]))
    ((third,), (fourth,)) = (
        next_negatives(with_evening(both, "time-from-a-strip", done(f"{n}", attempt=n)), exercise) for n in (2, 3)
    )
    assert third.startswith("morning-shelf~")
    assert fourth.startswith("morning-shelf~")
    assert third != fourth
    shown = replace(exercise, mode="example")
    assert next_negatives(Progress(), shown) == ("morning-shelf",), "the example is made for its own negative"


def test_a_negative_that_the_shown_settings_pass_on_is_not_given() -> None:
    folder, exercise = find_exercise("holding-back-a-face")
    name = fresh_negative(folder, exercise, 3, exercise.negatives)
    for record in shown_prints(folder, exercise):
        bench = LadderBench(exercise.on_negatives(name), (find_negative(name),))
        assert not bench.marks_of([replace(record, negative=name, negative_digest="")]).passed(exercise)


@pytest.mark.parametrize("why", ["shown", "by-chance", "over-limit"])
def test_a_copy_a_stroke_of_luck_or_one_graded_attempt_too_many_meets_no_skill(why: str) -> None:
    progress = kept(done("a", not_counted=why), done("b", not_counted=why, negatives=["cup-close"]))
    assert progress.met == {}
    assert not passed_once(progress, "time-from-a-strip")
    assert not progress.may_skip(SKILL)
    assert progress.attempts("time-from-a-strip") == 1


def test_a_series_keeps_its_negatives() -> None:
    _, exercise = find_exercise("matching-a-series")
    assert next_negatives(Progress(), exercise) == exercise.negatives


def test_recall_comes_at_widening_gaps_and_begins_anew_after_a_miss() -> None:
    progress = kept(done("a", day=10))
    assert retrieval_items(progress, 10) == (), "nothing on the day itself"
    day, gaps = 10, []
    for _ in range(8):
        due = due_day(progress.recalled[SKILL])
        assert retrieval_items(progress, due - 1) == ()
        assert retrieval_items(progress, due) == (SKILL,)
        gaps.append(due - day)
        day = due
        progress = with_recall(progress, SKILL, day, right=True)
    assert tuple(gaps[: len(SPACING_DAYS)]) == SPACING_DAYS
    assert gaps[-1] == SPACING_DAYS[-1]
    missed = with_recall(progress, SKILL, day, right=False)
    assert due_day(missed.recalled[SKILL]) == day + 1


def test_three_items_at_most_the_longest_overdue_first_and_only_what_was_met() -> None:
    progress = Progress(
        met={s: ["a"] for s in ("a", "b", "c", "d")},
        recalled={s: Recalled(day=d, in_a_row=0) for s, d in (("a", 5), ("b", 1), ("c", 3), ("d", 2), ("never", 0))},
    )
    assert retrieval_items(progress, 20) == ("b", "d", "c")
    assert retrieval_items(progress, 2) == ("b",)


def test_recall_of_something_new_begins_its_own_row() -> None:
    assert with_recall(Progress(), "x", 4, True).recalled["x"] == Recalled(day=4, in_a_row=1)


def test_progress_is_kept_and_comes_back(tmp_path: Path) -> None:
    progress = with_drill(kept(done("a")), "read-the-strip", DrillDone(day=3, errors=[0.5, 2.0], right=1))
    progress = progress.model_copy(update={"learner": "k01"})
    file = write_progress(tmp_path, progress)
    assert file == tmp_path / "progress-k01.json"
    assert read_progress(tmp_path, "k01") == progress
    assert read_progress(tmp_path, "k02") == Progress(learner="k02")
    assert read_progress(tmp_path) == Progress()
    assert progress.recent_errors("read-the-strip") == (0.5, 2.0)
    assert progress.recent_errors("say-the-burn") == ()
    write_progress(tmp_path, kept(done("b")).model_copy(update={"learner": "k01"}))
    previous = json.loads((tmp_path / "progress-k01.json.previous").read_text("utf-8"))
    assert previous["evenings"]["time-from-a-strip"][0]["log"] == "a"


@pytest.mark.parametrize("learner", ["../../x", "a/b", "κ01", "CON\n", "x" * 90, ".hidden", "\ud800"])
def test_no_learners_name_leads_out_of_the_folder(learner: str, tmp_path: Path) -> None:
    file = progress_file(tmp_path, learner)
    assert file.parent == tmp_path
    assert re.fullmatch(r"progress-[0-9a-f]{16}\.json", file.name)


def test_a_progress_file_of_somebody_else_is_refused(tmp_path: Path) -> None:
    write_progress(tmp_path, Progress(learner="k01"))
    (tmp_path / "progress-k01.json").rename(tmp_path / "progress-k02.json")
    with pytest.raises(OutsideError, match="learner: must be 'k02', got 'k01'"):
        read_progress(tmp_path, "k02")


@pytest.mark.parametrize("text", ["", "[]", "{", '{"format":2}', '{"met":{"a":[3]}}', '{"evenings":{"x":[{}]}}', '{"x":1}'])
def test_a_spoilt_progress_file_is_refused_in_words(text: str, tmp_path: Path) -> None:
    (tmp_path / "progress.json").write_text(text, "utf-8")
    with pytest.raises(OutsideError, match=r"progress\.json"):
        read_progress(tmp_path)


def test_a_full_disk_leaves_the_old_progress(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    write_progress(tmp_path, kept(done("a")))
    before = (tmp_path / "progress.json").read_bytes()

    def full(descriptor: int) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr("os.fsync", full)
    with pytest.raises(WritingFailed, match="No space left"):
        write_progress(tmp_path, kept(done("b")))
    assert (tmp_path / "progress.json").read_bytes() == before


def test_the_usual_folder_is_the_accounts_own() -> None:
    assert data_of_ones_own().name == "tonewright"
    assert own_folder().parent == data_of_ones_own()  # papers of one's own lie beside the evenings, for window and terminal


def test_a_lesson_becomes_an_evening_done(tmp_path: Path) -> None:
    run = LessonRun.open(tmp_path / "log.jsonl", "time-from-a-strip", mode="solo", learner="k01")
    with pytest.raises(NotNow):
        evening_done(run, 5)
    run.hint()
    run.predict("right")
    run.make(run.start(), 0.8)
    run.see("lighter")
    run.why("exposure")
    run.nominate(1)
    one = evening_done(run, 5)
    assert (one.day, one.mode, one.hints, one.sheets, one.passed) == (5, "solo", 1, 1.0, False)
    assert one.negatives == ["morning-shelf"]
    run.evening.close()
    assert one.log == evening_done(LessonRun.open(run.evening.file, "time-from-a-strip"), 9).log


def pictured(progress: Progress, day: int = 20) -> str:
    return progress_page(progress_picture(progress, read_syllabus(), day))


class Page(HTMLParser):
    """Gathers tags, their attributes, and text."""

    def __init__(self, text: str) -> None:
        super().__init__()
        self.tags: list[tuple[str, dict[str, str | None]]] = []
        self.open: list[str] = []
        self.words = ""
        self.feed(text)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append((tag, dict(attrs)))
        if tag not in ("meta", "rect", "polyline", "circle"):
            self.open.append(tag)

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append((tag, dict(attrs)))

    def handle_endtag(self, tag: str) -> None:
        assert self.open.pop() == tag, f"{tag} closes out of order"

    def handle_data(self, data: str) -> None:
        self.words += data


def busy() -> Progress:
    second, third = done("b", attempt=2, day=12), done("c", attempt=3, day=13, negatives=["cup-close"])
    progress = kept(done("a", share=0.3, passed=False), second, third)
    progress = with_evening(progress, "own-work", done("z", skill="own-skill"))
    progress = with_drill(progress, "read-the-strip", DrillDone(day=3, errors=[0.5, 2.0], right=1))
    return with_drill(progress, "say-the-burn", DrillDone(day=3, errors=[], right=0))


def test_the_page_stands_alone_without_script_or_anything_fetched() -> None:
    text = pictured(busy())
    page = Page(text)
    assert page.open == []
    names = [tag for tag, _ in page.tags]
    assert "script" not in names
    assert not {"link", "img", "iframe", "object"} & set(names)
    assert not re.search(r"https?://|\bon\w+=|url\(", text)
    assert names.count("h1") == names.count("main") == names.count("title") == 1


def test_the_page_can_be_read_by_ear_and_on_a_narrow_screen() -> None:
    text = pictured(busy())
    page = Page(text)
    assert ("html", {"lang": "en"}) in page.tags
    assert any(tag == "meta" and "width=device-width" in (a.get("content") or "") for tag, a in page.tags)
    curves = [a for tag, a in page.tags if tag == "svg"]
    assert len(curves) == 2
    assert all(a["role"] == "img" and a["aria-label"] for a in curves)
    assert "quality over attempts: 30 %, 90 %, 90 %" in (curves[0]["aria-label"] or "")
    assert all("width" not in a for a in curves), "a curve takes the width there is"
    widths = [float(w) for w in re.findall(r"minmax\(min\(100%, ([\d.]+)rem", text)]
    assert widths
    assert max(widths) * 16 < 390 - 2 * 16
    assert all(a.get("scope") for tag, a in page.tags if tag == "th")


def test_the_page_says_what_the_data_say() -> None:
    words = " ".join(Page(pictured(busy())).words.split())
    assert "1 of 25 skills met" in words or re.search(r"1 of \d+ skills met", words)
    assert "Met on morning shelf, cup close" in words
    assert "4 evenings" in words
    assert "To recall today: own skill, time from strip." in words or "To recall today: time from strip, own skill." in words
    assert "Own skill" in words
    assert "50 %" in words
    assert "Not begun" in Page(pictured(Progress())).words


def test_a_learners_name_is_text_on_the_page() -> None:
    text = pictured(Progress(learner="<script>alert(1)</script>&"))
    assert "<script>" not in text
    assert "&lt;script&gt;" in text


def contrast(first: str, second: str) -> float:
    def luminance(colour: str) -> float:
        digits = colour.lstrip("#")
        digits = "".join(c * 2 for c in digits) if len(digits) == 3 else digits
        linear = [((v / 255 + 0.055) / 1.055) ** 2.4 if v / 255 > 0.04045 else v / 255 / 12.92 for v in bytes.fromhex(digits)]
        return float(np.dot(linear, [0.2126, 0.7152, 0.0722]))

    light, dark = sorted((luminance(first), luminance(second)), reverse=True)
    return (light + 0.05) / (dark + 0.05)


def test_words_and_curves_stand_out_from_their_ground_by_day_and_by_night() -> None:
    for block in re.findall(r":root \{(.*?)\}", pictured(Progress()), re.S):
        colours = dict(re.findall(r"--(\w+): (#\w+)", block))
        for ground in ("ground", "panel"):
            assert all(contrast(colours[name], colours[ground]) >= 4.5 for name in ("ink", "soft", "met"))
            assert contrast(colours["line"], colours[ground]) >= 3.0


def test_a_curve_rises_with_quality_and_runs_from_left_to_right() -> None:
    points = curve_points((0.0, 0.5, 1.0), (False, False, True))
    assert [p.x for p in points] == sorted(p.x for p in points)
    assert [p.y for p in points] == sorted((p.y for p in points), reverse=True)
    assert [p.passed for p in points] == [False, False, True]
    assert len(curve_points((0.5,) * 100, (True,) * 100)) == 40
    assert len(curve_points((0.5,), (True,))) == 1
