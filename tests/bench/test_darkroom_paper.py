"""Paper in hand: out of a box that runs out, laid down, exposed by numbers, in steps and by hand; safe from white light."""

from __future__ import annotations

import itertools
import math
from pathlib import Path

import numpy as np
import pytest

from sim.bench.darkroom import Darkroom
from sim.bench.desk_file import DeskFile
from sim.bench.tools import CardPose, HandTracks, Tool, thinned
from sim.evening.evening import EveningEnded
from sim.notebook.exposure_plan import PlannedExposure
from sim.paper.stock import find_stock
from sim.printing.make_print import make_print
from sim.printing.record import Card, Still
from sim.printing.record import Path as CardPath
from sim.printing.strips import stop_times_s
from sim.refusals import Refused
from tests.bench.darkrooms import lit_shares, shadow_now, small_room

FINE_PX_PER_MM = 2.0  # a strip's pixels lie otherwise than the sheet's, and the small negative's own are larger than a spot
OVAL = Tool("oval", 40.0, 28.0)


@pytest.fixture
def room(tmp_path: Path) -> Darkroom:
    return small_room(tmp_path)


def test_the_box_runs_out_and_a_strip_is_a_quarter(tmp_path: Path) -> None:
    room = small_room(tmp_path, sheets=1)
    room.paper.take("strip")
    assert room.sheets_left == 0.75
    room.paper.put_back()
    assert room.sheets_left == 1.0
    room.paper.take("strip")
    room.paper.expose(5.0)
    with pytest.raises(Refused, match="must not go back"):
        room.paper.put_back()
    room.paper.throw_away()
    assert room.sheets_left == 0.75
    assert room.wall.prints()[0].developed is False
    with pytest.raises(EveningEnded, match=r"0\.75 sheets left"):
        room.paper.take("sheet")


def test_paper_thrown_away_leaves_the_desk_in_one_writing(room: Darkroom, monkeypatch: pytest.MonkeyPatch) -> None:
    """A power cut between two writings would leave a plan half given for the next sheet."""
    room.paper.set_plan([PlannedExposure(2.0, 8.0, "00"), PlannedExposure(3.0, 8.0, "5")])
    room.paper.take("sheet")
    assert room.paper.begin_next_of_plan()
    while room.paper.advance(1.0):
        pass
    written = []
    keep = DeskFile.keep

    def counted(self: DeskFile, **changes: object) -> None:
        written.append(changes)
        keep(self, **changes)

    monkeypatch.setattr(DeskFile, "keep", counted)
    room.paper.throw_away()
    assert written == [{"hand": None, "plan_done": 0}]
    assert room.paper.piece is None


def test_light_that_would_fog_is_refused(room: Darkroom) -> None:
    room.switch_white_light(True)
    with pytest.raises(Refused, match="white light is on"):
        room.paper.take("sheet")
    room.switch_white_light(False)
    room.desk.set("focus_light", True)
    with pytest.raises(Refused, match="focusing light is on"):
        room.paper.take("sheet")
    room.desk.set("red_filter", True)
    room.paper.take("sheet")
    with pytest.raises(Refused, match="red filter is in the light"):
        room.paper.expose()
    with pytest.raises(Refused, match="put it out with the foot before the filter goes aside"):
        room.desk.set("red_filter", False)
    with pytest.raises(Refused, match="would fog"):
        room.switch_white_light(True)
    assert room.paper.piece is not None
    assert room.paper.piece.exposures == 0


def test_once_exposed_the_picture_stays_as_it_is(room: Darkroom) -> None:
    room.paper.take("sheet")
    room.desk.set("height_mm", room.desk.now.height_mm + 5.0)
    room.paper.expose(3.0)
    for name, value in (("height_mm", 700.0), ("lens", "150-mm"), ("paper", "matt-fb-vc"), ("border_mm", 0.0)):
        with pytest.raises(Refused, match="develop it, or throw it away"):
            room.desk.set(name, value)
    room.desk.set("filter", "5")
    room.paper.expose(2.0)
    record = room.paper.record()
    assert [e.filter.graded for e in record.exposures] == ["2", "5"]
    assert [bar.kind for bar in room.paper.bars()] == ["soft", "hard"]


def test_a_strip_shows_the_piece_of_the_picture_it_lay_under(room: Darkroom) -> None:
    left, top, width, height = room.desk.frame_mm
    spot = (left + 0.5 * width, top + 0.5 * height)
    room.paper.take("sheet")
    room.paper.expose(6.0)
    sheet = make_print(room.desk.negative, room.paper.record(), find_stock("glossy-rc-vc"), FINE_PX_PER_MM)
    room.paper.throw_away()
    room.paper.take("strip", upright=False, at_mm=(spot[0], spot[1] + 10.0))
    piece = room.paper.piece
    assert piece is not None
    assert (piece.width_mm, piece.height_mm) == (190.99, 63.5)  # cut to lie inside the picture
    room.paper.expose(6.0)
    strip = make_print(room.desk.negative, room.paper.record(), find_stock("glossy-rc-vc"), FINE_PX_PER_MM)
    from sim.viewing.densitometer import spot_density

    there = spot_density(strip, spot[0] - piece.x_mm, spot[1] - piece.y_mm)
    assert there == pytest.approx(spot_density(sheet, *spot), abs=0.01)


def test_strips_in_one_go_step_by_step_and_over_a_soft_exposure(room: Darkroom) -> None:
    times = stop_times_s(2.0, 0.5, 5)
    room.paper.take("strip")
    room.desk.set("filter", "00")
    room.paper.expose(4.0)
    room.desk.set("filter", "5")
    room.paper.lay_strip(times, "bursts", 90.0)
    assert {bar.kind for bar in room.paper.bars()[1:]} >= {"step"}
    assert [s.time_s for s in room.paper.strip_steps] == pytest.approx(list(times))
    record = room.paper.record()
    assert record.exposures[0].filter.graded == "00"
    assert len(record.exposures) == 6
    room.paper.throw_away()
    room.paper.take("strip")
    for k in range(4):  # by hand: expose, cover a quarter more, expose again
        room.paper.cover(k / 4 if k else None, 90.0)
        room.paper.expose(2.0)
    sheet = make_print(room.desk.negative, room.paper.record(), find_stock("glossy-rc-vc"))
    rows = sheet.density.shape[0]
    middle = sheet.density[:, sheet.density.shape[1] // 2]
    tones = [float(middle[int((k + 0.5) / 4 * rows)]) for k in range(4)]
    assert tones[0] < tones[3]
    lit = [share[:, share.shape[1] // 2] for share in lit_shares(room)]
    assert [round(float(share.mean()), 2) for share in lit] == [1.0, 0.75, 0.5, 0.25]


def test_moving_the_paper_lays_a_strip_on_the_same_place(room: Darkroom) -> None:
    room.paper.take("strip", at_mm=(100.0, 127.0))
    slot = Card("bar", Still(100.0, 127.0), 2.0, 60.0, 20.0, lets_through="inside", note="slot")
    for k, shift in enumerate((-30.0, 0.0, 30.0)):
        room.paper.place(100.0, 127.0 - shift)
        room.paper.expose(3.0 * (k + 1), [slot])
    record = room.paper.record()
    assert [e.paper_shift_mm[1] for e in record.exposures] == [30.0, 0.0, -30.0] or [
        e.paper_shift_mm[1] for e in record.exposures
    ] == [0.0, -30.0, -60.0]
    shares = lit_shares(room)
    lit_rows = [float(np.average(np.arange(s.shape[0]), weights=s.sum(axis=1))) for s in shares]
    assert lit_rows[0] < lit_rows[1] < lit_rows[2]


def _circle(room: Darkroom, seconds: float, pace: float = 0.02) -> int:
    frames = 0
    room.paper.begin_exposure(seconds)
    while True:
        turn = 2.0 * math.pi * room.paper.elapsed_s / 1.6
        frames += 1
        pose = CardPose(OVAL, 100.0 + 12.0 * math.cos(turn), 120.0 + 12.0 * math.sin(turn))
        if not room.paper.advance(pace, [pose] if room.paper.elapsed_s < seconds / 2 else []):
            return frames


def test_a_card_moved_by_hand_is_recorded_thinned_and_prints_as_its_shadow_was_seen(room: Darkroom) -> None:
    tool = Tool("oval", 40.0, 28.0, wire_mm=0.0)  # the wire of a moved tool is drawn from the middle of its way
    room.paper.take("sheet")
    room.paper.begin_exposure(8.0)
    view = room.easel.view_grid((406, 508), (0.0, 0.0, 203.0, 254.0))
    seconds = np.zeros((508, 406), dtype=np.float32)
    while room.paper.exposing:
        turn = 2.0 * math.pi * room.paper.elapsed_s / 1.6
        pose = CardPose(tool, 100.0 + 12.0 * math.cos(turn), 120.0 + 12.0 * math.sin(turn))
        cards = [pose] if room.paper.elapsed_s < 4.0 else []
        seconds += min(0.01, room.paper.left_s) * shadow_now(room, *view, cards)
        room.paper.advance(0.01, cards)
    exposure = room.paper.record().exposures[0]
    (card,) = exposure.cards
    assert isinstance(card.motion, CardPath)
    assert len(card.motion.points) <= 200
    assert card.stop_s == pytest.approx(4.0, abs=0.011)
    lit = 8.0 * lit_shares(room)[0]
    assert np.abs(seconds - lit)[40:-40, 40:-40].max() < 0.25


def test_times_four_records_the_same_seconds_as_real_time(room: Darkroom) -> None:
    room.paper.take("sheet")
    real = _circle(room, 4.0)
    quick = _circle(room, 4.0, 0.08)
    assert quick < real / 3
    first, second = room.paper.record().exposures
    assert first.time_s == second.time_s == 4.0
    assert first.cards[0].stop_s == pytest.approx(second.cards[0].stop_s, abs=0.1)


def test_switching_off_early_records_what_was_given(room: Darkroom) -> None:
    room.paper.take("sheet")
    room.paper.begin_exposure(10.0)
    assert room.easel.lit
    room.paper.advance(2.5)
    with pytest.raises(Refused, match="lamp is on"):
        room.tray.put_in()
    with pytest.raises(Refused, match="lamp is on"):
        room.desk.set("filter", "3")
    room.paper.end()
    assert not room.easel.lit
    assert room.paper.record().exposures[0].time_s == 2.5


def test_thinning_keeps_the_card_within_half_a_millimetre_at_every_moment() -> None:
    rng = np.random.Generator(np.random.PCG64(5))
    t = np.arange(0.0, 30.0, 0.016)
    x = 100 + 15 * np.cos(4.0 * t) + np.cumsum(rng.normal(0, 0.1, t.size))
    y = 120 + 15 * np.sin(4.3 * t)
    points = list(zip(t.tolist(), x.tolist(), y.tolist()))
    kept = np.array(thinned(points))
    assert len(kept) < len(points) / 2
    every = np.array(thinned(points, 0.0))
    at = [np.hypot(np.interp(every[:, 0], kept[:, 0], kept[:, 1]) - every[:, 1],
                   np.interp(every[:, 0], kept[:, 0], kept[:, 2]) - every[:, 2])]  # fmt: skip
    assert np.max(at) < 0.5


def test_a_lively_minute_is_kept_in_several_cards_and_never_more_than_a_record_holds() -> None:
    tracks = HandTracks()
    t, last = 0.0, 0.0
    while t < 60.0:
        pose = CardPose(OVAL, 100 + 30 * math.cos(4 * t), 100 + 30 * math.sin(4 * t))
        last, t = t, t + 0.02
        tracks.follow(last, t, [pose])
    cards = tracks.cards(t)
    assert 2 <= len(cards) <= 15
    for one, two in itertools.pairwise(cards):
        assert one.stop_s == two.start_s
        assert isinstance(one.motion, CardPath)
        assert isinstance(two.motion, CardPath)
        assert one.motion.points[-1] == two.motion.points[0]


def test_a_tool_put_down_and_another_taken_up_are_two_cards(room: Darkroom) -> None:
    room.paper.take("sheet")
    room.paper.begin_exposure(6.0)
    room.paper.advance(2.0, [CardPose(OVAL, 60.0, 60.0)])
    room.paper.advance(1.0)
    room.paper.advance(2.0, [CardPose(Tool("disc", 30.0), 150.0, 150.0, 200.0)])
    room.paper.advance(1.0, [CardPose(Tool("disc", 30.0), 150.0, 150.0, 300.0)])
    cards = room.paper.record().exposures[0].cards
    assert [(c.shape, c.start_s, c.stop_s, c.card_height_mm) for c in cards] == [
        ("oval", 0.0, 2.0, 120.0), ("disc", 3.0, 5.0, 200.0), ("disc", 5.0, 6.0, 300.0),
    ]  # fmt: skip


def test_the_plan_is_kept_shown_as_bars_and_given(room: Darkroom, tmp_path: Path) -> None:
    hold = Card("oval", Still(100.0, 100.0), 120.0, 60.0, 40.0, stop_s=2.0)
    hole = Card("oval", Still(100.0, 100.0), 120.0, 60.0, 40.0, lets_through="inside")
    room.paper.set_plan([
        PlannedExposure(8.0, 8.0, "1", (hold,)), PlannedExposure(4.0, 8.0, "5"), PlannedExposure(8.0, 8.0, "1", (hole,)),
    ])  # fmt: skip
    bars = room.paper.bars()
    assert [bar.kind for bar in bars] == ["soft", "dodge", "hard", "burn"]
    assert bars[1].stops == pytest.approx(math.log2(0.75), abs=0.02)
    assert bars[3].stops == pytest.approx(1.0, abs=0.01)  # as much again as its own filter gave
    assert bars[3].start_s == 12.0
    again = Darkroom.look(tmp_path)
    assert again.paper.plan == room.paper.plan
    room.paper.take("sheet")
    assert room.paper.begin_next_of_plan()
    assert not room.paper.advance(8.0)
    assert [bar.done for bar in room.paper.bars()] == [True, True, False, False]
    while room.paper.begin_next_of_plan():
        room.paper.advance(8.0)
    assert len(room.paper.record().exposures) == 3
    with pytest.raises(Refused, match="filter must be"):
        room.paper.set_plan([PlannedExposure(1.0, 8.0, "green")])


def test_a_card_above_the_lens_is_refused_before_any_light_falls(room: Darkroom) -> None:
    room.paper.take("sheet")
    with pytest.raises(Refused, match="below the lens"):
        room.paper.expose(3.0, [Card("disc", Still(50.0, 50.0), 1400.0)])
    room.paper.begin_exposure(3.0)
    with pytest.raises(ValueError, match="below the lens"):
        room.paper.advance(1.0, [CardPose(OVAL, 50.0, 50.0, 1400.0)])
    assert room.paper.elapsed_s == 0.0
