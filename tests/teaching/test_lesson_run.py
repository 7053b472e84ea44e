"""A lesson under way: predict before the reveal, see before the number, hints between sheets, locks, and power cuts."""

from __future__ import annotations

import re
import shutil
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest
from lesson_hands import (
    COARSE,
    EDITION,
    FILTER_LESSON,
    SERIES,
    STRIP_LESSON,
    one_print,
    reopened,
    right_time,
    solo,
    strip,
    timed,
)

from sim.enlarger.filters import FilterSetting
from sim.evening.evening import Evening, EveningEnded
from sim.evening.handing_in import read_submission
from sim.evening.log import read_log
from sim.printing.strips import lay_strip
from sim.reading import OutsideError, ValueRefused
from sim.scoring.exercise_file import find_exercise
from sim.teaching.lesson import LessonRun, NotNow
from sim.teaching.lesson_opening import seed_for
from sim.teaching.lesson_rules import LessonRules, darkroom_of
from sim.teaching.lesson_step import Step
from sim.teaching.strip_texts import STRIP_WHY
from sim.teaching.worked_example import mode_for, strip_across


def test_nothing_can_be_developed_before_a_prediction_is_kept(tmp_path: Path) -> None:
    run = solo(tmp_path)
    for record in (timed(run, 8.0), strip(run)):
        with pytest.raises(NotNow, match="Predict first"):
            run.make(record, COARSE)
    assert [line.kind for line in read_log(run.evening.file).lines] == ["opened"]
    run.predict("darker", "a guess")
    run.make(timed(run, 8.0), COARSE)
    kinds = [line.kind for line in read_log(run.evening.file).lines]
    assert kinds == ["opened", "predicted", "sheet"]
    with pytest.raises(NotNow, match="Look at the last sheet first"):
        run.make(timed(run, 9.0), COARSE)


def test_a_prediction_belongs_to_what_is_made(tmp_path: Path) -> None:
    run = solo(tmp_path)
    run.predict("step-4")
    with pytest.raises(NotNow, match="was about a strip"):
        run.make(timed(run, 8.0), COARSE)
    run.predict("darker")  # may be said again until it is developed
    with pytest.raises(NotNow, match="was about a print"):
        run.make(strip(run), COARSE)
    run.make(timed(run, 8.0), COARSE)
    assert run.evening.state.said_of("predicted")[-1].choice == "darker"


def test_no_number_is_shown_before_the_learner_has_said_what_is_to_be_seen(tmp_path: Path) -> None:
    run = solo(tmp_path)
    run.predict("right")
    run.make(timed(run, 8.0), COARSE)
    step = run.step
    assert step.stage == "see"
    assert (step.readings, step.strip, step.measured) == ((), (), "")
    assert not re.search(r"\d", " ".join(step.texts))
    with pytest.raises(NotNow, match="first say what you see"):
        run.readings(1)
    with pytest.raises(NotNow):
        run.why("exposure")
    run.see("lighter", "the cup has no surface")
    step = run.step
    assert step.stage == "explain"
    assert step.readings
    assert step.measured
    assert (step.predicted, step.seen) == ("right", "lighter")
    assert run.evening.state.said_of("observed")[0].text == "lighter: the cup has no surface"


def test_the_next_text_depends_on_the_prediction_the_eye_and_the_reason(tmp_path: Path) -> None:
    texts = []
    for number, (predict, see, why) in enumerate([
        ("lighter", "lighter", "exposure"), ("darker", "lighter", "exposure"),
        ("lighter", "right", "exposure"), ("lighter", "lighter", "as-planned"),
    ]):  # fmt: skip
        (tmp_path / str(number)).mkdir()
        run = solo(tmp_path / str(number))
        run.predict(predict)
        run.make(timed(run, 3.0), COARSE)
        run.see(see)
        explained = run.step.texts
        run.why(why)
        texts.append((explained, run.step.texts))
    assert "The readings agree" in texts[0][0][0]
    assert "The readings say otherwise" in texts[1][0][0]
    assert "eye and the densitometer agree" in texts[0][0][1]
    assert "look again beside the step scale" in texts[2][0][1]
    assert texts[0][1][0].startswith("Yes. ")
    assert texts[3][1][0].startswith("Look again: you said it came out as planned.")


def test_feedback_names_cause_direction_and_size_and_no_setting(tmp_path: Path) -> None:
    run = solo(tmp_path)
    one_print(run, 3.0)
    words = " ".join(run.step.texts)
    assert "more light" in words
    assert "stop" in words
    answer = right_time(run)
    assert f"{answer:g} s" not in words


def test_a_strip_is_read_step_by_step_and_the_right_step_named(tmp_path: Path) -> None:
    run = solo(tmp_path)
    answer = right_time(run)
    run.predict("step-5")
    run.make(strip(run, answer / 2.0**1.5), COARSE * 2)  # the right time is the fourth step
    assert run.evening.state.sheets_left == run.exercise.box.sheets - 0.25
    run.see("4")
    step = run.step
    assert len(step.strip) == 7
    assert [d for _, d in step.strip] == sorted(d for _, d in step.strip)
    assert step.measured == "step 4"
    assert "otherwise" in step.texts[0]
    assert {c.key for c in step.choices} == set(STRIP_WHY)
    run.why("begin-longer")
    assert run.step.texts[0].startswith("Look again")


@pytest.mark.parametrize(
    ("first_s", "key", "why"), [(0.1, "after-last", "begin-longer"), (40.0, "before-first", "begin-shorter")]
)
def test_a_strip_all_to_one_side_says_so(first_s: float, key: str, why: str, tmp_path: Path) -> None:
    run = solo(tmp_path)
    run.predict(key)
    run.make(strip(run, first_s), COARSE * 2)
    run.see(key)
    assert "The readings agree" in run.step.texts[0]
    run.why(why)
    assert run.step.texts[0].startswith("Yes")


def test_a_locked_control_is_refused_with_the_reason_and_costs_nothing(tmp_path: Path) -> None:
    run = solo(tmp_path)
    run.predict("right")
    record = timed(run, 8.0)
    other = record.with_exposures(replace(record.exposures[0], filter=FilterSetting("4")))
    with pytest.raises(NotNow, match="the filter is locked"):
        run.make(other, COARSE)
    hard = lay_strip(strip_across(run.negatives[0], run.start()).record, (1.0, 2.0), 8.0, FilterSetting("4"), "covered").record
    run.predict("step-1")
    with pytest.raises(NotNow, match="the filter is locked"):
        run.make(hard, COARSE)
    assert run.made == 0
    reasons = {choice.key: choice.words for choice in run.step.locked}
    assert "time_s" not in reasons
    assert "one new decision at a time" in reasons["filter"]
    assert run.locked("time_s") is None


def test_between_two_hints_lies_a_new_sheet(tmp_path: Path) -> None:
    run = solo(tmp_path)
    texts = [run.hint()]
    assert run.step.hint == texts[0]
    with pytest.raises(NotNow, match="Try the last hint"):
        run.hint()
    run.evening.note("waiting does not help")
    assert "hint" not in run.step.allowed
    for time_s in (6.0, 7.0):
        one_print(run, time_s)
        assert "hint" in run.step.allowed
        texts.append(run.hint())
    assert len(set(texts)) == 3
    one_print(run, 7.5)
    with pytest.raises(NotNow, match="neighbouring case"):
        run.hint()
    shown = " ".join([*run.step.texts, run.step.no_hint, *texts]).lower()
    assert not re.search(r"\bhints? left\b|\bremaining\b", shown)
    assert [s.level for s in run.evening.state.said_of("hint")] == [1, 2, 3]


@pytest.fixture(scope="module")
def whole(tmp_path_factory: pytest.TempPathFactory) -> tuple[list[bytes], dict[int, Step]]:
    """A whole lesson: the lines of its log, and the step shown after so many of them."""
    run = solo(tmp_path_factory.mktemp("whole"))
    steps: dict[int, Step] = {}
    acts: list[Callable[[], object]] = [
        run.begin, lambda: run.predict("step-3"), lambda: run.make(strip(run), COARSE), lambda: run.see("4"),
        lambda: run.why("bracketed"), lambda: run.predict("right"), lambda: run.make(timed(run, 8.0), COARSE),
        lambda: run.see("right"), lambda: run.why("as-planned"), lambda: run.nominate(2),
    ]  # fmt: skip
    for act in acts:
        act()
        steps[len(read_log(run.evening.file).lines)] = run.step
    return run.evening.file.read_bytes().splitlines(keepends=True), steps


@pytest.mark.parametrize("cut", range(1, 11))
def test_a_lesson_cut_off_at_any_line_goes_on_where_it_was(
    cut: int, whole: tuple[list[bytes], dict[int, Step]], tmp_path: Path
) -> None:
    lines, steps = whole
    file = tmp_path / "log.jsonl"
    file.write_bytes(b"".join(lines[:cut]) + b'{"half a li')
    again = LessonRun.open(file, STRIP_LESSON)
    before = steps[cut]
    assert again.evening.damage is not None
    assert again.stage == ("brief" if cut == 1 else before.stage)
    again.begin()
    shown = again.step
    assert (shown.texts, shown.choices, shown.allowed) == (before.texts, before.choices, before.allowed)
    assert (shown.sheets, shown.sheets_left, shown.minutes_left) == (before.sheets, before.sheets_left, before.minutes_left)
    assert [m.measured for m in shown.readings] == [pytest.approx(m.measured, abs=0.003) for m in before.readings]
    assert shown.marks == before.marks


PLAYED = {
    "soft-and-hard": "exposed 2 times", "burning-a-sky": "A card: burn in", "holding-back-a-face": "A card: hold back",
    "contact-print": "", "developed-to-the-end": "The developer gets", "height-size-and-time": "The head goes",
    "focus-and-best-aperture": "focused", "condenser-against-diffusion": "", "aperture-and-time": "The lens goes",
}  # fmt: skip


@pytest.mark.parametrize("name", PLAYED)
def test_a_worked_example_of_every_kind_of_work_earns_full_marks_and_says_what_it_does(name: str, tmp_path: Path) -> None:
    run = LessonRun.open(tmp_path / "log.jsonl", name, mode="example")
    said = []
    while run.shown_next:
        said += [*run.plan[run.made].words]
        strip_next = run.plan[run.made].record.sheet.kind == "strip"
        run.predict("step-3" if strip_next else "right")
        run.play(0.5)
        run.see("step-3" if strip_next else "right")
        run.why(run.step.choices[0].key)
    run.nominate(run.made)
    marks, advice, _ = run.result()
    assert marks.share == pytest.approx(1.0, abs=0.02)
    assert advice == ()
    assert all(len(text.split()) <= 60 for text in said)
    assert PLAYED[name] in " ".join(said), said


def test_the_same_attempt_is_the_same_on_every_run(tmp_path: Path) -> None:
    logs = []
    for name in "ab":
        (tmp_path / name).mkdir()
        run = solo(tmp_path / name, learner="k01", attempt=2)
        one_print(run, 8.0)
        logs.append(run.evening.file.read_bytes())
    assert logs[0] == logs[1]
    assert seed_for("x", "k01", 1) != seed_for("x", "k01", 2) != seed_for("x", "k02", 2)


def test_stopping_after_a_good_print_earns_the_economy(tmp_path: Path) -> None:
    points = []
    for number, extra in enumerate((0, 2)):
        (tmp_path / str(number)).mkdir()
        run = solo(tmp_path / str(number))
        one_print(run, right_time(run))
        for _ in range(extra):
            one_print(run, 30.0)
        run.nominate(1)
        marks, advice, _ = run.result()
        assert marks.passed(run.exercise)
        points.append((marks.points, marks.quality_points))
        said = " ".join(run.step.texts)
        assert ("stopped there" in said) == (extra == 0)
        assert ("fewer-sheets" in [a.direction for a in advice]) == (extra > 0)
    assert points[0][1] == pytest.approx(points[1][1], abs=0.6)
    assert points[0][0] > points[1][0]


def test_after_the_marks_ones_own_prints_are_set_side_by_side(tmp_path: Path) -> None:
    run = solo(tmp_path, FILTER_LESSON)
    start = run.start()
    records = [start, start.with_exposures(replace(start.exposures[0], filter=FilterSetting("3")))]
    for record in records:
        run.predict("softer")
        run.make(record, COARSE)
        run.see("softer")
        run.why("contrast")
    run.nominate(2)
    (contrast,) = run.step.contrasts
    assert (contrast.first, contrast.second) == (1, 2)
    assert "filter 4 → 3" in contrast.words[0]
    assert any("became" in words for words in contrast.words)
    assert "Several things" not in " ".join(contrast.words)
    assert " ".join(contrast.words) in run.step.texts


def test_of_several_prints_those_one_decision_apart_are_set_side_by_side(tmp_path: Path) -> None:
    run = solo(tmp_path)
    for time_s in (4.0, 4.0, 9.0):
        one_print(run, time_s)
    run.nominate(3)
    assert run.step.contrasts[0].second == 3


def test_marks_may_be_asked_only_for_what_counts_and_work_may_go_on(tmp_path: Path) -> None:
    run = solo(tmp_path)
    with pytest.raises(NotNow, match="no sheet has been named"):
        run.result()
    one_print(run, 4.0)
    run.nominate(1)
    assert run.stage == "marks"
    assert {"predict", "hand-in", "nominate"} <= set(run.step.allowed)
    first = run.result()[0].share
    one_print(run, right_time(run))
    assert run.stage == "predict"
    run.nominate(2)
    assert run.result()[0].share > first


def test_only_what_was_looked_at_can_be_nominated_and_only_whole_prints(tmp_path: Path) -> None:
    run = solo(tmp_path)
    run.predict("right")
    run.make(timed(run, 8.0), COARSE)
    with pytest.raises(NotNow, match="what is to be seen"):
        run.nominate(1)
    run.see("right")
    run.why("as-planned")
    for wrong in (0, 2):
        with pytest.raises(ValueError, match=f"between 1 and 1, got {wrong}"):
            run.nominate(wrong)


@pytest.mark.parametrize(("name", "needed"), [(SERIES, 4), (EDITION, 3)])
def test_a_series_and_an_edition_need_every_print_that_counts(name: str, needed: int, tmp_path: Path) -> None:
    run = LessonRun.open(tmp_path / "log.jsonl", name, mode="example")
    assert len(run.plan) >= needed
    while run.shown_next:
        kind = run.plan[run.made].record.sheet.kind
        run.predict("step-3" if kind == "strip" else "right")
        run.play(COARSE)
        run.see("step-3" if kind == "strip" else "right")
        run.why(run.step.choices[0].key)
    whole = [made.number for made in run.evening.state.sheets if made.record.sheet.kind == "sheet"]
    with pytest.raises(ValueError, match=r"needs (1 print|3 prints) that count"):
        run.nominate(*whole[:-1])
    run.nominate(*reversed(whole))
    marks, advice, _ = run.result()
    assert marks.share == pytest.approx(1.0, abs=0.02)
    assert [a for a in advice if a.cause != "economy"] == []
    assert len(run.evening.state.nominated) == needed


def test_a_worked_example_is_watched_and_its_sheets_are_not_the_learners_to_make(tmp_path: Path) -> None:
    run = LessonRun.open(tmp_path / "log.jsonl", STRIP_LESSON)
    assert run.mode == "example"
    with pytest.raises(NotNow, match="Predict first"):
        run.play()
    run.predict("step-4")
    with pytest.raises(NotNow, match="made for you"):
        run.make(strip(run), COARSE)
    assert "play" in run.step.allowed
    assert "print" not in run.step.allowed
    run.play(COARSE * 2)
    run.see("5")
    run.why("bracketed")
    assert any(" more light" in text for text in run.step.texts), "the decision is explained"
    run.predict("right")
    run.play(COARSE)
    run.see("right")
    run.why("as-planned")
    with pytest.raises(NotNow, match="nothing is left to be shown"):
        run.play()
    run.nominate(2)
    assert run.result()[0].passed(run.exercise)
    assert reopened(run).mode == "example"


def test_a_completion_leaves_the_last_print_to_the_learner(tmp_path: Path) -> None:
    run = LessonRun.open(tmp_path / "log.jsonl", STRIP_LESSON, attempt=2)
    assert (run.mode, len(run.plan)) == ("completion", 1)
    run.predict("step-4")
    run.play(COARSE * 2)
    run.see("5")
    run.why("bracketed")
    assert "From here on the decisions are yours." in run.step.texts
    run.predict("right")
    assert {"strip", "print"} <= set(run.step.allowed)
    run.make(timed(run, 8.0), COARSE)


def test_what_is_shown_fades_and_clean_successes_skip_it() -> None:
    assert [mode_for("example", attempt) for attempt in (1, 2, 3, 4)] == ["example", "completion", "solo", "solo"]
    assert [mode_for("completion", attempt) for attempt in (1, 2)] == ["completion", "solo"]
    assert mode_for("solo", 1) == "solo"
    assert mode_for("example", 1, clean_successes=2) == "solo"


def test_without_a_reference_for_the_negative_nothing_is_shown(tmp_path: Path) -> None:
    run = LessonRun.open(tmp_path / "log.jsonl", STRIP_LESSON, negatives=("morning-shelf~k1",))
    assert (run.mode, run.plan) == ("solo", ())
    assert run.evening.state.opening.negatives == ["morning-shelf~k1"]
    assert reopened(run).negatives[0].name == "morning-shelf~k1"


def test_a_log_of_another_exercise_is_not_taken_up(tmp_path: Path) -> None:
    run = solo(tmp_path)
    run.evening.close()
    with pytest.raises(ValueRefused, match="must be a log of the exercise filter-for"):
        LessonRun.open(run.evening.file, FILTER_LESSON)
    with pytest.raises(OutsideError, match="is no lesson"):
        LessonRun.open(tmp_path / "x.jsonl", "no-such-lesson")
    with pytest.raises(ValueError, match="negatives must number 1"):
        LessonRun.open(tmp_path / "x.jsonl", STRIP_LESSON, negatives=("a", "b"))
    assert not (tmp_path / "x.jsonl").exists()


def test_a_lesson_over_an_evening_sees_sheets_made_elsewhere(tmp_path: Path) -> None:
    run = solo(tmp_path)
    run.evening.close()
    evening = Evening.open(run.evening.file)
    folder, exercise = find_exercise(STRIP_LESSON)
    other = LessonRun.over(evening, folder, exercise)
    other.predict("lighter")
    evening.make(other.negatives[0], timed(other, 8.0), COARSE)  # at the darkroom's own stations
    assert other.stage == "see"
    other.see("right")
    assert other.step.readings


def test_the_box_and_the_evening_end_in_words(tmp_path: Path) -> None:
    run = solo(tmp_path)
    for _ in range(run.exercise.box.sheets):
        one_print(run, 8.0)
    run.predict("right")
    with pytest.raises(EveningEnded, match="the box must hold the paper asked for, got 0 sheets left"):
        run.make(timed(run, 8.0), COARSE)
    assert run.stage == "make", "the prediction stands; a strip no longer fits either"
    run.nominate(1)
    assert run.stage == "marks"


def test_an_evening_is_handed_in_from_the_lesson(tmp_path: Path) -> None:
    run = solo(tmp_path, learner="k01")
    one_print(run, 8.0)
    run.nominate(1)
    run.hand_in(tmp_path / "out.jsonl")
    _, exercise = find_exercise(STRIP_LESSON)
    got = read_submission(tmp_path / "out.jsonl", exercise.version, {exercise.digest})
    assert (got.problems, got.stale) == ((), None)
    closed = LessonRun.open(tmp_path / "out.jsonl", STRIP_LESSON)
    assert closed.stage == "done"
    assert closed.step.allowed == ()
    with pytest.raises(NotNow, match="handed in"):
        closed.hint()


def test_a_changed_exercise_is_noticed(tmp_path: Path) -> None:
    folder, _ = find_exercise(STRIP_LESSON)
    own = tmp_path / "own"
    shutil.copytree(folder, own)
    run = LessonRun.open(tmp_path / "log.jsonl", str(own), mode="solo")
    assert not run.changed_since
    run.evening.close()
    text = (own / "exercise.toml").read_text("utf-8")
    (own / "exercise.toml").write_text(text.replace("pass_share = 0.75", "pass_share = 0.8"), "utf-8")
    assert LessonRun.open(tmp_path / "log.jsonl", str(own)).changed_since


def test_the_darkroom_asks_the_lessons_rules(tmp_path: Path) -> None:
    run = solo(tmp_path)
    rules = LessonRules(run)
    assert rules.negatives() == run.exercise.negatives
    assert rules.locked("time_s") is None
    assert darkroom_of(run).locked("red_filter") is None
    assert "one new decision" in (rules.locked("filter") or "")
    assert "Predict first" in (rules.prediction_wanted(True) or "")
    run.predict("step-4")
    assert rules.prediction_wanted(True) is None
    shown = LessonRun.open(tmp_path / "other.jsonl", STRIP_LESSON)
    assert "made for you" in (LessonRules(shown).prediction_wanted(True) or "")


def test_a_lessons_darkroom_has_its_box_its_start_and_its_locks(tmp_path: Path) -> None:
    run = solo(tmp_path, learner="a-learner")
    room = darkroom_of(run)
    opening = room.evening.state.opening
    assert (opening.sheets, opening.minutes) == (run.exercise.box.sheets, run.exercise.box.minutes)
    assert (opening.learner, opening.exercise_digest) == ("a-learner", run.exercise.digest)
    assert room.desk.now.negative == run.exercise.negatives[0]
    assert room.desk.now.time_s == run.exercise.start.time_s
    assert room.locked("time_s") is None
    assert room.locked("head") is not None
    room.paper.take("strip")
    assert room.prediction_wanted() is not None
    room.predict("step-4")
    assert run.stage == "make", "lesson and darkroom share one evening"
