"""Every check notices the wrong constants it names: the constant is planted, and the check must fail."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

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


# Each takes a copy of the program and some ten seconds: every eighth here, all by hand (TONEWRIGHT_ALL_WRONG=1).
PLANTED = sorted(WRONG) if os.environ.get("TONEWRIGHT_ALL_WRONG") else sorted(WRONG)[::8]


@pytest.mark.slow
@pytest.mark.parametrize("name", PLANTED)
def test_the_checks_fail_where_the_constant_is_wrong(name: str, tmp_path: Path) -> None:
    checks = checks_that_notice()[name]
    rows = measured_with(WRONG[name], [check.what for check in checks], tmp_path)
    unnoticed = [f"{check.what}: measured {rows[check.what]['measured']}" for check in checks if rows[check.what]["holds"]]
    assert unnoticed == []
