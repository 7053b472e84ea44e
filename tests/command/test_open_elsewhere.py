"""At the terminal: an evening that is open elsewhere is said to be, what only looks goes on, progress is never lost."""

from __future__ import annotations

from pathlib import Path

from running import Run
from test_lesson_verbs import EXAMPLE, LESSON, lesson

from sim.evening.evening import Evening
from sim.locking import take_hold
from sim.teaching import progress
from sim.teaching.progress import progress_file, read_progress


def test_a_lesson_whose_evening_is_open_elsewhere_is_refused_in_words(run: Run, here: Path) -> None:
    log = here / "keep" / "evenings" / "own" / f"{LESSON}-1.jsonl"
    assert lesson(run, "go-on\npredict 4\n")[0] == 0
    before = log.read_bytes()
    with Evening.open(log):
        code, out = lesson(run, "play\n")
        assert code == 2
        assert f"{LESSON}-1.jsonl: is open elsewhere (close it there first" in out
        assert log.read_bytes() == before
    assert lesson(run, "play\n")[0] == 0


def test_what_only_looks_goes_on_while_an_evening_is_open_elsewhere(run: Run, here: Path) -> None:
    log = here / "log.jsonl"
    assert lesson(run, EXAMPLE, "--log", str(log))[0] == 0
    with Evening.open(log), take_hold(progress_file(here / "keep", "")):
        handed = run("submit", str(log), "-o", "out.jsonl")
        assert handed.code == 0, handed.err
        assert run("progress", "--keep", "keep", "--day", "100").code == 0
        assert run("lesson", "--keep", "keep", "--day", "100").code == 0


def test_what_somebody_else_finished_meanwhile_stays_in_the_progress(run: Run, here: Path) -> None:
    kept = here / "keep"
    lesson(run, EXAMPLE)
    done = read_progress(kept).evenings[LESSON][0]
    real = progress.evening_done

    def meanwhile(*given: object) -> object:
        other = done.model_copy(update={"log": "f" * 64, "attempt": 7})
        progress.change_progress(kept, "", lambda p: progress.with_evening(p, LESSON, other))
        return real(*given)  # type: ignore[arg-type]

    progress.evening_done = meanwhile  # type: ignore[assignment]
    try:
        code, out = lesson(run, EXAMPLE, "--new", "--mode", "example")
    finally:
        progress.evening_done = real
    assert code == 0, out
    assert sorted(one.attempt for one in read_progress(kept).evenings[LESSON]) == [1, 2, 7]


def test_the_demonstration_takes_no_evening_from_under_somebodys_hands(run: Run, here: Path) -> None:
    log = here / "shown" / "evening.jsonl"
    with Evening.open(log):
        before = log.read_bytes()
        ran = run("demo", "-o", "shown")
        assert ran.code == 2
        assert "is open elsewhere" in ran.err
        assert log.read_bytes() == before
