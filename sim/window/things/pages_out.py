"""Pages to take along: written where the learner says, beside the window's own work, and shown when they are there."""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction
from pathlib import Path
from typing import TypeVar

import platformdirs

from sim.bench.darkroom import Darkroom
from sim.bench.own_papers import FoundPaper, plain_name_of, title_of
from sim.notebook.darkroom_page import save_page
from sim.notebook.page_by_locale import page_by_locale
from sim.refusals import Refused
from sim.window.standing.room import OneRoom
from sim.words_page import pages_in

Made = TypeVar("Made")
Back = Callable[[], object]
LONGEST_BASE_S = 35.0  # base times of the page of seconds must leave room for four stops more (600 s is the longest)


def folder_for(room: OneRoom) -> Path:
    """Return where pages go: where they went last, else the documents of this account."""
    return Path(room.preferences.exports) if room.preferences.exports else Path(platformdirs.user_documents_path())


def page_for(room: OneRoom) -> tuple[str, bool]:
    """Return the paper that pages are printed on, and whether in the larger type."""
    return room.preferences.page or page_by_locale(), room.preferences.large_type


def _free(folder: Path, stem: str, endings: tuple[str, ...]) -> list[Path]:
    """Return files of a name that takes nobody's place. Raises Refused for a folder that is none."""
    if folder.exists() and not folder.is_dir():
        raise Refused(f"pages must go into a folder, got the file {str(folder)!r}")
    number = 1
    while True:
        name = stem if number == 1 else f"{stem}-{number}"
        files = [folder / f"{name}{ending}" for ending in endings]
        if not any(file.exists() for file in files):
            return files
        number += 1


def _shown(room: OneRoom, picture: Path, written: Path, back: Back) -> None:
    """Show what was written, and say where."""
    from sim.window.things.shown_page import ShownPage

    room.wanted_over = lambda: ShownPage(room, picture, written, back)


def map_of(room: OneRoom, dark: Darkroom, number: int, back: Back) -> None:
    """Write a sheet's printing map, as a page to print and as a picture."""
    from sim.notebook.printing_map import write_map

    record = dark.wall.record(number)
    pdf, png = _free(folder_for(room), f"map-{_plain(record.negative)}-{number:02d}", (".pdf", ".png"))

    page = page_for(room)

    def job() -> Path:
        write_map(record, pdf, *page)
        write_map(record, png, *page)
        return png

    room.later(_in_language(room, job), lambda made: _shown(room, made, pdf, back), room.line("drawing map"))


def evening(room: OneRoom, dark: Darkroom, back: Back) -> None:
    """Write every leaf of an evening: a page for a browser, prints, records and a table."""
    from sim.notebook.notebook import export

    sheets = [made.number for made in dark.evening.state.sheets if made.record.development.time_s > 0.0]
    if not sheets:
        raise Refused(room.line("notebook empty"))
    (folder,) = _free(folder_for(room), f"evening-{int(dark.folder.name):02d}", ("",))
    where = dark.folder

    def job() -> Path:
        looked = Darkroom.look(where)  # its own: the one under way is worked on meanwhile
        return export(looked.evening.state, looked.wall.picture, folder)

    picture = folder / "prints" / f"sheet-{sheets[-1]:02d}.png"
    room.later(_in_language(room, job), lambda index: _shown(room, picture, index, back), room.line("writing evening"))


def proof(room: OneRoom, negatives: list[str], back: Back) -> None:
    """Print a roll's proof sheet at one time, as a page to print and as a picture, and lay it out to be marked."""
    from sim.bench.proof_of_roll import RollProof, proof_roll
    from sim.notebook.proof_page import Box
    from sim.notebook.worth_printing import marked_frames
    from sim.window.things.proof_sheet import ProofSheet

    if not negatives:
        raise Refused(room.line("notebook empty"))
    now, title = room.darkroom.desk.now, room.line("proof title")
    pdf, png = _free(folder_for(room), "proof", (".pdf", ".png"))
    page, marked = page_for(room), marked_frames(room.folder)

    def job() -> tuple[RollProof, tuple[Box, ...], bytes]:
        made = proof_roll(negatives, now, title, (pdf, png), *page)
        return made, made.write(marked), made.without_rings()

    def show(made: tuple[RollProof, tuple[Box, ...], bytes]) -> None:
        room.wanted_over = lambda: ProofSheet(room, *made, back)

    room.later(_in_language(room, job), show, room.line("printing proof"))


def recipe(room: OneRoom, of_paper: bool, back: Back) -> None:
    """Write the page that says what to print and read for one's own paper, or enlarger."""
    from sim.notebook.enlarger_recipe_page import enlarger_recipe
    from sim.notebook.wedge_recipe_page import wedge_recipe

    pdf, png = _free(folder_for(room), "wedge-recipe" if of_paper else "enlarger-recipe", (".pdf", ".png"))
    page = page_for(room)

    def job() -> Path:
        pages = (wedge_recipe if of_paper else enlarger_recipe)(*page)
        save_page(pages, pdf)
        save_page(pages, png)
        return png

    room.later(_in_language(room, job), lambda made: _shown(room, made, pdf, back), room.line("writing times"))


def own_paper(room: OneRoom, found: FoundPaper, name: str, back: Back) -> None:
    """Write the page of curves of a paper of one's own."""
    title, page = title_of(plain_name_of(name)), page_for(room)
    pdf, png = _free(folder_for(room), f"{name}-paper", (".pdf", ".png"))

    def job() -> Path:
        pages = found.page(title, *page)
        save_page(pages, pdf)
        save_page(pages, png)
        return png

    room.later(_in_language(room, job), lambda made: _shown(room, made, pdf, back), room.line("writing times"))


def times(room: OneRoom, back: Back) -> None:
    """Write the page of seconds by stops for the time on the timer, as it is on this enlarger."""
    from sim.notebook.times_page import times_page

    desk = room.darkroom.desk
    head = desk.bench.head
    base_s = min(LONGEST_BASE_S, round(desk.now.time_s, 1))
    pdf, png = _free(folder_for(room), "seconds-by-stops", (".pdf", ".png"))
    size, large = page_for(room)

    def job() -> Path:
        page = times_page([base_s], Fraction(1, 3), head, size, large)
        save_page(page, pdf)
        save_page(page, png)
        return png

    room.later(_in_language(room, job), lambda made: _shown(room, made, pdf, back), room.line("writing times"))


def _in_language(room: OneRoom, job: Callable[[], Made]) -> Callable[[], Made]:
    """Return work whose pages are written in the window's language."""
    words = room.words

    def done() -> Made:
        with pages_in(words):
            return job()

    return done


def _plain(negative: str) -> str:
    return negative.replace("own:", "").replace("~", "-")
