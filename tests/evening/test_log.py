"""The evening's log on disk: what is whole is kept, what is damaged is moved aside and named, what was edited is seen."""

from __future__ import annotations

import json
from pathlib import Path

import numpy as np
import pytest

from sim.evening.log import FIRST_HASH, Line, append_line, read_log, repair_log
from sim.reading import MAX_LOG_LINES, FileRefused

NOTES = ("sky too light", "äöü – ß", "third", "fourth")


@pytest.fixture
def file(tmp_path: Path) -> Path:
    log = tmp_path / "evening.jsonl"
    last = None
    for text in NOTES:
        last = append_line(log, "note", {"text": text}, last)
    return log


def test_lines_come_back_as_they_were_written(file: Path) -> None:
    loaded = read_log(file)
    assert [line.data["text"] for line in loaded.lines] == list(NOTES)
    assert loaded.damage is None
    assert loaded.good_bytes == file.stat().st_size
    assert loaded.lines[0].previous == FIRST_HASH
    assert [line["number"] for line in map(json.loads, file.read_text("utf-8").splitlines())] == [0, 1, 2, 3]


def test_a_chain_ends_where_a_line_is_missing_exchanged_or_forged(file: Path) -> None:
    lines = read_log(file).lines
    forged = Line(0, "note", {"text": "forged"}, FIRST_HASH)
    for chain, good in (
        ((lines[0], lines[2]), 1), ((lines[1], lines[0]), 0), (lines[1:], 0), ((forged, *lines[1:]), 1), (lines, 4)
    ):  # fmt: skip
        file.write_text("".join(line.text() for line in chain), "utf-8")
        loaded = read_log(file)
        assert (len(loaded.lines), loaded.damage is None) == (good, good == 4)


def _lines(file: Path) -> list[bytes]:
    return file.read_bytes().splitlines(keepends=True)


DAMAGES = {
    # what is done to the lines -> how many stay good, words of the message
    "edited-word": (lambda x: [x[0], x[1].replace("äöü".encode(), b"aou"), *x[2:]], 1, "line 2: does not follow"),
    "edited-hash": (lambda x: [*x[:2], x[2].replace(b'"hash":"', b'"hash":"0'), x[3]], 2, "line 3: does not follow"),
    "reordered": (lambda x: [x[0], x[2], x[1], x[3]], 1, "line 2: does not follow"),
    "one-taken-out": (lambda x: [x[0], x[2], x[3]], 1, "line 2: does not follow"),
    "first-taken-out": (lambda x: x[1:], 0, "line 1: does not follow"),
    "one-doubled": (lambda x: [x[0], x[1], x[1], *x[2:]], 2, "line 3: does not follow"),
    "cut-in-a-line": (lambda x: [*x[:3], x[3][:40]], 3, "line 4: must end with a line break"),
    "no-line-break-at-the-end": (lambda x: [*x[:3], x[3][:-1]], 3, "line 4: must end with a line break"),
    "empty-line-between": (lambda x: [x[0], b"\n", *x[1:]], 1, "line 2: is not valid JSON"),
    "zeros-after-a-crash": (lambda x: [*x, b"\0" * 4096], 4, "line 5: must end with a line break"),
    "zeros-and-a-line-break": (lambda x: [*x, b"\0" * 64 + b"\n"], 4, "line 5: is not valid JSON"),
    "bad-byte": (lambda x: [x[0], b"\xff" + x[1], *x[2:]], 1, "line 2: must be UTF-8 text, got a bad byte at 0"),
    "another-file": (lambda x: [b"Dear diary,\n"], 0, "line 1: is not valid JSON"),
    "an-unknown-key": (lambda x: [x[0].replace(b'{"data"', b'{"a":1,"data"'), *x[1:]], 0, "must hold number, kind"),
    "a-key-twice": (lambda x: [x[0].replace(b'{"data"', b'{"kind":"x","data"'), *x[1:]], 0, "key must stand only once"),
    "data-as-a-list": (lambda x: [b'{"data":[],"hash":"","kind":"x","number":0,"previous":""}\n'], 0, "must hold a kind"),
    "a-surrogate": (lambda x: [b'{"data":{"t":"\\ud800"},"hash":"","kind":"x","number":0,"previous":""}\n'], 0, "surrogates"),
    "very-deep": (lambda x: [x[0], b"[" * 100_000 + b"\n"], 1, "line 2: must not be nested deeper than 16"),
    "1e999": (lambda x: [x[0], b'{"a":1e999}\n'], 1, "must be a finite number, got inf"),
    "byte-order-mark": (lambda x: [b"\xef\xbb\xbf", *x], 0, "line 1: is not valid JSON"),
}  # fmt: skip


@pytest.mark.parametrize("case", DAMAGES)
def test_damage_is_named_moved_aside_and_the_good_part_goes_on(case: str, file: Path) -> None:
    spoil, good, words = DAMAGES[case]
    lines = _lines(file)
    file.write_bytes(b"".join(spoil(lines)))
    spoilt = file.read_bytes()
    loaded = read_log(file)
    assert len(loaded.lines) == good
    assert loaded.damage is not None
    assert str(file) in loaded.damage
    assert words in loaded.damage
    assert file.read_bytes() == spoilt, "reading changes nothing"

    repaired = repair_log(file)
    aside = file.with_name("evening.jsonl.damaged-1")
    assert repaired.lines == loaded.lines
    assert repaired.damage == f"{loaded.damage}; the damaged rest was moved to {aside.name}"
    assert file.read_bytes() + aside.read_bytes() == spoilt, "nothing is lost"
    line = append_line(file, "note", {"text": "going on"}, repaired.lines[-1] if good else None)
    assert read_log(file).lines == (*loaded.lines, line)


def test_damage_again_is_moved_to_a_name_of_its_own(file: Path) -> None:
    for number in (1, 2, 3):
        with open(file, "ab") as handle:
            handle.write(b"half a line")
        assert repair_log(file).damage.endswith(f"moved to evening.jsonl.damaged-{number}")  # type: ignore[union-attr]
        assert file.with_name(f"evening.jsonl.damaged-{number}").read_bytes() == b"half a line"
    assert repair_log(file).damage is None


@pytest.mark.parametrize("seed", range(40))
def test_any_cut_keeps_the_whole_lines_before_it(seed: int, file: Path) -> None:
    generator = np.random.Generator(np.random.PCG64(seed))
    raw = file.read_bytes()
    cut = int(generator.integers(0, len(raw)))
    file.write_bytes(raw[:cut])
    loaded = read_log(file)
    assert len(loaded.lines) == raw[:cut].count(b"\n")
    assert (loaded.damage is None) == (cut == 0 or raw[cut - 1 : cut] == b"\n")


@pytest.mark.parametrize("seed", range(40))
def test_any_changed_byte_of_a_line_is_seen(seed: int, file: Path) -> None:
    generator = np.random.Generator(np.random.PCG64(seed))
    raw = bytearray(file.read_bytes())
    at = int(generator.integers(0, len(raw) - 1))
    raw[at] ^= 1 << int(generator.integers(0, 7))
    file.write_bytes(raw)
    loaded = read_log(file)
    assert loaded.damage is not None
    assert len(loaded.lines) <= file.read_bytes()[:at].count(b"\n")


@pytest.mark.parametrize("way", ["line-ends", "spacing", "order-of-keys"])
def test_what_an_editor_changes_without_changing_a_decision_is_accepted_and_put_right(way: str, file: Path) -> None:
    good, lines = file.read_bytes(), read_log(file).lines
    if way == "line-ends":
        file.write_bytes(good.replace(b"\n", b"\r\n"))
    else:
        data = [json.loads(line) for line in good.splitlines()]
        indent = None if way == "order-of-keys" else 0
        changed = [json.dumps(d, sort_keys=False, indent=indent).replace("\n", " ") for d in data]
        file.write_text("\n".join(changed) + "\n", "utf-8")
    assert file.read_bytes() != good
    assert read_log(file).damage is None
    assert repair_log(file).lines == lines
    assert file.read_bytes() == good
    append_line(file, "note", {"text": "on"}, lines[-1])


def test_a_damaged_tail_after_other_spacing_is_cut_at_the_right_place(file: Path) -> None:
    good = file.read_bytes()
    file.write_bytes(good.replace(b'{"data"', b'{ "data"') + b"half")
    assert repair_log(file).damage is not None
    assert file.with_name("evening.jsonl.damaged-1").read_bytes() == b"half"
    assert file.read_bytes() == good


def test_no_log_is_an_empty_log_and_makes_no_file(tmp_path: Path) -> None:
    assert repair_log(tmp_path / "none.jsonl").lines == ()
    assert list(tmp_path.iterdir()) == []


def test_an_empty_file_is_an_empty_log(tmp_path: Path) -> None:
    (tmp_path / "a.jsonl").write_bytes(b"")
    assert repair_log(tmp_path / "a.jsonl").damage is None
    assert append_line(tmp_path / "a.jsonl", "note", {}, None).number == 0


def test_too_many_lines_are_named(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, file: Path) -> None:
    monkeypatch.setattr("sim.evening.log.MAX_LOG_LINES", 3)
    loaded = read_log(file)
    assert len(loaded.lines) == 3
    assert "must not have more than 3 lines, got more" in str(loaded.damage)
    assert MAX_LOG_LINES == 20_000


def test_a_log_too_large_to_be_read_is_refused_and_left_alone(tmp_path: Path) -> None:
    file = tmp_path / "a.jsonl"
    with open(file, "wb") as handle:
        handle.truncate(9 * 2**20)
    with pytest.raises(FileRefused, match="must not be larger than 8388608 bytes"):
        repair_log(file)
    assert file.stat().st_size == 9 * 2**20
