"""Message and values become text in a language that is passed in; English is the source and stands in the code.

``sim/locale/LANGUAGE/tonewright.po`` is read as it stands, so a translator needs an editor and nothing else. What it
leaves out stays English, a file that cannot be read leaves all English and says so. The language ``en-XA`` is no language:
every text comes 40 % longer and accented, to see what does not fit.
"""

from __future__ import annotations

import gettext
import re
from collections.abc import Iterable
from functools import cached_property
from io import BytesIO
from pathlib import Path
from typing import Any

from sim.reading import read_text
from sim.refusals import OutsideError, Problem, SyntaxRefused, shown
from sim.words_said import Said

LOCALES = Path(__file__).with_name("locale")
PO_FILE = "tonewright.po"
SOURCE, PSEUDO = "en", "en-XA"
MOST_PO_BYTES = 2_000_000
MOST_WHOLE = 200  # numbers looked through for one that is counted as a fraction is
ACCENTS = str.maketrans("aceinosuyzACEINOSUYZ", "åçéîñôšûýžÅÇÉÎÑÔŠÛÝŽ")
_PO_LINE = re.compile(r'(#.*)?|((msgctxt|msgid|msgid_plural|msgstr(\[\d\])?)\s*)?"(?:[^"\\]|\\.)*+"')
_WEDGE_STEP = re.compile(r"step \d{1,2}", re.ASCII)  # the places of a step wedge stand in no file one by one
_NAME = re.compile(
    r"\{([a-z_][a-z0-9_]*)\}"
)  # a name alone: no attribute, no index, no format can be reached through it


def filled(message: str, values: dict[str, object]) -> str:
    """Return a message with every {name} that a value is given for replaced by it; all else stands as it is."""
    return _NAME.sub(lambda found: str(values[found[1]]) if found[1] in values else found[0], message)


def languages() -> list[str]:
    """Return the languages there are words for."""
    return [SOURCE, *sorted(file.parent.name for file in LOCALES.glob(f"*/{PO_FILE}"))]


class Words:
    """The words of one language. ``trouble`` says why there are none of it, empty when all is well."""

    def __init__(self, language: str = SOURCE):
        self.language, self.trouble = language, ""
        self.catalogue: gettext.NullTranslations = gettext.NullTranslations()
        if language == PSEUDO:
            self.catalogue = Pseudo()
        elif language != SOURCE and language in languages():
            try:
                self.catalogue = read_po(LOCALES / language / PO_FILE)
            except OutsideError as error:
                self.trouble = f"English is shown, because the words of {language} cannot be read: {error}"

    def text(self, message: str, **values: object) -> str:
        """Return a message in this language, its {names} filled in."""
        return self._told(message, self.catalogue.gettext(message) if message else "", values)

    def count(self, one: str, many: str, n: float, **values: object) -> str:
        """Return the message for one or many things; ``{n}`` is their number."""
        said = self.catalogue.ngettext(one, many, self._counted_as(n))
        return self._told(one if n == 1 else many, said, {"n": n, **values})

    def said(self, sentence: str) -> str:
        """Return a sentence that a room has said in English in this language; what no message fits stays as it is."""
        return self._sentences.text(sentence) if self._sentences is not None and sentence else sentence

    def name_said(self, name: str) -> str:
        """Return a name in this language where it is one that comes with the program, whole; else as it is."""
        names: dict[str, str] = getattr(self.catalogue, "names", {})
        return self.said(name) if _WEDGE_STEP.fullmatch(name) else names.get(name, name)

    def unsaid(self, sentence: str) -> int:
        """Return how many letters of a sentence stay English in this language."""
        return self._sentences.left(sentence) if self._sentences is not None and sentence else 0

    @cached_property
    def _sentences(self) -> Said | None:
        pairs = getattr(self.catalogue, "pairs", ())
        return Said(pairs, self._decimal_sign()) if pairs else None

    def number(self, value: float, decimals: int) -> str:
        """Return a number with so many decimals and this language's decimal sign."""
        return f"{value:.{decimals}f}".replace(".", self._decimal_sign())

    @staticmethod
    def _told(message: str, said: str, values: dict[str, object]) -> str:
        """Fill in the names; a translation that asks for a name the message does not have is not used."""
        return filled(
            said if set(_NAME.findall(said)) <= set(_NAME.findall(message)) | set(values) else message, values
        )

    def _counted_as(self, n: float) -> int:
        """Return the whole number that this language counts as it counts n: a fraction has a form of its own."""
        if n == int(n):
            return int(n)
        if self.language in (SOURCE, PSEUDO) or self.trouble:
            return 2
        from babel import Locale

        form = Locale.parse(self.language, sep="-").plural_form
        return next((whole for whole in range(MOST_WHOLE) if form(whole) == form(n)), 2)

    def _decimal_sign(self) -> str:
        """Return this language's decimal sign."""
        if self.language in (SOURCE, PSEUDO) or self.trouble or self.language not in languages():
            return "."
        from babel.numbers import get_decimal_symbol

        return str(get_decimal_symbol(self.language.replace("-", "_")))


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


class Catalogue(gettext.NullTranslations):
    """A language's messages, and all of them in pairs for ``words_said``, which looks for them the other way round.

    ``names`` are those that stand in data: of places, criteria, negatives, lessons.
    """

    def __init__(
        self, read: gettext.NullTranslations, pairs: tuple[tuple[str, str], ...], names: dict[str, str]
    ) -> None:
        super().__init__()
        self._read, self.pairs, self.names = read, pairs, names

    def gettext(self, message: str) -> str:
        """Return a message in the language."""
        return self._read.gettext(message)

    def ngettext(self, msgid1: str, msgid2: str, n: int) -> str:
        """Return the message for one or many."""
        return self._read.ngettext(msgid1, msgid2, n)


def _pairs(catalogue: Iterable[Any]) -> tuple[tuple[str, str], ...]:
    """Return every message with what it is in the language; of one that counts each form."""
    pairs: list[tuple[str, str]] = []
    for message in catalogue:
        if isinstance(message.id, tuple):
            pairs += zip(message.id, (message.string[0], message.string[-1]), strict=False)
        elif message.id:
            pairs.append((message.id, message.string))
    return tuple((english, said) for english, said in pairs if isinstance(said, str) and said)


def _names(catalogue: Iterable[Any]) -> dict[str, str]:
    """Return the messages that stand in data, and what each is in the language."""
    in_data = (one for one in catalogue if any(place.endswith(".toml") for place, _ in one.locations))
    return {one.id: one.string for one in in_data if isinstance(one.id, str) and one.id and one.string}


def read_po(file: Path) -> gettext.NullTranslations:
    """Return the words of a .po file with its own rule for plurals. Raises OutsideError naming what is wrong with it."""
    from babel.core import UnknownLocaleError
    from babel.messages.mofile import write_mo
    from babel.messages.pofile import PoFileError, read_po
    from babel.support import Translations

    text = read_text(file, MOST_PO_BYTES)
    for number, line in enumerate(text.splitlines(), start=1):
        if not _PO_LINE.fullmatch(line.strip()):  # the library would pass over it, and over what a translator meant
            rule = f"line {number}: must be a comment, or a text between quotes"
            raise SyntaxRefused(file, [Problem("", rule, shown(line[:60]))])
    try:
        catalogue = read_po(
            text.splitlines(keepends=True), locale=file.parent.name.replace("-", "_"), abort_invalid=True
        )
        compiled = BytesIO()
        write_mo(compiled, catalogue)
        compiled.seek(0)
        return Catalogue(Translations(compiled), _pairs(catalogue), _names(catalogue))
    except (PoFileError, UnknownLocaleError, ValueError, TypeError, LookupError, RecursionError) as error:
        problem = Problem("", f"is not a readable file of words ({shown(str(error)[:120])})", "")
        raise SyntaxRefused(file, [problem]) from None
