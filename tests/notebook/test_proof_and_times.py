"""A roll printed alike shows thin and dense; tables of seconds are stops of light, the switch's loss made up for."""

from __future__ import annotations

import json
from dataclasses import replace
from fractions import Fraction
from pathlib import Path

import numpy as np
import pytest

from sim.bench.darkroom import Darkroom
from sim.command.main import main
from sim.enlarger.equipment import find_head
from sim.enlarger.light_given import expected_light_s
from sim.negative.develop import find_negative
from sim.negative.negative import Negative
from sim.notebook.proof import SHARE_OF_BLACK, least_black_time_s, proof_of
from sim.notebook.proof_page import proof_page
from sim.notebook.times import exposure_times_s, local_times, step_of
from sim.paper.stock import find_stock
from sim.printing.make_print import make_print
from sim.printing.setup import usual_setup
from sim.refusals import Refused

PAPER = find_stock("glossy-rc-vc")


def _frame(name: str, density: float) -> Negative:
    """Return a frame of even tone with a clear corner, so that rebate and corner print alike."""
    silver = np.full((60, 90), density, np.float32)
    silver[:10, :10] = 0.0
    return Negative(name, silver, 0.25, (36.0, 24.0))


ROLL = tuple(_frame(name, density) for name, density in (("usual", 0.8), ("thin", 0.4), ("dense", 1.3), ("like", 0.82)))


def test_clear_film_is_printed_black_and_in_the_least_time_that_does_it() -> None:
    proof = proof_of(ROLL, PAPER)
    sheet = proof.frames[0].sheet
    wanted = sheet.base_plus_fog + SHARE_OF_BLACK * (sheet.black - sheet.base_plus_fog)
    clear = float(sheet.density[sheet.at(5.0, 5.0)])
    assert clear == pytest.approx(wanted, abs=0.01)
    shorter = replace(proof.record.exposures[0], time_s=0.8 * proof.time_s)
    thinner = make_print(ROLL[0], proof.record.with_exposures(shorter), PAPER)
    assert float(thinner.density[thinner.at(5.0, 5.0)]) < wanted - 0.02


def test_thin_and_dense_frames_show_themselves_at_one_time() -> None:
    frames = proof_of(ROLL, PAPER).frames
    assert [frame.stands_out for frame in frames] == ["", "thin", "dense", ""]
    middles = [float(frame.sheet.density[frame.sheet.at(20.0, 15.0)]) for frame in frames]
    assert middles[1] > middles[0] > middles[2]


def test_a_thicker_base_asks_for_more_time_and_rules_the_roll() -> None:
    thick = replace(ROLL[0], base_density=0.40)
    one, both = proof_of(ROLL[:1], PAPER), proof_of((ROLL[0], thick), PAPER)
    assert both.time_s > 1.3 * one.time_s
    assert least_black_time_s(thick, both.record, PAPER) == pytest.approx(both.time_s)


def test_a_proof_holds_at_most_forty_eight_frames_and_fits_its_page() -> None:
    with pytest.raises(Refused, match="1 to 48"):
        proof_of((), PAPER)
    for size in ("a4", "letter"):
        (figure,) = proof_page(proof_of(ROLL, PAPER), size=size)
        for axes in figure.axes[1:]:
            box = axes.get_position()
            assert box.x0 >= 0.0
            assert box.y0 >= 0.05
            assert max(box.x1, box.y1) <= 1.0


@pytest.mark.parametrize(("count", "rows"), [(1, 1), (3, 1), (4, 2), (6, 2)])
def test_few_frames_of_small_film_stand_side_by_side_in_true_size(count: int, rows: int) -> None:
    (figure,) = proof_page(proof_of((ROLL * 2)[:count], PAPER))
    boxes = [axes.get_position() for axes in figure.axes[1:]]
    assert len({round(box.y0, 3) for box in boxes}) == rows
    wide_mm = {round(box.width * 210.0, 1) for box in boxes}
    assert len(wide_mm) == 1
    assert min(wide_mm) >= 36.0, "true size"


def test_three_large_frames_fill_the_page_s_width() -> None:
    large = [Negative(one.name, one.silver_density, 0.25, (120.0, 80.0)) for one in ROLL[:3]]
    (figure,) = proof_page(proof_of(large, PAPER))
    boxes = [axes.get_position() for axes in figure.axes[1:]]
    assert max(box.x1 for box in boxes) - min(box.x0 for box in boxes) > 0.6


def test_the_verb_writes_the_proof(tmp_path: Path) -> None:
    assert main(["proof", "step-wedge", "-o", str(tmp_path / "p.txt")]) == 2
    assert main(["proof", "step-wedge", "step-wedge", "-o", str(tmp_path / "p.pdf")]) == 0
    assert (tmp_path / "p.pdf").read_bytes()[:5] == b"%PDF-"
    assert find_negative("step-wedge").name == "step-wedge"


def test_a_roll_is_an_evening_of_the_notebook_and_its_proof_a_page_and_a_picture(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    room = Darkroom.open(tmp_path / "evening")
    assert main(["proof", "--evening", str(tmp_path / "evening"), "-o", str(tmp_path / "p.pdf")]) == 2
    assert "something was printed" in capsys.readouterr().err
    negative = find_negative("step-wedge")
    room.evening.make(negative, usual_setup(negative, PAPER), 1.0)
    room.close()
    page, picture = tmp_path / "p.pdf", tmp_path / "p.png"
    assert main(["proof", "--evening", str(tmp_path / "evening"), "-o", str(page), "--picture", str(picture), "--large"]) == 0
    assert page.read_bytes()[:5] == b"%PDF-"
    assert picture.read_bytes()[:4] == b"\x89PNG"
    assert "p.pdf and " in capsys.readouterr().out


def test_frames_are_marked_by_the_verb_ringed_and_told_again(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("sim.shelf.data_of_ones_own", lambda: tmp_path / "kept")
    words = ["proof", "step-wedge", "tone-patches", "-o", str(tmp_path / "p.png"), "--json"]

    def told(*more: str) -> list[bool]:
        assert main([*words, *more]) == 0
        return [one["worth_printing"] for one in json.loads(capsys.readouterr().out)["frames"]]

    assert told() == [False, False]
    assert not (tmp_path / "kept").exists(), "who marks nothing keeps nothing"
    bare = (tmp_path / "p.png").read_bytes()
    assert told("--mark", "2,1", "--unmark", "1") == [False, True]
    assert (tmp_path / "p.png").read_bytes() != bare
    assert told() == [False, True]
    assert told("--unmark", "2") == [False, False]
    assert (tmp_path / "p.png").read_bytes() == bare


@pytest.mark.parametrize(
    ("more", "rule"),
    [(["--mark", "3"], "--mark must be numbers of frames from 1 to 2"), (["--unmark", "0"], "--unmark must be numbers"),
     (["--mark", "one"], "got 'one'"), (["--mark", ""], "--mark must be"),
     (["--picture", "q.pdf"], "--picture must be a .png file"),
     (["-o", "q.png", "--picture", "./q.png"], "--picture must be another file than that of -o"),
     (["--picture", "q"], "--picture must be a .png or .pdf file")],
)  # fmt: skip
def test_what_a_proof_cannot_be_is_refused_and_nothing_written(
    more: list[str], rule: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.chdir(tmp_path)
    monkeypatch.setattr("sim.shelf.data_of_ones_own", lambda: tmp_path / "kept")
    assert main(["proof", "step-wedge", "step-wedge", "-o", "p.pdf", *more]) == 2
    assert rule in capsys.readouterr().err
    assert list(tmp_path.iterdir()) == []


def test_exposures_are_stops_of_light_not_of_the_dial() -> None:
    head = find_head("diffusion-small")
    light = [expected_light_s(t, head) for t in exposure_times_s(6.0, Fraction(1, 3), 7, head)]
    assert np.diff(np.log2(light)) == pytest.approx(np.full(6, 1 / 3), abs=1e-3)
    assert exposure_times_s(10.0, Fraction(1, 3), 4)[-1] == pytest.approx(20.0)


def test_published_dodge_and_burn_seconds_of_a_base_time() -> None:
    """25.4 s: a third of a stop less is 5.2 s, half a stop more 10.5 s (R. W. Lambrecht, f/stop timing table)."""
    of = {one.stops: one for one in local_times(25.4)}
    assert of[Fraction(1, 3)].dodge_s == pytest.approx(5.24, abs=0.02)
    assert of[Fraction(1, 2)].burn_s == pytest.approx(10.52, abs=0.02)


def test_a_burn_makes_up_for_the_switch_and_a_card_need_not() -> None:
    head = find_head("diffusion-small")
    light = expected_light_s(12.0, head)
    one = next(o for o in local_times(12.0, head) if o.stops == 1)
    assert expected_light_s(one.burn_s, head) == pytest.approx(light, abs=1e-3)
    assert one.dodge_s == pytest.approx(light / 2.0)


@pytest.mark.parametrize("text", ["1/5", "0", "x", "1/0"])
def test_a_step_that_is_none_is_refused(text: str) -> None:
    with pytest.raises(Refused, match="--step must be one of"):
        step_of(text)


def test_a_map_says_own_seconds_of_every_exposure_cards_or_none() -> None:
    """A head that was measured has an interval beside each exposure; a card between two exposures changes nothing of it."""
    from sim.enlarger.settings import set_up
    from sim.notebook.map_steps import steps_of
    from sim.notebook.own_seconds import OwnSeconds
    from sim.printing.card_work import burnt_in, held_back
    from sim.printing.setup import usual_setup

    negative = find_negative("step-wedge")
    record = held_back(usual_setup(negative, PAPER, time_s=12.0), 0, 60.0, 40.0, 20.0, 0.5)
    record = burnt_in(record, 0, 60.0, 40.0, 20.0, 0.5)
    known = [OwnSeconds(12.0, 11.0, 13.1), OwnSeconds(5.0, 4.4, 5.6)]
    steps = steps_of(record, set_up(record.enlarger, negative), {(0, 0): "1a", (1, 0): "2a"}, known)
    said = [step.words for step in steps if step.lens]
    assert "11.0 to 13.1 s in nine of ten" in said[0]
    assert "4.4 to 5.6 s in nine of ten" in said[1]
