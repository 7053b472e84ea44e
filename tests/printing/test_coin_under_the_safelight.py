"""A coin on the sheet under the safelight: what lies under it gets none of the lamp, printed or predicted."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from sim.bench.dry_side import set_up_of
from sim.negative.negative import Negative, Place
from sim.notebook.record_words import describe
from sim.paper.safelight import Safelight
from sim.paper.stock import find_stock
from sim.printing.exposure import LightCache
from sim.printing.make_print import Print, make_print
from sim.printing.place_model import PlaceModel
from sim.printing.place_print import PlacePrint
from sim.printing.record import PrintingRecord
from sim.printing.record_file import record_data, record_from_data
from sim.printing.setup import usual_setup
from sim.refusals import Refused

STOCK = find_stock("glossy-rc-vc")
EVEN = Negative("even", np.full((200, 160), 0.6, np.float32), 0.1, (56.0, 70.0))
PX_PER_MM = 2.0
BLANK_S, GREY_S = 0.3, 1.6  # seconds that leave the paper white, and that bring a pale grey
X_MM, Y_MM, WIDTH_MM = 80.0, 100.0, 20.0
LAMP = Safelight("amber", 0.5, 300.0)
COIN = replace(LAMP, coin_mm=(X_MM, Y_MM, WIDTH_MM))


def lying_under(lamp: Safelight | None, time_s: float = GREY_S) -> PrintingRecord:
    return replace(usual_setup(EVEN, STOCK, time_s=time_s), safelight=lamp)


def printed(lamp: Safelight | None, time_s: float = GREY_S) -> Print:
    return make_print(EVEN, lying_under(lamp, time_s), STOCK, PX_PER_MM)


def at(sheet: Print, x_mm: float, y_mm: float) -> float:
    return float(sheet.spot(x_mm, y_mm, 3.0).density(sheet.density))


def test_under_the_coin_nothing_of_the_lamp_is_seen_and_beside_it_all() -> None:
    tried, plain, fogged = printed(COIN), printed(None), printed(LAMP)
    assert at(tried, X_MM, Y_MM) == pytest.approx(at(plain, X_MM, Y_MM), abs=0.001)
    assert at(tried, X_MM + 30.0, Y_MM) == pytest.approx(at(fogged, X_MM + 30.0, Y_MM), abs=0.001)
    assert at(fogged, X_MM, Y_MM) - at(plain, X_MM, Y_MM) > 0.03


@pytest.mark.parametrize(("off_mm", "under"), [(0.5 * WIDTH_MM - 2.0, True), (0.5 * WIDTH_MM + 2.0, False)])
def test_the_coins_rim_lies_where_the_coin_ends(off_mm: float, under: bool) -> None:
    tried, plain, fogged = printed(COIN), printed(None), printed(LAMP)
    for dx, dy in ((off_mm, 0.0), (-off_mm, 0.0), (0.0, off_mm), (0.0, -off_mm)):
        like = plain if under else fogged
        assert at(tried, X_MM + dx, Y_MM + dy) == pytest.approx(at(like, X_MM + dx, Y_MM + dy), abs=0.004)


def test_blank_paper_lets_an_unsafe_lamp_pass_and_a_pale_grey_does_not() -> None:
    shown = {}
    for time_s in (BLANK_S, GREY_S):
        sheet = printed(COIN, time_s)
        shown[time_s] = at(sheet, X_MM + 20.0, Y_MM) - at(sheet, X_MM, Y_MM)
    assert shown[BLANK_S] < 0.005
    assert shown[GREY_S] > 0.03


def test_pieces_and_predictions_see_the_same_coin() -> None:
    record, lights = lying_under(COIN), LightCache()
    sheet = printed(COIN)
    left, top, width, height = sheet.frame_mm
    places = tuple(
        Place(name, (x_mm - left) / width, (Y_MM - top) / height) for name, x_mm in (("under", X_MM), ("beside", X_MM + 20.0))
    )
    wanted = [at(sheet, X_MM, Y_MM), at(sheet, X_MM + 20.0, Y_MM)]
    model = PlaceModel(EVEN, record, STOCK, places, lights, PX_PER_MM)
    assert model.readings().tolist() == pytest.approx(wanted, abs=0.002)
    assert PlacePrint(EVEN, record, STOCK, lights, PX_PER_MM).readings(*places).tolist() == pytest.approx(wanted, abs=0.002)


def test_no_coin_lies_on_a_strip() -> None:
    record = lying_under(COIN)
    strip = replace(record, sheet=replace(record.sheet, kind="strip"))
    sheet = make_print(EVEN, strip, STOCK, PX_PER_MM)
    assert at(sheet, X_MM, Y_MM) == pytest.approx(at(printed(LAMP), X_MM, Y_MM), abs=0.002)


def test_the_coin_stays_in_the_record_on_the_desk_and_in_words() -> None:
    record = lying_under(COIN)
    assert record_from_data(Path("r.json"), record_data(record)) == record
    assert set_up_of(record).record().safelight == COIN
    assert "5 min under the amber safelight at 0.5 m, a coin of 20 mm on it" in describe(record)
    older = record_data(lying_under(LAMP))
    del older["safelight"]["coin_mm"]
    assert record_from_data(Path("r.json"), older).safelight == LAMP


@pytest.mark.parametrize("coin", [(10.0, 10.0, 0.0), (2000.0, 0.0, 20.0), (float("nan"), 0.0, 20.0)])
def test_a_coin_that_cannot_lie_there_is_refused(coin: tuple[float, float, float]) -> None:
    with pytest.raises(Refused, match="coin_mm"):
        replace(LAMP, coin_mm=coin)
