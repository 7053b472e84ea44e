"""Where readings that contradict each other are still taken and where they are refused: just inside, just outside.

The readings are the generic paper's own, without noise, so that nothing but what a test does to them speaks.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace

import numpy as np
import pytest
from laws.secret_papers import GENERIC, HEAD, WEDGE
from numpy.typing import NDArray

from sim.calibration.contradictions import LeftOutStep, sound_fit
from sim.calibration.next_strip import next_sheet
from sim.calibration.own_curves import behind, curve_in_light
from sim.calibration.own_paper import OwnPaper, fit_own_paper, light_behind
from sim.calibration.own_shape import LIGHT_SPREADS, Freedom, shaped
from sim.calibration.wedge_strips import PaperReadings, Strip
from sim.calibration.wedge_strips import StepReading as Step
from sim.notebook.own_paper_page import OPEN_WORDS, own_paper_lines
from sim.paper.development import Development
from sim.paper.response import Response
from sim.paper.stock import Stock
from sim.refusals import Refused

Densities = NDArray[np.float64]
LONG = 0.05 + 0.1 * np.arange(45)
FINE = 0.05 + 0.075 * np.arange(40)
ALL = ("00", "2", "5")


def _strip(
    setting: str, change: Callable[[Densities], Densities] = lambda d: d, wedge: Densities = WEDGE, more: float = 0.4,
    like: tuple[str, float] | None = None,
) -> Strip:  # fmt: skip
    """Return a strip as the generic paper gives it, or in part as it would be behind another setting."""
    curves = [curve_in_light(GENERIC.stock, *light_behind(GENERIC.stock, HEAD, s)) for s in (setting, *(like or ())[:1])]
    clear = round(curves[0].log_exposure_at_net(0.97 * curves[0].net_dmax) + more, 1)
    each = [np.interp(clear - wedge, one.log_exposure, one.density) for one in curves]
    density = change((1.0 - like[1]) * each[0] + like[1] * each[1] if like else each[0])
    return Strip(setting, clear, tuple(Step(k + 1, float(wedge[k]), round(float(d), 4)) for k, d in enumerate(density)))


def _taken(strips: Sequence[Strip], unexposed: tuple[float, ...] = ()) -> tuple[OwnPaper, tuple[LeftOutStep, ...]]:
    return sound_fit(GENERIC, HEAD, PaperReadings(tuple(strips), unexposed))


def _refused(strips: Sequence[Strip], said: str, unexposed: tuple[float, ...] = ()) -> None:
    with pytest.raises(Refused, match=said):
        _taken(strips, unexposed)


def _said_of(strips: Sequence[Strip]) -> str:
    """Return why strips are refused; nothing where they are taken."""
    try:
        _taken(strips)
    except Refused as refused:
        return str(refused)
    return ""


def _zigzag(by: float) -> Callable[[Densities], Densities]:
    return lambda d: d + by * np.where(np.arange(len(d)) % 2, -1.0, 1.0)


def test_readings_all_off_by_twice_their_error_are_taken_and_by_two_and_a_half_refused() -> None:
    """Every step off by so much up and down in turn: no paper, no slip and no other wedge tells that."""
    assert _taken([_strip(s, _zigzag(0.042)) for s in ALL])[1] == ()
    _refused([_strip(s, _zigzag(0.050)) for s in ALL], "must go with the other readings")


def test_one_white_step_may_read_a_tenth_too_dark_and_is_left_out_beyond() -> None:
    def off_by(by: float) -> Strip:
        return _strip("5", lambda d: np.where(np.arange(len(d)) == 27, d + by, d))

    soft = [_strip("00"), _strip("2")]
    assert _taken([*soft, off_by(0.10)])[1] == ()
    assert [(one.setting, one.step) for one in _taken([*soft, off_by(0.125)])[1]] == [("5", 28)]


def _stained(count: int) -> Callable[[Densities], Densities]:
    """Every other white step, so many of them, a spot of 0.127 D."""
    def change(d: Densities) -> Densities:
        d = d.copy()
        d[np.flatnonzero(d < 0.075)[2:][::2][:count]] += 0.127
        return d

    return change


def test_a_tenth_of_all_steps_may_be_left_out_and_no_more() -> None:
    """Nine of 90; three hundred readings of unexposed paper say what white is."""
    base = tuple(np.full(300, _strip("5").readings[-1].density or 0.0).tolist())

    def strips(soft: int, hard: int) -> list[Strip]:
        return [_strip("00", _stained(soft), LONG, 1.0), _strip("5", _stained(hard), LONG, 1.0)]

    assert len(_taken(strips(3, 5), base)[1]) == 8
    _refused(strips(4, 7), "must go with the other readings", base)


def _every_other(strip: Strip) -> Strip:
    """Return a strip of which every other step was read: whether one slipped cannot be asked."""
    return replace(strip, readings=strip.readings[::2])


def test_strips_half_alike_are_taken_and_those_that_are_rather_the_other_refused_as_changed_over() -> None:
    def mixed(share: float) -> list[Strip]:
        return [_every_other(_strip(s, like=like)) for s, like in (("00", None), ("4", ("5", share)), ("5", ("4", share)))]

    _taken(mixed(0.59))
    _refused(mixed(0.63), "strips 4 and 5 must stand in the order .* were they changed over")


def _far_apart(strip: Strip) -> Strip:
    """Return a strip whose steps are numbered as every other one of a finer wedge."""
    return replace(strip, readings=tuple(replace(one, step=2 * one.step - 1) for one in strip.readings))


def _up_to(strip: Strip, net: float) -> Strip:
    base = strip.readings[-1].density or 0.0
    return replace(strip, readings=tuple(one for one in strip.readings if (one.density or 0.0) < base + net))


def test_strips_are_asked_about_their_order_where_both_reach_a_middle_grey_of_net_1_4() -> None:
    def changed_over(net: float) -> list[Strip]:
        soft, hard = (_up_to(_far_apart(_strip(s, wedge=FINE)), net) for s in ("1", "4"))
        return [replace(soft, readings=hard.readings), replace(hard, readings=soft.readings)]

    _refused(changed_over(1.9), "were they changed over")
    assert "changed over" not in _said_of(changed_over(1.25))


def test_the_interval_of_a_hard_filter_is_what_readings_and_the_form_of_all_papers_leave() -> None:
    """ISO R of filter 5 from three strips without noise: 0.02 D a reading, 0.012 a step, 0.006 that no form gets right."""
    strips = [_strip(s) for s in ALL]
    own = fit_own_paper(GENERIC, HEAD, PaperReadings(tuple(strips)))
    assert behind(own, "5").iso_range_error == pytest.approx(_iso_range_error(strips, "5"), rel=0.015)


def _iso_range_error(strips: Sequence[Strip], setting: str) -> float:
    """Return the standard error of ISO R by the sum (JCGM 102, 6.2): readings and papers' spreads weighed by their errors.

    Reckoned about the generic paper itself, where readings without noise leave a fit, by whole covariances and differences
    both ways. Differences one way over a curve of points move the fit's own by 1.3 %; 0.021 D for 0.02 would move it by 2 %.
    """
    freedom = Freedom.of(GENERIC, len(strips))

    def light(x: Densities, k: int) -> tuple[Stock, float, float]:
        stock = shaped(GENERIC, freedom, x)
        whole, ratio = np.array(LIGHT_SPREADS) * x[len(freedom.shared) + 2 * k :][:2]
        blue, green = light_behind(stock, HEAD, strips[k].setting)
        return stock, float(blue * 10.0 ** (whole - ratio / 2)), float(green * 10.0 ** (whole + ratio / 2))

    def read(x: Densities, log_shift: float = 0.0) -> Densities:
        found = []
        for k, strip in enumerate(strips):
            stock, blue, green = light(x, k)
            given = 10.0 ** (log_shift + strip.log_exposure - np.array([one.wedge_density for one in strip.readings]))
            response = Response(stock, Development(stock.development.completion_time_s))
            found.append(response.density(blue * given, green * given))
        return np.concatenate(found)

    def iso_range(x: Densities) -> Densities:
        return np.array([curve_in_light(*light(x, [one.setting for one in strips].index(setting))).iso_range()])

    def differences(of: Callable[[Densities], Densities]) -> Densities:
        return np.array([(of(0.05 * way) - of(-0.05 * way)) / 0.1 for way in np.eye(freedom.count)]).T

    nothing = np.zeros(freedom.count)
    slope = (read(nothing, 0.01) - read(nothing, -0.01)) / 0.02
    step = np.array([one.step for strip in strips for one in strip.readings])
    errors = np.diag(0.02**2 + (0.006 * slope) ** 2) + 0.012**2 * np.outer(slope, slope) * (step[:, None] == step)
    told = differences(read)
    known = np.linalg.inv(np.eye(freedom.count) + told.T @ np.linalg.solve(errors, told))
    leans = differences(iso_range)[0]
    return float(np.sqrt(leans @ known @ leans))


def _said_finer(by: float, zigzag: float = 0.0) -> list[Strip]:
    """Return strips whose wedge was said finer than the usual one under which they were read; slips cannot be asked of them."""
    strips = [_far_apart(_strip(s, _zigzag(zigzag))) for s in ALL]
    return [replace(s, readings=tuple(replace(r, wedge_density=by * r.wedge_density) for r in s.readings)) for s in strips]


def test_a_wedge_is_refused_by_strips_alone_only_where_no_paper_is_so_soft_or_hard() -> None:
    """Papers are up to 1.9 times as soft as one another; steps said at 0.48 would make this one 2.1 times as hard."""
    _taken(_said_finer(0.75))
    _taken(_said_finer(0.55))
    _refused(_said_finer(0.48), "look like a wedge of")


def test_what_one_strip_leaves_open_is_said_and_three_leave_nothing() -> None:
    """One strip behind filter 2 narrows the two numbers of the curve's form by less than a fifth, all else by more."""
    def open_words(*settings: str) -> list[str]:
        own = fit_own_paper(GENERIC, HEAD, PaperReadings(tuple(_strip(s) for s in settings)))
        lines = own_paper_lines(own, next_sheet(own), ())
        return [line.partition("begun from: ")[2] for line in lines if line.startswith("Not told by these readings")]

    assert open_words(*ALL) == []
    assert open_words("2") == [f"{OPEN_WORDS['curve_a']}, {OPEN_WORDS['curve_b']}."]
