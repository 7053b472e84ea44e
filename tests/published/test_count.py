"""The checks themselves are counted: enough of them, most of them prints, each true of something outside."""

from __future__ import annotations

import re
from collections import Counter

import pytest

from .checks import every_check, tables

WEB = re.compile(r"https?:|www\.|\.(com|org|net|de|it|uk|io)\b|forum|thread", re.IGNORECASE)
FEWEST = 60


def counts() -> tuple[Counter[str], Counter[str]]:
    """Return how many checks there are of every kind of source, and of every way of reading."""
    return Counter(check.kind for check in every_check()), Counter(check.read for check in every_check())


def test_there_are_enough_checks_and_most_of_them_are_prints(capsys: pytest.CaptureFixture[str]) -> None:
    kinds, read = counts()
    with capsys.disabled():
        told = ", ".join(f"{count} {kind}" for kind, count in kinds.most_common())
        print(f"\n{sum(kinds.values())} published checks: {told}; {read['print']} of them read from prints")
    assert sum(kinds.values()) >= FEWEST
    assert read["print"] >= 2 * sum(kinds.values()) / 3
    assert kinds["arithmetic"] <= 3
    assert kinds["published"] + kinds["as quoted"] + kinds["follows from the spectra"] >= sum(kinds.values()) / 2


def test_no_two_checks_measure_the_same_thing() -> None:
    names = [check.what for check in every_check()]
    assert len(names) == len(set(names))


@pytest.mark.parametrize("topic", sorted(tables()))
def test_every_check_of_a_topic_can_fail_and_says_where_it_comes_from(topic: str) -> None:
    for check in tables()[topic]:
        assert len(check.source) >= 10, check.what
        assert len(check.why) >= 8, check.what
        assert not WEB.search(check.source), f"{check.what}: {check.source}"
        assert check.tolerance > 0.0, check.what
        assert check.wrong, check.what
