"""The words on the screen, through the standard library's gettext; English is the source.

``sim/window/locale/LANGUAGE/tonewright.po`` is read as it stands, so a translator needs an editor and nothing else. The
language ``en-XA`` is no language: every text comes 40 % longer and accented, to see what does not fit.
"""

from __future__ import annotations

import ast
import gettext
import re
from pathlib import Path

LOCALES = Path(__file__).with_name("locale")
SOURCE, PSEUDO = "en", "en-XA"
MOST_PO_BYTES = 2_000_000
ACCENTS = str.maketrans("aceinosuyzACEINOSUYZ", "åçéîñôšûýžÅÇÉÎÑÔŠÛÝŽ")


def read_po(text: str) -> dict[str, str]:
    """Return msgid -> msgstr of a .po file; plural entries give the keys (msgid, n) as ``msgid\\x00n``."""
    found: dict[str, str] = {}
    entry: dict[str, str] = {}
    field = ""
    for line in [*text.splitlines(), ""]:
        line = line.strip()
        opened = re.match(r'(msgid_plural|msgid|msgstr(?:\[\d+\])?|msgctxt)\s+(".*")$', line)
        if opened:
            field = opened.group(1)
            if field == "msgid" and "msgid" in entry:
                _keep(entry, found)
                entry = {}
            entry[field] = ast.literal_eval(opened.group(2))
        elif line.startswith('"') and field:
            entry[field] += ast.literal_eval(line)
    _keep(entry, found)
    return found


def _keep(entry: dict[str, str], found: dict[str, str]) -> None:
    name = entry.get("msgid", "")
    for field, words in entry.items():
        if field.startswith("msgstr") and name and words:
            number = field[7:-1]
            found[f"{name}\x00{number}" if number else name] = words


class Catalogue(gettext.NullTranslations):
    """One language's words."""

    def __init__(self, words: dict[str, str]):
        super().__init__()
        self._words = words

    def gettext(self, message: str) -> str:
        """Return the words for a message, the message itself where there are none."""
        return self._words.get(message, message)

    def ngettext(self, msgid1: str, msgid2: str, n: int) -> str:
        """Return the words for a number of things: one, or many."""
        return self._words.get(f"{msgid1}\x00{0 if n == 1 else 1}", msgid1 if n == 1 else msgid2)


class Pseudo(gettext.NullTranslations):
    """Every text accented and 40 % longer; what stands in braces is left alone."""

    def gettext(self, message: str) -> str:
        """Return the longer text."""
        parts = re.split(r"(\{[^}]*\})", message)
        accented = "".join(p if p.startswith("{") else p.translate(ACCENTS) for p in parts)
        more = max(1, -(-2 * len(message) // 5))
        tail = "~" * more if " " not in message else ("~~~~ " * (more // 5 + 1))[:more].rstrip(" ").ljust(more, "~")
        return f"{accented}{tail}" if message else ""

    def ngettext(self, msgid1: str, msgid2: str, n: int) -> str:
        """Return the longer text for one or many."""
        return self.gettext(msgid1 if n == 1 else msgid2)


def languages() -> list[str]:
    """Return the languages there are words for."""
    return [SOURCE, *sorted(p.parent.name for p in LOCALES.glob("*/tonewright.po"))]


class Words:
    """The words of one language."""

    def __init__(self, language: str = SOURCE):
        self.language = language
        self.catalogue: gettext.NullTranslations = gettext.NullTranslations()
        file = LOCALES / language / "tonewright.po"
        if language == PSEUDO:
            self.catalogue = Pseudo()
        elif language in languages() and file.exists() and file.stat().st_size <= MOST_PO_BYTES:
            self.catalogue = Catalogue(read_po(file.read_text(encoding="utf-8")))

    def text(self, message: str, **values: object) -> str:
        """Return a message in this language, its {names} filled in."""
        words = self.catalogue.gettext(message) if message else ""
        return words.format(**values) if values else words

    def count(self, one: str, many: str, n: float, **values: object) -> str:
        """Return the message for one or many."""
        return self.catalogue.ngettext(one, many, 1 if n == 1 else 2).format(n=n, **values)
