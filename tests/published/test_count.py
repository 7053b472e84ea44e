"""The checks themselves are counted: enough of them, few that are mere arithmetic, many that print a whole sheet."""

from __future__ import annotations

import re

import pytest

from .checks import every_check, tables

WEB = re.compile(r"https?:|www\.|\.(com|org|net|de|it|uk|io)\b|forum|thread", re.IGNORECASE)


def test_there_are_enough_checks_and_enough_whole_prints() -> None:
    kinds = [check.kind for check in every_check()]
    assert len(kinds) >= 80
    assert kinds.count("arithmetic") <= 25
    assert kinds.count("print") >= 25


@pytest.mark.parametrize("topic", sorted(tables()))
def test_every_check_of_a_topic_can_fail_and_names_its_source(topic: str) -> None:
    table = tables()[topic]
    names = [check.what for check in table]
    assert len(names) == len(set(names))
    for check in table:
        assert len(check.source) >= 4, check.what
        assert not WEB.search(check.source), f"{check.what}: {check.source}"
        assert check.tolerance >= 0.0, check.what
