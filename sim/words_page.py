"""Pages in a language: a door says in which for as long as pages are written; what makes a page asks, and data never does.

A page for a browser is written in English and said anew, text by text: what lies between two tags is a sentence. Markup,
style, links and pictures stay, and so does whatever stands inside ``translate="no"``: names and words from outside. What a
person wrote is marked within a sentence (``plain_text.as_written``), which is then said around it.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from contextlib import contextmanager
from contextvars import ContextVar
from html import escape, unescape
from html.parser import HTMLParser

from sim.plain_text import ENDED, NAMED, WRITTEN
from sim.words import SOURCE, Words

_NOW: ContextVar[Words | None] = ContextVar("pages", default=None)
SAID_ATTRIBUTES = ("alt", "aria-label", "title", "placeholder", "data-label")
_SAID = re.compile(rf'(?<![\w-])({"|".join(SAID_ATTRIBUTES)})="([^"]*)"')  # as it is written, whatever stands for its signs
UNREAD = frozenset({"style", "script", "code", "pre"})
VOID = frozenset({"area", "base", "br", "col", "embed", "hr", "img", "input", "link", "meta", "source", "track", "wbr"})
_STATEMENT = re.compile(r"\{%.*?%\}|\{#.*?#\}", re.DOTALL)
_VALUE = re.compile(r"\{\{(.*?)\}\}", re.DOTALL)
_OWN = re.compile(f"([{WRITTEN}{NAMED}])([^{ENDED}]*)(?:{ENDED}|$)")
_FIRST_OWN = 0xE100  # signs of no writing, one for each text of a person within a sentence
_TAG = re.compile(r"<[a-zA-Z][^<>]*>")
_ENDING = re.compile(r'"" if .* else "s"')  # the ending of more than one
_IF = "\ue000"  # a sign of no writing, in place of such an ending
_CALLED = re.compile(r"[a-z_][a-z0-9_]*", re.IGNORECASE)


@contextmanager
def pages_in(words: Words) -> Iterator[None]:
    """Write pages in a language for a while."""
    before = _NOW.set(words if words.language != SOURCE else None)
    try:
        yield
    finally:
        _NOW.reset(before)


def page_said(text: str) -> str:
    """Return a text of a page in the language of pages."""
    words = _NOW.get()
    return text if words is None else words.said(text)


def page_in_language(html: str) -> str:
    """Return a page for a browser in the language of pages."""
    words = _NOW.get()
    if words is None:
        return html
    said = _Said(words)
    said.feed(html)
    said.close()
    return "".join(said.out)


def said_around(text: str, words: Words) -> str:
    """Return a text of a page in a language, what people wrote in it as they did: no part of it is ever looked up.

    A name alone is looked up, whole, among the names that come with the program.
    """
    own: list[str] = []

    def put_aside(found: re.Match[str]) -> str:
        own.append(words.name_said(found[2]) if found[1] == NAMED else found[2])
        return chr(_FIRST_OWN + len(own) - 1)

    said = words.said(_OWN.sub(put_aside, text))
    for number, one in enumerate(own):
        said = said.replace(chr(_FIRST_OWN + number), one)
    return said


class _Said(HTMLParser):
    """Writes a page again as it stands, its texts said in a language."""

    def __init__(self, words: Words) -> None:
        super().__init__(convert_charrefs=False)
        self.out: list[str] = []
        self._words, self._text = words, ""
        self._kept: list[str] = []  # tags within which nothing is said anew

    def _say(self) -> None:
        text, self._text = self._text, ""
        if text:
            body = " ".join(unescape(text).split())
            said = body if self._kept else said_around(body, self._words)
            start, end = (" " if text[:1].isspace() else ""), (" " if text[-1:].isspace() else "")
            self.out.append(text if said == body else f"{start}{escape(said, quote=False)}{end}")

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        """Write a tag with what it says of itself."""
        self._say()
        raw = self.get_starttag_text() or ""
        raw = raw if self._kept else _SAID.sub(self._of_itself, raw)
        self.out.append(raw.replace('lang="en"', f'lang="{self._words.language}"') if tag == "html" else raw)
        keeps = tag in UNREAD or ("translate", "no") in attrs
        if (keeps or self._kept) and tag not in VOID and not raw.endswith("/>"):
            self._kept.append(tag)

    def _of_itself(self, found: re.Match[str]) -> str:
        """Return what a tag says of itself in the language; what stays the same is written as it was."""
        value = unescape(found[2])
        said = said_around(value, self._words)
        return found[0] if said == value else f'{found[1]}="{escape(said)}"'

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        """Write a tag that holds nothing."""
        self.handle_starttag(tag, attrs)

    def handle_endtag(self, tag: str) -> None:
        """Write the end of a tag."""
        self._say()
        if self._kept and self._kept[-1] == tag:
            self._kept.pop()
        self.out.append(f"</{tag}>")

    def handle_data(self, data: str) -> None:
        """Gather a text."""
        self._text += data

    def handle_entityref(self, name: str) -> None:
        """Gather a sign that has a name."""
        self._text += f"&{name};"

    def handle_charref(self, name: str) -> None:
        """Gather a sign that has a number."""
        self._text += f"&#{name};"

    def handle_decl(self, decl: str) -> None:
        """Write what kind of page it is."""
        self.out.append(f"<!{decl}>")

    def handle_comment(self, data: str) -> None:
        """Write a comment."""
        self._say()
        self.out.append(f"<!--{data}-->")

    def close(self) -> None:
        """Write what is left."""
        super().close()
        self._say()


def texts_of_template(template: str) -> Iterator[str]:
    """Yield the texts between the tags of a template and in what tags say of themselves, each value in them a name."""
    plain = _STATEMENT.sub("\0", template)
    names: list[str] = []

    def named(found: re.Match[str]) -> str:
        if _ENDING.fullmatch(found[1].strip()):
            return _IF
        called = _CALLED.findall(re.sub(r"[\"'].*?[\"']", "", found[1])) or ["it"]
        names.append(called[-1] if called[-1] not in ("list", "none", "else") else called[0])
        return f"{{{names[-1].lower()}}}"

    plain = _VALUE.sub(named, plain)
    plain = _TAG.sub(lambda tag: tag[0].replace("\0", " "), plain)
    gathered = _Gathered()
    gathered.feed(plain)
    gathered.close()
    for text in gathered.texts:
        for part in text.split("\0"):
            said = _apart(" ".join(part.split()))
            yield from (said,) if _IF not in said else (said.replace(_IF, ""), said.replace(_IF, "s"))


def _apart(text: str) -> str:
    """Return a text whose names are told apart."""
    seen: dict[str, int] = {}

    def numbered(found: re.Match[str]) -> str:
        seen[found[1]] = seen.get(found[1], 0) + 1
        return f"{{{found[1]}}}" if seen[found[1]] == 1 else f"{{{found[1]}_{seen[found[1]]}}}"

    return re.sub(r"\{([a-z_][a-z0-9_]*)\}", numbered, text)


class _Gathered(HTMLParser):
    """Gathers the texts of a page."""

    def __init__(self) -> None:
        super().__init__(convert_charrefs=True)
        self.texts: list[str] = []
        self._unread = 0

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        """Gather what a tag says of itself."""
        self._unread += tag in UNREAD
        self.texts += [value for name, value in attrs if value and name in SAID_ATTRIBUTES]

    def handle_endtag(self, tag: str) -> None:
        """See where what is not read ends."""
        self._unread -= tag in UNREAD

    def handle_data(self, data: str) -> None:
        """Gather a text."""
        self.texts += [] if self._unread else [data]
