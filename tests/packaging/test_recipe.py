"""The folder that needs no Python is made from the same files as the wheel, and everybody's licence travels along."""

from __future__ import annotations

import importlib.util
import os
import re
import struct
import sys
import tomllib
from pathlib import Path
from types import ModuleType

import pytest

ROOT = Path(__file__).resolve().parents[2]
FREEZE = ROOT / ".freeze"


@pytest.fixture(scope="module")
def recipe() -> ModuleType:
    """The recipe, which lies outside the package: nothing of it is installed."""
    spec = importlib.util.spec_from_file_location("recipe", FREEZE / "recipe.py")
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


def in_the_wheel() -> set[str]:
    """Return where everything that is no module lies in a wheel: the rule of test_wheel.py, over the same folders."""
    beside = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["tool"]["hatch"]["build"]["targets"]["wheel"]
    places = {ROOT / name: place for name, place in beside["force-include"].items()} | {ROOT / "sim": "sim"}
    return {
        f"{place}/{file.relative_to(folder).as_posix()}"
        for folder, place in places.items() for file in folder.rglob("*")
        if file.is_file() and file.suffix not in (".py", ".pyc")
    }  # fmt: skip


def test_all_data_lies_where_the_wheel_has_it(recipe: ModuleType) -> None:
    listed = [f"{folder}/{Path(file).name}" for file, folder in recipe.data_files(ROOT)]
    assert len(listed) == len(set(listed))
    for_readers = {place for place in in_the_wheel() if place.startswith(recipe.FOR_READERS + "/")}
    assert for_readers
    assert set(listed) == in_the_wheel() - for_readers
    opened = [file.name for file in (ROOT / "sim").rglob("*.py") if '"figures"' in file.read_text("utf-8")]
    assert [name for name in opened if not (ROOT / "sim" / "workshop" / name).exists()] == []
    kinds = ("lessons/", "assets_generated/scenes/", "fonts/", "locale/", "templates/", "stocks/", "sleeves/")
    assert [kind for kind in kinds if not any(kind in place for place in listed)] == []


def test_every_module_is_named_for_nothing_can_follow_a_verb_that_is_opened_late(recipe: ModuleType) -> None:
    from sim.command.main import VERBS

    names = set(recipe.modules(ROOT))
    assert {f"sim.command.{verb}_verb" for verb in VERBS} <= names
    assert {"sim", "sim.command.double_click", "sim.window.could_not_open", "sim.shelf"} <= names
    assert len(names) == len(list((ROOT / "sim").rglob("*.py")))


def test_nothing_that_is_needed_is_left_out(recipe: ModuleType) -> None:
    needed = {re.split(r"[\[<>=;]", one)[0].strip() for one in _project()["dependencies"]}
    imported = {"pygame-ce": "pygame", "pillow": "PIL"}
    assert not {imported.get(name, name) for name in needed} & set(recipe.LEFT_OUT)
    mine = {name for file in (ROOT / "sim").rglob("*.py") for name in _imported(file.read_text(encoding="utf-8"))}
    extra = {"bpy", "skimage", "dask", "distributed", "weasyprint", "pypdfium2"}
    assert mine & set(recipe.LEFT_OUT) <= extra, "only what an extra brings may be left out"


def _project() -> dict[str, list[str]]:
    return dict(tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"])


def _imported(text: str) -> set[str]:
    found = re.findall(r"^\s*(?:from|import)\s+([\w.]+)", text, re.MULTILINE)
    return {".".join(name.split(".")[:n]) for name in found for n in (1, 2)}


WANTED = {
    "babel/locale-data/en.dat": True, "babel/locale-data/root.dat": True, "babel/locale-data/fr_CA.dat": False,
    "babel/global.dat": True, "matplotlib/mpl-data/fonts/ttf/DejaVuSans.ttf": True,
    "matplotlib/mpl-data/sample_data/goog.npz": False, "matplotlib/mpl-data/fonts/afm/cmr10.afm": False,
    "sim/_data/lessons/tests/a.toml": True, "numpy/core/tests/data.txt": False, "numpy\\core\\tests\\data.txt": False,
}  # fmt: skip


@pytest.mark.parametrize("place", WANTED)
def test_what_libraries_bring_along_is_taken_where_something_opens_it(place: str, recipe: ModuleType) -> None:
    assert recipe.is_wanted(place, ROOT) is WANTED[place]


def test_plurals_come_along_for_every_language_there_are_words_for(recipe: ModuleType, tmp_path: Path) -> None:
    for language in ("de", "pt-BR"):
        (tmp_path / "sim/locale" / language).mkdir(parents=True)
        (tmp_path / "sim/locale" / language / "tonewright.po").write_text("", encoding="utf-8")
    languages = ("de", "pt", "pt_BR", "de_AT", "nl")
    spoken = {name: recipe.is_wanted(f"babel/locale-data/{name}.dat", tmp_path) for name in languages}
    assert spoken == {"de": True, "pt": True, "pt_BR": True, "de_AT": False, "nl": False}


def test_licences_of_python_and_of_all_that_is_collected_are_found(recipe: ModuleType) -> None:
    found = recipe.licences(["numpy", "pygame", "jinja2", "no-such-module"], [])
    places = {place for _, place in found}
    assert all(file.is_file() for file, _ in found)
    owners = {place.partition("/")[0].rpartition("-")[0].lower() for place in places if "-" in place.partition("/")[0]}
    assert {"numpy", "jinja2"} <= owners
    assert {name for name in owners if name.startswith("pygame")}
    assert any("licen" in place.lower() for place in places if place.startswith("numpy"))


def test_what_lies_beside_the_programs_says_how_to_open_them(recipe: ModuleType, tmp_path: Path) -> None:
    (tmp_path / "a").write_text("free", encoding="utf-8")
    recipe.lay_beside(tmp_path / "made", ROOT, [(tmp_path / "a", "a-1.0/LICENSE")])
    there = {file.relative_to(tmp_path / "made").as_posix() for file in (tmp_path / "made").rglob("*") if file.is_file()}
    assert there == {
        "READ ME.txt", "licences/a-1.0/LICENSE", "licences/tonewright/LICENSE.txt", "licences/fonts/LICENSE-DejaVu.txt",
    }  # fmt: skip
    assert "tonewright-window by a double click" in (tmp_path / "made/READ ME.txt").read_text(encoding="utf-8")


def test_a_library_that_lies_there_twice_is_kept_once(recipe: ModuleType, tmp_path: Path) -> None:
    for place, data in (("a/lib.so.1", b"same"), ("b/lib.so.1", b"same"), ("b/other.so", b"other")):
        (tmp_path / place).parent.mkdir(exist_ok=True)
        (tmp_path / place).write_bytes(data)
    recipe.link_the_same(tmp_path)
    if sys.platform.startswith("linux"):
        assert os.readlink(tmp_path / "b/lib.so.1") == "../a/lib.so.1"
    assert (tmp_path / "b/lib.so.1").read_bytes() == b"same"
    assert (tmp_path / "b/other.so").read_bytes() == b"other"


def elf(*parts: tuple[int, int, int, int]) -> bytes:
    """Return the head of a 64-bit library whose parts have (kind, offset, address, alignment)."""
    table = b"".join(struct.pack("<IIQQQQQQ", kind, 0, at, address, address, 1, 1, pages) for kind, at, address, pages in parts)
    head = b"\x7fELF\x02".ljust(32, b"\0") + struct.pack("<Q", 64) + bytes(14)
    return head + struct.pack("<HH", 56, len(parts)) + bytes(6) + table


def test_a_library_whose_parts_no_longer_lie_at_their_pages_is_told(recipe: ModuleType) -> None:
    assert recipe.loads(elf((1, 0, 0, 4096), (1, 8192, 4096, 4096)))
    assert not recipe.loads(elf((1, 0, 0, 4096), (1, 8193, 4096, 4096)))
    assert recipe.loads(elf((2, 8193, 4096, 4096))), "only what is loaded counts"
    assert not recipe.loads(b"no library at all")
    if sys.platform == "linux":
        assert recipe.loads(next(file for file in Path(sys.prefix).rglob("*.so")).read_bytes())


def test_the_door_by_double_click_holds_nothing_of_its_own() -> None:
    text = (FREEZE / "by_double_click.py").read_text(encoding="utf-8")
    assert _imported(text) == {"os", "subprocess", "sys"}
    asked = set(re.findall(r"TONEWRIGHT_\w+", text))
    assert asked == set(re.findall(r"TONEWRIGHT_\w+", (FREEZE / "command.py").read_text(encoding="utf-8")))


def test_the_freezer_is_an_extra_and_nothing_else_needs_it() -> None:
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    assert any(one.startswith("pyinstaller") for one in project["optional-dependencies"]["freeze"])
    assert not any("pyinstaller" in one for one in project["dependencies"])
