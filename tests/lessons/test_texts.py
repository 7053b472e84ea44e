"""What the texts tell a reader to type works, and the target files beside them are sound."""

from __future__ import annotations

import io
import re
import shlex
import shutil
from pathlib import Path

import numpy as np
import pytest
from laws.secret_papers import WEDGE, Secret

from sim.calibration.empty_gate import empty_gate_lux
from sim.command.main import main
from sim.evening.evening import Evening
from sim.negative.develop import find_negative
from sim.negative.sleeve import sleeve_names
from sim.paper.development import Development
from sim.paper.response import Response
from sim.paper.sensitometry import NET_IDMIN
from sim.paper.stock import find_stock
from sim.reading import data_folder
from sim.scoring.exercise_file import read_exercise
from sim.scoring.start import start_record
from sim.scoring.target_tones import read_targets

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


@pytest.fixture(scope="module")
def school(tmp_path_factory: pytest.TempPathFactory) -> dict[str, str]:
    """What the words in capitals stand for: a course of one learner with an exercise, a bundle, an evening handed in."""
    folder = tmp_path_factory.mktemp("school")
    assert main(["author", str(folder / "mine"), "--negative", "racks-thin", "--unlock", "time_s,filter"]) == 0
    (folder / "roster.csv").write_text("id\nk1\n")
    (folder / "course.toml").write_text(
        'format = 1\ncourse = "c"\ntitle = "C"\nroster = "roster.csv"\n[[exercise]]\nfolder = "mine"\n'
    )
    assert main(["assign", str(folder / "course.toml"), "-o", str(folder / "bundles")]) == 0
    bundle = folder / "bundles" / "k1" / "mine"
    exercise = read_exercise(bundle)
    evening = Evening.open(
        folder / "evening.jsonl", exercise.paper, 6, 45.0, exercise=exercise.name, exercise_version=exercise.version,
        exercise_digest=exercise.digest, learner="k1", negatives=exercise.negatives,
    )  # fmt: skip
    negative = find_negative("racks-thin")
    evening.make(negative, start_record(exercise, negative, find_stock(exercise.paper)), 2.0)
    evening.nominate(1)
    assert main(["submit", str(evening.file), "-o", str(folder / "in" / "k1.jsonl")]) == 0
    return {
        "COURSE.toml": str(folder / "course.toml"), "BUNDLE": str(bundle), "LOG": str(evening.file),
        "HANDED-IN": str(folder / "in"), "MARKS": str(folder / "marks"), "FILE": str(folder / "again.jsonl"),
        "MY-EXERCISE": str(folder / "mine"),
    }  # fmt: skip


PATCH_READ = "height_mm,f_number,filter,seconds,density\n620,5.6,2,10,0.74\n"


def _laid_ready(words: list[str], here: Path) -> None:
    """Lay ready what a reader has who types this: strips that were read, sleeves of a roll, an enlarger that was measured."""
    if "read.csv" in words:
        (here / "read.csv").write_text(PATCH_READ if "enlarger" in words else _strips_read(900.0))
    if "roll/" in words:
        (here / "roll").mkdir()
        for name in ("morning-shelf", "racks-thin"):
            shutil.copy(ROOT / "sim" / "negative" / "sleeves" / f"{name}.toml", here / "roll")
    if "own:mine" in words:
        assert main(["calibrate", "enlarger", "--name", "mine", "--right", "12", "--negative", "racks-thin"]) == 0


def _strips_read(height_mm: float) -> str:
    """Return what strips of a paper made up from the shipped one read, behind two filters at a height."""
    secret = Secret(find_stock("glossy-fb-vc"), {"00": (0.0, 0.0), "5": (0.0, 0.0)})
    lux, seconds, columns = empty_gate_lux("diffusion-sheet", "150-mm", height_mm, 8.0), [], []
    for setting in ("00", "5"):
        curve = secret.curve(setting)
        clear = curve.log_exposure_at_net(0.97 * curve.net_dmax) + 0.4
        seconds.append(f"{10.0**clear / lux:.2f}")
        columns.append(np.interp(clear - WEDGE, curve.log_exposure, curve.density))
    rows = [f"{k + 1},{WEDGE[k]:.2f},{one:.2f},{two:.2f}" for k, (one, two) in enumerate(zip(*columns, strict=True))]
    return "\n".join(["row,wedge,00,5", f"seconds,,{','.join(seconds)}", *rows]) + "\n"


@pytest.mark.parametrize("command", COMMANDS)
def test_every_command_of_the_readme_works(
    command: str, here: Path, school: dict[str, str], capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("sys.stdin", io.StringIO(""))
    words = shlex.split(command)[1:]
    if words[0] in ("assign", "check", "mark", "submit", "lesson", "drill", "progress"):
        words = [school.get(word, word) for word in words]
    if words[0] in ("lesson", "drill", "progress"):
        words += ["--keep", str(here / "kept")]
    if "RECORD" in words or "FILE" in words or "my-print.json" in words:
        made = ["print", "--negative", "morning-shelf", "--save-record", "my-print.json"]
        assert main(made) == 0
        target = str(TARGET_FILES[0])
        words = [{"RECORD": "my-print.json", "FILE": target}.get(word, word) for word in words]
    words = [str(ROOT / word) if word.startswith("lessons/") else word for word in words]
    monkeypatch.setenv("XDG_DATA_HOME", str(here / "home"))
    _laid_ready(words, here)
    code = main(words)
    findings = words[0] in ("reach", "check", "mark") and code == 1  # done, and something found
    assert code == 0 or findings, capsys.readouterr().err


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
        assert response.base_plus_fog + 0.5 * NET_IDMIN <= target.density <= response.black


def test_the_page_of_negatives_shows_every_sleeve() -> None:
    page = (ROOT / "lessons" / "negatives.md").read_text(encoding="utf-8")
    missing = [name for name in sleeve_names() if f"`{name}`" not in page]
    assert missing == []
