"""The import rule as data, and the reader that holds every import of the package against it."""

from __future__ import annotations

import ast
from collections.abc import Iterator
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path

ROOMS = (
    "negative", "enlarger", "paper", "printing", "viewing", "calibration", "scoring", "evening", "notebook", "bench",
    "teaching",
)  # fmt: skip
DOORS = ("window", "marking", "workshop", "command")
# refusals: the errors of reading; picture_*: pictures, their headers and tags before any decoder; apart to keep files short
# radiation, lost_detail: laws of lamps and of light in lens and emulsion that film, enlarger and paper share
# shelf: the one place where a name becomes a path, asked by every room that reads a file by its name
SHARED = frozenset(
    {"quantities", "control_ranges",
     "reading", "refusals", "picture_header", "picture_tags", "picture_reading", "bounded_store", "bands", "plain_text",
     "page_templates", "radiation", "lost_detail",
     "writing", "locking", "version", "words", "words_said", "words_template", "words_collected", "words_data",
     "words_page", "shelf"}
)  # fmt: skip

MAY_IMPORT: dict[str, frozenset[str]] = {
    **{room: frozenset(ROOMS[:index]) for index, room in enumerate(ROOMS)},
    **{door: frozenset(ROOMS) for door in DOORS},
    "negative": frozenset(),
    "enlarger": frozenset({"negative"}),
    "paper": frozenset(),  # what a sheet does with exposure: it knows no enlarger
    # it asks the bench and draws the answer
    "window": frozenset({"viewing", "calibration", "scoring", "evening", "notebook", "bench", "teaching"}),
    "marking": frozenset(ROOMS) - {"bench", "teaching"},  # a marker has no hands
}

# Each exception with its reason; an entry that is no longer needed fails a test below.
EXCEPTIONS: dict[tuple[str, str], str] = {}

LATE_ONLY = frozenset({"scipy", "matplotlib", "rich", "PIL", "pyvips"})  # half a second of start-up time each verb would pay


@dataclass(frozen=True)
class Imported:
    """One import: by which module, of which name, on which line, inside a function or only for type checking."""

    module: str
    name: str
    line: int
    late: bool
    typing_only: bool = False

    @property
    def room(self) -> str:
        return part(self.module)

    @property
    def target(self) -> str:
        return part(self.name)


def part(name: str) -> str:
    """Return the room (or shared module) of a full module name in the package: sim.paper.stock -> paper."""
    pieces = name.split(".")
    return pieces[1] if len(pieces) > 1 else ""


def module_name(package: Path, file: Path) -> str:
    pieces = [package.name, *file.relative_to(package).with_suffix("").parts]
    return ".".join(pieces[:-1] if pieces[-1] == "__init__" else pieces)


def _is_typing_only(node: ast.AST) -> bool:
    return isinstance(node, ast.If) and "TYPE_CHECKING" in ast.dump(node.test)


def _is_main_guard(node: ast.AST) -> bool:
    return isinstance(node, ast.If) and "__main__" in ast.dump(node.test)


def _walk(node: ast.AST, late: bool, typing_only: bool) -> Iterator[tuple[ast.AST, bool, bool]]:
    for child in ast.iter_child_nodes(node):
        yield child, late, typing_only
        function = isinstance(child, ast.FunctionDef | ast.AsyncFunctionDef | ast.Lambda)
        inside = late or function or _is_main_guard(child)
        yield from _walk(child, inside, typing_only or _is_typing_only(child))


def imports_of(package: Path, file: Path) -> tuple[Imported, ...]:
    """Return every import of a file, late ones inside functions too, relative ones and importlib calls included."""
    return _imports_in(package, file, file.read_text(encoding="utf-8"))


@lru_cache(maxsize=1024)  # every rule asks for all files again
def _imports_in(package: Path, file: Path, text: str) -> tuple[Imported, ...]:
    module = module_name(package, file)
    found = []
    for node, late, typing_only in _walk(ast.parse(text), False, False):
        names: list[str] = []
        if isinstance(node, ast.Import):
            names = [alias.name for alias in node.names]
        elif isinstance(node, ast.ImportFrom):
            names = [_absolute(module, file, node)]
            if (package.parent / Path(*names[0].split("."))).is_dir():  # from a room: each of its files that is named
                names = [f"{names[0]}.{alias.name}" for alias in node.names]
        elif isinstance(node, ast.Call) and _is_import(node.func):
            names = [_text_of(node.args[0])]
        found += [Imported(module, name, node.lineno, late, typing_only) for name in names]
    return tuple(found)


def _is_import(called: ast.expr) -> bool:
    return getattr(called, "attr", getattr(called, "id", "")) in ("import_module", "__import__") and (
        ast.unparse(called) in ("importlib.import_module", "__import__")
    )


def _absolute(module: str, file: Path, node: ast.ImportFrom) -> str:
    if not node.level:
        return node.module or ""
    parents = module.split(".") if file.name == "__init__.py" else module.split(".")[:-1]
    base = parents[: len(parents) - node.level + 1]
    return ".".join([*base, *(node.module or "").split(".")]).rstrip(".")


def _text_of(argument: ast.expr) -> str:
    """Return the text of an import_module argument, as far as it stands in the source."""
    if isinstance(argument, ast.Constant):
        return str(argument.value)
    if isinstance(argument, ast.JoinedStr):
        return "".join(str(v.value) if isinstance(v, ast.Constant) else "*" for v in argument.values)
    return "<unknown>"


def all_imports(package: Path) -> list[Imported]:
    return [one for file in sorted(package.rglob("*.py")) for one in imports_of(package, file)]


def breach(one: Imported, package: str = "sim") -> str | None:
    """Return what is wrong with an import, or None."""
    where = f"{one.module}:{one.line} imports {one.name}"
    top = one.name.split(".")[0]
    if one.name == "<unknown>":
        return f"{where}: what is imported must stand in the source"
    if top == "pygame" and one.room != "window":
        return f"{where}: only window may"
    if top in LATE_ONLY and not one.late and not one.typing_only and one.room != "workshop":
        return f"{where} at module level: inside the function that needs it"
    if top != package or one.target in SHARED or one.target == one.room:
        return None
    if one.room in SHARED or not one.room:
        return f"{where}: what every room uses may use no room"
    if one.room == "command" and one.target in DOORS:
        return None if one.late else f"{where}: the command opens doors late, inside the verb"
    if one.target in MAY_IMPORT.get(one.room, frozenset()) or (one.module, one.name) in EXCEPTIONS:
        return None
    return f"{where}: {one.room} may not use {one.target}"


def breaches(package: Path) -> list[str]:
    return [text for one in all_imports(package) if (text := breach(one, package.name))]


def knots(package: Path) -> list[tuple[str, ...]]:
    """Return the knots of files that import one another, directly or by way of others.

    Late and type-only imports count: whoever reads one file of a knot has to read them all.
    """
    modules = {module_name(package, file) for file in package.rglob("*.py")}
    reach: dict[str, set[str]] = {module: set() for module in modules}
    for one in all_imports(package):
        if one.name in modules and one.name != one.module:
            reach[one.module].add(one.name)
    graph = {module: frozenset(names) for module, names in reach.items()}
    for module in modules:
        waiting = list(graph[module])
        while waiting:
            new = graph[waiting.pop()] - reach[module]
            reach[module] |= new
            waiting += new
    found = {tuple(sorted({m for m in reach[module] if module in reach[m]})) for module in modules if module in reach[module]}
    return sorted(found)
