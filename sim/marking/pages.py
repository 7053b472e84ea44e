"""From templates to pages: one self-contained file each, no script, everything from outside escaped."""

from __future__ import annotations

import base64
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Any

from sim.page_templates import from_template, our_markup
from sim.shelf import RESERVED

TEMPLATES = Path(__file__).with_name("templates")


def page_text(template: str, page: Mapping[str, Any], *told: Callable[..., Any], **values: Any) -> str:
    """Return a page from its template; ``page`` is plain data, escaped unless it is markup of our own.

    ``told`` are the functions that the template calls by their names.
    """
    style = our_markup((TEMPLATES / "style.css").read_text(encoding="utf-8"))
    by_name = {one.__name__: one for one in (*told, points_text)}
    return from_template(TEMPLATES / template, page=page, style=style, **by_name, **values)


HALF_UP = 1e-9  # of a point: 6.55 is 6.6 on every page, although the nearest binary number is a little less


def picture_link(jpeg: bytes) -> str:
    """Return a picture as a link that holds the picture itself."""
    return "data:image/jpeg;base64," + base64.b64encode(jpeg).decode("ascii")


def number(value: float | None, decimals: int = 2) -> str:
    """Return a number for people, a half rounded up as in ``points_text``; empty where there is none."""
    if value is None:
        return ""
    text = f"{value + HALF_UP:.{decimals}f}"
    return text.replace("-", "\N{MINUS SIGN}") if float(text) else f"{0.0:.{decimals}f}"


def points_text(value: float | None) -> str:
    """Return points to a tenth, without needless zeros: no print is judged finer; the tables keep the hundredths."""
    return "" if value is None else f"{value + HALF_UP:.1f}".removesuffix(".0")


def file_name(name: str) -> str:
    """Return a learner's id as a file name of letters, digits, dots, hyphens; a hash tells apart what that makes alike."""
    import hashlib

    plain = "".join(c if c.isascii() and (c.isalnum() or c in "-_.") else "-" for c in name)[:60]
    plain = plain.rstrip(".").lstrip("-.") or "learner"  # what begins with a hyphen is an option to other programs
    if plain == name and name == name.lower() and plain.partition(".")[0] not in RESERVED:
        return plain
    return f"{plain.lower()}-{hashlib.sha256(name.encode('utf-8', 'replace')).hexdigest()[:16]}"
