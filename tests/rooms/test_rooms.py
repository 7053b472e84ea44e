"""The house: who may import whom, what a room's door holds, and how long a file may be."""

from __future__ import annotations

import ast
from pathlib import Path

import pytest
from import_rule import DOORS, EXCEPTIONS, ROOMS, SHARED, all_imports, breaches, knots, module_name

import sim

PACKAGE = Path(sim.__file__).parent
FILES = sorted(PACKAGE.rglob("*.py"))
LONGEST_FILE, LONGEST_FUNCTION = 500, 39  # lines


def _name(file: Path) -> str:
    return file.relative_to(PACKAGE).as_posix()


def test_the_rooms_are_there_and_nothing_else_stands_at_the_top() -> None:
    inside = {p.name for p in PACKAGE.iterdir() if p.is_dir() and p.name != "__pycache__" and any(p.rglob("*.py"))}
    assert set(ROOMS) <= inside
    assert inside <= {*ROOMS, *DOORS}
    assert {p.stem for p in PACKAGE.glob("*.py")} == {"__init__", *SHARED}


def test_every_import_follows_the_light() -> None:
    assert breaches(PACKAGE) == []


def test_no_exception_to_the_rule_is_kept_longer_than_needed() -> None:
    used = {(one.module, one.name) for one in all_imports(PACKAGE)}
    assert set(EXCEPTIONS) <= used


def test_no_two_files_import_each_other() -> None:
    assert knots(PACKAGE) == []


def test_the_reader_sees_the_imports_of_a_known_file() -> None:
    seen = {(one.name, one.late) for one in all_imports(PACKAGE) if one.module == "sim.command.print_verb"}
    assert ("sim.command.setting_options", False) in seen
    assert ("sim.printing.make_print", True) in seen
    assert len(all_imports(PACKAGE)) > 300


@pytest.mark.parametrize("file", [f for f in FILES if f.name == "__init__.py"], ids=_name)
def test_a_rooms_init_is_only_its_docstring(file: Path) -> None:
    body = ast.parse(file.read_text(encoding="utf-8")).body
    assert len(body) == 1
    assert ast.get_docstring(ast.Module(body, [])), "a sentence saying what the room is for"


BAD_MODULES = {
    "paper knows no enlarger": ("paper/bad.py", "from sim.enlarger.filters import FilterSetting\n"),
    "late is no excuse": ("paper/bad.py", "def f():\n    from sim.printing.record import Card\n    return Card\n"),
    "negative knows no room": ("negative/bad.py", "import sim.enlarger.filters\n"),
    "enlarger knows no paper": ("enlarger/bad.py", "from sim.paper import stock\n"),
    "against the light": ("printing/bad.py", "from sim.scoring.marks import score\n"),
    "relative imports count": ("viewing/bad.py", "from ..bench import evening\n"),
    "from the package itself": ("viewing/bad.py", "from sim import bench\n"),
    "no door from a room": ("scoring/bad.py", "def f():\n    import sim.window.main_loop\n"),
    "no door from a door": ("marking/bad.py", "def f():\n    from sim.workshop.figures import hang\n"),
    "window asks only the bench": ("window/bad.py", "from sim.printing.make_print import make_print\n"),
    "command opens doors late": ("command/bad.py", "from sim.workshop.recipes import Recipe\n"),
    "pygame only in window": ("viewing/bad.py", "def f():\n    import pygame\n"),
    "scipy late": ("enlarger/bad.py", "from scipy.ndimage import zoom\n"),
    "rich late": ("command/bad.py", "import rich.table\n"),
    "in a class is module level": ("viewing/bad.py", "class A:\n    import PIL.Image\n"),
    "in a try is module level": ("viewing/bad.py", "try:\n    import matplotlib\nexcept ImportError:\n    pass\n"),
    "shared modules use no room": ("reading.py", "from sim.paper.stock import Stock\n"),
    "import_module counts": ("paper/bad.py", 'import importlib\nimportlib.import_module("sim.evening.log")\n'),
    "what cannot be read": ("paper/bad.py", "import importlib\ndef f(x):\n    return importlib.import_module(x)\n"),
    "typing only is an import too": (
        "paper/bad.py", "from typing import TYPE_CHECKING\nif TYPE_CHECKING:\n    from sim.evening.log import Line\n",
    ),
}  # fmt: skip


@pytest.mark.parametrize("case", BAD_MODULES, ids=lambda case: case.replace(" ", "-"))
def test_a_bad_module_is_caught(case: str, tmp_path: Path) -> None:
    where, text = BAD_MODULES[case]
    file = tmp_path / "sim" / where
    file.parent.mkdir(parents=True)
    file.write_text(text, encoding="utf-8")
    found = breaches(tmp_path / "sim")
    assert len(found) == 1
    assert found[0].startswith(module_name(tmp_path / "sim", file) + ":")


def test_good_modules_are_not_caught(tmp_path: Path) -> None:
    good = {
        "command/good.py": "def run():\n    from sim.window.main_loop import go\n    import scipy.fft\n    return go\n",
        "workshop/good.py": "import matplotlib\nfrom sim.evening.log import Line\n",
        "window/good.py": "import pygame\nfrom sim.evening.evening import Evening\nfrom sim.viewing import loupe\n",
        "bench/good.py": "import numpy\nfrom sim.writing import write_text\nfrom sim.negative.film import Film\n",
    }
    for where, text in good.items():
        file = tmp_path / "sim" / where
        file.parent.mkdir(parents=True, exist_ok=True)
        file.write_text(text, encoding="utf-8")
    assert breaches(tmp_path / "sim") == []


BACK = {
    "at the top": "from sim.paper.a import x\n",
    "late": "def f():\n    from sim.paper.a import x\n    return x\n",
    "for types only": "from typing import TYPE_CHECKING\nif TYPE_CHECKING:\n    from sim.paper.a import x\n",
    "by way of the room": "from sim.paper import a\n",
}


@pytest.mark.parametrize("back", BACK, ids=lambda back: back.replace(" ", "-"))
def test_a_knot_is_caught_whichever_way_it_is_tied(back: str, tmp_path: Path) -> None:
    folder = tmp_path / "sim" / "paper"
    folder.mkdir(parents=True)
    for name, target in (("a", "b"), ("b", "c"), ("d", "a")):
        (folder / f"{name}.py").write_text(f"from sim.paper.{target} import x\n", encoding="utf-8")
    (folder / "c.py").write_text("x = 1\n", encoding="utf-8")
    assert knots(tmp_path / "sim") == []
    (folder / "c.py").write_text(BACK[back], encoding="utf-8")
    assert knots(tmp_path / "sim") == [("sim.paper.a", "sim.paper.b", "sim.paper.c")]


def test_no_file_is_longer_than_it_may_be() -> None:
    lengths = {_name(file): len(file.read_text(encoding="utf-8").splitlines()) for file in FILES}
    assert {name: n for name, n in lengths.items() if n > LONGEST_FILE} == {}


def _functions() -> dict[str, int]:
    found = {}
    for file in FILES:
        for node in ast.walk(ast.parse(file.read_text(encoding="utf-8"))):
            if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef):
                found[f"{_name(file)}:{node.name}"] = (node.end_lineno or node.lineno) - node.lineno + 1
    return found


def test_no_function_is_longer_than_it_may_be() -> None:
    assert {name: n for name, n in _functions().items() if n > LONGEST_FUNCTION} == {}
