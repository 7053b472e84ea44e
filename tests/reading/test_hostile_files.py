"""Whatever stands where a file should be, every reader refuses it in words, at once, and names it."""

from __future__ import annotations

import os
import resource
import time
from collections.abc import Callable
from pathlib import Path

import pytest
from hostile import KINDS, OUTSIDE, TEXT, TOML, fifo, png, write

from sim.plain_text import plain
from sim.reading import FileRefused, OutsideError, SyntaxRefused, ValueRefused

LONGEST_S = 1.0
MOST_BYTES = 200 * 2**20


Family = type[OutsideError] | tuple[type[OutsideError], ...]


def refused(kind: str, file: Path, *words: str, family: Family = OUTSIDE) -> OutsideError:
    """Read a bad file; check family, time, memory and that the message names the file and the words."""
    before = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss * 1024
    start, worked = time.perf_counter(), time.process_time()
    with pytest.raises(family) as caught:
        KINDS[kind].read(file)
    assert time.process_time() - worked < LONGEST_S
    assert time.perf_counter() - start < 8 * LONGEST_S  # the machine may be busy with others
    assert resource.getrusage(resource.RUSAGE_SELF).ru_maxrss * 1024 - before < MOST_BYTES
    message = str(caught.value)
    assert plain(str(file)) in message  # a name is shown without what a terminal would act on
    assert "\n" not in message
    assert len(message) < 8000
    for word in words:
        assert word in message, f"{word!r} is not in {message!r}"
    return caught.value


def _missing(folder: Path, good: bytes) -> Path:
    return folder / "not-there.toml"


def _folder(folder: Path, good: bytes) -> Path:
    (folder / "a-folder.toml").mkdir()
    return folder / "a-folder.toml"


def _pipe(folder: Path, good: bytes) -> Path:
    return fifo(folder / "pipe.toml")


def _loop(folder: Path, good: bytes) -> Path:
    (folder / "a.toml").symlink_to(folder / "b.toml")
    (folder / "b.toml").symlink_to(folder / "a.toml")
    return folder / "a.toml"


def _below_a_file(folder: Path, good: bytes) -> Path:
    (folder / "file").write_bytes(good)
    return folder / "file" / "inner.toml"


def _in_a_very_long_name(folder: Path, good: bytes) -> Path:
    return folder / ("x" * 300 + ".toml")


def _far_too_large(folder: Path, good: bytes) -> Path:
    file = folder / "sparse.toml"
    with open(file, "wb") as handle:
        handle.truncate(3 * 2**30)
    return file


def _dangling(folder: Path, good: bytes) -> Path:
    (folder / "link.toml").symlink_to(folder / "gone.toml")
    return folder / "link.toml"


STAND_INS: dict[str, tuple[Callable[[Path, bytes], Path], str]] = {
    "missing": (_missing, "No such file"),
    "folder": (_folder, "must be a regular file, got a folder"),
    "pipe": (_pipe, "must be a regular file, got a pipe"),
    "symlink-loop": (_loop, "cannot be opened"),
    "dangling-link": (_dangling, "No such file"),
    "below-a-file": (_below_a_file, "Not a directory"),
    "name-too-long": (_in_a_very_long_name, "File name too long"),
    "three-gigabytes": (_far_too_large, "must not be larger than"),
    "endless-device": (lambda folder, good: Path("/dev/zero"), "must be a regular file, got a pipe or device"),
    "unreadable-bytes": (lambda folder, good: Path("/proc/self/mem"), "cannot be read"),
    "nul-in-its-name": (lambda folder, good: folder / "a\0b.toml", "cannot be opened"),
    "surrogate-in-its-name": (lambda folder, good: folder / "a\ud800b.toml", "cannot be opened"),
}


@pytest.mark.parametrize("kind", KINDS)
@pytest.mark.parametrize("case", STAND_INS)
def test_what_is_no_file_is_refused(case: str, kind: str, tmp_path: Path) -> None:
    make, words = STAND_INS[case]
    refused(kind, make(tmp_path, KINDS[kind].good()), words, family=FileRefused)


TEXT_CASES: dict[str, tuple[bytes, str, type[OutsideError]]] = {
    "bad-utf-8": (b"format = 1\n\xff\xfe", "must be UTF-8 text, got a bad byte at 11", FileRefused),
    "utf-16": ("format = 1".encode("utf-16"), "must be UTF-8 text, got a bad byte at 0", FileRefused),
    "half-a-character": (b"title = \"\xc3", "must be UTF-8 text", FileRefused),
    "surrogate-bytes": (b"title = \"\xed\xa0\x80\"", "must be UTF-8 text", FileRefused),
    "nul": (b"format = 1\0", "must not hold a NUL character", FileRefused),
    "binary": (bytes(range(1, 128)) * 40, "is not valid", SyntaxRefused),
    "a-picture": (png(), "must be UTF-8 text", FileRefused),
}


@pytest.mark.parametrize("kind", TEXT)
@pytest.mark.parametrize("case", TEXT_CASES)
def test_what_is_no_text_is_refused(case: str, kind: str, tmp_path: Path) -> None:
    data, words, family = TEXT_CASES[case]
    refused(kind, write(tmp_path, kind, data), words, family=family)


TOML_CASES: dict[str, tuple[str, str, type[OutsideError]]] = {
    "twenty-thousand-part-key": (".".join(["a"] * 20_000) + " = 1", "line 1 must not be longer than 2000", SyntaxRefused),
    "dotted-key": ("x = 1\n" + ".".join(["a"] * 40) + " = 1", "line 2: a key must not have more than 8 dots", SyntaxRefused),
    "dotted-keys-on-every-line": ("\n".join(f"k{i}." + ".".join("a" * 990) + "=1" for i in range(120)),
                                  "more than 8 dots", SyntaxRefused),
    "hash-inside-a-dotted-key": ("\n".join(f'"#".k{i}.' + ".".join("a" * 980) + "=1" for i in range(120)),
                                 "more than 8 dots", SyntaxRefused),
    "equals-inside-a-dotted-key": ("\n".join(f'"=".k{i}.' + ".".join("a" * 980) + "=1" for i in range(120)),
                                   "more than 8 dots", SyntaxRefused),
    "dotted-key-in-an-inline-table": ("\n".join(f"k{i} = {{" + ".".join("a" * 980) + "=1}" for i in range(120)),
                                      "more than 8 dots", SyntaxRefused),
    "spaced-dots": ("a" + " . a" * 300 + " = 1", "more than 8 dots", SyntaxRefused),
    "quoted-parts": (".".join(["'a b'", '"c"'] * 20) + " = 1", "more than 8 dots", SyntaxRefused),
    "another-line-separator": ("\u2028".join(["# c", *(".".join("a" * 8) for _ in range(2500))]), "line 1 must not be longer",
                               SyntaxRefused),
    "brackets-in-a-line": ("a = " + "[" * 900, "line 1 must not open more than 64 brackets", SyntaxRefused),
    "brackets-on-lines": ("a = " + "[\n" * 60_000, "must not be nested deeper than 16", SyntaxRefused),
    "tables-in-tables": ("a = " + "{a=" * 60 + "1" + "}" * 60, "must not be nested deeper than 16", SyntaxRefused),
    "key-twice": ("format = 1\nformat = 1", "is not valid TOML", SyntaxRefused),
    "nine-thousand-keys": ("\n".join(f"k{i} = 1" for i in range(9000)),
                           "must not hold more than 500 keys, got 9000", ValueRefused),
    "thousands-of-entries": ("a = [" + "1,\n" * 60_000 + "]",
                             "a: must not hold more than 256 entries, got 60000", ValueRefused),
    "nan": ("format = nan", "format: must be a finite number, got nan", ValueRefused),
    "infinity": ("format = -inf", "format: must be a finite number, got -inf", ValueRefused),
    "1e999": ("format = 1e999", "format: must be a finite number, got inf", ValueRefused),
    "huge-whole-number": (f"format = {'9' * 1900}", "format: must fit 64 bits", ValueRefused),
    "too-many-digits": ("format = 0x" + "f" * 1900, "format: must fit 64 bits", ValueRefused),
    "huge-string": ("title = '''" + ("y" * 1000 + "\n") * 40 + "'''",
                    "title: must not be longer than 2000 characters", ValueRefused),
    "long-key": ("y" * 300 + " = 1", "a key must not be longer than 200 characters, got 300", ValueRefused),
    "control-characters": ('title = "\\u001b[31m red"', "title: must not hold control characters", ValueRefused),
    "impossible-date": ("format = 2020-02-31", "is not valid TOML", SyntaxRefused),
    "over-256-KB": ("# " + "y" * 100 + "\n", "must not be larger than 262144 bytes", FileRefused),
    "empty": ("", "format: is required and missing", ValueRefused),
    "only-a-comment": ("# nothing\n" * 2000, "format: is required and missing", ValueRefused),
    "json": ('{"format": 1}', "is not valid TOML", SyntaxRefused),
}  # fmt: skip


@pytest.mark.parametrize("kind", TOML)
@pytest.mark.parametrize("case", TOML_CASES)
def test_hostile_toml_is_refused(case: str, kind: str, tmp_path: Path) -> None:
    text, words, family = TOML_CASES[case]
    data = text.encode() * (4000 if case == "over-256-KB" else 1)
    refused(kind, write(tmp_path, kind, data), words, family=family)


def _cards(count: int) -> str:
    return '{"exposures": [{"cards": [' + ",".join(["{}"] * count) + "]}]}"


JSON_CASES: dict[str, tuple[str, str, type[OutsideError]]] = {
    "empty": ("", "is not valid JSON", SyntaxRefused),
    "a-list": ("[]", "must be a printing record (a JSON object), got list", ValueRefused),
    "a-number": ("7", "must be a printing record (a JSON object), got int", ValueRefused),
    "null": ("null", "must be a printing record (a JSON object), got NoneType", ValueRefused),
    "key-twice": ('{"format": 1, "format": 1}', "format: key must stand only once, got twice", SyntaxRefused),
    "inner-key-twice": ('{"sheet": {"paper": "a", "paper": "b"}}', "paper: key must stand only once", SyntaxRefused),
    "nan": ('{"format": NaN}', "numbers must be finite, got NaN", SyntaxRefused),
    "infinity": ('{"sheet": {"width_mm": -Infinity}}', "numbers must be finite, got -Infinity", SyntaxRefused),
    "1e999": ('{"sheet": {"width_mm": 1e999}}', "sheet.width_mm: must be a finite number, got inf", ValueRefused),
    "deep-lists": ("[" * 500_000, "must not be nested deeper than 16", SyntaxRefused),
    "deep-objects": ('{"a":' * 500_000, "must not be nested deeper than 16", SyntaxRefused),
    "thousands-deep": ('{"a":' * 5000 + "1" + "}" * 5000, "must not be nested deeper than 16, got deeper", SyntaxRefused),
    "lists-without-end": ("[" * 200_000, "must not be nested deeper than 16, got deeper", SyntaxRefused),
    "seventeen-deep": ('{"a":' * 17 + "1" + "}" * 17, "must not be nested deeper than 16, got deeper", SyntaxRefused),
    "four-million-digits": ('{"a": ' + "9" * 4_000_000 + "}", "is not valid JSON (Exceeds the limit", SyntaxRefused),
    "a-huge-number": ('{"format": ' + "9" * 400 + "}", "format: must fit 64 bits", ValueRefused),
    "eight-megabyte-key": ('{"' + "a" * 8_000_000 + '": 1}', "a key must not be longer than 200 characters", ValueRefused),
    "eight-megabyte-string": ('{"note": "' + "a" * 8_000_000 + '"}', "note: must not be longer than 2000", ValueRefused),
    "six-hundred-thousand-keys": ("{" + ",".join(f'"k{i}":1' for i in range(600_000)) + "}",
                                  "must not hold more than 500 keys in a table, got 600000", ValueRefused),
    "three-million-entries": ('{"exposures": [' + "1," * 3_000_000 + "1]}", "exposures: must not hold more than 256 entries",
                              ValueRefused),
    "a-million-values": ('{"a": [' + ",".join(["[" + ",".join(["[" + "1," * 249 + "1]"] * 250) + "]"] * 20) + "]}",
                         "the file must not hold more than 250000 values", ValueRefused),
    "many-empty-cards": (_cards(250), "exposures[0].cards: must number at most 16, got 250", ValueRefused),
    "many-exposures-of-wrong-cards": (
        '{"exposures": [' + ",".join(['{"cards": [' + "1," * 249 + "1]}"] * 250) + "]}",
        "must number 1 to 64, got 250", ValueRefused),
    "many-exposures-of-empty-cards": (
        '{"exposures": [' + ",".join(['{"cards": [' + "{}," * 15 + "{}]}"] * 64) + "]}", "problems more", ValueRefused),
    "lone-surrogate": ('{"negative": "\\ud800"}',
                       "negative: must not hold control characters or lone surrogates", ValueRefused),
    "surrogate-key": ('{"\\udfff": 1}', "a key must not hold control characters or lone surrogates", ValueRefused),
    "escaped-nul": ('{"negative": "a\\u0000b"}', "negative: must not hold control characters", ValueRefused),
    "two-documents": ("{}{}", "is not valid JSON (Extra data", SyntaxRefused),
    "trailing-comma": ('{"format": 1,}', "is not valid JSON", SyntaxRefused),
    "comment": ('{"format": 1} // one', "is not valid JSON", SyntaxRefused),
    "toml": ("format = 1", "is not valid JSON", SyntaxRefused),
    "nothing-in-it": ("{}", "negative: is required and missing", ValueRefused),
    "over-eight-megabytes": ("[" + " " * 9_000_000 + "]", "must not be larger than 8388608 bytes", FileRefused),
}  # fmt: skip


@pytest.mark.parametrize("case", JSON_CASES)
def test_hostile_json_is_refused(case: str, tmp_path: Path) -> None:
    text, words, family = JSON_CASES[case]
    refused("record", write(tmp_path, "record", text.encode()), words, family=family)


def test_no_reader_keeps_a_file_open(tmp_path: Path) -> None:
    before = len(os.listdir("/proc/self/fd"))
    for kind in KINDS:
        for case in ("folder", "pipe", "endless-device", "unreadable-bytes"):
            place = tmp_path / f"{kind}-{case}"
            place.mkdir()
            with pytest.raises(FileRefused):
                KINDS[kind].read(STAND_INS[case][0](place, b""))
    assert len(os.listdir("/proc/self/fd")) == before
