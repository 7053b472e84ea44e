"""A thousand seeded mutations over all readers: a typed refusal or a valid result, never anything else, never slow."""

from __future__ import annotations

import time
import warnings
from pathlib import Path

import numpy as np
import pytest
from hostile import KINDS, write

from sim.reading import OutsideError

SEED = 20_240_817
EACH = 100  # mutations of every kind; the larger run by hand raises this
LONGEST_S = 1.0
TOKENS = [
    *b"true nan 1e999 -1 0 \"\" [] {} null 1e308 \x00 \xff \xef\xbb\xbf [[ ]] = . \\u0000 \\ud800 ' # \xe2\x80\xa8".split(b" "),
    b'"""', b"\r", b"\n", b"9" * 5000,
]  # fmt: skip


def mutated(data: bytes, generator: np.random.Generator) -> bytes:
    """Return the data with one to four faults: bytes flipped, cut, doubled, lines and keys swapped, tokens put in."""
    for _ in range(int(generator.integers(1, 5))):
        if not data:
            return data
        way = int(generator.integers(8))
        at, end = sorted(int(k) for k in generator.integers(0, len(data) + 1, 2))
        lines = data.split(b"\n")
        one, other = (int(k) for k in generator.integers(0, len(lines), 2))
        if way == 0:
            k = int(generator.integers(len(data)))
            data = data[:k] + bytes([data[k] ^ (1 << int(generator.integers(8)))]) + data[k + 1 :]
        elif way == 1:
            data = data[:at]
        elif way == 2:
            data = data[:at] + data[end:]
        elif way == 3:
            data = data[:at] + TOKENS[int(generator.integers(len(TOKENS)))] + data[at:]
        elif way == 4:
            lines[one], lines[other] = lines[other], lines[one]
            data = b"\n".join(lines)
        elif way == 5:
            lines.insert(one, lines[other])
            data = b"\n".join(lines)
        elif way == 6:
            key, equals, value = lines[one].partition(b"=")
            other_key = lines[other].partition(b"=")[0]
            lines[one] = other_key + equals + value if equals else key[::-1]
            data = b"\n".join(lines)
        else:
            data = data[:at] + data[at:end] * int(generator.integers(2, 5)) + data[end:]
    return data


@pytest.mark.parametrize("kind", KINDS)
def test_mutations_are_refused_in_words_or_valid(kind: str, tmp_path: Path) -> None:
    generator = np.random.Generator(np.random.PCG64([SEED, *kind.encode()]))
    good = KINDS[kind].good()
    refusals = 0
    for number in range(EACH):
        data = mutated(good, generator)
        file = write(tmp_path, kind, data)
        start, words = time.process_time(), "read"
        try:
            with warnings.catch_warnings():
                warnings.simplefilter("error")
                KINDS[kind].read(file)
        except OutsideError as error:
            refusals += 1
            words = str(error)
        except Exception as error:
            keep = tmp_path / f"mutation-{number}"
            keep.write_bytes(data)
            raise AssertionError(f"mutation {number} of {kind} ({keep}): {error!r}") from error
        assert words == "read" or words.startswith(f"{file}: "), f"mutation {number} of {kind}: {words}"
        assert "\n" not in words
        assert time.process_time() - start < LONGEST_S, f"mutation {number} of {kind} is slow"
    assert refusals > EACH // 4


def test_a_thousand_mutations_are_tried() -> None:
    assert len(KINDS) * EACH >= 1000
