"""The shelf: how a name becomes a file. What is shipped, what lies beside a course, what is one's own, in that order.

Nothing else in the program makes a path of a name. A name is looked at before any path is made of it, and must be that of
a file which really lies there. What is one's own is called ``own:NAME`` wherever it is written down, so that nobody's own
paper ever passes for a shipped one. A marker has nothing of its own: its shelf holds what is shipped and the course's.
A file that the person at the keyboard names by its path is laid on the shelf for that one run, under such a name.
"""

from __future__ import annotations

import hashlib
import json
import os
import re
from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import lru_cache
from pathlib import Path
from typing import Any

from sim.reading import FileRefused, Problem, ValueRefused, data_folder, shown
from sim.refusals import Refused

OWN = "own:"
VARIANT_MARK = "~"  # morning-shelf~k7 is the variant k7 of the negative morning-shelf

_NAME = re.compile(r"(?P<own>own:)?(?P<bare>[a-z0-9][a-z0-9-]{0,63})", re.ASCII)
_KEY = re.compile(r"[a-z0-9][a-z0-9-]{0,63}", re.ASCII)
# Names that one widespread system keeps for its devices, with or without a suffix.
RESERVED = frozenset({"con", "prn", "aux", "nul", *(f"{port}{n}" for port in ("com", "lpt") for n in range(1, 10))})
_PACKAGE = Path(__file__).resolve().parent


@dataclass(frozen=True)
class Kind:
    """A kind of thing on the shelf: its ``word`` in refusals, its ``folder`` beside a course or among one's own.

    One thing is one file ``NAME.toml``, or with ``inside`` a folder of that name with that file in it. ``shipped`` is where
    the program keeps those that come with it.
    """

    word: str
    folder: str
    shipped: Path
    inside: str = ""
    ending: str = ".toml"

    def file(self, folder: Path, bare: str) -> Path:
        """Return where a thing of that name lies in a folder."""
        return folder / bare / self.inside if self.inside else folder / f"{bare}{self.ending}"

    def lying_in(self, folder: Path) -> tuple[str, ...]:
        """Return the names of what lies in a folder, sorted; what is not called as a thing on the shelf is passed over."""
        found = folder.glob(f"*/{self.inside}") if self.inside else folder.glob(f"*{self.ending}")
        names = (file.parent.name if self.inside else file.name.removesuffix(self.ending) for file in found)
        return tuple(sorted(name for name in names if is_plain(name)))


PAPER = Kind("paper", "papers", _PACKAGE / "paper" / "stocks")
NEGATIVE = Kind("negative", "negatives", _PACKAGE / "negative" / "sleeves")
FILM = Kind("film", "films", _PACKAGE / "negative" / "films")
HEAD = Kind("head", "heads", _PACKAGE / "enlarger" / "heads")  # those that are shipped stand together in equipment.toml
LENS = Kind("lens", "lenses", _PACKAGE / "enlarger" / "lenses")
EXERCISE = Kind("exercise", "exercises", data_folder("lessons"), inside="exercise.toml")
SCENE = Kind("scene", "scenes", data_folder("assets_generated") / "scenes", ending=".png")


@lru_cache(maxsize=16)
def shipped_names(kind: Kind) -> tuple[str, ...]:
    """Return the names of what comes with the program, sorted."""
    return kind.lying_in(kind.shipped)


def is_plain(name: str) -> bool:
    """Tell whether a word is the plain name of something: small letters, digits and hyphens, 64 at most, and no device's."""
    return bool(_KEY.fullmatch(name)) and name not in RESERVED


def is_variant_key(key: str) -> bool:
    """Tell whether a word may follow the mark of a variant."""
    return bool(_KEY.fullmatch(key))


def data_of_ones_own() -> Path:
    """Return the folder of this account in which evenings, progress and what is one's own are kept.

    Raises Refused where no home is known, so that nothing is kept in whatever folder one happens to stand in.
    """
    import platformdirs

    found = platformdirs.user_data_path("tonewright", appauthor=False)
    if not found.is_absolute():
        raise Refused(f"a home folder must be known for this account, to keep evenings in, got none (looked for {found})")
    return found


def own_folder() -> Path:
    """Return the folder in which one's own papers, negatives, heads and lenses lie."""
    return data_of_ones_own() / "shelf"


@dataclass(frozen=True)
class Shelf:
    """Where names are looked up. ``course`` is the folder of a course file; ``own`` one's own folder, None: there is none.

    ``typed`` holds what the person at the keyboard named by a path for this run: word of its kind, name, file.
    """

    course: Path | None = None
    own: Path | None = None
    typed: tuple[tuple[str, str, Path], ...] = ()

    def names(self, kind: Kind) -> tuple[str, ...]:
        """Return everything of a kind: what is shipped, the course's, one's own, each sorted."""
        shipped = shipped_names(kind)
        beside = kind.lying_in(self.course / kind.folder) if self.course else ()
        own = kind.lying_in(self.own / kind.folder) if self.own else ()
        typed = tuple(name for word, name, _ in self.typed if word == kind.word)
        return tuple(dict.fromkeys((*shipped, *beside, *typed, *(f"{OWN}{name}" for name in own))))

    def find(self, kind: Kind, name: str) -> Path | None:
        """Return the file of a name, None where there is none of that name. No path is made of what is no name."""
        asked = _NAME.fullmatch(name)
        if asked is None:
            return None
        bare = asked["bare"]
        if asked["own"]:
            typed = next((file for word, called, file in self.typed if (word, called) == (kind.word, name)), None)
            return typed or (_lies_in(kind, self.own / kind.folder, bare) if self.own else None)
        if bare in shipped_names(kind):
            return kind.file(kind.shipped, bare)
        return _lies_in(kind, self.course / kind.folder, bare) if self.course else None

    def file(self, kind: Kind, name: str, known: tuple[str, ...] = ()) -> Path:
        """Return the file of a name. Raises ValueRefused naming what there is (``known`` adds names kept elsewhere)."""
        found = self.find(kind, name)
        if found is None:
            raise self.refusal(kind, name, known)
        return found

    def refusal(self, kind: Kind, name: str, known: tuple[str, ...] = ()) -> ValueRefused:
        """Return the refusal of a name that is not on the shelf: what there is, and never where."""
        if name.startswith(OWN) and self.own is None:
            rule = "must be one that everybody has, or the course's, and nobody's own"
        elif name.startswith(OWN) and self.own is not None:
            rule = f"must be {OWN} and the name of a file in {self.own / kind.folder}"
        else:
            there = [one for one in dict.fromkeys((*known, *self.names(kind))) if not one.startswith(OWN)]
            rule = f"must be one of {', '.join(there) or 'none yet'}"
        return ValueRefused(plainly(name), [Problem(kind.word, rule, repr(name)[:80])])

    def with_typed(self, kind: Kind, text: str) -> tuple[Shelf, str]:
        """Return the shelf and the name for what was typed on the command line: a name, or the path of a file.

        A path is laid on the shelf as ``own:NAME`` for this run; a name that only one's own shelf holds gets its ``own:``.
        """
        if text.endswith(kind.ending) or os.sep in text or (os.altsep and os.altsep in text):
            name = OWN + name_for(Path(text).stem)
            kept = tuple(one for one in self.typed if one[:2] != (kind.word, name))
            return replace(self, typed=(*kept, (kind.word, name, Path(text)))), name
        if self.find(kind, text) is None and self.find(kind, OWN + text) is not None:
            return self, OWN + text
        return self, text


SHIPPED = Shelf()  # what everybody has; a marker's shelf without a course


def own_shelf() -> Shelf:
    """Return the shelf of a person at work by themselves: what is shipped, and what is their own where they have a home."""
    try:
        return Shelf(own=own_folder())
    except Refused:
        return SHIPPED


def shelf_for(name: str, shelf: Shelf | None) -> Shelf:
    """Return the shelf to look a name up on: the one given, else what is shipped, with one's own only for ``own:NAME``."""
    if shelf is not None:
        return shelf
    return own_shelf() if name.startswith(OWN) else SHIPPED


def split_variant(name: str) -> tuple[str, str]:
    """Return the name of a negative and the key of its variant, empty where it is none."""
    bare, _, key = name.partition(VARIANT_MARK)
    return bare, key


def name_for(text: str) -> str:
    """Return a plain name for a file called as people call files."""
    plain = re.sub(r"[^a-z0-9]+", "-", text.lower(), flags=re.ASCII).strip("-")[:48].strip("-")
    return f"{plain}-1" if plain in RESERVED else plain or "typed"


def plainly(name: str) -> str:
    """Return a name that was refused as it may stand before a refusal: printable, short, no path of anybody's disk."""
    return shown(name)[1:-1][:80] or "no name"


def digest_of_numbers(data: Mapping[str, Any]) -> str:
    """Return the SHA-256 of what a paper's or a head's file says, whatever it is titled, its sources, how sure it is.

    Two files with the same numbers are the same paper; a remark or another order of lines does not make another one.
    """
    apart = ("format", "name", "title", "sources", "uncertainty", "error")
    kept = {key: value for key, value in data.items() if key not in apart}
    text = json.dumps(_as_floats(kept), sort_keys=True, ensure_ascii=True, allow_nan=False)
    return hashlib.sha256(text.encode("ascii")).hexdigest()


def _as_floats(value: Any) -> Any:
    """Return data with every number a float: 2 and 2.0 are the same reading."""
    if isinstance(value, Mapping):
        return {str(key): _as_floats(inner) for key, inner in value.items()}
    if isinstance(value, list | tuple):
        return [_as_floats(inner) for inner in value]
    return float(value) if isinstance(value, int) and not isinstance(value, bool) else value


def _lies_in(kind: Kind, folder: Path, bare: str) -> Path | None:
    """Return the file of a plain name in a folder, when one of exactly that name really lies there.

    On disks that know no capitals a file is found under other names too; here it has one name. Links that lead out of
    the folder are not followed.
    """
    if bare not in kind.lying_in(folder):
        return None
    file = kind.file(folder, bare)
    if not file.resolve().is_relative_to(folder.resolve()):
        raise FileRefused(plainly(bare), [Problem(kind.word, "must lie in its folder itself", "a link that leads out of it")])
    return file
