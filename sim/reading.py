"""Bounded, strict reading of outside files, and one family of errors.

Every reader goes the same way: regular file and size cap, strict UTF-8, refusal of shapes that keep a parser
busy, parsing with duplicate-key and non-finite checks, then a strict pydantic model with ALL its errors at once.

Error tree::

    OutsideError            file, key, rule, received: what every message states
      FileRefused           not there, not a regular file, too large, not UTF-8, not an image
      SyntaxRefused         cannot be parsed
      ValueRefused          parsed, but a key breaks a rule (``problems`` lists all of them)
"""

from __future__ import annotations

import difflib
import json
import math
import os
import stat
import tomllib
from collections.abc import Iterable
from dataclasses import dataclass
from pathlib import Path
from typing import Any, TypeVar

from pydantic import BaseModel, ConfigDict, TypeAdapter, ValidationError

KILOBYTE = 1024
MAX_TOML_BYTES = 256 * KILOBYTE
MAX_RECORD_BYTES = 8 * KILOBYTE * KILOBYTE
MAX_LOG_LINES = 20_000
MAX_LINE_CHARACTERS = 2_000
MAX_KEY_DOTS = 8
MAX_DEPTH = 16
MAX_STRING = 2_000
MAX_IMAGE_SIDE_PX = 16_384
MAX_IMAGE_PX = 40_000_000
MAX_IMAGE_BYTES = 200 * KILOBYTE * KILOBYTE
SHOWN_CHARACTERS = 120

# What pydantic holds a frozen dataclass to when it comes from outside; inside the program it changes nothing.
OUTSIDE_RULES = ConfigDict(extra="forbid", strict=True)

Model = TypeVar("Model", bound=BaseModel)
Parsed = TypeVar("Parsed")


@dataclass(frozen=True)
class Problem:
    """One broken rule: which key, what the rule is, what was received."""

    key: str
    rule: str
    received: str

    def __str__(self) -> str:
        where = f"{self.key}: " if self.key else ""
        got = f", got {self.received}" if self.received else ""
        return f"{where}{self.rule}{got}"


class OutsideError(Exception):
    """Something that came from outside cannot be used; names file, key, rule and value received."""

    def __init__(self, file: str | Path, problems: Iterable[Problem]):
        self.file = str(file)
        self.problems = tuple(problems)
        super().__init__(f"{self.file}: " + "; ".join(str(problem) for problem in self.problems))


class FileRefused(OutsideError):
    """The file itself cannot be taken in."""


class SyntaxRefused(OutsideError):
    """The file's text cannot be parsed."""


class ValueRefused(OutsideError):
    """The file parses, but one or more keys break a rule."""


def shown(value: object) -> str:
    """Return a value as it may stand in a message: printable and short."""
    text = "".join(c if c.isprintable() else "?" for c in repr(value))
    return text if len(text) <= SHOWN_CHARACTERS else text[: SHOWN_CHARACTERS - 1] + "…"


def data_folder(name: str) -> Path:
    """Return the folder of shipped data, ``lessons`` or ``assets_generated``: in a wheel, else beside the package."""
    package = Path(__file__).resolve().parent
    shipped = package / "_data" / name
    return shipped if shipped.is_dir() else package.parent / name


def read_bytes(path: Path, max_bytes: int) -> bytes:
    """Return a regular file's bytes, never more than ``max_bytes``. Raises FileRefused."""
    try:
        # open first and ask the open file, so that what is checked is what is read; never wait on a pipe
        descriptor = os.open(path, os.O_RDONLY | getattr(os, "O_NONBLOCK", 0))
    except (OSError, ValueError) as error:
        reason = getattr(error, "strerror", None) or str(error)
        raise FileRefused(path, [Problem("", f"cannot be opened ({reason})", "")]) from None
    with os.fdopen(descriptor, "rb") as handle:
        status = os.fstat(handle.fileno())
        if not stat.S_ISREG(status.st_mode):
            raise FileRefused(path, [Problem("", "must be a regular file", "something else")])
        if status.st_size > max_bytes:
            rule = f"must not be larger than {max_bytes} bytes"
            raise FileRefused(path, [Problem("", rule, f"{status.st_size} bytes")])
        data = handle.read(max_bytes + 1)
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
    for number, line in enumerate(text.splitlines(), start=1):
        if len(line) > MAX_LINE_CHARACTERS:
            rule = f"line {number} must not be longer than {MAX_LINE_CHARACTERS} characters"
            raise SyntaxRefused(path, [Problem("", rule, f"{len(line)}")])
        key = line.split("=", 1)[0]
        if "#" not in key and key.count(".") > MAX_KEY_DOTS:
            rule = f"line {number}: a key must not have more than {MAX_KEY_DOTS} dots"
            raise SyntaxRefused(path, [Problem("", rule, f"{key.count('.')}")])
        if line.count("[") > 64 or line.count("{") > 64:
            raise SyntaxRefused(path, [Problem("", f"line {number} must not open more than 64 brackets", "more")])


def _check_shape(path: Path, value: object, key: str = "", depth: int = 0) -> None:
    """Refuse nesting, strings and numbers beyond bounds, wherever they stand."""
    if depth > MAX_DEPTH:
        raise SyntaxRefused(path, [Problem(key, f"must not be nested deeper than {MAX_DEPTH}", "deeper")])
    if isinstance(value, str) and len(value) > MAX_STRING:
        raise ValueRefused(path, [Problem(key, f"must not be longer than {MAX_STRING} characters", str(len(value)))])
    if isinstance(value, float) and not math.isfinite(value):
        raise ValueRefused(path, [Problem(key, "must be a finite number", shown(value))])
    if isinstance(value, int) and abs(value) > 2**63:
        raise ValueRefused(path, [Problem(key, "must fit 64 bits", "a larger number")])
    if isinstance(value, dict):
        for name, inner in value.items():
            _check_shape(path, inner, f"{key}.{name}" if key else str(name), depth + 1)
    elif isinstance(value, list):
        for index, inner in enumerate(value):
            _check_shape(path, inner, f"{key}[{index}]", depth + 1)


def parse_toml(path: Path, text: str) -> dict[str, Any]:
    """Return a TOML text as a dict. Raises SyntaxRefused or ValueRefused."""
    _refuse_slow_toml(path, text)
    try:
        data = tomllib.loads(text)
    except (tomllib.TOMLDecodeError, RecursionError, ValueError) as error:
        raise SyntaxRefused(path, [Problem("", f"is not valid TOML ({str(error)[:200]})", "")]) from None
    _check_shape(path, data)
    return data


def parse_json(path: Path, text: str, line: int | None = None) -> Any:
    """Return a JSON text as Python values; duplicate keys and non-finite numbers are refused."""
    where = f"line {line}: " if line else ""

    def no_duplicates(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
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
    except (json.JSONDecodeError, RecursionError, ValueError) as error:
        raise SyntaxRefused(path, [Problem("", f"{where}is not valid JSON ({str(error)[:200]})", "")]) from None
    _check_shape(path, data)
    return data


def _key_of(location: tuple[int | str, ...]) -> str:
    key = ""
    for part in location:
        key += f"[{part}]" if isinstance(part, int) else (f".{part}" if key else str(part))
    return key


def _known_keys(model: Any) -> list[str]:
    names: list[str] = []
    for name, field in getattr(model, "model_fields", {}).items():
        names.append(field.alias or name)
        for inner in (field.annotation, *getattr(field.annotation, "__args__", ())):
            names.extend(getattr(inner, "model_fields", {}))
    return names


def problems_of(error: ValidationError, known: Iterable[str] = ()) -> list[Problem]:
    """Return every problem in a pydantic error, with a suggestion for an unknown key."""
    problems = []
    for item in error.errors(include_url=False):
        key = _key_of(item["loc"])
        message = item["msg"].removeprefix("Value error, ")
        received = shown(item["input"])
        if item["type"] in ("extra_forbidden", "unexpected_keyword_argument"):
            close = difflib.get_close_matches(str(item["loc"][-1]), list(known), n=1)
            message = "is not a known key" + (f" (did you mean {close[0]!r}?)" if close else "")
        elif item["type"] in ("missing", "missing_argument"):
            message, received = "is required and missing", ""
        elif ", got " in message:  # our own checks already state the value
            received = ""
        problems.append(Problem(key, message, received))
    return problems


def validate(path: Path, data: Any, model: type[Model]) -> Model:
    """Return ``data`` as a pydantic model, or raise ValueRefused with ALL problems."""
    try:
        return model.model_validate(data)
    except ValidationError as error:
        raise ValueRefused(path, problems_of(error, _known_keys(model))) from None


def validate_with(path: Path, data: Any, adapter: TypeAdapter[Parsed], known: Iterable[str] = ()) -> Parsed:
    """Return JSON-born ``data`` through a TypeAdapter (strict, JSON mode), or raise ValueRefused."""
    try:
        return adapter.validate_json(json.dumps(data), strict=True)
    except ValidationError as error:
        raise ValueRefused(path, problems_of(error, known)) from None
    except RecursionError:
        raise SyntaxRefused(path, [Problem("", "is nested too deeply", "")]) from None


def read_toml(path: Path, model: type[Model], max_bytes: int = MAX_TOML_BYTES) -> Model:
    """Return a TOML file as a checked pydantic model. Raises OutsideError."""
    return validate(path, parse_toml(path, read_text(path, max_bytes)), model)


def read_grey_image(path: Path) -> tuple[Any, int]:
    """Return a grey image as a uint8 or uint16 array [row, col] and its bit depth. Raises FileRefused.

    Width and height are read before any pixel; caps are 40 megapixels and 16,384 px a side.
    """
    import warnings

    import numpy as np
    from PIL import Image, UnidentifiedImageError

    data = read_bytes(path, MAX_IMAGE_BYTES)
    from io import BytesIO

    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")
            with Image.open(BytesIO(data), formats=("PNG", "TIFF")) as image:
                refuse_large_image(path, image.width, image.height)
                if image.mode not in ("L", "I;16", "I;16B", "I"):
                    raise FileRefused(path, [Problem("", "must be an 8- or 16-bit grey PNG or TIFF", image.mode)])
                pixels = np.asarray(image)
    except (UnidentifiedImageError, OSError, ValueError, SyntaxError, EOFError, MemoryError) as error:
        raise FileRefused(path, [Problem("", f"is not a readable image ({str(error)[:120]})", "")]) from None
    if pixels.dtype == np.uint8:
        return pixels, 8
    if pixels.min() < 0 or pixels.max() > 65535:
        raise FileRefused(path, [Problem("", "must hold 16-bit values", "larger ones")])
    return pixels.astype(np.uint16), 16


def refuse_large_image(path: Path, width_px: int, height_px: int) -> None:
    """Raise FileRefused when an image is larger than the caps."""
    if max(width_px, height_px) > MAX_IMAGE_SIDE_PX or width_px * height_px > MAX_IMAGE_PX or width_px * height_px < 1:
        rule = f"must not be larger than {MAX_IMAGE_PX // 10**6} megapixels or {MAX_IMAGE_SIDE_PX} px a side"
        raise FileRefused(path, [Problem("", rule, f"{width_px}x{height_px} px")])
