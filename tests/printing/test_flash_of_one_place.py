"""A flash of one place only: its strip from the command, its steps, what the hole keeps dark, and what the map says of it."""

from __future__ import annotations

import itertools
import json
from pathlib import Path

import pytest

from sim.command.main import main
from sim.enlarger.settings import set_up
from sim.negative.develop import find_negative
from sim.notebook.map_steps import steps_of
from sim.paper.stock import find_stock
from sim.printing.card_work import burnt_in
from sim.printing.make_print import make_print
from sim.printing.record import Exposure
from sim.printing.record_file import read_record
from sim.printing.setup import usual_setup
from sim.printing.strip_agreement import disagreement
from sim.refusals import OutsideError
from sim.viewing.strip_reading import shown_in_every_step, steps_read

BASE = ["--negative", "racks-thin", "--at", "far-jugs", "--way", "local-flash", "--first", "4", "--steps", "4"]
PAST = ["--over", "2:0.6", "--through", "40:height=80"]


@pytest.fixture(autouse=True)
def _here(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)


def test_every_step_shows_the_place_darker_by_its_flash_alone(tmp_path: Path) -> None:
    assert main(["strip", *BASE, *PAST, "--save-record", "s.json", "-o", "s.png"]) == 0
    record = read_record(tmp_path / "s.json")
    negative = find_negative("racks-thin")
    assert disagreement(record) is None
    assert record.strip is not None
    assert (record.strip.way, record.strip.through, record.strip.dimmed_stops) == ("local-flash", "open", 5.0)
    assert shown_in_every_step(negative, record) == ("far-jugs",)
    reads = [one.density for one in steps_read(negative, record, make_print(negative, record, find_stock("glossy-rc-vc")))]
    rises = [b - a for a, b in itertools.pairwise(reads)]
    assert all(rise > 0.005 for rise in rises), reads
    flashes = [e for e in record.exposures if e.through == "open"]
    assert [len(e.cards) for e in flashes] == [2, 2, 2, 2], "the slot, and the hole above it"
    assert [len(e.cards) for e in record.exposures if e.through == "negative"] == [1, 1, 1, 1]


def test_a_record_that_says_another_way_than_its_light_is_refused(tmp_path: Path) -> None:
    assert main(["strip", *BASE, *PAST, "--save-record", "s.json", "-o", "s.png"]) == 0
    told = json.loads((tmp_path / "s.json").read_text())
    for way in ("burn", "same-place", "flash"):
        told["strip"]["way"] = way
        (tmp_path / "other.json").write_text(json.dumps(told))
        with pytest.raises(OutsideError, match="which is how the exposures lie"):
            read_record(tmp_path / "other.json")


@pytest.mark.parametrize(
    ("words", "said"),
    [([], "--way local-flash must have the exposure that is flashed over"),
     (["--over", "2:1", "--through", "3:height=120"], "the hole must leave the place under it in its light"),
     (["--over", "2:1", "--through", "40", "--past", "top:15"], "got both --through and --past")],
)  # fmt: skip
def test_what_cannot_be_is_refused(words: list[str], said: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["strip", *BASE, *words]) == 2
    assert said in capsys.readouterr().err
    assert not list(Path().iterdir())


def test_a_print_is_flashed_at_one_place_and_its_map_says_so(tmp_path: Path) -> None:
    assert main(["print", "--negative", "racks-thin", "time=1", "flash-at=far-jugs:8:40:still", "--save-record", "p.json"]) == 0
    assert main(["print", "--negative", "racks-thin", "time=1", "--save-record", "q.json", "-o", "q.png"]) == 0
    negative, stock = find_negative("racks-thin"), find_stock("glossy-rc-vc")
    with_it, without = (make_print(negative, read_record(tmp_path / f), stock).density for f in ("p.json", "q.json"))
    more = with_it - without
    place = negative.place("far-jugs")
    row, col = (round(share * side) for share, side in zip((place.y, place.x), more.shape, strict=True))
    assert more[row, col] > 0.05
    assert abs(more[20:60, 20:60]).max() < 0.002, "elsewhere the card keeps it dark"
    record = read_record(tmp_path / "p.json")
    steps = steps_of(record, set_up(record.enlarger, negative), {(1, 0): "2a"})
    assert [step.words for step in steps][1].startswith("Flash: no negative in the carrier")
    assert "Through a card with a hole" in steps[2].words


@pytest.mark.parametrize("text", ["far-jugs", "far-jugs:2", "far-jugs:0:40", "nowhere:2:40", "far-jugs:2:40:filter=4"])
def test_a_flash_at_a_place_that_is_said_wrongly_is_refused(text: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["print", "--negative", "racks-thin", "time=1", f"flash-at={text}"]) == 2
    assert "flash-at" in capsys.readouterr().err


def test_a_flash_of_the_whole_sheet_leaves_a_flash_of_one_place_as_it_was() -> None:
    """And the one of a place is no part of what the whole paper bears unseen."""
    from sim.printing.flash import flash_share, flashes, with_flash

    negative, stock = find_negative("against-the-window"), find_stock("glossy-rc-vc")
    base = usual_setup(negative, stock, time_s=10.0)
    first = base.exposures[0]
    hole = burnt_in(base, 0, 100.0, 80.0, 40.0, 1.0).exposures[-1].cards[0]
    local = Exposure(2.0, first.f_number, first.filter, (hole,), through="open", dimmed_stops=5.0)
    record = base.with_exposures(first, local)
    assert flashes(record) == ()
    assert flash_share(negative, record, stock) == 0.0
    assert with_flash(record, 3.0).exposures[:2] == (first, local)
    assert flashes(with_flash(record, 3.0)) == (2,)
    assert with_flash(with_flash(record, 3.0), 0.0).exposures == (first, local)
