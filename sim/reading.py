"""Bounded, strict reading of outside files, and one family of errors.

Every reader goes the same way: regular file and size cap, strict UTF-8, refusal of shapes that keep a parser
busy, parsing with duplicate-key and non-finite checks, then a strict form with ALL its errors at once.
The errors are defined in ``sim.refusals`` and imported from here.
"""

from __future__ import annotations

import difflib
import json
import math
import os
import re
import stat
import tomllib
from collections.abc import Iterable, Mapping
from dataclasses import fields, is_dataclass
from functools import lru_cache
from pathlib import Path
from typing import Annotated, Any, TypeVar, cast, get_args, get_type_hints

from pydantic import BaseModel, ConfigDict, Field, TypeAdapter, ValidationError, with_config

from sim.refusals import FileRefused as FileRefused
from sim.refusals import OutsideError as OutsideError
from sim.refusals import Problem as Problem
from sim.refusals import Refused, rule_in_words
from sim.refusals import SyntaxRefused as SyntaxRefused
from sim.refusals import ValueRefused as ValueRefused
from sim.refusals import shown as shown

KILOBYTE = 1024
MAX_TOML_BYTES = 256 * KILOBYTE
MAX_RECORD_BYTES = 8 * KILOBYTE * KILOBYTE
MAX_LOG_LINES = 20_000
MAX_LINE_CHARACTERS = 2_000
MAX_KEY_DOTS = 8
MAX_DEPTH = 16
MAX_STRING = 2_000
MAX_KEY_CHARACTERS = 200
MAX_KEYS = 500  # in one table
MAX_ENTRIES = 256  # in one list; a card's path has up to 200 points
MAX_VALUES = 250_000  # in one file: some three hundred hand-moved cards
SHOWN_PROBLEMS = 40

# What pydantic holds whatever comes from outside to; a frozen dataclass inside the program knows nothing of it.
OUTSIDE_RULES = ConfigDict(extra="forbid", strict=True)
Uncertainty = Annotated[float, Field(ge=0.0, le=1e6)]  # one standard deviation, in the unit of its number

# Characters that are no text: they would move the cursor, end a string early, or cannot be written at all.
_UNFIT = re.compile("[\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x9f\ud800-\udfff]")
# More than MAX_KEY_DOTS key parts in a row, quoted or bare, wherever they stand in a line (possessive: never slow).
_LONG_KEY = re.compile(
    rf'''(?<![\w-])(?:(?:[\w-]++|"[^"]*+"|'[^']*+')[ \t]*+\.[ \t]*+){{{MAX_KEY_DOTS + 1}}}'''
)

Parsed = TypeVar("Parsed")


class OutsideTable(BaseModel):
    """A table of a file as people write it: strict, and without a key that is not known."""

    model_config = OUTSIDE_RULES


class OutsideFile(OutsideTable):
    """A whole file as people write it; it says which format it has."""

    format: Annotated[int, Field(ge=1, le=1)]


def data_folder(name: str) -> Path:
    """Return the folder of shipped data, ``lessons`` or ``assets_generated``: in a wheel, else beside the package."""
    package = Path(__file__).resolve().parent
    shipped = package / "_data" / name
    return shipped if shipped.is_dir() else package.parent / name


def read_bytes(path: Path, max_bytes: int) -> bytes:
    """Return a regular file's bytes, never more than ``max_bytes``. Raises FileRefused."""
    try:
        # open first and ask the open file, so that what is checked is what is read; never wait on a pipe
        descriptor = os.open(path, os.O_RDONLY | getattr(os, "O_NONBLOCK", 0) | getattr(os, "O_BINARY", 0))
    except (OSError, ValueError) as error:
        reason = getattr(error, "strerror", None) or str(error)
        raise FileRefused(path, [Problem("", f"cannot be opened ({reason})", "")]) from None
    try:
        status = os.fstat(descriptor)
        if not stat.S_ISREG(status.st_mode):
            kind = "a folder" if stat.S_ISDIR(status.st_mode) else "a pipe or device"
            raise FileRefused(path, [Problem("", "must be a regular file", kind)])
        if status.st_size > max_bytes:
            rule = f"must not be larger than {max_bytes} bytes"
            raise FileRefused(path, [Problem("", rule, f"{status.st_size} bytes")])
        with os.fdopen(descriptor, "rb", closefd=False) as handle:
            data = handle.read(max_bytes + 1) or b""
    except OSError as error:
        raise FileRefused(path, [Problem("", f"cannot be read ({error.strerror or error})", "")]) from None
    finally:
        os.close(descriptor)
    if len(data) > max_bytes:
        raise FileRefused(path, [Problem("", f"must not be larger than {max_bytes} bytes", "more")])
    return data


def read_text(path: Path, max_bytes: int) -> str:
    """Return a file's text: strict UTF-8 without NUL. Raises FileRefused."""
    data = read_bytes(path, max_bytes)
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        raise FileRefused(path, [Problem("", "must be UTF-8 text", f"a bad byte at {error.start}")]) from None
    if "\0" in text:
        raise FileRefused(path, [Problem("", "must not hold a NUL character", "one")])
    return text


def _refuse_slow_toml(path: Path, text: str) -> None:
    """Refuse lines that would keep the TOML parser busy for seconds (long dotted keys, very long lines)."""
    for number, line in enumerate(text.split("\n"), start=1):  # only this ends a line in TOML
        if len(line) > MAX_LINE_CHARACTERS:
            rule = f"line {number} must not be longer than {MAX_LINE_CHARACTERS} characters"
            raise SyntaxRefused(path, [Problem("", rule, f"{len(line)}")])
        if _LONG_KEY.search(line):
            rule = f"line {number}: a key must not have more than {MAX_KEY_DOTS} dots"
            raise SyntaxRefused(path, [Problem("", rule, "more")])
        if line.count("[") > 64 or line.count("{") > 64:
            raise SyntaxRefused(path, [Problem("", f"line {number} must not open more than 64 brackets", "more")])


def _check_shape(path: Path, value: object, key: str = "", depth: int = 0, seen: int = 0) -> int:
    """Refuse nesting, counts, strings and numbers beyond bounds, wherever they stand; return the values seen so far."""
    if depth > MAX_DEPTH:
        raise _too_deep(path, key=key)
    if isinstance(value, dict):
        seen = _counted(path, key, len(value), MAX_KEYS, "keys", seen)
        for name, inner in value.items():
            _check_text(path, key, "a key", name, MAX_KEY_CHARACTERS)
            seen = _check_shape(path, inner, f"{key}.{name}" if key else name, depth + 1, seen)
    elif isinstance(value, list):
        seen = _counted(path, key, len(value), MAX_ENTRIES, "entries", seen)
        for index, inner in enumerate(value):
            seen = _check_shape(path, inner, f"{key}[{index}]", depth + 1, seen)
    elif isinstance(value, str):
        _check_text(path, key, "", value, MAX_STRING)
    elif isinstance(value, float) and not math.isfinite(value):
        raise ValueRefused(path, [Problem(key, "must be a finite number", shown(value))])
    elif isinstance(value, int) and not -(2**63) <= value < 2**63:
        raise ValueRefused(path, [Problem(key, "must fit 64 bits", "a larger number")])
    return seen


def _too_deep(path: Path, where: str = "", key: str = "") -> SyntaxRefused:
    return SyntaxRefused(path, [Problem(key, f"{where}must not be nested deeper than {MAX_DEPTH}", "deeper")])


def _counted(path: Path, key: str, count: int, most: int, what: str, seen: int) -> int:
    """Return how many values have been seen. Counts come before any look inside: what is refused costs nothing."""
    if count > most:
        raise ValueRefused(path, [Problem(key, f"must not hold more than {most} {what}", str(count))])
    if seen + count > MAX_VALUES:
        raise ValueRefused(path, [Problem(key, f"the file must not hold more than {MAX_VALUES} values", "more")])
    return seen + count


def _check_text(path: Path, key: str, what: str, text: str, most: int) -> None:
    """Refuse text that is too long, or holds what is no text."""
    if len(text) > most:
        rule = f"{what} must not be longer than {most} characters".strip()
        raise ValueRefused(path, [Problem(key, rule, f"{len(text)} beginning {shown(text[:20])}")])
    unfit = _UNFIT.search(text)
    if unfit:
        rule = f"{what} must not hold control characters or lone surrogates".strip()
        raise ValueRefused(path, [Problem(key, rule, f"{unfit.group()!a} in {shown(text)}")])


def parse_toml(path: Path, text: str) -> dict[str, Any]:
    """Return a TOML text as a dict. Raises SyntaxRefused or ValueRefused."""
    _refuse_slow_toml(path, text)
    try:
        data = tomllib.loads(text)
    except RecursionError:
        raise _too_deep(path) from None
    except (tomllib.TOMLDecodeError, ValueError) as error:
        raise SyntaxRefused(path, [Problem("", f"is not valid TOML ({str(error)[:200]})", "")]) from None
    _check_shape(path, data)
    return data


def parse_json(path: Path, text: str, line: int | None = None) -> Any:
    """Return a JSON text as Python values; duplicate keys and non-finite numbers are refused."""
    where = f"line {line}: " if line else ""

    def no_duplicates(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
        if len(pairs) > MAX_KEYS:
            rule = f"{where}must not hold more than {MAX_KEYS} keys in a table"
            raise ValueRefused(path, [Problem("", rule, f"{len(pairs)} from {shown(pairs[0][0][:20])} on")])
        seen: dict[str, Any] = {}
        for name, value in pairs:
            if name in seen:
                raise SyntaxRefused(path, [Problem(name[:80], f"{where}key must stand only once", "twice")])
            seen[name] = value
        return seen

    def no_constants(name: str) -> float:
        raise SyntaxRefused(path, [Problem("", f"{where}numbers must be finite", name)])

    try:
        data = json.loads(text, object_pairs_hook=no_duplicates, parse_constant=no_constants)
    except RecursionError:
        raise _too_deep(path, where) from None
    except (json.JSONDecodeError, ValueError) as error:
        raise SyntaxRefused(path, [Problem("", f"{where}is not valid JSON ({str(error)[:200]})", "")]) from None
    _check_shape(path, data)
    return data


def _key_of(location: tuple[int | str, ...]) -> str:
    key = ""
    for part in location:
        key += f"[{part}]" if isinstance(part, int) else (f".{part}" if key else str(part))
    return key


def _known_keys(form: Any, depth: int = 10) -> list[str]:
    """Return the keys of a model or dataclass and of the tables within it, to guess what an unknown key was to be."""
    names: list[str] = []
    if hasattr(form, "model_fields"):
        fields = {field.alias or name: field.annotation for name, field in form.model_fields.items()}
    elif is_dataclass(form) and isinstance(form, type):
        hints = get_type_hints(form, include_extras=True)
        fields = {written_as(name, hint): hint for name, hint in hints.items()}
    else:
        return [name for inner in get_args(form) for name in _known_keys(inner, depth - 1)] if depth else []
    for name, inside in fields.items():
        names += [name, *(_known_keys(inside, depth - 1) if depth else ())]
    return names


def written_as(name: str, hint: Any) -> str:
    """Return the key that a dataclass's field has in a file."""
    others = (getattr(extra, "validation_alias", None) for extra in getattr(hint, "__metadata__", ()))
    return next((str(other) for other in others if other), name)


def problems_of(error: ValidationError, known: Iterable[str] = ()) -> list[Problem]:
    """Return every problem in a pydantic error, with a suggestion for an unknown key."""
    problems = []
    # with very many errors the values received are left out: collecting them would take seconds
    items = error.errors(include_url=False, include_input=error.error_count() <= 20 * SHOWN_PROBLEMS)
    for item in items[:SHOWN_PROBLEMS]:
        key = _key_of(item["loc"])
        message = rule_in_words(item["type"], item["msg"], item.get("ctx", {}))
        received = shown(item["input"]) if "input" in item else ""
        if item["type"] in ("extra_forbidden", "unexpected_keyword_argument"):
            others = [name for name in known if name != item["loc"][-1]]
            close = difflib.get_close_matches(str(item["loc"][-1]), others, n=1)
            message = "is not a known key" + (f" (did you mean {close[0]!r}?)" if close else "")
        elif item["type"] == "missing" and isinstance(item["loc"][-1], int):  # a pair, or three numbers, of too few
            key, message = _key_of(item["loc"][:-1]), f"at least {item['loc'][-1] + 1} items are required"
        elif item["type"] in ("missing", "missing_argument"):
            message, received = "is required and missing", ""
        elif ", got " in message:  # our own checks already state the value
            received = ""
        problems.append(Problem(key, message, received))
    if len(items) > SHOWN_PROBLEMS:
        problems.append(Problem("", f"and {len(items) - SHOWN_PROBLEMS} problems more", ""))
    return problems


@lru_cache(maxsize=64)
def adapter_of(form: Any) -> TypeAdapter[Any]:
    """Return what reads and writes a form as JSON; a frozen dataclass and all within it obey ``OUTSIDE_RULES``."""
    held: Any = with_config(OUTSIDE_RULES)(cast(Any, form)) if is_dataclass(form) else form
    return TypeAdapter(held)


def validate(path: Path, data: Any, form: type[Parsed], given: Iterable[str] = ()) -> Parsed:
    """Return parsed data as a form: a frozen dataclass or a model (strict, JSON mode).

    Raises ValueRefused with ALL problems. ``given`` are fields that the file itself may not hold.
    """
    try:
        found: Parsed = adapter_of(cast(Any, form)).validate_json(json.dumps(data, default=_no_json), strict=True)
        return found
    except ValidationError as error:
        known = [name for name in _known_keys(form) if name not in given]
        raise ValueRefused(path, problems_of(error, known)) from None
    except RecursionError:
        raise _too_deep(path) from None


def _no_json(value: object) -> dict[str, str]:
    """Return a date of a TOML file as something that no text and no number can be."""
    return {"date": str(value)}


def parse_as(path: Path, data: dict[str, Any], form: type[Parsed], **given: Any) -> Parsed:
    """Return a parsed file as a form. Raises ValueRefused with ALL problems.

    ``given`` are fields that the file itself may not hold, such as the name it is found under.
    """
    foreign = [Problem(key, "is not a known key", shown(data[key])) for key in given if key in data]
    if foreign:
        raise ValueRefused(path, foreign)
    return validate(path, {**data, **given}, form, given)


def tables_in(path: Path) -> dict[str, Any]:
    """Return what a TOML file holds. Raises OutsideError."""
    return parse_toml(path, read_text(path, MAX_TOML_BYTES))


def read_toml(path: Path, form: type[Parsed], **given: Any) -> Parsed:
    """Return a TOML file as a form; see ``parse_as``. Raises OutsideError."""
    return parse_as(path, tables_in(path), form, **given)


def refuse_unsourced(numbers: Iterable[str], sources: Mapping[str, str], uncertainty: Mapping[str, float]) -> None:
    """Raise Refused for numbers of a data file without a source, and for uncertainties that belong to no number of it."""
    known = set(numbers)
    missing = sorted(key for key in known if not sources.get(key, "").strip())
    if missing:
        raise Refused(f"sources must name a source or 'assumption' for {', '.join(missing)}, got none")
    extra = sorted(set(uncertainty) - known)
    if extra:
        raise Refused(f"uncertainty must name only numbers that stand in the file, got {', '.join(extra)}")


def refuse_unsourced_fields(one: Any) -> None:
    """Raise Refused where a number that a dataclass holds has no source beside it; names and titles need none."""
    values = {part.name: getattr(one, part.name) for part in fields(one)}
    given = {name for name, value in values.items() if value is not None and not (isinstance(value, tuple) and not value)}
    refuse_unsourced(given - {"name", "title", "sources", "uncertainty"}, one.sources, one.uncertainty)


def of_format(path: Path, data: dict[str, Any], needed: bool = True) -> dict[str, Any]:
    """Return a parsed file without its ``format``, which must be the one there is. Raises ValueRefused."""
    if "format" not in data and needed:
        raise ValueRefused(path, [Problem("format", "is required and missing", "")])
    if data.get("format", 1) != 1 or isinstance(data.get("format"), bool):
        raise ValueRefused(path, [Problem("format", "must be 1, the only one so far", shown(data["format"]))])
    return {key: value for key, value in data.items() if key != "format"}


def read_toml_of_format(path: Path, form: type[Parsed], needed: bool = True, **given: Any) -> Parsed:
    """Return a TOML file that states its format (where ``needed``, it must) as a form; see ``parse_as``."""
    return parse_as(path, of_format(path, tables_in(path), needed), form, **given)
