"""The class page and a learner's page in a real browser: no findings of an open checker, nothing cut off at any width.

Needs Chromium and the extra ``browser``; where they are not, it is passed over and says so. With TONEWRIGHT_PICTURES a
folder is given the pictures of what was looked at.
"""

from __future__ import annotations

import importlib.util
import os
import shutil
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from at_once import marked
from class_room import COURSE, class_room
from night import NIGHT

from sim.marking.outputs import write_outputs

HAS_CHECKER = all(importlib.util.find_spec(name) for name in ("playwright", "axe_playwright_python"))
BROWSER = next((found for name in ("chromium", "chromium-browser") if (found := shutil.which(name))), "")
pytestmark = pytest.mark.skipif(
    not (HAS_CHECKER and BROWSER), reason="needs the extra `browser` and Chromium: nothing was looked at in a browser"
)
LONG = "Maximiliana Wolkenstein-Hohenlinden zu Unterwellenborn"
WIDTHS_PX = (390, 768, 1280)
SIDES = ("top", "bottom", "left", "right")
A4_PX = (794, 1123)  # at 96 to the inch
TABLES = {
    "comments": "learner,exercise,about,says\nk01,grey-steps,middle-grey,The edge of the card shows here.\n",
    "review": "learner,exercise,decision,points,reason,private\nk03,grey-steps,partial,40,the lamp failed,not for them\n",
}
EYE = '\n[[exercise.by_eye]]\nname = "light"\nasks = "Does the light come through?"\npoints = 20.0\n'


@pytest.fixture(scope="module")
def pages(tmp_path_factory: pytest.TempPathFactory) -> dict[str, Path]:
    """The pages of a small class: long names, strips of work, a missing one, a file that needs a person, an exam beside."""
    room = class_room(tmp_path_factory.mktemp("browser") / "course", roster=("k01", "k02", "k03", "k04", "k05"))
    keys = "".join(f'{key} = "{key}.csv"\n' for key in TABLES)
    for key, table in TABLES.items():
        (room.folder / f"{key}.csv").write_text(table, "utf-8")
    text = COURSE.replace("{variants}", "false").replace("[[exercise]]", f"{keys}[[exercise]]")
    more = ""
    for name in ("more-steps", "and-more", "held-steps"):
        shutil.copytree(room.folder / "grey-steps", room.folder / name)
        exam = "exam = true\n" if name == "held-steps" else ""
        more += f'\n[[exercise]]\nfolder = "{name}"\ndue = 2026-12-08T18:00:00\n{exam}'
    room.course.write_text(text + EYE + more, "utf-8")
    roster = room.folder / "roster.csv"
    roster.write_text(roster.read_text("utf-8").replace("Place к01", LONG), "utf-8")
    for learner, times in (("k01", (3.0, 5.0, 7.0, 7.5)), ("k02", (8.0,)), ("k04", (9.0, 7.0))):
        room.hand(learner, times=times)
    for name in ("more-steps", "and-more", "held-steps"):
        file = f"a-very-long-name-of-a-file-that-a-system-made-{name}.evening"
        room.hand("k01", file, (6.0, 7.0), opening={"exercise": name})
    room.hand("k02", "again.evening", times=(6.0, 7.6), seed=11)
    (room.box / "damaged-and-with-a-name-that-does-not-break.evening").write_bytes(b"{}")
    outcome = marked(room)
    write_outputs(outcome, room.folder / "marks", None)
    return {"class": room.folder / "marks" / "class.html", "learner": room.folder / "marks" / "pages" / "k01.html"}


@pytest.fixture(scope="module")
def browser() -> Iterator[Any]:
    from playwright.sync_api import sync_playwright

    with sync_playwright() as player:
        opened = player.chromium.launch(executable_path=BROWSER, args=["--no-sandbox"])
        yield opened
        opened.close()


def looked_at(page: Any, name: str) -> None:
    """Keep a picture for people where a folder is given."""
    if folder := os.environ.get("TONEWRIGHT_PICTURES"):
        page.screenshot(path=str(Path(folder) / f"{name}.png"), full_page=True)


SIGHTS = [(width, scheme) for width in WIDTHS_PX for scheme in ("light", "dark")]


@pytest.mark.parametrize(("width", "scheme"), SIGHTS if NIGHT else [(WIDTHS_PX[0], "dark"), (WIDTHS_PX[-1], "light")])
@pytest.mark.parametrize("which", ["class", "learner"])
def test_the_checker_finds_nothing_and_nothing_is_wider_than_the_window(
    which: str, width: int, scheme: str, pages: dict[str, Path], browser: Any
) -> None:
    from axe_playwright_python.sync_playwright import Axe

    page = browser.new_page(viewport={"width": width, "height": 900}, color_scheme=scheme)
    page.goto(pages[which].as_uri())
    page.evaluate("document.querySelectorAll('details').forEach(d => d.open = true)")
    looked_at(page, f"{which}-{width}-{scheme}")
    found = Axe().run(page).response["violations"]
    said = [(one["id"], node["target"], node.get("failureSummary", "")) for one in found for node in one["nodes"]]
    wide = page.evaluate("document.documentElement.scrollWidth")
    page.close()
    assert not said
    assert wide <= width


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_on_a_narrow_screen_only_the_whole_class_has_to_be_pushed_aside(
    scheme: str, pages: dict[str, Path], browser: Any
) -> None:
    page = browser.new_page(viewport={"width": WIDTHS_PX[0], "height": 900}, color_scheme=scheme)
    cut = {}
    for which in pages:
        page.goto(pages[which].as_uri())
        page.evaluate("document.querySelectorAll('details').forEach(d => d.open = true)")
        cut[which] = page.evaluate(
            "[...document.querySelectorAll('.wide')].filter(e => e.scrollWidth > e.clientWidth + 1).map(e => e.ariaLabel)"
        )
    page.close()
    assert cut == {"class": ["The class by id", "The class by name", "The class by total"], "learner": []}


def test_in_the_dark_how_near_a_reading_lies_stands_light_on_dark(pages: dict[str, Path], browser: Any) -> None:
    page = browser.new_page(viewport={"width": WIDTHS_PX[-1], "height": 900}, color_scheme="dark")
    page.goto(pages["learner"].as_uri())
    ground, mark, wide = page.evaluate(
        "(() => { const g = document.querySelector('.gauge'), c = g.querySelector('circle');"
        " return [getComputedStyle(g).backgroundColor, getComputedStyle(c).fill, c.getBoundingClientRect().width] })()"
    )
    page.close()
    assert ground == "rgba(0, 0, 0, 0)"
    assert mark == "rgb(251, 250, 247)"
    assert wide > 8.0  # of 8.4: as large as in the light


@pytest.mark.parametrize("which", ["class", "learner"])
def test_printed_on_paper_nothing_that_belongs_together_is_taller_than_a_page(
    which: str, pages: dict[str, Path], browser: Any
) -> None:
    page = browser.new_page(viewport={"width": A4_PX[0] - 96, "height": A4_PX[1] - 96})
    page.goto(pages[which].as_uri())
    page.emulate_media(media="print")
    looked_at(page, f"{which}-print")
    whole = page.evaluate(
        "[...document.querySelectorAll('*')].filter(e => getComputedStyle(e).breakInside === 'avoid')"
        ".map(e => [e.tagName + '.' + e.className, e.getBoundingClientRect().height])"
    )
    if folder := os.environ.get("TONEWRIGHT_PICTURES"):
        page.pdf(path=str(Path(folder) / f"{which}.pdf"), format="A4", margin=dict.fromkeys(SIDES, "12mm"))
    page.close()
    kept = {name for name, _ in whole}
    assert {"FIGURE.", "TR."} <= kept
    assert max(height for _, height in whole) < A4_PX[1] - 96
