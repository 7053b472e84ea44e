"""A sentence that a room has said in English becomes one in another language: the message it was made from is found again.

Rooms say English and know no language, so that logs, results and gradebooks keep their bytes. A door that shows a sentence
asks for it here. A message with {names} is a pattern; what fills a name is looked up in the same way, a list part by part,
a number gets the language's decimal sign. What no message fits stays English, and ``left`` tells how much of it there is.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from functools import cached_property
from itertools import islice

_NAME = re.compile(r"\{([a-z_][a-z0-9_]*)\}")
_QUOTED = re.compile(r"»\{([a-z_][a-z0-9_]*)\}«")
_LETTERS = re.compile(r"[^\W\d_]")
UNITS = (
    "mm", "cm", "s", "min", "h", "l", "ml", "m", "D", "L*", "f/", "C", "px", "%", "ISO", "R", "P", "x", "kB", "MB", "GB",
    "px/mm", "lp/mm", "lux", "K", "V", "A",
)  # fmt: skip
_NUMBER = re.compile(
    rf"(?:[-+±−–×°%/.,:;()|·→~<>=≤≥ \d]|(?<![^\W\d_])(?:{'|'.join(re.escape(unit) for unit in UNITS)})(?![^\W\d_]))*"
)
_OWN_NAME = re.compile(  # of a file, a key, an option, what stood in quotes: nothing to say in another language
    r"'[^']*'|\"[^\"]*\"|`[^`]*`|--?[a-z][a-z-]*|[\w:./\\~-]+\.[A-Za-z]{1,6}|\S*[/\\_]\S*|own:\S+|tonewright( [a-z]+)?"
    r"|[a-z0-9]+(-[a-z0-9]+)+|[A-Z]{2,}"
)
_TYPED_LIST = re.compile(r"[\w.=:~'`-]+((, | or | and )[\w.=:~'`-]+)*")
_ASIDE = re.compile(r"(.+?) \((.*?)\)(.*)", re.DOTALL)
_LABEL = re.compile(r"\d+(\.5)?(?![\d.]*\d)")
_POINT = re.compile(r"(?<![\d.])(\d+)\.(\d+)(?![\d.])")
_SENTENCES = re.compile(r"(?<=[.!?…]) +|\n")
SEPARATORS = ("; ", ": ", " · ", "  ", ", then ", ", ", " and ", " or ", " to ", "/")
TYPED = frozenset({  # names of what is typed, or stands in files: never said in another language
    "others", "verbs", "keys", "known", "forms", "dialled", "choices", "drills", "names", "takes", "controls", "graded_names",
    "filter_names", "allowed", "place_parts", "lamps", "stage", "hint_levels", "control_names", "option", "card_keys", "prog",
    "prog_2",
})  # fmt: skip
MOST_DEEP = 7  # of one message in another (chosen: advice in a line of a lesson is five deep)
RATHER_DEEP = 6  # what was looked for so deep at most is not looked for anew (chosen: half the time of a lesson's help)
MOST_KEPT = 4096  # pieces of sentences kept worked out
MOST_LEFT = 0.4  # of a sentence's letters: names from outside stay, a sentence half in each language does not (chosen)
LONGEST = 4000  # characters; longer texts are cut into lines before they are asked for
MOST_FILLINGS = 40  # of one message tried for one text (chosen: a line of a lesson has some ten words)
MOST_LOOKED_UP = 1200  # pieces looked up for one sentence, then the rest of it stays (chosen: a second at most)
MANY_LETTERS = 12  # of its own that a pattern must have to be tried before a text is cut into sentences
ENOUGH_LETTERS = 2  # of its own that a pattern must have to be tried before a text is cut


class Pattern:
    """A message with names in it: what it looks like when they are filled in, and what it is in the other language."""

    def __init__(self, message: str, said: str) -> None:
        self.said = said
        parts = _NAME.split(message)
        self.literals, self.names = tuple(parts[::2]), tuple(parts[1::2])
        self.needed = tuple(sorted(filter(None, self.literals), key=len, reverse=True))
        self.letters = sum(_letters(part) for part in self.needed)
        ahead = zip(self.literals, self.names, strict=False)
        self.labels = frozenset(
            name for before, name in ahead if before.lower().endswith("filter ")
        )  # numbers that are names
        self.quoted = frozenset(_QUOTED.findall(said))  # names that are looked up whole or not at all

    def may_be(self, words: str) -> bool:
        """Tell whether all that stands in the message itself stands in a text."""
        return (
            words.startswith(self.literals[0])
            and words.endswith(self.literals[-1])
            and all(p in words for p in self.needed)
        )

    def fillings(self, words: str) -> Iterator[dict[str, str]]:
        """Yield what the names may be filled with, so that the message becomes this text."""
        yield from self._from(words, len(self.literals[0]), 0, {})

    def _from(self, words: str, at: int, number: int, so_far: dict[str, str]) -> Iterator[dict[str, str]]:
        name, behind = self.names[number], self.literals[number + 1]
        last = number == len(self.names) - 1
        for end in (len(words) - len(behind),) if last else self._ends(words, at, behind):
            value = words[at:end]
            if end < at or so_far.get(name, value) != value:
                continue
            if number and not self.literals[number] and value and value[0] not in " ,;:(":
                continue  # a name right behind another is empty, or begins as something that goes on
            if last:
                yield {**so_far, name: value}
            else:
                yield from self._from(words, end + len(behind), number + 1, {**so_far, name: value})

    @staticmethod
    def _ends(words: str, at: int, behind: str) -> Iterator[int]:
        """Yield where a name may end: before what stands behind it, nearest first; before another name, farthest first."""
        if not behind:
            yield from (len(words) - back for back in range(len(words) - at + 1))
            return
        end = words.find(behind, at)
        while end >= 0:
            yield end
            end = words.find(behind, end + 1)


def _letters(words: str) -> int:
    return len(_LETTERS.findall(words))


@dataclass(frozen=True)
class Found:
    """A text in the other language, and how many letters of it stayed as they were."""

    text: str
    left: int = 0


def _whole(words: str, found: Found) -> Found:
    """Return what was found, or the sentence as it was where too much of it would stay."""
    return found if found.left <= MOST_LEFT * _letters(words) else Found(words, _letters(words))


def _sentence_by_sentence(message: str, said: str) -> list[tuple[str, str]]:
    """Return the sentences of a message with what each is, where there are as many and each asks for the same values."""
    english, told = _SENTENCES.split(message.strip()), _SENTENCES.split(said.strip())
    pairs = list(zip(english, told, strict=False))
    even = len(english) == len(told) > 1 and all(map(all, pairs))
    return pairs if even and all(set(_NAME.findall(one)) == set(_NAME.findall(other)) for one, other in pairs) else []


def _filled_in(said: str, inner: dict[str, Found]) -> str:
    """Return a message with what fills its names."""
    return _NAME.sub(lambda name: inner[name[1]].text if name[1] in inner else name[0], said)


class Said:
    """The sentences of one language. ``number`` gives a number its decimal sign."""

    def __init__(self, messages: Iterable[tuple[str, str]], decimal: str) -> None:
        self._decimal = decimal
        self._messages = [(message, said) for message, said in messages if message and said]
        self._messages += [
            (m.strip(), s.strip()) for m, s in self._messages if m.startswith(("  ", "\n"))
        ]  # a line's margin
        self._kept: dict[str, tuple[Found, int]] = {}  # what was found, and how deep it was looked for
        self._looked_up = 0
        self._messages += [pair for one in self._messages for pair in _sentence_by_sentence(*one)]

    @cached_property
    def _endings(self) -> tuple[tuple[str, str], ...]:
        """What goes on where something else ends: messages that begin with a space or a comma, the longest first."""
        known = ((message, said) for message, said in self._exact.items() if message[0] in " ,;" and len(message) > 2)
        return tuple(sorted(known, key=lambda one: -len(one[0])))

    @cached_property
    def _exact(self) -> dict[str, str]:
        return {message: said for message, said in reversed(self._messages) if not _NAME.search(message)}

    @cached_property
    def _patterns(self) -> tuple[Pattern, ...]:
        named = (Pattern(message, said) for message, said in self._messages if _NAME.search(message))
        return tuple(sorted((one for one in named if "".join(one.needed).strip()), key=lambda one: -one.letters))

    def text(self, words: str) -> str:
        """Return a sentence in this language; one of which too much would stay English stays so altogether."""
        return _whole(words, self._lines(words)).text

    def left(self, words: str) -> int:
        """Return how many letters of a sentence no message is known for."""
        return self._lines(words).left

    def _lines(self, words: str) -> Found:
        found = [self._from_the_top(line[:LONGEST]) for line in words.split("\n")]
        return Found(
            "\n".join(one.text for one in found) + words[LONGEST:] * (len(found) == 1), sum(one.left for one in found)
        )

    def _from_the_top(self, line: str) -> Found:
        """Return a whole line in this language; it is kept even where not all of it was looked for."""
        self._looked_up = 0
        self._kept = {} if len(self._kept) > MOST_KEPT else self._kept
        found = self.found(line)
        self._kept[line] = found, 0
        return found

    def found(self, words: str, deep: int = 0) -> Found:
        """Return a piece of a sentence in this language; ``deep`` counts the messages it stands in.

        What was left of it deep down, where no more is looked for, may be found higher up: there it is looked for anew.
        """
        kept = self._kept.get(words)
        if kept is not None and (not kept[0].left or kept[1] <= max(deep, RATHER_DEEP)):
            return kept[0]
        self._looked_up += 1
        if self._looked_up > MOST_LOOKED_UP:
            return Found(words, _letters(words))
        # what it is while it is looked up: a text in itself is no message
        self._kept[words] = Found(words, _letters(words)), deep
        found = self._look(words, deep)
        if self._looked_up > MOST_LOOKED_UP:  # it may be more than was found in so many looks
            del self._kept[words]
        else:
            self._kept[words] = found, deep
        return found

    def _look(self, words: str, deep: int) -> Found:
        known = self._known(words)
        if known is not None:
            return Found(known)
        bare = words.strip()
        if not bare or _NUMBER.fullmatch(bare) or _OWN_NAME.fullmatch(bare):
            return Found(words if _OWN_NAME.fullmatch(bare) else _POINT.sub(rf"\1{self._decimal}\2", words))
        if bare != words:
            inner, start = self.found(bare, deep), words.index(bare)
            return Found(words[:start] + inner.text + words[start + len(bare) :], inner.left)
        if deep >= MOST_DEEP:
            return Found(words, _letters(words))
        best = Found(words, _letters(words))
        for way in (
            self._by_strong_message,
            self._in_sentences,
            self._by_message,
            self._by_thin_message,
            self._in_parts,
        ):
            if best.left:
                other = way(words, deep)
                best = other if other.left < best.left else best
        return best

    def _known(self, words: str) -> str | None:
        """Return a message that stands whole; its first letter may be large or small."""
        exact = self._exact
        if words in exact:
            return exact[words]
        turned = words[:1].swapcase() + words[1:]
        if turned in exact:
            said = exact[turned]
            return said[:1].upper() + said[1:] if words[:1].isupper() else said
        return None

    def _by_strong_message(self, words: str, deep: int) -> Found:
        return self._matched(words, deep, lambda one: one.letters >= MANY_LETTERS)

    def _by_message(self, words: str, deep: int) -> Found:
        return self._matched(words, deep, lambda one: ENOUGH_LETTERS <= one.letters < MANY_LETTERS)

    def _by_thin_message(self, words: str, deep: int) -> Found:
        return self._matched(words, deep, lambda one: one.letters < ENOUGH_LETTERS)

    def _matched(self, words: str, deep: int, wanted: Callable[[Pattern], bool]) -> Found:
        best = Found(words, _letters(words))
        for said_as in (words, words[:1].swapcase() + words[1:]):
            for one in self._patterns:
                if not (wanted(one) and one.may_be(said_as)):
                    continue
                found = self._filled(one, said_as, deep)
                if found.left < best.left:
                    text = found.text[:1].upper() + found.text[1:] if words[:1].isupper() else found.text
                    best = Found(text, found.left)
                if not best.left:
                    return best
        return best

    def _filled(self, one: Pattern, words: str, deep: int) -> Found:
        """Return a message filled in with what fills its names here, in the split that leaves least."""
        best = Found(words, _letters(words))
        for filling in islice(one.fillings(words), MOST_FILLINGS):
            inner = {name: self._inner(one, name, value, deep) for name, value in filling.items()}
            left = sum(part.left for part in inner.values())
            if left < best.left:
                best = Found(_filled_in(one.said, inner), left)
            if not best.left:
                break
        return best

    def _inner(self, one: Pattern, name: str, value: str, deep: int) -> Found:
        label = _LABEL.match(value) if name in one.labels else None
        if label is not None:
            rest = self.found(value[label.end() :], deep + 1)
            return Found(label[0] + rest.text, rest.left)
        if name in TYPED and _TYPED_LIST.fullmatch(value):
            return Found(value)
        if name in one.quoted:
            known = self._known(value)
            return Found(value, _letters(value)) if known is None else Found(known)
        return self.found(value, deep + 1)

    def _in_sentences(self, words: str, deep: int) -> Found:
        parts = _SENTENCES.split(words)
        if len(parts) < 2:
            return Found(words, _letters(words))
        found = [_whole(part, self.found(part, deep + 1)) for part in parts]
        return Found(" ".join(one.text for one in found), sum(one.left for one in found))

    def _in_parts(self, words: str, deep: int) -> Found:
        """Return a list part by part, at the separator that leaves least; a mark that ends it or brackets stand aside."""
        best = Found(words, _letters(words))
        for ending, told in self._endings:
            if words.endswith(ending) and len(words) > len(ending):
                inner = self.found(words[: -len(ending)], deep + 1)
                best = Found(inner.text + told, inner.left) if inner.left < best.left else best
                break
        for start, end in (
            ("", "."),
            ("", ":"),
            ("(", ")"),
            ("", "?"),
            ("", ","),
            ("", "\N{HORIZONTAL ELLIPSIS}"),
            ("", ")"),
        ):
            if words.startswith(start) and words.endswith(end) and len(words) > len(start + end):
                inner = self.found(words[len(start) : len(words) - len(end)], deep)
                best = Found(start + inner.text + end, inner.left) if inner.left < best.left else best
        aside = _ASIDE.fullmatch(words)
        if aside is not None and best.left:
            found = [self.found(part, deep + 1) for part in aside.groups()]
            left = sum(part.left for part in found)
            best = Found(f"{found[0].text} ({found[1].text}){found[2].text}", left) if left < best.left else best
        for mark in SEPARATORS:
            if best.left and mark in words:
                between = self._known(mark) or mark
                other = self._joined(words.split(mark), mark, between, deep)
                best = other if other.left < best.left else best
                if best.left and words.count(mark) > 1:
                    head, _, tail = words.partition(mark)
                    halves = self._joined([head, tail], mark, between, deep)
                    best = halves if halves.left < best.left else best
        return best

    def _joined(self, parts: list[str], mark: str, between: str, deep: int) -> Found:
        """Return parts put together again; one that goes on where another ended may be known together with its mark."""
        text, left = "", 0
        for number, part in enumerate(parts):
            found = self.found(part, deep + 1)
            if number and found.left and mark.strip():
                whole = self.found(mark + part, deep + 1)
                if whole.left < found.left:
                    text, left = text + whole.text, left + whole.left
                    continue
            text, left = text + (between if number else "") + found.text, left + found.left
        return Found(text, left)
