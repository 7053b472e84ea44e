"""A flash from the desk: the opal sheet under the lens, planned or as it stands; what a lesson allows, and what is told."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

import numpy as np
import pytest

from sim.bench.dry_side import set_up_of
from sim.bench.light_of_print import light_of
from sim.notebook.exposure_plan import PlannedExposure
from sim.printing.flash import USUAL_DIMMED_STOPS
from sim.refusals import Refused
from tests.bench.darkrooms import SIZE, small_room


@dataclass(frozen=True)
class Free:
    """A lesson in which so much is free."""

    names: tuple[str, ...]

    def locked(self, control: str) -> str | None:
        return None if control in self.names else f"{control} is not what is practised here"

    def prediction_wanted(self, strip: bool) -> str | None:
        return None

    def negatives(self) -> tuple[str, ...]:
        return ()


def test_a_planned_flash_is_a_flash_when_it_is_planned_again(tmp_path: Path) -> None:
    room = small_room(tmp_path)
    plan = (PlannedExposure(2.0, 8.0, "2", through="open", dimmed_stops=5.0), PlannedExposure(6.0, 8.0, "2"))
    room.paper.set_plan(plan)
    assert room.paper.plan == plan
    room.paper.take("sheet")
    while room.paper.begin_next_of_plan():
        room.paper.advance(6.0)
    assert [(bar.kind, bar.seconds) for bar in room.paper.bars()] == [("flash", 2.0), ("base", 6.0)]
    record = room.paper.record()
    assert [(e.through, e.dimmed_stops) for e in record.exposures] == [("negative", 0.0), ("open", 5.0)]
    assert set_up_of(record).time_s == 6.0
    piece = room.paper.piece
    assert piece is not None
    assert (piece.seconds, piece.flash_s) == (6.0, 2.0)
    light = light_of(record)
    assert (light.seconds, light.flash_s) == ((("2", 6.0),), 2.0)
    assert not light.burnt_in


def test_a_lesson_that_locks_the_flash_keeps_the_opal_sheet_aside(tmp_path: Path) -> None:
    room = small_room(tmp_path, Free(("time_s", "exposures")))
    with pytest.raises(Refused, match="flash is not what is practised here"):
        room.desk.set("opal_sheet", True)
    room.paper.set_plan([PlannedExposure(2.0, 8.0, "2", through="open", dimmed_stops=5.0)])
    room.paper.take("sheet")
    with pytest.raises(Refused, match="flash is not what is practised here"):
        room.paper.begin_next_of_plan()
    room.paper.put_back()
    room.paper.take("strip")
    with pytest.raises(Refused, match="flash is not what is practised here"):
        room.paper.lay_in_steps("flash", (0.0, 1.0, 2.0), dimmed_stops=5.0)


def test_where_one_exposure_is_allowed_a_flash_goes_before_it_or_after_it_and_no_second_picture(tmp_path: Path) -> None:
    room = small_room(tmp_path, Free(("time_s", "flash")))
    room.paper.take("sheet")
    room.desk.set("opal_sheet", True)
    room.paper.expose(1.0)
    room.desk.set("opal_sheet", False)
    room.paper.expose()
    with pytest.raises(Refused, match="exposures is not what is practised here"):
        room.paper.expose()
    room.desk.set("opal_sheet", True)
    room.paper.expose(1.0)
    given = [(e.through, e.dimmed_stops) for e in room.paper.record().exposures]
    assert given == [("negative", 0.0), ("open", USUAL_DIMMED_STOPS), ("open", USUAL_DIMMED_STOPS)]


def test_with_the_opal_sheet_in_no_picture_falls_on_the_easel_and_none_is_printed(tmp_path: Path) -> None:
    room = small_room(tmp_path)
    room.desk.set("focus_light", True)
    opening = np.s_[60:130, 60:100]
    assert np.ptp(room.easel.picture(SIZE).values[opening].astype(int)) > 20
    room.desk.set("opal_sheet", True)
    seen = room.easel.picture(SIZE)
    assert seen.lit
    assert np.ptp(seen.values[opening].astype(int)) == 0
    assert seen.values[opening].max() > 60, "an even light, which is seen"
    room.desk.set("focus_light", False)
    room.paper.take("strip")
    with pytest.raises(Refused, match="opal sheet is under the lens"):
        room.paper.begin_strip(3, 9.0)
    with pytest.raises(Refused, match="opal sheet is under the lens"):
        room.paper.lay_strip((3.0, 6.0, 9.0))


def test_swinging_the_opal_sheet_is_no_change_to_be_taken_back(tmp_path: Path) -> None:
    room = small_room(tmp_path)
    room.desk.set("opal_sheet", True)
    assert room.desk.would_undo == ()
    room.desk.set("time_s", 4.0)
    room.desk.set("opal_sheet", False)
    assert room.desk.would_undo == ("time_s",)
    room.desk.undo()
    assert not room.desk.now.opal_sheet, "where it was swung it stays"
