"""Pictures of the demonstration course's pages, for the README. A page is laid out by a library that nothing else needs."""

from __future__ import annotations

import importlib
import io
import re
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

from sim.refusals import Refused


def demo_page_png(page: str, width_px: int, height_px: int) -> bytes:
    """Return the top of a page of the freshly marked demonstration course: ``class`` or a learner's id.

    Raises Refused when the libraries that lay pages out are not installed.
    """
    try:
        layout: Any = importlib.import_module("weasyprint")
        paper: Any = importlib.import_module("pypdfium2")
    except (ImportError, OSError) as error:
        raise Refused(f"a page's picture needs the extra 'pages' installed, got {error}") from error
    with TemporaryDirectory() as folder:
        html = _page(Path(folder), page)
    # the page as a screen shows it: no rules for paper, one sheet as large as the picture
    plain = re.sub(r"@media print \{.*?\n\}\n", "", html, flags=re.DOTALL)
    # the columns a browser makes of this width; the layout library does not work them out by itself
    columns = (
        ".charts { grid-template-columns: 1fr 1fr !important } .two { grid-template-columns: 5fr 6fr !important }"
        ".contact { grid-template-columns: repeat(6, 1fr) !important }"
    )
    size = f"@page {{ size: {width_px}px {height_px}px; margin: 0 }} html {{ background: #efece6 }}"
    styles = [layout.CSS(string=size + columns)]
    document = paper.PdfDocument(layout.HTML(string=plain, media_type="screen").write_pdf(stylesheets=styles))
    out = io.BytesIO()
    document[0].render(scale=96 / 72).to_pil().convert("RGB").save(out, "PNG", optimize=True)
    return out.getvalue()


def _page(folder: Path, page: str) -> str:
    """Make and mark the course; return the page's text."""
    from sim.command.main import main

    main(["demo", "--course", "-o", str(folder)])
    pages = [file for file in sorted((folder / "marks").rglob("*.html")) if file.stem.startswith(page)]
    if not pages:
        raise Refused(f"subject must be the start of a page's name, got {page!r}")
    return pages[0].read_text(encoding="utf-8")
