"""Which paper a page for the darkroom is printed on where nobody said: by the territory of this computer's locale."""

from __future__ import annotations

import locale

# Unicode CLDR, supplemental data, paperSize US-Letter; everywhere else A4.
LETTER_IN = frozenset(["BZ", "CA", "CL", "CO", "CR", "GT", "MX", "NI", "PA", "PH", "PR", "SV", "US", "VE"])
SPELLED_OUT = frozenset(  # as a system names them that has no letters for a territory: "English_United States.1252"
    ["BELIZE", "CANADA", "CHILE", "COLOMBIA", "COSTA RICA", "GUATEMALA", "MEXICO", "NICARAGUA", "PANAMA", "PHILIPPINES",
     "PUERTO RICO", "EL SALVADOR", "UNITED STATES", "VENEZUELA"]
)  # fmt: skip


def page_by_locale(tag: str | None = None) -> str:
    """Return a4 or letter by a locale such as ``es_MX.UTF-8`` (this computer's where none is given)."""
    name = tag if tag is not None else (locale.setlocale(locale.LC_CTYPE) or "")
    territory = name.partition(".")[0].partition("@")[0].replace("-", "_").rpartition("_")[2]
    return "letter" if territory.upper() in LETTER_IN | SPELLED_OUT and territory != name else "a4"
