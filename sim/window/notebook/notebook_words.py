"""The words of the notebook."""

from __future__ import annotations

HELP = {
    "place": (
        "The notebook: a page for every piece of paper, with what was done, what it reads, and what you write"
        " beside it."
    ),
    "evenings": "This evening and the earlier ones. Their pages can be read, exported and printed again.",
    "pages": "Every piece of paper, oldest first. The page of the chosen one lies open.",
    "note": "What you want to remember about this sheet. Enter keeps it with the evening.",
    "again": "Sets the enlarger as it stood for this sheet, with its exposures as the plan.",
    "other": "The same print on another negative or another size: the times are worked out anew.",
    "other-negative": "The negative to print in the same way.",
    "other-size": "The size of the new sheet, in centimetres. Tools and their paths grow with the picture.",
    "take-other": "Sets the enlarger for the new print, with the new times as the plan.",
    "map-png": "Writes the printing map of this sheet as a picture: the print, its places of work, seconds and stops.",
    "map-pdf": "Writes the printing map of this sheet as a page to print, for a real darkroom.",
    "export": "Writes all pages of the evening as a folder to open in a browser, with the records and a table.",
}
