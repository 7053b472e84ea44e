"""Pictures that a loupe or a grain focuser shows, for every verb that looks through one."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from sim.refusals import Refused

if TYPE_CHECKING:
    from sim.negative.negative import Negative
    from sim.paper.stock import Stock
    from sim.printing.record import PrintingRecord

LOUPE_MM, LOUPE_PX, FOCUSER_MM, FOCUSER_PX = 20.0, 400, 4.0, 480


def point_of(text: str, option: str, negative: Negative, record: PrintingRecord) -> tuple[float, float]:
    """Return where on the sheet a place, or X,Y in mm from its top left corner, lies. Raises Refused for what is neither."""
    from sim.command.setting_options import named_place
    from sim.printing.make_print import place_on_sheet

    x, comma, y = text.partition(",")
    if not comma:
        place = named_place(negative, option, text)
        return place_on_sheet(negative, record, place)
    try:
        point = float(x), float(y)
    except ValueError:
        raise Refused(f"{option} must be a named place, or mm such as 60,85, got {text[:40]!r}") from None
    sheet = record.sheet
    if not (0.0 <= point[0] <= sheet.width_mm and 0.0 <= point[1] <= sheet.height_mm):
        raise Refused(f"{option} must lie on the sheet of {sheet.width_mm:g} x {sheet.height_mm:g} mm, got {text[:40]!r}")
    return point


def write_loupe(
    path: Path, negative: Negative, record: PrintingRecord, stock: Stock, at_mm: tuple[float, float],
    side_mm: float | None = None, viewing_lux: float = 500.0,
) -> None:  # fmt: skip
    """Write a piece of the print as a loupe shows it under white light; smaller pieces are shown finer."""
    from sim.command.pictures import save_print
    from sim.viewing.loupe import LOUPE_PX_PER_MM, loupe

    side = side_mm or LOUPE_MM
    px_per_mm = min(max(LOUPE_PX_PER_MM, LOUPE_PX / side), FOCUSER_PX / FOCUSER_MM)
    save_print(path, loupe(negative, record, stock, *at_mm, side, px_per_mm), viewing_lux=viewing_lux)


def write_focuser(
    path: Path, negative: Negative, record: PrintingRecord, at_mm: tuple[float, float], side_mm: float | None = None
) -> None:
    """Write a piece of the picture on the easel as a grain focuser shows it: the eye adapts to its lightest parts."""
    from sim.viewing.loupe import on_easel, seen_in_air
    from sim.writing import write_png

    side = side_mm or FOCUSER_MM
    seen = on_easel(negative, record, *at_mm, side, FOCUSER_PX)
    write_png(path, seen_in_air(seen), dpi=(25.4 * FOCUSER_PX / side,) * 2)
