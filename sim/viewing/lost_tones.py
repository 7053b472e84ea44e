"""How much of a print is lost: the shares of the picture that are paper white and full black, by the standard's ends."""

from __future__ import annotations

from sim.paper.sensitometry import NET_IDMIN, SHARE_IDMAX
from sim.printing.make_print import Print
from sim.refusals import Refused


def lost_in_white_and_black(sheet: Print) -> tuple[float, float]:
    """Return the shares of the picture lighter than IDmin and darker than IDmax (ISO 6846): nothing stands out there.

    The picture is the part of the frame that lies on the open sheet. Raises Refused where none of it does.
    """
    left, top, width, height = sheet.frame_mm
    r0, c0 = sheet.at(left, top)
    r1, c1 = sheet.at(left + width, top + height)
    window_y, window_x = sheet.grid.open_window()
    rows = slice(max(r0, window_y.start), min(r1 + 1, window_y.stop))
    cols = slice(max(c0, window_x.start), min(c1 + 1, window_x.stop))
    net = sheet.density[rows, cols] - sheet.base_plus_fog
    if net.size == 0:
        raise Refused("the picture does not lie on the sheet")
    return float((net < NET_IDMIN).mean()), float((net > SHARE_IDMAX * (sheet.black - sheet.base_plus_fog)).mean())
