"""The light table that all tests share: a negative is developed once in a run and lies there for whoever prints from it next.

Processes of one run share a folder, so that what one has developed the others find; a large one is mapped from the disk, so
that its memory is the system's to take back. What a process has in hand it keeps, bounded by bytes. A fork, in which a law may
have been changed on its way, lays nothing there and takes nothing.

Where nothing hangs on how fine a picture is, negatives are small by day: shipped ones as squares of their pixels let light
through; variants, of which a test may draw dozens, are developed from fewer pixels of their scene.
"""

from __future__ import annotations

import hashlib
import os
import pickle
import shutil
import tempfile
from collections.abc import Callable
from contextlib import suppress
from dataclasses import replace
from pathlib import Path
from typing import TypeVar
from unittest import mock

import numpy as np
from night import NIGHT

import sim.negative.develop as developing
from sim.bounded_store import MEGABYTE, KeptWithin
from sim.negative.film import find_film
from sim.negative.negative import Negative
from sim.negative.scene_file import read_scene_codes
from sim.negative.sleeve import find_sleeve
from sim.negative.sleeve_contents import Sleeve
from sim.negative.targets import TARGETS
from sim.shelf import OWN, VARIANT_MARK, Shelf

Thing = TypeVar("Thing")
DEVELOPED_ANEW = frozenset(
    {"negative", "enlarger", "laws", "oracle", "published", "golden", "conventions", "wrong", "packaging"}
)
WEIGHS_MEMORY = frozenset({"test_random_events.py", "test_memory.py"})
PRINTED_SMALL = frozenset(
    {"window", "command", "notebook", "bench", "teaching", "evening", "test_texts.py", "test_burns_past_a_card.py"}
)
MAPPED_FROM_BYTES = 12 * MEGABYTE
LONG_PX = 1000

_shared, _small = [True], [False]  # while tests are collected, too: many hold a negative ready
_folder: list[Path] = []  # of this process, where it has others beside it
_whose = os.getpid()
_in_hand: KeptWithin[Negative] = KeptWithin(560 * MEGABYTE)  # all that are shipped
_as_the_program_does = developing.find_negative


def lay_out_for(file: Path | None) -> None:
    """Lay out the negatives that the tests of a file may have; for none, those that are shared, as they are shipped."""
    treated = {file.parent.name, file.name} if file else set()
    _shared[0] = DEVELOPED_ANEW.isdisjoint(treated) and WEIGHS_MEMORY.isdisjoint(treated)
    _small[0] = not PRINTED_SMALL.isdisjoint(treated) and not NIGHT


def laid_out_for_many() -> str:
    """Make the folder that the processes of a run share, once; return where it is."""
    if not _folder:
        _folder.append(Path(tempfile.mkdtemp(prefix="tonewright-light-table-")))
    return str(_folder[0])


def take_place_at(folder: str) -> None:
    """Share the folder that another process has made."""
    _folder[:] = [Path(folder)]


def clear() -> None:
    """Put everything away at the end of a run."""
    while _folder:
        shutil.rmtree(_folder.pop(), ignore_errors=True)


def once_a_run(key: str, make: Callable[[], Thing]) -> Thing:
    """Return what any process of this run has made under a key, or make it."""
    if not _folder or os.getpid() != _whose:
        return make()
    place = _folder[0] / hashlib.sha256(key.encode()).hexdigest()
    if not place.is_dir():
        made = make()
        try:
            _lay(place, made)
        except OSError:  # no room on the disk: others make their own
            return made
    taken: Thing = _taken(place)
    return taken


def _lay(place: Path, made: object) -> None:
    """Lay something down whole: beside its place first, for another process may be at the same."""
    arrays: list[pickle.PickleBuffer] = []
    data = pickle.dumps(made, protocol=5, buffer_callback=arrays.append)
    beside = Path(tempfile.mkdtemp(dir=place.parent))
    (beside / "thing.pickle").write_bytes(data)
    for number, array in enumerate(arrays):
        (beside / f"{number}.array").write_bytes(array.raw())
    with suppress(OSError):  # it was laid there meanwhile
        beside.rename(place)
    if not place.is_dir():
        raise OSError(f"nothing came to lie at {place}")


def _taken(place: Path) -> Thing:
    data, arrays = (place / "thing.pickle").read_bytes(), []
    for number in range(len(list(place.glob("*.array")))):
        file = place / f"{number}.array"
        large = file.stat().st_size >= MAPPED_FROM_BYTES
        arrays.append(np.memmap(file, mode="r") if large else np.fromfile(file, np.uint8))
    taken: Thing = pickle.loads(data, buffers=arrays)
    return taken


def find_negative(name: str, shelf: Shelf | None = None) -> Negative:
    """Return a negative as it was developed before, as long as its sleeve and film say the same; a scan is read anew."""
    sleeve = find_sleeve(name, shelf) if _shared[0] and not name.startswith(OWN) else None
    if sleeve is None or sleeve.scan is not None:
        return _as_the_program_does(name, shelf)
    key = repr((sleeve, find_film(sleeve.film)))
    if not _small[0] or sleeve.scene in TARGETS or not sleeve.scene:
        return _on_the_table(key, lambda: developing.develop(sleeve))
    if VARIANT_MARK in name:
        return _on_the_table(f"from a small scene {key}", lambda: _of_a_small_scene(sleeve))
    return _on_the_table(f"small {key}", lambda: _made_small(developing.develop(sleeve)))


def _on_the_table(key: str, make: Callable[[], Negative]) -> Negative:
    return _in_hand.keep(key, lambda: _unchanging(once_a_run(key, make)))


def _made_small(negative: Negative) -> Negative:
    """Return a negative whose pixels let through what squares of them did."""
    rows, cols = negative.silver_density.shape
    side = max(1, max(rows, cols) // LONG_PX)
    kept = negative.silver_density[: rows // side * side, : cols // side * side]
    through = (10.0**-kept).reshape(rows // side, side, cols // side, side).mean((1, 3), dtype=np.float64)
    return replace(negative, silver_density=(-np.log10(through)).astype(np.float32))


def _of_a_small_scene(sleeve: Sleeve) -> Negative:
    """Return a negative of every so-manieth pixel of its scene, with the digest of the whole."""
    whole = read_scene_codes(sleeve.scene)
    side = max(1, max(whole[0].shape) // LONG_PX)
    fewer = (np.ascontiguousarray(whole[0][side // 2 :: side, side // 2 :: side]), *whole[1:])
    with mock.patch.object(developing, "read_scene_codes", return_value=fewer):
        negative = developing.develop(sleeve)
    return replace(negative, digest=developing.digest_of(sleeve, find_film(sleeve.film), whole[0]))


def _unchanging(negative: Negative) -> Negative:
    negative.silver_density.setflags(write=False)  # who wrote on it would change another test's negative
    return negative
