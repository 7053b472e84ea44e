"""Pages and files written from templates: what comes from outside is made plain, and on a page escaped."""

from __future__ import annotations

import json
from functools import lru_cache
from pathlib import Path
from typing import TYPE_CHECKING, Any

from sim.plain_text import bare, finalized
from sim.words_page import page_in_language

if TYPE_CHECKING:
    from jinja2 import Environment


@lru_cache(maxsize=8)
def _environment(folder: Path) -> Environment:
    from jinja2 import Environment, FileSystemLoader, StrictUndefined

    made = Environment(
        loader=FileSystemLoader(folder), autoescape=lambda name: bool(name and name.endswith(".html")),
        undefined=StrictUndefined, trim_blocks=True, lstrip_blocks=True, finalize=finalized,
    )  # fmt: skip
    made.filters["quoted"] = json.dumps
    return made


def from_template(template: Path, **values: Any) -> str:
    """Return a template filled in, its last line break left out; a page for a browser in the language of pages.

    ``quoted`` writes a text as TOML and JSON have it.
    """
    made = _environment(template.parent).get_template(template.name).render(values)
    return bare(page_in_language(made) if template.suffix == ".html" else made)


def our_markup(text: str) -> str:
    """Return markup as such, so that a template leaves it as it is: charts and style sheet made here, never outside text."""
    from markupsafe import Markup

    return Markup(text)
