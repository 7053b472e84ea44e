"""A name becomes a file on the shelf and nowhere else: shipped, the course's, one's own, and never a path."""

from __future__ import annotations

import re
import tomllib
from argparse import ArgumentParser
from pathlib import Path

import pytest

from sim.command.setting_options import add_setting_options, set_up_from
from sim.enlarger.equipment import EQUIPMENT_FILE, find_head, find_lens, head_digest, read_equipment
from sim.negative.develop import find_negative
from sim.negative.sleeve import find_sleeve
from sim.negative.variants import variant
from sim.paper.stock import find_stock, paper_digest, stock_names
from sim.printing.record_file import read_record
from sim.reading import OutsideError, ValueRefused
from sim.refusals import Refusal
from sim.scoring.exercise_file import find_exercise
from sim.shelf import NEGATIVE, PAPER, SHIPPED, Kind, Shelf

PACKAGE = Path(find_stock.__code__.co_filename).resolve().parents[1]
GLOSSY = PAPER.shipped / "glossy-rc-vc.toml"
FINDERS = {
    "paper": find_stock, "negative": find_negative, "sleeve": find_sleeve, "head": find_head, "lens": find_lens,
    "exercise": find_exercise, "paper digest": paper_digest, "head digest": head_digest,
}  # fmt: skip
NO_NAMES = (
    "", ".", "..", "/", "~", "-a", "A-paper", "glossy_rc", "glossy-rc-vc.toml", "./glossy-rc-vc", "../stocks/glossy-rc-vc",
    "glossy-rc-vc\n", "glossy-rc-vc ", "glossy-rc-vc\0", "a" * 65, "C:stock", "own:", "own:../x", "own:/etc/x", "own:own:x",
    "own:x.toml", "papér", "ｐａｐｅｒ", "a\u202eb", "file:///x", "CON.toml", "\ud800",
)  # fmt: skip


def laid(folder: Path, kind: Kind, name: str, old: str = "", new: str = "") -> Path:
    """Lay a paper or negative into a folder's place for its kind, with a change, and return its file."""
    source = GLOSSY if kind is PAPER else NEGATIVE.shipped / "step-wedge.toml"
    file = kind.file(folder / kind.folder, name)
    file.parent.mkdir(parents=True, exist_ok=True)
    text = source.read_text("utf-8")
    assert old in text
    file.write_text(text.replace(old, new, 1) if old else text, "utf-8")
    return file


@pytest.mark.parametrize("finder", FINDERS)
@pytest.mark.parametrize("name", NO_NAMES, ids=ascii)
def test_what_is_no_name_is_refused_before_a_path_is_made_of_it(
    finder: str, name: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    opened: list[object] = []
    read_equipment()
    monkeypatch.setattr("os.open", lambda path, *rest: opened.append(path) or 1 / 0)
    with pytest.raises(Refusal) as refused:
        FINDERS[finder](name)
    assert opened == []
    assert str(refused.value).isprintable()


@pytest.mark.parametrize("finder", ["paper", "negative", "sleeve", "head", "lens"])
def test_the_path_of_a_good_file_is_no_name(finder: str, tmp_path: Path) -> None:
    for file in (laid(tmp_path, PAPER, "mine"), laid(tmp_path, NEGATIVE, "mine"), EQUIPMENT_FILE):
        for text in (str(file), str(file.with_suffix("")), f"own:{file}"):
            with pytest.raises(ValueRefused, match="must be"):
                FINDERS[finder](text)


def test_shipped_comes_before_the_courses_and_ones_own_is_another_name(tmp_path: Path) -> None:
    course, own = tmp_path / "course", tmp_path / "own"
    title = next(line for line in GLOSSY.read_text("utf-8").splitlines() if line.startswith("title"))
    for folder, called in ((course, "the course's"), (own, "one's own")):
        laid(folder, PAPER, "glossy-rc-vc", title, f'title = "{called}"')
        laid(folder, PAPER, "thin-card", title, f'title = "{called}"')
    shelf = Shelf(course, own)
    shipped = find_stock("glossy-rc-vc")
    assert find_stock("glossy-rc-vc", shelf) is shipped
    assert (find_stock("thin-card", shelf).title, find_stock("thin-card", shelf).name) == ("the course's", "thin-card")
    mine = find_stock("own:thin-card", shelf)
    assert (mine.title, mine.name) == ("one's own", "own:thin-card")
    assert find_stock("own:glossy-rc-vc", shelf).title == "one's own"
    assert shelf.names(PAPER) == (*stock_names(), "thin-card", "own:glossy-rc-vc", "own:thin-card")


def test_a_marker_has_nothing_of_its_own(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("sim.shelf.own_folder", lambda: tmp_path)
    laid(tmp_path, PAPER, "thin-card")
    laid(tmp_path, NEGATIVE, "roll-3")
    assert find_stock("own:thin-card").name == "own:thin-card"
    assert find_negative("own:roll-3").name == "own:roll-3"
    for shelf in (SHIPPED, Shelf(course=tmp_path / "course")):
        for find, name in ((find_stock, "own:thin-card"), (find_negative, "own:roll-3"), (paper_digest, "own:thin-card")):
            with pytest.raises(ValueRefused, match="nobody's own"):
                find(name, shelf)
    with pytest.raises(ValueRefused, match="must be one of"):  # without own: before it, it is nobody's
        find_stock("thin-card")


def test_ones_own_negative_has_the_grain_and_the_variants_of_its_name(tmp_path: Path) -> None:
    laid(tmp_path, NEGATIVE, "step-wedge")
    shelf = Shelf(own=tmp_path)
    assert find_negative("own:step-wedge", shelf).digest == find_negative("step-wedge").digest
    assert find_sleeve("own:step-wedge~k7", shelf).name == "own:step-wedge~k7"
    for key in ("", "K7", "k7\n", "k/7", "../k", "k~7", "k" * 65):
        with pytest.raises(Refusal):
            find_sleeve(f"step-wedge~{key}")
        with pytest.raises(Refusal):
            variant(find_sleeve("step-wedge"), key)


def test_a_head_and_a_lens_of_ones_own_stand_in_a_file_each(tmp_path: Path) -> None:
    tables = tomllib.loads(EQUIPMENT_FILE.read_text("utf-8"))
    text = EQUIPMENT_FILE.read_text("utf-8")
    for kind, name in (("head", tables["head"][0]["name"]), ("lens", tables["lens"][0]["name"])):
        start = text.index(f"[[{kind}]]")
        end = min(at for at in (text.find("[[", start + 2), len(text)) if at > 0)
        part = text[start:end].replace(f"[[{kind}]]", f"[{kind}]")
        folder = tmp_path / {"head": "heads", "lens": "lenses"}[kind]
        folder.mkdir()
        (folder / "mine.toml").write_text(f"format = 1\n{part}", "utf-8")
        find = find_head if kind == "head" else find_lens
        mine, shipped = find("own:mine", Shelf(own=tmp_path)), find(name)
        assert (mine.name, mine.title) == ("own:mine", shipped.title)
        if kind == "head":
            assert head_digest("own:mine", Shelf(own=tmp_path)) == head_digest(name)
        with pytest.raises(ValueRefused):
            find("own:mine", SHIPPED)


def test_a_record_says_which_state_of_ones_own_head_was_meant(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("sim.shelf.own_folder", lambda: tmp_path)
    text = EQUIPMENT_FILE.read_text("utf-8")
    start = text.index("[[head]]")
    part = text[start : text.index("[[", start + 2)].replace("[[head]]", "[head]")
    (tmp_path / "heads").mkdir()
    (tmp_path / "heads" / "mine.toml").write_text(f"format = 1\n{part}", "utf-8")
    parser = ArgumentParser()
    add_setting_options(parser)
    usual, own = (
        set_up_from(parser.parse_args(["--negative", "step-wedge", *more]))[2].enlarger for more in ((), ("--head", "own:mine"))
    )
    assert (usual.head_digest, own.head_digest) == ("", head_digest("own:mine"))


def test_a_papers_digest_is_of_its_numbers(tmp_path: Path) -> None:
    shelf, digests = Shelf(own=tmp_path), {}
    density = re.search(r"(?m)^density = .*$", GLOSSY.read_text("utf-8"))
    assert density is not None
    laid(tmp_path, PAPER, "same")
    laid(tmp_path, PAPER, "titled", "title = ", "# a remark\ntitle = ")
    laid(tmp_path, PAPER, "other", density[0], "density = 0.0512")
    digests = {name: paper_digest(f"own:{name}", shelf) for name in ("same", "titled", "other")}
    assert digests["same"] == digests["titled"] == paper_digest("glossy-rc-vc")
    assert digests["other"] != digests["same"]
    assert len({paper_digest(name) for name in stock_names()}) == len(stock_names())


def test_what_is_typed_as_a_path_is_ones_own_for_that_run_alone(tmp_path: Path) -> None:
    file = laid(tmp_path, PAPER, "thin-card").rename(tmp_path / "My Thin_Card (2).toml")
    shelf, name = SHIPPED.with_typed(PAPER, str(file))
    assert name == "own:my-thin-card-2"
    assert find_stock(name, shelf).name == name
    with pytest.raises(ValueRefused):
        find_stock(name, SHIPPED)
    assert SHIPPED.with_typed(PAPER, "matt-fb-vc") == (SHIPPED, "matt-fb-vc")
    laid(tmp_path, PAPER, "kept")
    assert Shelf(own=tmp_path).with_typed(PAPER, "kept")[1] == "own:kept"


def test_a_link_out_of_the_shelf_is_not_followed(tmp_path: Path) -> None:
    outside = laid(tmp_path / "elsewhere", PAPER, "thin-card")
    own = tmp_path / "own" / PAPER.folder
    own.mkdir(parents=True)
    (own / "thin-card.toml").symlink_to(outside)
    with pytest.raises(OutsideError, match="link") as refused:
        find_stock("own:thin-card", Shelf(own=tmp_path / "own"))
    assert "elsewhere" not in str(refused.value)


def test_a_record_that_names_a_path_opens_nothing(tmp_path: Path) -> None:
    import json

    from sim.printing.record_file import record_data, write_record
    from sim.printing.setup import usual_setup

    record = usual_setup(find_negative("step-wedge"), find_stock("glossy-rc-vc"))
    write_record(tmp_path / "a.json", record)
    data = record_data(record)
    data["negative"] = str(laid(tmp_path, NEGATIVE, "roll-3"))
    (tmp_path / "b.json").write_text(json.dumps(data), "utf-8")
    assert find_negative(read_record(tmp_path / "a.json").negative).name == "step-wedge"
    with pytest.raises(ValueRefused, match="must be one of"):
        find_negative(read_record(tmp_path / "b.json").negative)


# the shelf itself; the sleeve of a scan, written where it is asked for; derived claims beside all sleeves; a trial in a refusal
NOT_BY_NAME = {"sim/shelf.py", "sim/negative/scan_sleeve.py", "sim/workshop/derive/run.py", "sim/scoring/trial.py",
               "sim/marking/gradebook.py"}  # fmt: skip


def test_nothing_but_the_shelf_makes_a_path_of_a_things_name() -> None:
    """A folder joined with a name and its ending, or asked for all its things, stands in one file of the program."""
    made = re.compile(r"""/ f["'][^"']*\{[^}]*\}\.toml|(STOCK|SLEEVE|FILM)_FOLDER(\.glob| /)""")
    assert made.search('(SLEEVE_FOLDER / f"{name}.toml")')
    found = [
        f"{file.relative_to(PACKAGE.parent).as_posix()}: {line.strip()}"
        for file in sorted(PACKAGE.rglob("*.py"))
        for line in file.read_text("utf-8").splitlines()
        if made.search(line)
    ]
    assert [one for one in found if one.split(":")[0] not in NOT_BY_NAME] == []
