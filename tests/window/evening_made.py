"""Sheets and strips made without the enlarger's screen, for tests of what comes after it."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from driving import Driver

STEPS_S = (3.0, 4.0, 5.7, 8.0, 11.3)


def darkroom(driver: Driver) -> Any:
    """Return the evening's darkroom."""
    return driver.app.room.darkroom


def expose(driver: Driver, kind: str = "sheet", chosen: str = "2", time_s: float = 6.0, steps: Sequence[float] = ()) -> None:
    """Expose a piece of paper; it stays in hand."""
    dark = darkroom(driver)
    dark.desk.set("filter", chosen)
    dark.paper.take(kind)
    if steps:
        dark.paper.lay_strip(steps, angle_deg=90.0)
    else:
        dark.paper.expose(time_s)
    driver.app.screen.refresh()


def sheet(driver: Driver, kind: str = "sheet", chosen: str = "2", time_s: float = 6.0, steps: Sequence[float] = ()) -> int:
    """Expose and develop a piece of paper; returns its number."""
    expose(driver, kind, chosen, time_s, steps)
    tray = darkroom(driver).tray
    tray.put_in()
    number = int(tray.finish())
    tray.clear()
    return number


def evening(driver: Driver) -> None:
    """A soft strip, a hard strip and two prints."""
    sheet(driver, "strip", "00", steps=STEPS_S)
    sheet(driver, "strip", "5", steps=STEPS_S)
    sheet(driver, chosen="2", time_s=8.5)
    sheet(driver, chosen="3", time_s=8.5)
