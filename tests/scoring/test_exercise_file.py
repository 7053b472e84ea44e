"""Exercises are read strictly, every contradiction named by its key; starts and locked controls follow from them."""

from __future__ import annotations

import shutil
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from sim.negative.develop import find_negative
from sim.negative.negative import Negative
from sim.notebook.lock_words import locked_words
from sim.paper.stock import find_stock
from sim.printing.record import PrintingRecord
from sim.reading import OutsideError
from sim.scoring.exercise import Exercise
from sim.scoring.exercise_file import EXERCISE_FILE, exercise_at, exercise_toml, find_exercise, read_exercise
from sim.scoring.start import locked_changes, random_dials, start_record, with_card
from sim.scoring.trial import with_light
from sim.scoring.variants import learner_variant_key, tone_share, variant_negative
from sim.words import Words
from sim.writing import write_text

DARKEST = 'kind = "tone"\nplace = "darkest"\ndensity = 1.9'
EXAMPLE = Path(__file__).parent / "tone-only"


def changed(tmp_path: Path, old: str, new: str) -> Path:
    folder = tmp_path / "tone-only"
    shutil.copytree(EXAMPLE, folder)
    file = folder / EXERCISE_FILE
    text = file.read_text(encoding="utf-8")
    assert old in text
    file.write_text(text.replace(old, new, 1), encoding="utf-8")
    return folder


@pytest.mark.parametrize(
    ("old", "new", "key"),
    [
        ('place = "lightest"', 'place = "nowhere"', r"criterion\[0\]\.place: must be a place of morning-shelf"),
        ('unlocked = ["time_s", "filter"]', 'unlocked = ["time_s", "filters"]', r"unlocked\[1\]: must be one of"),
        ('unlocked = ["time_s", "filter"]', 'unlocked = ["time_s"]', r"spread\.filter: only unlocked controls"),
        ("economy_points = 2.0", "economy_points = 2.6", "economy_points: must be at most 20 %"),
        ('negatives = ["morning-shelf"]', 'negatives = ["evening-shelf"]', r"negatives\[0\]"),
        ('paper = "glossy-rc-vc"', 'paper = "no-such-paper"', "paper: "),
        ("expected_sheets = 2.0", "expected_sheets = 9.0", r"box\.expected_sheets"),
        ("density = 0.13", "density = 0.13\nleast_s = 3.0", "least_s does not belong to kind 'tone'"),
        ("density = 1.9", "", "density is required for kind 'tone'"),
        ("f_number = 8.0", "f_number = 800.0", "f_number must be between"),
        ("time_stops = [-2.0, 2.0]", "time_stops = [2.0, -2.0]", "must run from low to high"),
        (DARKEST, 'kind = "match-series"\nplaces = ["darkest"]', "two prints or more"),
        (DARKEST, 'kind = "size"', "exactly one of magnification and image_width_mm"),
        ("points = 4.0", "points = 4.0\nnegative = 2", r"criterion\[1\]\.negative: must be 1 to 1"),
        ("points = 6.0", "points = -6.0", r"criterion\[0\]\.points"),
    ],
)
def test_what_cannot_be_meant_is_refused_by_its_key(old: str, new: str, key: str, tmp_path: Path) -> None:
    folder = changed(tmp_path, old, new)
    with pytest.raises(OutsideError, match=key) as caught:
        read_exercise(folder)
    assert str(folder / EXERCISE_FILE) in str(caught.value)


def test_an_exercise_written_and_read_again_is_the_same(tmp_path: Path) -> None:
    exercise = read_exercise(EXAMPLE)
    write_text(tmp_path / "tone-only" / EXERCISE_FILE, exercise_toml(exercise))
    again = read_exercise(tmp_path / "tone-only")
    assert again == exercise
    assert again.digest == exercise.digest


def test_the_digest_follows_the_content_and_not_the_spelling(tmp_path: Path) -> None:
    exercise = read_exercise(EXAMPLE)
    assert read_exercise(changed(tmp_path, "[box]", "# a remark\n[box]")).digest == exercise.digest
    assert replace(exercise, pass_share=0.8).digest != exercise.digest


def test_hidden_criteria_do_not_leave_the_house() -> None:
    exercise = read_exercise(EXAMPLE)
    hidden = replace(exercise, criteria=(replace(exercise.criteria[0], hidden=True), exercise.criteria[1]))
    assert [c.name for c in hidden.public().criteria] == [exercise.criteria[1].name]
    assert hidden.public().digest != hidden.digest


def test_a_lesson_that_is_not_there_is_refused_in_words() -> None:
    with pytest.raises(OutsideError, match="is no lesson and no folder"):
        exercise_at("no-such-lesson")
    with pytest.raises(OutsideError, match="must be one of a-card-in-one-exposure"):
        find_exercise("no-such-lesson")


def test_random_starts_move_only_what_is_unlocked_and_are_the_same_again() -> None:
    exercise = read_exercise(EXAMPLE)
    negative, stock = find_negative("morning-shelf"), find_stock(exercise.paper)

    def drawn(seed: int) -> PrintingRecord:
        return random_dials(exercise, negative, np.random.Generator(np.random.PCG64(seed))).record(negative, stock)

    for seed in range(12):
        assert locked_changes(exercise, negative, drawn(seed)) == ()
        assert 1.0 <= drawn(seed).exposures[0].time_s <= 16.0
    assert drawn(3) == drawn(3)
    assert len({drawn(seed).exposures[0].filter for seed in range(12)}) > 2


def test_locked_controls_are_named_when_they_were_moved() -> None:
    exercise = replace(read_exercise(EXAMPLE), unlocked=("time_s",))
    negative, stock = find_negative("morning-shelf"), find_stock(exercise.paper)
    start = start_record(exercise, negative, stock)
    assert locked_changes(exercise, negative, with_light(start, 1.0)) == ()
    cases = {
        "the aperture": start.with_exposures(replace(start.exposures[0], f_number=11.0)),
        "the height on the column": replace(start, enlarger=replace(start.enlarger, height_mm=700.0)),
        "holding back and burning in": with_card(negative, start, negative.places[0], -0.5),
        "the number of exposures": start.with_exposures(*start.exposures, *start.exposures),
        "the time in the developer": replace(start, development=replace(start.development, time_s=90.0)),
        "the sheet's size": replace(start, sheet=replace(start.sheet, width_mm=304.8, height_mm=406.4)),
    }
    for words, record in cases.items():
        (first, *_) = locked_changes(exercise, negative, record)
        assert locked_words(first, Words()).startswith(f"{words} is locked"), first


def test_a_learners_key_is_the_same_everywhere_and_nobody_elses() -> None:
    """Worked out once with another program: HMAC-SHA-256 over exercise, line feed, learner."""
    import hmac

    expected = hmac.digest(b"secret", b"time-from-a-strip\nlearner-7", "sha256").hex()[:16]
    assert learner_variant_key(b"secret", "time-from-a-strip", "learner-7") == expected
    assert learner_variant_key(b"secret", "time-from-a-strip", "learner-8") != expected
    assert learner_variant_key(b"other", "time-from-a-strip", "learner-7") != expected
    assert variant_negative("morning-shelf", "k7f2") == "morning-shelf~k7f2"
    with pytest.raises(ValueError, match="secret must not be empty"):
        learner_variant_key(b"", "time-from-a-strip", "learner-7")


def test_variants_that_can_be_done_are_told_from_tones_no_paper_gives() -> None:

    def doable(task: Exercise, negative: Negative) -> bool:
        share = tone_share(task, negative)
        return share is not None and share >= task.pass_share

    exercise = read_exercise(EXAMPLE)
    names = [variant_negative("morning-shelf", f"k{k}") for k in range(3)]
    negatives = [find_negative(name) for name in names]
    assert any(doable(exercise.on_negatives(name), n) for name, n in zip(names, negatives, strict=True))
    beyond = replace(exercise, criteria=(exercise.criteria[0], replace(exercise.criteria[1], wanted=2.6)), pass_share=0.9)
    assert not any(doable(beyond.on_negatives(name), n) for name, n in zip(names, negatives, strict=True))
    locked = replace(exercise, unlocked=("filter",))
    far = [replace(locked, start=replace(locked.start, time_s=0.2)).on_negatives(name) for name in names]
    assert not any(doable(task, n) for task, n in zip(far, negatives, strict=True))
