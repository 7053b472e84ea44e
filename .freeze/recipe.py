"""What goes into the folder that needs no Python: modules, data by the wheel's rule, and everybody's licence.

``tonewright.spec`` asks this file; ``tests/packaging/test_recipe.py`` holds it against the wheel.
"""

from __future__ import annotations

import hashlib
import os
import re
import shutil
import struct
import subprocess
import sys
import sysconfig
from collections.abc import Iterable
from importlib import metadata
from pathlib import Path

FOLDER = "Tonewright"
COMMAND, BY_DOUBLE_CLICK = "tonewright", "tonewright-window"
SHIPPED = ("lessons", "assets_generated")  # beside the package in the source, in sim/_data in a wheel
FOR_READERS = "sim/_data/assets_generated/figures"  # pictures of the README and of lessons' pages, which no program opens


def _names(text: str) -> tuple[str, ...]:
    return tuple(text.split())


# What others bring along and nothing here opens: what only tests, marking on several machines, and making photographs need;
# parts of libraries that are never asked; ciphers of sockets (none is opened but to a marker's scheduler); a terminal's keys.
LEFT_OUT = _names(
    """bpy skimage imageio tifffile networkx dask distributed tornado msgpack yaml fsspec psutil colour prysm pytest
    _pytest hypothesis coverage xdist playwright weasyprint pypdfium2 mypy mypyc hatchling build setuptools
    pkg_resources pip wheel distutils lib2to3 IPython jedi tkinter _tkinter PyQt5 PyQt6 PySide2 PySide6 wx gi OpenGL
    pandas sympy cython numba pydoc_data ensurepip idlelib turtledemo test sqlite3 _sqlite3 ssl _ssl _hashlib
    readline curses _curses pygments matplotlib.tests matplotlib.testing scipy.io scipy.signal scipy.cluster
    scipy.datasets scipy.odr scipy.stats scipy.integrate scipy.sparse.csgraph scipy.special.cython_special PIL._avif
    PIL.AvifImagePlugin PIL._webp PIL.WebPImagePlugin PIL._imagingtk pygame.examples pygame.tests pygame.docs"""
)

_NOTICE = re.compile(r"(licen[cs]e|copying|notice|authors|copyright|lgpl)", re.IGNORECASE)
_NOT_ASKED = re.compile(
    r"(^|/)(tests?|sample_data|examples)/|mpl-data/(plot_directive|images|fonts/(afm|pdfcorefonts))/"
    r"|/DejaVu(Serif|SansMono-.*Oblique)"
)

READ_ME = f"""Tonewright: a darkroom to rehearse in.

Open {BY_DOUBLE_CLICK} by a double click; nothing has to be installed. Keep this folder together.
At a command line, {COMMAND} --help lists what can be done without the window.
Evenings are kept in your own data folder, not here, so this folder can be replaced by a newer one.
Tonewright's licence and those of everything that travels with it lie in the folder licences.
"""


def data_files(root: Path) -> list[tuple[str, str]]:
    """Return (file, folder inside) of what is no module: all that the wheel holds, at its places, but figures for readers."""
    inside = [
        (file, file.relative_to(root).parent)
        for file in sorted((root / "sim").rglob("*")) if file.suffix not in (".py", ".pyc")
    ]
    beside = [
        (file, Path("sim/_data") / file.relative_to(root).parent)
        for name in SHIPPED for file in sorted((root / name).rglob("*"))
    ]
    all_of_it = ((str(file), folder.as_posix()) for file, folder in (*inside, *beside) if file.is_file())
    return [(file, folder) for file, folder in all_of_it if folder != FOR_READERS]


def modules(root: Path) -> list[str]:
    """Return every module of the program: verbs and photographs are opened by name, where nothing can follow them."""
    files = sorted((root / "sim").rglob("*.py"))
    names = (file.relative_to(root).with_suffix("").as_posix().replace("/", ".") for file in files)
    return [name.removesuffix(".__init__") for name in names]


def is_wanted(inside: str, root: Path) -> bool:
    """Tell whether a file that a library brings along is needed, by its place in the folder.

    Plurals and decimal signs are needed of the languages that there are words for, and of no other.
    """
    place = inside.replace("\\", "/")
    if place.startswith("babel/locale-data/"):
        spoken = {file.parent.name.replace("-", "_") for file in (root / "sim/locale").glob("*/*.po")} | {"root", "en"}
        wanted = {"_".join(name.split("_")[:n]) for name in spoken for n in (1, 2, 3)}
        return place.rpartition("/")[2].removesuffix(".dat") in wanted
    return place.startswith("sim/") or not _NOT_ASKED.search(place)


def strip_symbols(folder: Path) -> None:
    """Take the names for debuggers out of libraries, where there is a tool for it; one that would not load stays as it is."""
    if not sys.platform.startswith("linux") or shutil.which("strip") is None:
        return
    for file in sorted(folder.rglob("*.so*")):
        if file.is_symlink() or not file.is_file():
            continue
        stripped = file.with_name(f"{file.name}.stripped")
        done = subprocess.run(["strip", "--strip-unneeded", "-o", str(stripped), str(file)], capture_output=True, check=False)
        if done.returncode == 0 and loads(stripped.read_bytes()) and stripped.stat().st_size < file.stat().st_size:
            shutil.copymode(file, stripped)
            stripped.replace(file)
        stripped.unlink(missing_ok=True)


def link_the_same(folder: Path) -> None:
    """Make a library that lies there twice a link to the first, where a system's folders of libraries are full of links."""
    if not sys.platform.startswith("linux"):
        return
    first: dict[bytes, Path] = {}
    for file in sorted(folder.rglob("*.so*")):
        if file.is_symlink() or not file.is_file():
            continue
        there = first.setdefault(hashlib.sha256(file.read_bytes()).digest(), file)
        if there is not file:
            file.unlink()
            file.symlink_to(os.path.relpath(there, file.parent))


def loads(library: bytes) -> bool:
    """Tell whether every part of a 64-bit ELF library that is to be loaded lies where its pages do."""
    if library[:5] != b"\x7fELF\x02":
        return False
    begin, size, count = *struct.unpack_from("<Q", library, 32), *struct.unpack_from("<HH", library, 54)
    parts = [struct.unpack_from("<IIQQQQQQ", library, begin + n * size) for n in range(count)]
    return all((part[2] - part[3]) % max(1, part[7]) == 0 for part in parts if part[0] == 1)


def licences(collected: Iterable[str], libraries: Iterable[str]) -> list[tuple[Path, str]]:
    """Return (file, place in the folder of licences) for Python, every distribution collected, and the system's libraries."""
    found: list[tuple[Path, str]] = []
    of_python = Path(sysconfig.get_path("stdlib")) / "LICENSE.txt"
    for file in (of_python, Path(sysconfig.get_config_var("installed_base")) / "LICENSE.txt"):
        found += [(file, "python/LICENSE.txt")] if file.is_file() else []
    owners = metadata.packages_distributions()
    for name in sorted({owner for top in collected for owner in owners.get(top, ())} - {"tonewright"}):
        one = metadata.distribution(name)
        for file in one.files or ():
            where = Path(str(one.locate_file(file)))
            if _NOTICE.search(file.name) and file.suffix not in (".py", ".pyc", ".so") and where.is_file():
                ending = "-".join(part for part in file.parts[-2:] if "dist-info" not in part)
                found.append((where, f"{name}-{one.version}/{ending}"))
        found.append((Path(str(one.locate_file(""))) / _metadata_of(one), f"{name}-{one.version}/METADATA.txt"))
    return [(file, place) for file, place in (*found, *_of_the_system(libraries)) if file.is_file()]


def _metadata_of(one: metadata.Distribution) -> Path:
    return next((Path(str(file)) for file in one.files or () if file.name in ("METADATA", "PKG-INFO")), Path("none"))


def _of_the_system(libraries: Iterable[str]) -> list[tuple[Path, str]]:
    """Return the licences of libraries that came from packages of the system, where the system can be asked."""
    real = {str(Path(one).resolve()) for one in libraries}
    asked = sorted(one for one in real if one.startswith(("/usr/lib", "/lib")))
    if not asked or shutil.which("dpkg-query") is None:
        return []
    both = [*asked, *(one.removeprefix("/usr") for one in asked)]
    told = subprocess.run(["dpkg-query", "-S", *both], capture_output=True, text=True, check=False).stdout
    names = sorted({line.split(":")[0] for line in told.splitlines() if ": " in line})
    return [(Path("/usr/share/doc") / name / "copyright", f"system/{name}.txt") for name in names]


def lay_beside(folder: Path, root: Path, notices: Iterable[tuple[Path, str]]) -> None:
    """Lay licences, and a few words for whoever opens the folder, beside the programs."""
    ours = ((root / "LICENSE", "tonewright/LICENSE.txt"), (root / "sim/fonts/LICENSE-DejaVu.txt", "fonts/LICENSE-DejaVu.txt"))
    for file, place in (*notices, *ours):
        (folder / "licences" / place).parent.mkdir(parents=True, exist_ok=True)
        shutil.copyfile(file, folder / "licences" / place)
    (folder / "READ ME.txt").write_text(READ_ME, encoding="utf-8")
