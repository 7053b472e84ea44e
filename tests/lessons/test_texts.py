"""What the texts tell a reader to type works, and the target files beside them are sound."""

from __future__ import annotations

import re
import shlex
from pathlib import Path

import pytest

from sim.command.main import main
from sim.negative.develop import find_negative
from sim.negative.sleeve import sleeve_names
from sim.paper.development import Development
from sim.paper.response import Response
from sim.paper.stock import find_stock
from sim.reading import data_folder
from sim.scoring.targets import is_printable, read_targets

ROOT = data_folder("lessons").parent
README = (ROOT / "README.md").read_text(encoding="utf-8")
NAMED = re.findall(r"`(tonewright (?!VERB|generate|demo)[^`]+)`", README)
COMMANDS = sorted({line for line in NAMED if len(line.split()) > 2 or line.split()[1] in ("sleeves", "schema")})
TARGET_FILES = sorted((ROOT / "lessons").glob("*-targets.toml"))


@pytest.fixture
def here(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.chdir(tmp_path)
    return tmp_path


def test_the_readme_names_commands() -> None:
    assert len(COMMANDS) >= 8


@pytest.mark.parametrize("command", COMMANDS)
def test_every_command_of_the_readme_works(command: str, here: Path, capsys: pytest.CaptureFixture[str]) -> None:
    words = shlex.split(command)[1:]
    if "RECORD" in words or "FILE" in words or "my-print.json" in words:
        made = ["print", "--negative", "morning-shelf", "--save-record", "my-print.json"]
        assert main(made) == 0
        target = str(TARGET_FILES[0])
        words = [{"RECORD": "my-print.json", "FILE": target}.get(word, word) for word in words]
    words = [str(ROOT / word) if word.startswith("lessons/") else word for word in words]
    code = main(words)
    assert code == 0 or (words[0] == "reach" and code == 1), capsys.readouterr().err


def test_the_first_paragraph_is_the_job() -> None:
    """No heading, list or command before it; long enough to say what the product is for."""
    paragraph = README.split("\n\n")[1]
    assert not paragraph.startswith(("#", "-", "|", "`"))
    assert len(paragraph.split()) > 80


@pytest.mark.parametrize("file", TARGET_FILES, ids=lambda file: file.stem)
def test_target_files_fit_their_negative_and_the_paper(file: Path) -> None:
    negative = find_negative(file.stem.removesuffix("-targets"))
    stock = find_stock("glossy-rc-vc")
    response = Response(stock, Development(stock.development.completion_time_s))
    for target in read_targets(file, negative):
        assert is_printable(target.density, response)


def test_the_page_of_negatives_shows_every_sleeve() -> None:
    page = (ROOT / "lessons" / "negatives.md").read_text(encoding="utf-8")
    missing = [name for name in sleeve_names() if f"`{name}`" not in page]
    assert missing == []
