"""Names of places, criteria and negatives as they are read out. Files write them with hyphens, people do not."""

from __future__ import annotations


def plain_name(name: str) -> str:
    """Return a name from a file (``under-barrow``, ``lightest-tone``) as it is said and printed: ``under barrow``.

    A negative's variant, behind a tilde, is said after a comma: ``pit-under-clouds~second`` is ``pit under clouds, second``.
    """
    return name.replace("~", ", ").replace("-", " ")


def name_of_many(name: str) -> bool:
    """Tell whether a place's name is of many things (``far-jugs``): no sentence can go on with "is" after it."""
    return name.endswith("s") and not name.endswith("ss")
