"""The wheel carries everything: papers, sleeves, scenes, grain, fonts, lessons. Built once, installed beside nothing else."""

from __future__ import annotations

import json
import os
import subprocess
import sys
import zipfile
import zlib
from pathlib import Path

import pytest

pytest.importorskip("hatchling", reason="the wheel is built with hatchling")

ROOT = Path(__file__).resolve().parents[2]
GIVEN = os.environ.get("TONEWRIGHT_WHEEL")  # where somebody has built it of these files already


@pytest.fixture(scope="module")
def wheel(tmp_path_factory: pytest.TempPathFactory) -> Path:
    if GIVEN:
        return Path(GIVEN)
    folder = tmp_path_factory.mktemp("wheel")
    words = ["wheel", str(ROOT), "--no-deps", "--no-build-isolation", "--no-index", "--quiet", "-w", str(folder)]
    subprocess.run([sys.executable, "-m", "pip", *words], check=True, capture_output=True, text=True, cwd=folder)
    (built,) = folder.glob("*.whl")
    return built


@pytest.fixture(scope="module")
def installed(wheel: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("installed")
    words = ["install", "--no-deps", "--no-index", "--quiet", "--target", str(folder), str(wheel)]
    subprocess.run([sys.executable, "-m", "pip", *words], check=True, capture_output=True, text=True, cwd=folder)
    return folder


def _run(installed: Path, here: Path, *words: str) -> str:
    """Run Python in another folder, with the installed wheel and nothing of the source tree on its path."""
    environment = {key: value for key, value in os.environ.items() if not key.startswith("PYTHON")}
    done = subprocess.run(
        [sys.executable, "-W", "error", *words], cwd=here, env={**environment, "PYTHONPATH": str(installed)},
        capture_output=True, text=True,
    )  # fmt: skip
    assert done.returncode == 0, done.stderr
    assert done.stderr == ""
    return done.stdout


def test_the_wheel_holds_the_data_and_nothing_stray(wheel: Path) -> None:
    archive = zipfile.ZipFile(wheel)
    names = set(archive.namelist())
    for file in ROOT.joinpath("sim").rglob("*"):
        if file.suffix in (".py", ".toml", ".ttf", ".txt"):
            assert file.relative_to(ROOT).as_posix() in names
    for folder in ("assets_generated", "lessons"):
        for file in (ROOT / folder).rglob("*"):
            if file.is_file():
                inside = f"sim/_data/{file.relative_to(ROOT).as_posix()}"
                assert inside in names
                assert zlib.crc32(file.read_bytes()) == archive.getinfo(inside).CRC, f"{inside} is another one"
    assert not [name for name in names if "__pycache__" in name or name.endswith((".pyc", ".part"))]
    assert all(name.startswith(("sim/", "tonewright-")) for name in names)
    assert sum(info.file_size for info in archive.infolist()) < 80 * 2**20


def test_the_wheel_states_version_and_command(wheel: Path) -> None:
    archive = zipfile.ZipFile(wheel)
    (entry,) = [name for name in archive.namelist() if name.endswith("entry_points.txt")]
    (metadata,) = [name for name in archive.namelist() if name.endswith("METADATA")]
    from sim.version import VERSION

    assert "tonewright = sim.command.main:main" in archive.read(entry).decode()
    assert f"Version: {VERSION}\n" in archive.read(metadata).decode()


def test_the_installed_program_is_not_the_source_tree(installed: Path, tmp_path: Path) -> None:
    code = "import sim, sim.reading as r; print(sim.__file__, r.data_folder('assets_generated'))"
    out = _run(installed, tmp_path, "-c", code)
    assert out.split() == [str(installed / "sim" / "__init__.py"), str(installed / "sim" / "_data" / "assets_generated")]


def test_the_papers_are_found_in_the_wheel(installed: Path, tmp_path: Path) -> None:
    out = _run(installed, tmp_path, "-m", "sim.command.main", "paper", "--json")
    assert {row["name"] for row in json.loads(out)} >= {"glossy-rc-vc", "glossy-fb-vc"}


def test_every_sleeve_and_scene_is_found_in_the_wheel(installed: Path, tmp_path: Path) -> None:
    """Each sleeve is read, and the scene it names lies there; that they hold the same bytes as here, the wheel's list says."""
    code = (
        "from sim.negative.grain import grain_tile\nfrom sim.negative.scene_file import scene_names\n"
        "from sim.negative.sleeve import find_sleeve, sleeve_names\nfrom sim.negative.targets import TARGETS\n"
        "there = {*scene_names(), *TARGETS, ''}\n"
        "print(*[name for name in sleeve_names() if find_sleeve(name).scene in there], grain_tile().shape[0])"
    )
    names = _run(installed, tmp_path, "-c", code).split()
    assert names[-1] == "1024"
    assert set(names[:-1]) == {file.stem for file in (ROOT / "sim" / "negative" / "sleeves").glob("*.toml")}


def test_a_print_made_from_the_wheel_is_the_print_made_here(installed: Path, tmp_path: Path) -> None:
    words = ("-m", "sim.command.main", "print", "--negative", "yard-old-film", "--sheet", "80x100", "--json", "-o")
    from_wheel = _run(installed, tmp_path, *words, "wheel.png")
    from_here = _run(ROOT, tmp_path, *words, "here.png")
    assert json.loads(from_wheel)["readings"] == json.loads(from_here)["readings"]
    assert (tmp_path / "wheel.png").read_bytes() == (tmp_path / "here.png").read_bytes()


def test_fonts_and_their_licence_travel_along(installed: Path) -> None:
    fonts = installed / "sim" / "fonts"
    assert (fonts / "DejaVuSans.ttf").stat().st_size > 100_000
    assert "by Bitstream, Inc." in (fonts / "LICENSE-DejaVu.txt").read_text("utf-8")
