"""What the command's tests share."""

from __future__ import annotations

from pathlib import Path

import pytest
from running import SMALL_SLEEVE, Run, runner


@pytest.fixture
def run(capsys: pytest.CaptureFixture[str]) -> Run:
    """Run the command with words and return what it left."""
    return runner(capsys)


@pytest.fixture
def here(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """An empty folder to work in, with one small sleeve."""
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("COLUMNS", "120")
    (tmp_path / "wedge.toml").write_text(SMALL_SLEEVE, encoding="utf-8")
    return tmp_path
