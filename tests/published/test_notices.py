"""Every check notices the wrong constants it names: the constant is planted, and the check must fail."""

from __future__ import annotations

import zlib
from pathlib import Path

import pytest
from night import turns

from .checks import Check, every_check
from .planted import measured_with
from .wrong_constants import WRONG


def checks_that_notice() -> dict[str, list[Check]]:
    """Return the checks by the wrong constant they name."""
    found: dict[str, list[Check]] = {}
    for check in every_check():
        for name in check.wrong:
            found.setdefault(name, []).append(check)
    return found


def test_every_check_names_a_wrong_constant_that_exists() -> None:
    assert [check.what for check in every_check() if not check.wrong] == []
    assert set(checks_that_notice()) <= set(WRONG)


def test_every_wrong_constant_is_noticed_by_some_check() -> None:
    assert set(WRONG) <= set(checks_that_notice())


# Each takes a copy of the program and some seconds: one in twenty-four by day, all by night or with TONEWRIGHT_ALL_WRONG=1.
# Which ones follows from the text of the checks, so that it moves on with every change of them and stays between two runs.
ONE_IN = 24
TURN = zlib.crc32(b"".join(file.read_bytes() for file in sorted(Path(__file__).parent.glob("*.py")))) % ONE_IN
PLANTED = sorted(WRONG) if turns("TONEWRIGHT_ALL_WRONG", 0, 1) else sorted(WRONG)[TURN::ONE_IN]


@pytest.mark.slow
@pytest.mark.parametrize("name", PLANTED)
def test_the_checks_fail_where_the_constant_is_wrong(name: str, tmp_path: Path) -> None:
    checks = checks_that_notice()[name]
    rows = measured_with(WRONG[name], [check.what for check in checks], tmp_path)
    unnoticed = [f"{check.what}: measured {rows[check.what]['measured']}" for check in checks if rows[check.what]["holds"]]
    assert unnoticed == []
