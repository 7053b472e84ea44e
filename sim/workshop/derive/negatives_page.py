"""The page of negatives says of each what its sleeve says, and what one exposure makes of it: the filter that was derived.

Headings and their order are written by hand. A section is known by its sleeve's name in the heading, ``(`morning-shelf`)``.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Any

_SECTION = re.compile(r"(?m)^###? .*\(`(?P<name>[a-z0-9-]+)`\)\n\n(?P<words>.+)$")


def straight_words(facts: Mapping[str, Any]) -> str:
    """Return what one exposure makes of a negative, from what was derived of it (``sleeves.derived_sleeve``)."""
    if not facts["one_exposure_holds"]:
        return "No single exposure holds it."
    return f"One exposure holds it: filter {facts['filter']}."


def with_derived_words(page: str, teaches: Mapping[str, str], sleeves: Mapping[str, Mapping[str, Any]]) -> str:
    """Return the page with the sleeve's words and the derived filter in every section whose sleeve was derived.

    ``teaches`` holds the sleeves' own words by name, ``sleeves`` what was derived of each; all else stays as it was.
    """

    def told(section: re.Match[str]) -> str:
        facts = sleeves.get(section["name"])
        if facts is None:
            return section[0]
        return section[0].removesuffix(section["words"]) + f"{teaches[section['name']]} {straight_words(facts)}"

    return _SECTION.sub(told, page)
