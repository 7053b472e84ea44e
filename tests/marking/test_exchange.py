"""What course systems give and take: rosters as they export them, zips, zips to give out, mappings in general shapes."""

from __future__ import annotations

import csv
import io
import zipfile
from collections.abc import Callable
from datetime import UTC, datetime
from pathlib import Path
from typing import Any
from zoneinfo import ZoneInfo

import pytest
from at_once import AtOnce, marked
from class_room import COURSE, ClassRoom, class_room
from made_results import four_learners, results, row, submission

from sim.command.main import main
from sim.marking.batch import mark_batch, read_batch
from sim.marking.course import read_course
from sim.marking.gradebook import gradebook_text, mapping_file, read_mapping, shipped_mappings
from sim.marking.handed_files import content_of, find_files
from sim.marking.outputs import hand_back, write_outputs
from sim.marking.roster import RosterColumns, read_roster
from sim.marking.uploader_names import uploader_of, wrong_with_pattern
from sim.reading import OutsideError

NAMES = "Grün Öl", "山 ⾧", "کوه\u200cها", "Núi Đá", "მთა", "a\u0308rgerlich", "மலை", "O’Berg-Łąka"  # hills and such, no people


def test_a_roster_as_other_systems_export_it(tmp_path: Path) -> None:
    file = tmp_path / "export.csv"
    lines = [f"{n};{name.split()[0]};{' '.join(name.split()[1:])};m{n}@kiln.example;B;" for n, name in enumerate(NAMES)]
    header = '"Student number";"Given name";"Family name";"E-mail";Section;'
    file.write_bytes(("\ufeff" + "\r\n".join([header, *lines]) + "\r\n").encode())
    found = read_roster(file, RosterColumns("student number", ("Given name", "Family name"), "E-mail")).learners
    assert [one.name for one in found] == [*NAMES[:5], "ärgerlich", *NAMES[6:]]
    assert found[3].email == "m3@kiln.example"
    assert found[0].more == {"Section": "B"}


def test_tabs_and_a_single_column_are_tables_too(tmp_path: Path) -> None:
    file = tmp_path / "roster.csv"
    file.write_text("id\tname\nk01\tA, B; C\n", "utf-8")
    assert [(one.id, one.name) for one in read_roster(file).learners] == [("k01", "A, B; C")]
    file.write_text("id\nk01\n", "utf-8")
    assert len(read_roster(file).learners) == 1


LETTERS = {
    ("latin-1", "id;name\nk01;Grün\n"): "line 2, column 7: must be UTF-8 text; it looks like Latin-1",
    ("cp1252", "Öl;id\na;b\n"): "line 1, column 1: must be UTF-8 text; it looks like Latin-1 or Windows-1252",
    ("utf-16", "id;name\nk01;Grün\n"): "line 1, column 1: must be UTF-8 text; it looks like UTF-16",
}  # fmt: skip


@pytest.mark.parametrize("case", LETTERS, ids=lambda case: case[0])
def test_another_way_of_writing_letters_is_said_clearly(case: tuple[str, str], tmp_path: Path) -> None:
    file = tmp_path / "roster.csv"
    file.write_bytes(case[1].encode(case[0]))
    with pytest.raises(OutsideError, match=f"{LETTERS[case]}.*: save it again as CSV in UTF-8"):
        read_roster(file)


def test_the_column_is_counted_in_letters_and_without_the_mark_at_the_start(tmp_path: Path) -> None:
    file = tmp_path / "roster.csv"
    file.write_bytes("\ufeffid;name\nк01;山".encode() + b"\xe9\n")
    with pytest.raises(OutsideError, match="line 2, column 6: "):
        read_roster(file)
    file.write_bytes("\ufeffid;n".encode() + b"\xe9me\n")
    with pytest.raises(OutsideError, match="line 1, column 5: "):
        read_roster(file)


def test_the_course_says_what_its_rosters_columns_are_called(tmp_path: Path) -> None:
    room = class_room(tmp_path / "course")
    text = room.course.read_text("utf-8")
    room.course.write_text(text.replace("[[exercise]]", '[roster_columns]\nid = "No."\nname = ["Who"]\n[[exercise]]'), "utf-8")
    (room.folder / "roster.csv").write_text("Who;No.\nA;k01\n", "utf-8")
    assert read_batch(room.box, room.course).learners[0].name == "A"


PATTERNS = {
    ("*_{id}_*", "Some Body_k01_2026_evening.jsonl"): "k01",
    ("{email}/*", "k01@kiln.example/evening.jsonl"): "k01@kiln.example",
    ("{id}_*", "k01_grey-steps_1.jsonl"): "k01", ("{id}/*", "k01/deep/evening"): "k01",
    ("week_{id}_*/*", "week_k02_77/deep/../mine.jsonl"): "k02", ("({id}).*", "[k01].jsonl"): "",
}  # fmt: skip


@pytest.mark.parametrize("case", PATTERNS, ids=str)
def test_the_systems_name_says_who_it_was(case: tuple[str, str]) -> None:
    assert uploader_of(*case) == PATTERNS[case]


KNOWN = frozenset({"k_01", "k01", "k02", "b_ob@kiln.example"})
WITH_A_ROSTER = {
    ("*_{id}_*", "Some Body_k_01_evening.jsonl"): "k_01", ("*_{id}_*", "Ann_k01_k01_grey-steps_1.jsonl"): "k01",
    ("{email}/*", "b_ob@kiln.example/evening.jsonl"): "b_ob@kiln.example",
    ("*_{email}_*", "Bob_B_Ob@kiln.example_e.jsonl"): "B_Ob@kiln.example", ("*_{id}_*", "Zed_z9_e.jsonl"): "z9",
    ("*_{id}_*", "Eve_k02_k01_grey-steps_1.jsonl"): "k02 or k01",  # who hands in another's file is not taken for them
    ("{id}_*", "k01_k02_1.jsonl"): "k01",
    ("*_{id}_*", "k01_grey-light_1.jsonl"): "",  # as `submit` names it: what fits is no id
    ("week_{id}_*/*", "week_k02_77/deeper/k01_grey-light_1.jsonl"): "k02",
}  # fmt: skip


@pytest.mark.parametrize("case", WITH_A_ROSTER, ids=str)
def test_ids_of_the_roster_are_found_whole(case: tuple[str, str]) -> None:
    assert uploader_of(*case, KNOWN) == WITH_A_ROSTER[case]


@pytest.mark.parametrize("pattern", ["*", "{id}{id}", "{id}**", "{0.__class__}{id}", "*" * 9 + "{id}"])
def test_a_pattern_that_finds_nobody_is_refused(pattern: str) -> None:
    assert wrong_with_pattern(pattern)


def zipped(file: Path, *files: tuple[str, bytes]) -> Path:
    with zipfile.ZipFile(file, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, data in files:
            archive.writestr(zipfile.ZipInfo(name, (2026, 12, 1, 17, 0, 0)), data, zipfile.ZIP_DEFLATED)
    return file


@pytest.fixture(scope="module")
def room(tmp_path_factory: pytest.TempPathFactory) -> ClassRoom:
    room = class_room(tmp_path_factory.mktemp("zip") / "course", roster=("k01", "k02", "k03"))
    text = COURSE.replace("{variants}", "false").replace('"UTC"', '"Europe/Lisbon"\nuploader_in = "*_{id}_*"', 1)
    room.course.write_text(text, "utf-8")
    for learner in ("k01", "k02"):
        room.hand(learner, times=(7.5,))
    own, other = ((room.box / f"{one}.evening").read_bytes() for one in ("k01", "k02"))
    zipped(room.folder / "all.zip", ("A_k01_evening.jsonl", own), ("../../B_k03_x.jsonl", other),
           ("zeros.jsonl", b"0" * 9_000_000), ("small/zeros.jsonl", b"0" * 4_000_000))  # fmt: skip
    return room


def test_a_zip_is_marked_like_a_folder_and_nothing_is_put_on_the_disk(room: ClassRoom) -> None:
    before = sorted(room.folder.parent.rglob("*"))
    batch = read_batch(room.folder / "all.zip", room.course)
    assert sorted(room.folder.parent.rglob("*")) == before
    found = mark_batch(batch, room.folder / "out", AtOnce()).results
    assert {one.learner: one.status for one in found.rows} == {
        "k01": "marked", "k02": "needs-person", "k03": "needs-person"}  # fmt: skip
    stray = {one.file: (one.status, "; ".join(one.reasons)) for one in found.unplaced}
    assert "but 'k03' handed it in" in stray["../../B_k03_x.jsonl"][1]
    assert "must not be larger" in stray["zeros.jsonl"][1]
    assert "packed more than 200 times" in stray["small/zeros.jsonl"][1]
    assert found.rows[0].attempts[0].received == "2026-12-01T17:00:00Z"


def lying(data: bytes) -> bytes:
    """Return a zip whose directory says less than its member holds."""
    at = data.rindex(b"PK\x01\x02")
    return data[: at + 24] + (10).to_bytes(4, "little") + data[at + 28 :]


BROKEN: dict[str, Callable[[bytes], bytes]] = {
    "no zip": lambda data: b"not a zip", "cut off": lambda data: data[:-30], "empty": lambda data: b"",
    "another sum": lambda data: data.replace(b"evening", b"morning", 1), "a size that lies": lying,
    "a method nobody has": lambda data: data.replace(b"\x08\x00", b"\x63\x00"),
}  # fmt: skip


@pytest.mark.parametrize("case", BROKEN, ids=lambda case: case.replace(" ", "-"))
def test_a_broken_zip_is_refused_in_words_or_has_rows(case: str, tmp_path: Path) -> None:
    file = zipped(tmp_path / "a.zip", ("evening.jsonl", b"x" * 4000))
    file.write_bytes(BROKEN[case](file.read_bytes()))
    try:
        found = find_files(file, zone=ZoneInfo("UTC"))
    except OutsideError as error:
        said = str(error)
    else:
        said = " ".join(one.problem for one in found)
    assert "zip" in said


def test_a_second_member_of_one_name_is_read_under_a_name_of_its_own(tmp_path: Path) -> None:
    with pytest.warns(UserWarning, match="Duplicate name"):
        file = zipped(tmp_path / "a.zip", ("e.jsonl", b"one"), ("e.jsonl", b"two"))
    found = find_files(file)
    assert [(one.name, content_of(one)) for one in found] == [("e.jsonl", b"one"), ("e.jsonl (2)", b"two")]
    assert len({one.path for one in found}) == 2
    assert found[0].received == datetime(2026, 12, 1, 17, tzinfo=UTC)


def test_bundles_and_pages_are_given_out_as_zips_with_a_list(room: ClassRoom, tmp_path: Path) -> None:
    outs = [tmp_path / "a", tmp_path / "b"]
    for out in outs:
        assert main(["assign", str(room.course), "-o", str(out), "--zip"]) == 0
    with zipfile.ZipFile(outs[0] / "k02.zip") as archive:
        assert archive.namelist() == ["k02/grey-steps/assignment.toml", "k02/grey-steps/exercise.toml"]
    assert (outs[0] / "k02.zip").read_bytes() == (outs[1] / "k02.zip").read_bytes()
    assert (outs[0] / "index.csv").read_text("utf-8").splitlines()[1] == "k01,k01@kiln.example,k01.zip"
    found = marked(room, tmp_path / "out")
    write_outputs(found, tmp_path / "out", None)
    hand_back(found.results, tmp_path / "out", tmp_path / "back", as_zip=True)
    with zipfile.ZipFile(tmp_path / "back" / "pages.zip") as archive:
        assert archive.namelist() == ["index.csv", "k01.html", "k02.html", "k03.html"]


def table(name: str, found: object) -> list[list[str]]:
    mapping = read_mapping(mapping_file(name), ("one",))
    return list(csv.reader(io.StringIO(gradebook_text(found, mapping), newline="")))  # type: ignore[arg-type]


def test_mappings_in_general_shapes_come_with_the_program(tmp_path: Path) -> None:
    assert shipped_mappings() == ("email-and-percent", "line-for-each-piece", "name-id-section-maxima")
    assert table("email-and-percent", four_learners())[:2] == [["Email", "Exercise one"], ["a@kiln.example", "80.0"]]
    whole = results(row("a", submission((1.0, 0.5), "exposure", 2.0), 80.0, more={"Section": "B"}))
    assert table("name-id-section-maxima", whole) == [
        ["Name", "ID", "Section", "Exercise one"], ["", "", "", "100.00"], ["Name of a", "a", "B", "80.00"],
    ]  # fmt: skip
    assert table("line-for-each-piece", whole)[1] == ["a", "one", "80.00", "100.00", "marked", "0", "exposure"]
    assert mapping_file(str(tmp_path / "own.toml")) == tmp_path / "own.toml"


def test_a_file_to_hand_in_is_called_after_its_learner(room: ClassRoom, capsys: pytest.CaptureFixture[str]) -> None:
    assert read_course(room.course).uploader_in == "*_{id}_*"
    assert main(["submit", str(room.folder / "evening.log")]) == 0
    assert (room.folder / "k02_grey-steps_1.jsonl").is_file()


def test_an_edition_of_a_courses_own_is_not_handed_in_short_without_saying_so(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    room = class_room(tmp_path / "course")
    room.hand("k01", times=(8.0,), opening={"copies": 2})
    log, out = str(room.folder / "evening.log"), str(room.folder / "k01.jsonl")
    assert main(["submit", log, "-o", out]) == 2
    assert "asks for 2 sheets that count, got 1" in capsys.readouterr().err
    assert main(["submit", log, "-o", out, "--part"]) == 0
    assert "1 of the 2 prints asked for are missing; what is missing earns nothing" in capsys.readouterr().out


def test_a_large_zip_is_listed_once(room: ClassRoom, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    file = tmp_path / "many.zip"
    evening = next(room.box.iterdir()).read_bytes()
    with zipfile.ZipFile(file, "w") as archive:
        for n in range(40):
            archive.writestr(f"{n:03d}/evening.jsonl", evening)
    opened, real = [], zipfile.ZipFile

    def counted(*words: Any, **more: Any) -> zipfile.ZipFile:
        opened.append(words)
        return real(*words, **more)

    monkeypatch.setattr("sim.marking.handed_zips.zipfile.ZipFile", counted)
    assert len(find_files(file)) == 40
    assert len(opened) == 1
    with real(file, "a") as archive:
        archive.writestr("one-more/evening.jsonl", evening)
    assert len(find_files(file)) == 41  # another zip by now


def test_a_page_handed_back_before_is_taken_away_once_its_work_waits(tmp_path: Path) -> None:
    out, back = tmp_path / "out", tmp_path / "back"
    for learner in ("a", "b"):
        (out / "pages").mkdir(parents=True, exist_ok=True)
        (out / "pages" / f"{learner}.html").write_text(learner)
    found = results(row("a", submission((1.0, 1.0), "exposure", 2.0), 80.0), row("b", None, None))
    assert hand_back(found, out, back)[0] == ["a", "b"]
    waiting = results(row("a", submission((1.0, 1.0), "exposure", 2.0), None, status="needs-person"), row("b", None, None))
    assert hand_back(waiting, out, back) == (["b"], ["a"])
    assert [file.name for file in back.iterdir()] == ["b.html"]
