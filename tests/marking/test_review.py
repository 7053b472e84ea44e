"""What people add to marks: comments that cost nothing, decisions on what waits for them, and steps given by eye."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest
from at_once import marked, row_of
from class_room import COURSE, SECRET, ClassRoom, class_room
from test_what_waits import text_of

from sim.marking.batch import Outcome, read_batch
from sim.marking.by_eye import STEPS
from sim.marking.class_page import class_text
from sim.marking.feedback_page import by_eye_words, feedback_text
from sim.marking.gradebook import gradebook_text, usual_mapping
from sim.marking.outputs import hand_back, write_outputs
from sim.marking.preflight import findings
from sim.marking.results import EyeResult
from sim.marking.roster import anonymous_code
from sim.reading import OutsideError

CODE = anonymous_code("k01", SECRET.strip())
TABLES = {
    "review": "learner,exercise,decision,points,reason,private,when\nk02,grey-steps,accept,,,it was our own mistake,\n"
    "k03,grey-steps,partial,40,the lamp failed,,\nk04,grey-steps,excused,,ill,a letter is with the office,\n"
    "k05,grey-steps,re-open,,,,2026-12-01T17:30:00Z\n",
    "comments": "learner,exercise,about,says,bank\nk01,grey-steps,middle-grey,,edge\n"
    f"{CODE},grey-steps,sheet-1,<i>Look</i> at this one,\nk01,grey-steps,,Well begun.,\n",
    "by_eye": "learner,exercise,criterion,step,reason\nk01,grey-steps,light,clear,the greys hold\n"
    "k02,grey-steps,light,telling,\n",
}
BANK = 'format = 1\n[[comment]]\nword = "edge"\ntext = "The edge of the card shows."\n'
EYE = '\n[[exercise.by_eye]]\nname = "light"\nasks = "Does the light come through?"\npoints = 20.0\n'


def course_with(room: ClassRoom, *keys: str, eye: str = EYE, attempts: int = 3) -> None:
    named = "".join(f'{key} = "{key}.csv"\n' for key in keys)
    text = COURSE.replace("{variants}", "false").replace("attempts = 3", f"attempts = {attempts}")
    room.course.write_text(text.replace("[[exercise]]", f'comment_bank = "bank.toml"\n{named}\n[[exercise]]') + eye, "utf-8")
    (room.folder / "bank.toml").write_text(BANK, "utf-8")
    for key in keys:
        (room.folder / f"{key}.csv").write_text(TABLES[key], "utf-8")


@pytest.fixture(scope="module")
def room(tmp_path_factory: pytest.TempPathFactory) -> ClassRoom:
    """Five learners: marked, of another version, damaged, ill, and with one evening too many."""
    room = class_room(tmp_path_factory.mktemp("review") / "course", roster=("k01", "k02", "k03", "k04", "k05"))
    room.hand("k01", times=(7.5,))
    room.hand("k02", times=(7.5,), opening={"exercise_version": 9})
    broken = room.hand("k03", times=(7.5,))
    broken.write_bytes(broken.read_bytes()[:-40])
    room.hand("k05", "first.evening", times=(3.0,), seed=3)
    room.hand("k05", "second.evening", times=(7.5,), received=1_796_148_000 - 60, seed=4)
    return room


@pytest.fixture(scope="module")
def before(room: ClassRoom) -> Outcome:
    course_with(room, eye="", attempts=1)
    return marked(room)


@pytest.fixture(scope="module")
def after(room: ClassRoom, before: Outcome) -> Outcome:
    course_with(room, "review", "comments", "by_eye", attempts=1)
    return marked(room)


def test_decisions_settle_what_waited_for_a_person(before: Outcome, after: Outcome) -> None:
    states = [[row.status for row in one.results.rows] for one in (before, after)]
    assert states == [
        ["marked", "needs-person", "tampered", "missing", "marked"], ["marked", "marked", "given", "excused", "marked"],
    ]  # fmt: skip
    accepted, partial, excused, again = (row_of(after, f"k0{n}") for n in (2, 3, 4, 5))
    assert "version" in accepted.reasons[0]
    assert partial.points == 40.0
    assert excused.points is None
    assert row_of(before, "k05").points == 10.0  # for paper alone
    assert (again.points or 0) > 40.0


def test_who_is_excused_owes_nothing(after: Outcome) -> None:
    mapping = replace(usual_mapping(after.results))
    lines = gradebook_text(after.results, mapping).splitlines()
    assert lines[4].split(",")[3:] == ["", "excused", "ill", ""]
    found = findings(after.results, mapping, (), [])
    assert not any("excused" in one.words for one in found)


def test_steps_by_eye_are_a_part_of_the_exercises_points(before: Outcome, after: Outcome) -> None:
    first, second = row_of(after, "k01"), row_of(after, "k02")
    plain = row_of(before, "k01").points or 0.0
    assert first.points == pytest.approx(plain * 0.8 + 20 * STEPS["clear"], abs=0.011)
    assert second.points == pytest.approx(plain * 0.8 + 20.0, abs=0.3)
    assert (first.provisional, row_of(after, "k05").provisional) == (False, True)
    assert first.submission == row_of(before, "k01").submission  # what the densities said stays what it was
    kinds = [one.kind for one in findings(after.results, usual_mapping(after.results), (), [])]
    assert kinds.count("by eye") == 1


def test_comments_stand_beside_what_they_are_about_and_cost_nothing(after: Outcome) -> None:
    page = feedback_text(after.results, "k01", after.marked)
    assert page.count("The edge of the card shows.") == 1
    assert page.index("Marks:") < page.index("The edge of the card shows.") < page.index("Your sheets")
    assert page.index("Your sheets") < page.index("&lt;i&gt;Look&lt;/i&gt; at this one")
    assert page.index("Well begun.") < page.index("Marks:")
    assert "the greys hold" in page
    assert "Does the light come through?" in page
    assert "provisional" in feedback_text(after.results, "k05", after.marked)


def test_what_is_not_for_the_learner_stands_on_no_page_of_theirs(after: Outcome) -> None:
    assert "our own mistake" not in feedback_text(after.results, "k02", after.marked)
    ill = feedback_text(after.results, "k04", after.marked)
    assert "Excused: ill." in ill
    assert "office" not in ill


def test_the_queue_says_what_waits_and_what_was_decided(after: Outcome, before: Outcome) -> None:
    assert "Somebody has to look" in class_text(before.results, before.marked)
    page = class_text(after.results, after.marked)
    assert "Somebody has to look" not in page
    assert "our own mistake" in page
    assert "a letter is with the office" in page


def test_pages_are_handed_back_once_somebody_has_looked(before: Outcome, after: Outcome, tmp_path: Path) -> None:
    waiting = []
    for name, one in (("a", before), ("b", after)):
        write_outputs(one, tmp_path / name, None)
        waiting.append(hand_back(one.results, tmp_path / name, tmp_path / f"{name}-back")[1])
    assert waiting == [["k02", "k03"], []]


def test_blind_pages_show_only_what_was_written_of_a_code(room: ClassRoom, after: Outcome) -> None:
    hidden = marked(room, hide_names=True).results
    said = [comment.text for row in hidden.rows for comment in row.comments]
    assert said == ["<i>Look</i> at this one"]
    assert not any(row.decision and (row.decision.reason or row.decision.private) for row in hidden.rows)


def test_where_the_first_counts_an_evening_opened_again_counts_in_its_place(
    room: ClassRoom, before: Outcome, tmp_path: Path
) -> None:
    course_with(room, eye="", attempts=1)
    room.course.write_text(room.course.read_text("utf-8").replace('policy = "best"', 'policy = "first"'), "utf-8")
    assert row_of(marked(room), "k05").points == 10.0
    named = room.course.read_text("utf-8").replace("[[exercise]]", 'review = "review.csv"\n[[exercise]]', 1)
    room.course.write_text(named, "utf-8")
    again = row_of(marked(room), "k05")
    assert [(one.number, one.counted) for one in again.attempts] == [(1, False), (2, True)]
    assert (again.points or 0) > 40.0


BAD = {
    "review": ("k01,grey-steps,perhaps,,,,", "k01,grey-steps,accept,10,,,", "k01,grey-steps,partial,ten,why,,",
               "k01,grey-steps,partial,10,,,", f"k01,grey-steps,accept,,,,\n{CODE},grey-steps,excused,,,,"),
    "comments": ("k01,grey-steps,,,", "k01,grey-steps,,,nothing-such"),
    "by_eye": ("k01,grey-steps,light,brilliant,", "k01,grey-steps,light,,"),
}  # fmt: skip
CASES = [(key, row) for key, rows in BAD.items() for row in rows]


@pytest.mark.parametrize(("key", "row"), CASES, ids=range(len(CASES)))
def test_a_bad_line_of_a_table_is_refused(key: str, row: str, tmp_path: Path) -> None:
    bad = class_room(tmp_path / "course", roster=("k01",))
    course_with(bad, key)
    (bad.folder / f"{key}.csv").write_text(TABLES[key].split("\n", 1)[0] + "\n" + row + "\n", "utf-8")
    with pytest.raises(OutsideError, match=key):
        read_batch(bad.box, bad.course)


def test_the_page_gives_a_verdict_on_what_was_judged_by_eye_and_on_the_prints(after: Outcome) -> None:
    page = text_of(feedback_text(after.results, "k01", after.marked))
    assert "Does the light come through? the greys hold clear: three quarters of the points 15.0 of 20" in page
    assert "By eye: 15 of 20 points, which passes (75 % are asked for)." in page
    result = row_of(after, "k01").submission
    assert result is not None
    assert result.quality_share is not None
    verdict = "Passed" if result.passed else "Not passed yet"
    assert f"{verdict}: the prints earned {100 * result.quality_share:.0f} % of their points for quality, and 75 %" in page
    late = text_of(feedback_text(after.results, "k05", after.marked))
    assert "not judged yet still open, of 20" in late
    assert "By eye so far: 0 of 20 points; still to be judged: 1 of 1." in late


@pytest.mark.parametrize(("points", "told"), [
    ((15.0, 5.0), "By eye: 20 of 30 points, which does not pass (75 % are asked for)."),
    ((15.0, 7.5), "By eye: 22.5 of 30 points, which passes (75 % are asked for)."),
    ((15.0, None), "By eye so far: 15 of 30 points; still to be judged: 1 of 2."),
])  # fmt: skip
def test_what_is_judged_by_eye_passes_as_the_prints_do(after: Outcome, points: tuple[float | None, ...], told: str) -> None:
    seen = [EyeResult(name=f"n{k}", asks="?", step="" if one is None else "clear", points=one, full_points=15.0)
            for k, one in enumerate(points)]  # fmt: skip
    row = row_of(after, "k01").model_copy(update={"by_eye": seen})
    assert by_eye_words(row, after.results.exercises[0]) == told
