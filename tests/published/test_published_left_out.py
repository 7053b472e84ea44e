"""Readings that were left out of the fit: each setting of the paper and each development of the film foretold by the others.

Only the form of the laws is judged: the numbers in the data files play no part, they are found anew without the readings
in question.
"""

from __future__ import annotations

from functools import partial

import pytest
from light_table import once_a_run
from negative.test_film_readings import MINUTES, fitted, rms

from sim.calibration.curve_fit import fit_variable_contrast
from sim.calibration.left_out import LeftOut, leave_each_out
from sim.calibration.paper_files import GLOSSY_FB
from sim.calibration.readings import read_family

from .checks import Check, as_parameters, kept

EACH_LEFT_OUT = "each setting of the glossy paper left out of its fit once"

PAPER = "open step-tablet readings of one glossy fibre-base paper at R {:g}, foretold from its R by the other settings"
FILM = "open step-tablet readings of one sheet film at {:g} min, foretold by the other developments"
PAPER_WITHIN = "what is asked of a curve between measured settings; twice the reading error"
FILM_WITHIN = "reading error 0.02 D, and 0.01 log where the line is steep"


@kept
def papers_left_out() -> tuple[LeftOut, ...]:
    """Return what becomes of every setting of the paper when it is left out."""
    readings = read_family().readings
    found = leave_each_out(readings, GLOSSY_FB.sheet, fit_variable_contrast(readings, GLOSSY_FB.sheet))
    once_a_run(EACH_LEFT_OUT, lambda: found)  # for others: a published check itself works out what it says
    return found


def paper_missed(number: int) -> float:
    """Return the rms density by which a setting is missed that the fit has not seen."""
    return papers_left_out()[number].rms


def film_missed(minutes: float) -> float:
    """Return the rms density by which a development is missed that the fit has not seen."""
    return rms(fitted(m for m in MINUTES if m != minutes), minutes)


def _paper_checks() -> list[Check]:
    return [
        Check(f"the paper at R {r}, left out", 0.0, 0.03, PAPER_WITHIN, "published", PAPER.format(r),
              ("lights of ISO R counted from net 0.08",), partial(paper_missed, number), "fit")
        for number, r in ((1, 124), (2, 95), (3, 70))
    ]  # fmt: skip


def _film_checks() -> list[Check]:
    wrong = {4.0: "film's contrast x 0.87", 8.5: "film's contrast x 0.87", 17.0: "toe widens with development"}
    return [
        Check(f"the film at {minutes:g} min, left out", 0.0, 0.022, FILM_WITHIN, "published", FILM.format(minutes),
              (wrong[minutes],), partial(film_missed, minutes), "fit")
        for minutes in MINUTES
    ]  # fmt: skip


TABLE = (*_paper_checks(), *_film_checks())


@pytest.mark.parametrize("check", as_parameters(TABLE))
def test_readings_left_out_are_foretold(check: Check) -> None:
    check.run()
