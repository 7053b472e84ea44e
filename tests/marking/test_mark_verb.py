"""The verb from end to end: everything it writes agrees, nothing leaks, a person's word is kept, a dry run is dry."""

from __future__ import annotations

import csv
import io
import json
import re
import sys
from collections.abc import Iterator
from html import unescape
from html.parser import HTMLParser
from pathlib import Path
from typing import Any

import pytest
from at_once import here
from class_room import DUE, NAMES, ClassRoom, all_bytes

from sim.command.main import main
from sim.marking import course_run
from sim.marking.outputs import page_name
from sim.marking.results import CourseResults, results_schema

sys.path.insert(0, str(Path(__file__).parents[1] / "command"))
from test_schema import faults

VOID = {"meta", "img", "br", "link", "input", "hr"}


class Page(HTMLParser):
    """Reads a page, checks that every element is closed, and collects text, tags and links."""

    def __init__(self, text: str) -> None:
        super().__init__()
        self.open: list[str] = []
        self.tags: list[str] = []
        self.links: list[str] = []
        self.handlers: list[str] = []
        self.text: list[str] = []
        self.feed(text)
        self.close()
        assert self.open == []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append(tag)
        self.links += [value or "" for name, value in attrs if name in ("src", "href", "action")]
        self.handlers += [name for name, _ in attrs if name.startswith("on")]
        if tag not in VOID:
            self.open.append(tag)

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append(tag)

    def handle_endtag(self, tag: str) -> None:
        assert self.open.pop() == tag

    def handle_data(self, data: str) -> None:
        if not self.open or self.open[-1] != "style":
            self.text.append(data)

    @property
    def words(self) -> str:
        return re.sub(r"\s+", " ", " ".join(self.text))


@pytest.fixture(scope="module", autouse=True)
def in_this_process() -> Iterator[None]:
    """Mark without worker processes: how those are walled in is tested in files of their own."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(course_run, "chosen_executor", here)
        yield


def mark(room: ClassRoom, *more: str, out: str = "out") -> int:
    return main(["mark", str(room.box), "--course", str(room.course), "-o", str(room.folder / out), "--jobs", "1", *more])


@pytest.fixture(scope="module")
def written(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A class with one of nearly everything, marked: the output folder."""
    from class_room import class_room

    room = class_room(tmp_path_factory.mktemp("class") / "course", roster=(*NAMES, "<b>k05</b>"))
    room.hand("k01", "k01-1.evening", (3.0, 4.0), received=DUE - 7200)
    room.hand("k01", "k01-2.evening", (3.0, 5.0, 6.5), received=DUE - 3600)
    room.hand("k02", times=(3.0, 6.0), received=DUE + 90_000)
    room.hand("k03", filter_name="5")
    room.hand("<b>k05</b>", "<script>alert(1)<script>.evening", (2.0, 7.0))
    (room.box / "odd.evening").write_text("<script>alert(2)</script>\n", "utf-8")
    (room.folder / "over.csv").write_text("learner,exercise,points,reason\nk03,grey-steps,55,shown in <i>class</i>\n", "utf-8")
    assert mark(room, "--overrides", str(room.folder / "over.csv")) == 1
    return room.folder / "out"


@pytest.fixture(scope="module")
def results(written: Path) -> CourseResults:
    return CourseResults.model_validate_json((written / "results.json").read_text("utf-8"))


def pages(folder: Path) -> dict[str, str]:
    return {p.name: p.read_text("utf-8") for p in sorted(folder.rglob("*.html"))}


def test_the_results_fit_the_published_schema(written: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["schema", "--results"]) == 0
    schema = json.loads(capsys.readouterr().out)
    assert schema == results_schema()
    data = json.loads((written / "results.json").read_text("utf-8"))
    assert faults(data, schema, schema) == []
    data["rows"][0]["status"] = "excellent"
    assert faults(data, schema, schema) != []


def test_states_and_points(results: CourseResults) -> None:
    assert {r.learner: r.status for r in results.rows} == {
        "k01": "marked", "k02": "late", "k03": "given", "k04": "missing", "<b>k05</b>": "marked",
    }  # fmt: skip
    by = {r.learner: r for r in results.rows}
    assert [a.number for a in by["k01"].attempts] == [1, 2]
    assert sum(a.counted for a in by["k01"].attempts) == 1
    assert by["k02"].late is not None
    assert by["k02"].late.percent == 20.0
    assert by["k03"].points == 55.0


def test_gradebook_pages_and_results_agree(written: Path, results: CourseResults) -> None:
    rows = list(csv.DictReader(io.StringIO((written / "gradebook.csv").read_bytes().decode("utf-8"), newline="")))
    assert [r["id"] for r in rows] == sorted(r.learner for r in results.rows)
    by = {r["id"]: r for r in rows}
    class_words = Page((written / "class.html").read_text("utf-8")).words
    for row in results.rows:
        cell = by[row.learner]["grey-steps points"]
        assert cell == ("" if row.points is None else f"{row.points:.2f}")
        page = Page((written / "pages" / page_name(row.learner)).read_text("utf-8"))
        if row.points is not None:
            tenth = f"{row.points:.1f}"  # pages for people are not finer
            assert f" {tenth.removesuffix('.0')} of 100 points" in page.words
            assert f" {tenth}" in class_words
        for criterion in row.submission.criteria if row.submission else ():
            if not criterion.hidden and row.points_before_late is not None:
                assert f"{criterion.measured:.2f}" in page.words
        for advice in row.submission.advice if row.submission else ():
            if not advice.hidden and row.points_before_late is not None:
                assert re.sub(r"\s+", " ", advice.words) in page.words


def test_pages_stand_alone_and_run_nothing(written: Path) -> None:
    found = pages(written)
    assert len(found) == 6
    for text in found.values():
        page = Page(text)
        assert {"script", "iframe", "object", "embed", "form", "link", "base"}.isdisjoint(page.tags)
        assert page.handlers == []
        own = [f"pages/{page_name(who)}" for who in (*NAMES, "<b>k05</b>")]
        assert all(link.startswith("data:image/jpeg;base64,") or link in own for link in page.links)
        assert "http" not in text.replace("http-equiv", "")
        assert "url(" not in text
        assert "@import" not in text
        assert len(text) < 600_000


def test_what_comes_from_outside_is_escaped(written: Path) -> None:
    for text in pages(written).values():
        assert "<script>" not in text
        assert "<b>k05" not in text
        assert "<i>class" not in text
    page = (written / "pages" / page_name("<b>k05</b>")).read_text("utf-8")
    assert "<b>k05</b>" in unescape(page)
    assert "<script>alert(1)<script>.evening" in unescape(page)


def test_every_learners_page_holds_its_own_prints(written: Path) -> None:
    k01, k02 = (Page((written / "pages" / f"{who}.html").read_text("utf-8")) for who in ("k01", "k02"))
    assert len(k01.links) in (3, 4)
    assert len(k02.links) == 3
    assert set(k01.links) != set(k02.links)
    assert "Sheet 2" in k02.words
    assert "(+1.00 stop)" in k02.words


def test_the_late_note_says_what_it_cost(written: Path, results: CourseResults) -> None:
    words = Page((written / "pages" / "k02.html").read_text("utf-8")).words
    row = next(r for r in results.rows if r.learner == "k02")
    assert "20 % of the points taken off" in words
    assert f"{row.points_before_late:g}" in words


def test_a_kept_back_criterion_shows_its_points_only(written: Path, results: CourseResults) -> None:
    hidden = [c for r in results.rows if r.submission for c in r.submission.criteria if c.hidden]
    assert hidden
    for name, text in pages(written / "pages").items():
        assert "kept-back-grey" not in text, name
        assert "step-13" not in text, name
    assert "kept back" in pages(written / "pages")["k01.html"]


def test_no_page_of_a_learner_names_another(written: Path) -> None:
    for who, name in NAMES.items():
        for file, text in pages(written / "pages").items():
            if file != f"{who}.html":
                assert name not in text
                assert f"{who}@" not in text


def test_pages_fit_narrow_and_print(written: Path) -> None:
    for text in pages(written).values():
        assert 'name="viewport" content="width=device-width, initial-scale=1"' in text
        assert "@media print" in text
        widths = [float(w) for w in re.findall(r"minmax\(([\d.]+)rem", text)]
        assert max(widths, default=0.0) * 16 <= 390 - 2 * 0.9 * 16 - 2 * 1.1 * 16


def test_anonymous_leaves_no_name_address_or_id(tmp_path: Path) -> None:
    from class_room import class_room

    room = class_room(tmp_path / "course")
    for who in ("k01", "k02"):
        room.hand(who, f"{NAMES[who]}.evening")
    room.hand("k03", filter_name="5")
    room.hand("k09", "Place k09.evening")
    (room.folder / "over.csv").write_text("learner,exercise,points,reason\nk02,grey-steps,5,Place κ02 was ill\n", "utf-8")
    assert mark(room, "--anonymous", "--overrides", str(room.folder / "over.csv")) == 1
    mark(room, "--anonymous", "--hand-back", str(room.folder / "handed-back"))
    outputs = {**all_bytes(room.folder / "out"), **all_bytes(room.folder / "handed-back")}
    assert len(outputs) > 8
    secrets = [*NAMES.values(), *NAMES, "k09", "Place", "kiln.example"]
    for file, data in outputs.items():
        text = data.decode("utf-8")
        text = re.sub(r'base64,[^"]*"|"(sheet|thumb)-\d+": "[^"]*"|[0-9a-f]{64}', "", text)
        for word in secrets:
            assert not re.search(rf"\b{word}\b", text), (file, word)
            assert word not in file
    rows = json.loads((room.folder / "out" / "results.json").read_text("utf-8"))["rows"]
    assert all(re.fullmatch(r"learner-[0-9a-f]{16}", r["learner"]) for r in rows)
    assert {r["status"] for r in rows} == {"marked", "out-of-range", "missing"}


def test_a_regrade_says_who_changes_before_anything_is_written(room: ClassRoom, capsys: pytest.CaptureFixture[str]) -> None:
    room.hand("k01")
    room.hand("k02", times=(3.0, 6.0))
    assert mark(room) == 1
    before = all_bytes(room.folder / "out")
    points = {r["learner"]: r["points"] for r in json.loads(before["results.json"])["rows"]}
    over = room.folder / "over.csv"
    over.write_text("learner,exercise,points,reason\nk02,grey-steps,99.5,measured by hand\n", "utf-8")
    capsys.readouterr()
    mark(room, "--overrides", str(over), "--dry-run")
    said = capsys.readouterr().out
    assert f"k02, grey-steps: {points['k02']:.2f} (marked) to 99.50 (marked, given by a person)" in said
    assert f"({99.5 - points['k02']:+.2f})" in said
    assert "k01, grey-steps" not in said
    assert all_bytes(room.folder / "out") == before
    mark(room, "--overrides", str(over))
    room.hand("k01", times=(3.0, 5.5))
    mark(room, "--overrides", str(over))
    rows = json.loads((room.folder / "out" / "results.json").read_text("utf-8"))["rows"]
    row = next(r for r in rows if r["learner"] == "k02")
    assert (row["points"], row["override"]["reason"]) == (99.5, "measured by hand")
    assert row["points_before_late"] == points["k02"]


def test_handing_back_is_apart_and_holds_back_what_a_person_must_see(room: ClassRoom) -> None:
    room.hand("k01")
    room.hand("k03", filter_name="5")
    mark(room)
    assert not (room.folder / "given").exists()
    mark(room, "--hand-back", str(room.folder / "given"))
    given = all_bytes(room.folder / "given")
    assert set(given) == {"k01.html", "k02.html", "k04.html"}
    assert given["k01.html"] == (room.folder / "out" / "pages" / "k01.html").read_bytes()
    assert mark(room, "--hand-back", str(room.folder / "out")) == 2


def test_a_gradebook_that_could_mix_people_up_is_not_written(room: ClassRoom, capsys: pytest.CaptureFixture[str]) -> None:
    (room.folder / "roster.csv").write_text("id,email\nk01,same@kiln.example\nk02,same@kiln.example\n", "utf-8")
    mapping = room.folder / "mapping.toml"
    mapping.write_text('format = 1\nidentity = "email"\n[[column]]\nheader = "Mail"\nsource = "email"\n', "utf-8")
    room.hand("k01")
    assert mark(room, "--mapping", str(mapping)) == 1
    assert "2 learners have the email" in capsys.readouterr().out
    assert not (room.folder / "out" / "gradebook.csv").exists()
    assert (room.folder / "out" / "results.json").exists()


def test_who_leaves_the_course_leaves_the_pages(room: ClassRoom) -> None:
    room.hand("k01")
    mark(room)
    (room.folder / "roster.csv").write_text("id\nk01\n", "utf-8")
    mark(room)
    assert [p.name for p in (room.folder / "out" / "pages").iterdir()] == ["k01.html"]


REFUSED: dict[str, tuple[list[str], str]] = {
    "no course": (["--course", "none.toml"], "none.toml"), "no jobs": (["--jobs", "0"], "--jobs"),
    "no roster": (["--roster", "none.csv"], "none.csv"), "time limit": (["--time-limit", "0.01"], "--time-limit"),
    "no mapping": (["--mapping", "none.toml"], "none.toml"), "no overrides": (["--overrides", "none.csv"], "none.csv"),
    "no times": (["--received", "none.csv"], "none.csv"),
}  # fmt: skip


@pytest.mark.parametrize("case", REFUSED, ids=lambda case: case.replace(" ", "-"))
def test_what_cannot_be_used_is_refused_before_any_work(case: str, room: ClassRoom, capsys: Any) -> None:
    more, words = REFUSED[case]
    room.hand("k01")
    assert mark(room, *more) == 2
    assert words in capsys.readouterr().err
    assert not (room.folder / "out").exists()


def test_an_empty_folder_is_a_class_that_handed_in_nothing(room: ClassRoom) -> None:
    assert mark(room) == 1
    assert (room.folder / "out" / "class.html").exists()


def test_damaged_earlier_results_are_not_overwritten_in_silence(room: ClassRoom, capsys: pytest.CaptureFixture[str]) -> None:
    (room.folder / "out").mkdir()
    (room.folder / "out" / "results.json").write_text("{}", "utf-8")
    assert mark(room) == 2
    assert "is not a results file" in capsys.readouterr().err
