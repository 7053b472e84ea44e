"""What people wrote stays as they wrote it on German pages, though German has a word for every word of it."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from at_once import marked
from class_room import COURSE, DUE, EXERCISE, ClassRoom, class_room, write_sheet
from test_what_waits import text_of

from sim.evening.evening import Evening
from sim.evening.handing_in import hand_in
from sim.marking.answer_words import answer_words
from sim.marking.batch import Outcome
from sim.marking.bundle import assigned_exercise
from sim.marking.class_page import class_text
from sim.marking.feedback_page import feedback_text
from sim.marking.persons_text import with_persons_text
from sim.plain_text import ENDED, NAMED, WRITTEN, as_named, as_written
from sim.scoring.exercise_file import read_exercise
from sim.words import Words
from sim.words_page import pages_in, said_around

GERMAN = Words("de")
OF_THE_COURSE = ("Too dark", "The right print")  # titles of course and exercise
NAMES = ("lighter step", "darker step")  # of a criterion and of its place, hyphens left out
OF_TABLES = (
    "The print is too dark.", "Nothing handed in", "Step 19 is lighter than wanted", "marked; late", "Strip 3",
    "Is the print too light?", "Paper used", "Look again", "Darker than wanted", "darker than wanted", "Too light",
)  # fmt: skip
OF_LEARNERS = ("Sheet 11", "Strip 12", "harder than wanted", "Sheet 13", "Strip 14")
EVERY = (*OF_THE_COURSE, *NAMES, *OF_TABLES, *OF_LEARNERS)
TABLES = {
    "review": f"""learner,exercise,decision,points,reason,private
k02,grey-steps,partial,40,{OF_TABLES[0]},{OF_TABLES[1]}
k03,grey-steps,excused,,{OF_TABLES[2]},{OF_TABLES[3]}
k04,grey-steps,re-open,,{OF_TABLES[10]},{OF_TABLES[9]}
""",
    "comments": f"learner,exercise,about,says\nk01,grey-steps,lighter-step,{OF_TABLES[7]}\nk01,grey-steps,sheet-1,"
    f"{OF_TABLES[8]}\nk01,grey-steps,,{OF_TABLES[4]}\n",
    "by_eye": f"learner,exercise,criterion,step,reason\nk01,grey-steps,light,clear,{OF_TABLES[6]}\n",
}  # fmt: skip


def _laid_out(folder: Path) -> ClassRoom:
    room = class_room(folder / "course", roster=())
    learners = zip(("k01", "k02", "k03", "k04"), (*OF_LEARNERS[:2], *OF_LEARNERS[3:]), strict=True)
    lines = "".join(f"{one},{name},{one}@kiln.example\n" for one, name in learners)
    (room.folder / "roster.csv").write_text(f"id,name,email\n{lines}", "utf-8")
    exercise = EXERCISE.replace("Grey steps", OF_THE_COURSE[1]).replace("middle-grey", "lighter-step")
    (room.folder / "grey-steps" / "exercise.toml").write_text(exercise.replace('"step-9"', '"darker-step"'), "utf-8")
    keys = "".join(f'{key} = "{key}.csv"\n' for key in TABLES)
    for key, text in TABLES.items():
        (room.folder / f"{key}.csv").write_text(text, "utf-8")
    course = COURSE.replace("{variants}", "false").replace("Grey steps on Tuesdays", OF_THE_COURSE[0])
    asked = f'\n[[exercise.by_eye]]\nname = "light"\nasks = "{OF_TABLES[5]}"\npoints = 20.0\n'
    room.course.write_text(course.replace("[[exercise]]", f"{keys}\n[[exercise]]") + asked, "utf-8")
    return ClassRoom(room.folder, read_exercise(room.folder / "grey-steps"))


@pytest.fixture(scope="module")
def found(tmp_path_factory: pytest.TempPathFactory) -> Outcome:
    """Four learners: one marked who wrote beside what was seen, one with points, one excused, one opened again and damaged."""
    room = _laid_out(tmp_path_factory.mktemp("own"))
    given = assigned_exercise(room.exercise, ("step-wedge",)).public()
    about = {"exercise": "grey-steps", "exercise_version": 1, "exercise_digest": given.digest, "learner": "k01", "attempt": 1,
             "negatives": ["step-wedge"]}  # fmt: skip
    log = room.folder / "one.log"
    evening = Evening.open(log, room.exercise.paper, 6, 45.0, 7, **about)
    write_sheet(evening, room.record(3.0))
    evening.observe(f"right: {OF_LEARNERS[2]}")
    evening.nominate(1)
    hand_in(log, room.box / "sheet 3 one.evening")
    broken = room.hand("k04", "right print.evening", (7.5,), received=DUE - 60)
    broken.write_bytes(broken.read_bytes()[:-40])
    return marked(room)


def _pages(found: Outcome) -> Iterator[str]:
    yield class_text(found.results, found.marked)
    for learner in ("k01", "k02", "k03", "k04"):
        yield feedback_text(found.results, learner, found.marked)


def test_every_text_of_a_person_stands_on_german_pages_as_often_as_on_english_ones(found: Outcome) -> None:
    english = list(map(text_of, _pages(found)))
    with pages_in(GERMAN):
        german = list(map(text_of, _pages(found)))
    for text in EVERY:
        assert GERMAN.said(text) != text, f"German has no word for {text!r}, so that this test could not fail"
        assert any(text in page for page in english), text
        fewer = [page for page, told in zip(english, german, strict=True) if told.count(text) < page.count(text)]
        assert fewer == [], text
    assert "40 Punkte von einer Person gegeben: The print is too dark." in german[2]
    assert "Entschuldigt: Step 19 is lighter than wanted." in german[3]


def test_no_page_keeps_the_marks_and_english_ones_are_the_same_without(found: Outcome) -> None:
    for language in ("en", "de"):
        with pages_in(Words(language)):
            text = "".join(_pages(found))
        assert not {WRITTEN, NAMED, ENDED} & set(text)
        assert not any(0xE000 <= ord(sign) <= 0xF8FF for sign in text)
    assert WRITTEN in with_persons_text(found.results).model_dump_json()
    assert WRITTEN not in found.results.model_dump_json()


@pytest.mark.parametrize(("answer", "told"), [
    ("right", "wie gewünscht"), ("step-3", "Stufe 3"), ("8.5 s", "8,5 s"), ("lighter: the print", "heller: the print"),
    ("lighter-step=darker", "lighter step: dunkler"), ("the print is too dark", "the print is too dark"), ("print", "print"),
    ("bracketed", "die richtige Stufe liegt darin: hellere und dunklere Stufen zu beiden Seiten"),
])  # fmt: skip
def test_of_an_answer_the_code_is_said_in_german_and_what_was_written_stays(answer: str, told: str) -> None:
    assert said_around(answer_words(answer), GERMAN) == told


def test_a_sentence_is_said_around_what_a_person_wrote() -> None:
    for written in ("The print is too dark", "right. Darker than wanted; seen: right", "{n} prints", "a\ue100b"):
        told = said_around(f"40 points given by a person: {as_written(written)}", GERMAN)
        assert told == f"40 Punkte von einer Person gegeben: {written}"
    assert said_around(as_named("step wedge"), GERMAN) == "Stufenkeil"
    assert said_around(as_named("lighter step"), GERMAN) == "lighter step"
    assert said_around(f"{as_written('The print')} cut off {WRITTEN}The pri", GERMAN).endswith("The pri")
