"""Collects every text that is shown in a language for translators: a .pot file, made from the source, never kept beside it."""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from io import BytesIO
from pathlib import Path

from sim.words_collected import sentences_of
from sim.words_data import data_texts
from sim.words_page import texts_of_template
from sim.words_said import SEPARATORS

SOURCE = Path(__file__).parent
ROOMS = ("notebook", "window")  # whose texts are asked for in a language, message by message
SAID = (  # whose sentences are said in English and found again by ``words_said``
    "notebook", "teaching", "viewing", "evening", "bench", "printing", "scoring", "enlarger", "paper", "negative",
    "calibration", "command", "marking",
)  # fmt: skip
NO_WORDS = frozenset({  # files whose texts nobody reads in a window: rules of collecting, patterns, what is written into data
    "target.py", "words_template.py", "words_collected.py", "words_data.py", "words_said.py", "page_by_locale.py",
    "paper_files.py", "paper_fit.py", "own_head_file.py", "own_stock_file.py", "page_pictures.py",
})  # fmt: skip
CALLS = frozenset({"t", "text", "words", "count"})  # how a text is asked for
LABELLED = frozenset({"Action"})
TABLES = frozenset({"HELP", "CONTROL_TITLES"})
OF_ARGPARSE = (  # what the standard library says of options, in its own words
    "usage: ", "learner", "Hint", "options", "positional arguments", "show this help message and exit",
    "the following arguments are required: {names}", "argument {name}: expected one argument",
    "argument {name}: expected at least one argument", "argument {name}: expected {count} arguments",
    "argument {name}: invalid choice: {got} (choose from {choices})", "argument {name}: not allowed with argument {other}",
    "argument {name}: invalid {kind} value: {got}", "argument {name}: {problem}", "one of the arguments {names} is required",
    "float", "int", "ambiguous option: {got} could match {options}",
    "No such file or directory", "Permission denied", "Is a directory", "Not a directory", "File exists",
    "No space left on device",
)  # fmt: skip
_VALUE = re.compile(r"\{[a-z0-9_]*\}")
LABELS = (
    "Piece", "Image", "Shifted", "Safelight", "glass", "glassless", "the class", "this one counts", "not judged yet",
    "Expected", "seen", "Negatives", "Drills", "counts", "1 sheet", "1 litre", "1 minute", "set-up", "degrees",
    "shown 1", "shown 2", "shown 3", "shown 4",
)  # said beside a value
LEAST_LETTERS = 2
HEAD = 'msgid ""\nmsgstr ""\n"Content-Type: text/plain; charset=UTF-8\\n"\n\n'
Message = str | tuple[str, str]  # a text, or its forms for one and for many


def messages() -> dict[Message, list[str]]:
    """Return message -> the files it stands in, in the order of the files."""
    found: dict[Message, list[str]] = {}
    known: set[str] = set()
    for name, message in (*_asked_for(), *_said(), *_data(), *_besides()):
        if isinstance(message, str) and not any(letter.isalpha() for letter in message):
            continue
        if isinstance(message, str) and message in known and message not in found:
            continue  # it is one of two forms, which a translator gives there
        known |= {message} if isinstance(message, str) else set(message)
        places = found.setdefault(message, [])
        if name not in places:
            places.append(name)
    return found


def _besides() -> Iterator[tuple[str, Message]]:
    """Yield what joins the parts of a sentence, what the room asks for by a name it works out, and argparse's own words."""
    yield from (("sim/words_said.py", mark) for mark in SEPARATORS)
    yield from (("sim/command/in_language.py", words) for words in OF_ARGPARSE)
    yield from (("sim/notebook/set_up_words.py", words) for words in LABELS)


def _asked_for() -> Iterator[tuple[str, Message]]:
    for file in sorted(file for room in ROOMS for file in (SOURCE / room).rglob("*.py") if file.name not in NO_WORDS):
        name = file.relative_to(SOURCE.parent).as_posix()
        yield from ((name, message) for message in _messages_of(ast.parse(file.read_text(encoding="utf-8"))))


def _said() -> Iterator[tuple[str, Message]]:
    files = [file for room in SAID for file in sorted((SOURCE / room).rglob("*.py"))]
    for page in sorted(SOURCE.glob("*/templates/*.html")):
        name = page.relative_to(SOURCE.parent).as_posix()
        texts = texts_of_template(page.read_text(encoding="utf-8"))
        yield from ((name, text) for text in texts if sum(map(str.isalpha, _VALUE.sub("", text))) >= LEAST_LETTERS)
    for file in (*files, *sorted(SOURCE.glob("*.py")), SOURCE / "window" / "could_not_open.py"):
        if file.name not in NO_WORDS:
            name = file.relative_to(SOURCE.parent).as_posix()
            yield from ((name, message) for message in sentences_of(ast.parse(file.read_text(encoding="utf-8"))))


def _data() -> Iterator[tuple[str, Message]]:
    yield from (
        (name, text) for name, text in data_texts() if sum(letter.isalpha() for letter in text) >= LEAST_LETTERS
    )


def _messages_of(tree: ast.AST) -> Iterator[Message]:
    for node in ast.walk(tree):
        if isinstance(node, ast.Call):
            called = node.func.attr if isinstance(node.func, ast.Attribute) else getattr(node.func, "id", "")
            if called == "count":
                one, many = [*_texts(node.args[:1]), ""][0], [*_texts(node.args[1:2]), ""][0]
                yield from [(one, many)] if one and many else []
            elif called in CALLS:
                yield from _texts(node.args[:1])
            elif called in LABELLED:
                yield from _texts(node.args[1:2])
        elif isinstance(node, ast.Assign | ast.AnnAssign) and node.value is not None:
            targets = node.targets if isinstance(node, ast.Assign) else [node.target]
            names = {getattr(target, "id", "") for target in targets}
            if isinstance(node.value, ast.Dict) and any(name in TABLES or name.endswith("WORDS") for name in names):
                yield from _texts(node.value.values)
            elif any(name.strip("_").isupper() for name in names):  # tables that are translated where they are used
                yield from _pairs(node.value)


def _texts(nodes: list[ast.expr]) -> Iterator[str]:
    for node in nodes:
        if isinstance(node, ast.Constant) and isinstance(node.value, str) and len(node.value) >= LEAST_LETTERS:
            yield node.value


def _pairs(node: ast.expr) -> Iterator[str]:
    """Yield the words of a table of (key, words), or of one whose name ends in WORDS and that is a dict of them."""
    if isinstance(node, ast.Tuple | ast.List):
        for pair in node.elts:
            if (
                isinstance(pair, ast.Tuple)
                and len(pair.elts) == 2
                and not isinstance(getattr(pair.elts[0], "value", ""), int)
            ):
                yield from _texts(pair.elts[1:])


def template() -> str:
    """Return the text of a .pot file; a translator writes each msgstr and saves it as LANGUAGE/tonewright.po."""
    from babel.messages.catalog import Catalog
    from babel.messages.pofile import write_po

    catalogue = Catalog()
    for message, places in messages().items():
        catalogue.add(message, locations=[(place, 0) for place in places])
    out = BytesIO()
    write_po(out, catalogue, width=0, omit_header=True, include_lineno=False)  # babel's own header would tell the time
    return HEAD + out.getvalue().decode("utf-8")
