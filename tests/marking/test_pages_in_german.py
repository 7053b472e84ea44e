"""Pages of a course in German: the page alone changes; results and gradebook have the same bytes in every language."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from at_once import here, marked
from class_room import ClassRoom
from test_what_waits import room_with, text_of

from sim.command.main import main
from sim.marking import course_run
from sim.marking.course import read_course
from sim.marking.outputs import write_outputs
from sim.reading import OutsideError
from sim.words import Words
from sim.words_page import page_in_language, pages_in, texts_of_template

ENGLISH = re.compile(r"\b(the|and|with|of|from|not|is|are|that|its|than|your|you|what)\b", re.I)
DATA = ("results.json", "gradebook.csv")


def _marked(room: ClassRoom, out: str) -> Path:
    folder = room.folder / out
    main(["mark", str(room.box), "--course", str(room.course), "-o", str(folder), "--jobs", "1"])
    return folder


def _plain(page: str) -> list[str]:
    """Return the texts that are read on a page."""
    page = re.sub(r"<(style|script).*?</\1>", "", page, flags=re.S)
    page = re.sub(r'<(\w+)[^>]*translate="no"[^>]*>.*?</\1>', "", page, flags=re.S)
    return [" ".join(text.split()) for text in re.sub(r"<[^>]*>", "\n", page).split("\n") if text.strip()]


def test_the_pages_are_german_and_the_data_stays(room: ClassRoom, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(course_run, "chosen_executor", here)
    for learner, times in (("k01", (3.0, 5.0, 6.5)), ("k02", (9.0, 2.0))):
        room.hand(learner, times=times)
    english = _marked(room, "english")
    course = room.course.read_text("utf-8")
    room.course.write_text(course.replace("title = ", 'language = "de"\ntitle = ', 1), "utf-8")
    german = _marked(room, "german")
    for name in DATA:
        assert (english / name).read_bytes() == (german / name).read_bytes(), name
    pages = sorted((german / "pages").glob("*.html"))
    assert len(pages) == len(list((english / "pages").glob("*.html"))) > 1
    for page in (*pages, german / "class.html"):
        text = page.read_text("utf-8")
        assert '<html lang="de">' in text
        assert [one for one in _plain(text) if ENGLISH.search(one)] == [], page.name
        assert text != (english / page.relative_to(german)).read_text("utf-8")


def test_a_language_without_words_is_refused(room: ClassRoom) -> None:
    room.course.write_text(room.course.read_text("utf-8").replace("title = ", 'language = "xx"\ntitle = ', 1), "utf-8")
    with pytest.raises(OutsideError, match="language"):
        read_course(room.course)


PAGE = (
    '<!DOCTYPE html>\n<html lang="en"><head><style>p { color: red }</style></head><body><h1 translate="no">The print</h1>'
    '<p title="What cost most">What cost\n most</p><p>a &lt;b&gt; &amp; c</p><img src="x" alt="Sheet 3"><br>'
    '<p translate="no">What <b>cost</b> most</p></body></html>'
)


def test_a_page_changes_its_texts_and_nothing_else() -> None:
    assert page_in_language(PAGE) == PAGE, "without a language a page stays as it is"
    with pages_in(Words("de")):
        page = page_in_language(PAGE)
    assert '<html lang="de">' in page
    assert '<p title="Was am meisten kostete">Was am meisten kostete</p>' in page
    assert '<h1 translate="no">The print</h1>' in page
    assert '<p translate="no">What <b>cost</b> most</p>' in page
    assert "<style>p { color: red }</style>" in page
    assert "<p>a &lt;b&gt; &amp; c</p>" in page
    assert '<img src="x" alt="Blatt 3"><br>' in page
    assert page_in_language(PAGE) == PAGE, "and afterwards again"


def test_what_a_picture_says_of_itself_is_said_with_an_apostrophe_in_it() -> None:
    with pages_in(Words("de")):
        for written in ("The instructor's own print", "The instructor&#39;s own print"):
            assert page_in_language(f'<img alt="{written}">') == '<img alt="Der eigene Abzug des Kursleiters">'
        assert page_in_language('<img alt="Anna&#39;s" data-title="Sheet 3">') == '<img alt="Anna&#39;s" data-title="Sheet 3">'


def test_a_template_gives_the_texts_between_its_tags() -> None:
    of_points = "<p>{{ a.points }} of {{ full(b.points) }} points</p>"
    template = of_points + '{% if x > y %}<li{% if z %} class="n"{% endif %}>Met</li>{% endif %}'
    found = [text for text in texts_of_template(template) if text]
    assert found == ["{points} of {points_2} points", "Met"]
    counted = '<p>{{ n }} sheet{{ "" if n == 1 else "s" }}</p>'
    assert list(filter(None, texts_of_template(counted))) == ["{n} sheet", "{n} sheets"]


def test_the_queue_and_what_was_lost_are_said_in_german_and_names_stay(tmp_path: Path) -> None:
    room = room_with(tmp_path)
    room.hand("k03", "up_k02_9.evening", (7.5,))
    (room.box / "up_k01_1.txt").write_bytes(b"no evening")
    room.hand("k04", "up_k04_1.evening", (4.0,), seed=4)
    found = marked(room)
    with pages_in(Words("de")):
        write_outputs(found, tmp_path / "out", None)
    queue = text_of((tmp_path / "out" / "class.html").read_text("utf-8")).split("Der ganze Kurs")[0]
    assert "up_k02_9.evening, abgegeben von Place κ02 (k02), sie sagt, sie sei die Arbeit von Place 학03 (k03)" in queue
    assert "ohne Datei" in queue
    lost = (tmp_path / "out" / "pages" / "k04.html").read_text("utf-8")
    assert "Wo Punkte blieben" in lost
    for page in (tmp_path / "out" / "class.html", tmp_path / "out" / "pages" / "k04.html"):
        assert [one for one in _plain(page.read_text("utf-8")) if ENGLISH.search(one)] == []
