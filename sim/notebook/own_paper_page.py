"""The page of a paper of one's own: its curves with the readings on them, what they miss, and its filters in a table."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import TYPE_CHECKING

from sim.calibration.believed_wedge import ONE_STOP, SURE, BelievedWedge, believed_wedge
from sim.calibration.bent_curves import bend_seen
from sim.calibration.contradictions import LeftOutStep
from sim.calibration.drying import drying_of
from sim.calibration.next_strip import UNEXPOSED, NextSheet
from sim.calibration.own_curves import NINETY, Behind, behind
from sim.calibration.own_paper import OwnPaper
from sim.calibration.slipped_steps import likeliest_slip, slip_alone
from sim.notebook.darkroom_page import MARGIN_MM, DarkroomPage
from sim.notebook.own_paper_graph import PaperGraph, graph_of
from sim.words_page import page_said

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

OPEN_WORDS = {
    "speed": "speed",
    "green": "how far filters shift it",
    "curve_a": "the steepness of its grains",
    "curve_b": "its shoulder",
    "undyed": "the knee of the soft filters",
    "little": "the run of the middle filters",
    "little_at": "the run of the softest filters",
    "little_spread": "the run of the soft filters",
    "much_spread": "the run of the hard filters",
    "spread": "its contrast",
    "silver": "its black",
    "base": "its white",
}
CURVES_MM = {"a4": 72.0, "letter": 54.0}  # lower on the shorter page: what is said under the table must fit
MARKS = ("o", "s", "^", "D", "v", "P", "X", "<", ">", "*", "h", "p")
WEDGE_LINES = 2  # that stand before every figure: what is believed of the wedge, and of its count
TOLD_BEND = 0.005  # density: half of what the page prints as 0.01 (chosen: a densitometer shows hundredths)


def own_paper_page(
    own: OwnPaper, curves: Sequence[Behind], title: str, sheet: NextSheet, left_out: Sequence[LeftOutStep], size: str = "a4",
    large: bool = False,
) -> tuple[Figure, ...]:  # fmt: skip
    """Return the page; ``curves`` are those to be shown, read or foretold."""
    page = DarkroomPage(size, title, f"read with {own.head.title.lower()}; good with these filters and this lamp", large)
    lines = own_paper_lines(own, sheet, left_out, curves)
    before = 0 if believed_wedge(own.readings) is None else WEDGE_LINES
    for line in lines[:before]:
        page.write(line, size_pt=10.0, bold=True)  # before any figure: all of them stand on it
    high, wide = CURVES_MM[size], page.right - MARGIN_MM - 12.0
    graph = graph_of(own, curves)
    _curves(page.axes(MARGIN_MM + 12.0, page.y + 2.0, wide, high), graph, own.readings.light_known, page.larger)
    _misses(page.axes(MARGIN_MM + 12.0, page.y + high + 16.0, wide, 26.0), graph, page.larger)
    page.y += high + 56.0
    columns = [
        (MARGIN_MM, "filter"),
        (70.0, "ISO R"),
        (110.0, "ISO P"),
        (150.0, "read"),
        (page.right, "90 % within, D"),
    ]
    page.table(columns, [_row(own, one) for one in curves], size_pt=10.0)
    for line in lines[before:]:
        page.write(line, size_pt=10.0)
    return page.finish()


def _row(own: OwnPaper, one: Behind) -> tuple[str, ...]:
    net = one.curve.density - one.curve.base_plus_fog
    seen = (net > 0.04) & (net < 0.9 * one.curve.net_dmax)
    within = NINETY * float((one.from_speed_error[seen] ** 2).mean() ** 0.5)
    return one.setting, range_text(own, one), speed_text(own, one), "yes" if one.read else "foretold", f"±{within:.3f}"


def range_text(own: OwnPaper, one: Behind) -> str:
    """Return ISO R with its nine-in-ten interval, what the wedge may be off by in it."""
    return f"{one.iso_range:.0f} ± {NINETY * range_error(own, one):.0f}"


def range_error(own: OwnPaper, one: Behind) -> float:
    """Return the standard error of ISO R: of the readings, and of the wedge they were read under."""
    wedge = believed_wedge(own.readings)
    return math.hypot(one.iso_range_error, one.iso_range * wedge.error if wedge is not None else 0.0)


def speed_text(own: OwnPaper, one: Behind) -> str:
    """Return ISO P with its nine-in-ten interval, or that the light was not known."""
    if not own.readings.light_known:
        return "light not known"
    factor = 10.0 ** (NINETY * one.log_speed_error)
    return f"{one.iso_speed:.0f} ({one.iso_speed / factor:.0f}-{one.iso_speed * factor:.0f})"


def own_paper_lines(
    own: OwnPaper, sheet: NextSheet, left_out: Sequence[LeftOutStep], curves: Sequence[Behind] = ()
) -> list[str]:  # fmt: skip
    """Return in words how far the wedge is checked, what was left out, what is still the generic paper's, what to read next."""
    lines = _wedge_words(own, curves or [behind(own, setting) for setting in own.readings.settings])
    for one in left_out:
        where = f"strip {one.setting}, step {one.step}" if one.setting else f"the wedge's step {one.step}"
        unit = "D" if one.setting else "in log exposure"
        lines.append(f"Left out: {where}, which lies {one.off:+.2f} {unit} from what all others say.")
    slip = likeliest_slip(own)
    alone = slip if slip is not None and slip.is_likely else slip_alone(own.readings)
    if alone is not None:
        what = "passed over" if alone.passed_over else "read twice"
        lines.append(
            f"Perhaps strip {alone.setting}, step {alone.step} was {what}, and all readings after it belong one step on or "
            "back: count its steps again."
        )
    lines += _form_words(own, curves or [behind(own, setting) for setting in own.readings.settings])
    drying = drying_of(own.stock, own.readings)
    if drying is not None:
        lines.append(
            f"Drying: what reads {drying.light_grey_wet:.2f} wet dries to 0.30, told by {drying.count} steps read wet and dry; "
            "prints on this paper shown wet have it."
        )
    unread = own.left_open()
    if unread:
        lines.append(
            f"Not told by these readings, and as of the paper begun from: {', '.join(OPEN_WORDS[name] for name in unread)}."
        )
    lines.append(next_words(sheet))
    lines.append(f"Readings missed by {own.misfit**0.5:.1f} of their error (about 1 where all is well).")
    return lines


def _form_words(own: OwnPaper, curves: Sequence[Behind]) -> list[str]:
    """Return in words what the program's form of curve misses, and where ISO R does not come of it."""
    of_strips = ", ".join(one.setting for one in curves if one.from_strip)
    lines = []
    if of_strips:
        lines = [f"ISO R behind {of_strips} is read from the strips themselves, not from the program's curves."]
    if not own.bend or bend_seen(own) < TOLD_BEND:
        return lines
    return [
        f"This paper's curves have another form than the program's: they pass the readings by {bend_seen(own):.3f} D in the "
        "mean, smoothly along the curve. All intervals are widened by it; ISO R of foretold filters leans with it, and may be "
        "low behind soft filters and high behind middle ones.",
        *lines,
    ]


def _wedge_words(own: OwnPaper, curves: Sequence[Behind]) -> list[str]:
    """Return in words how far the wedge is checked, first of all: every ISO R stands on it."""
    wedge, read = believed_wedge(own.readings), [one for one in curves if one.read]
    if wedge is None or not read:
        return []
    return [_steps_words(wedge, read), _counted_words(wedge.apart / ONE_STOP)]


def _counted_words(stops: float) -> str:
    """Return in words what no strip tells of its own count."""
    return (
        f"NOT SEEN: whether one strip, or all of them, were counted off by a whole step; it looks like paper {stops:.1f} stops "
        "faster or slower. A step marked on the wedge before printing tells it, and for its own filter a strip with twice the "
        "light, counted anew."
    )


def _steps_words(wedge: BelievedWedge, read: Sequence[Behind]) -> str:
    """Return in words how far the wedge's steps are checked."""
    if wedge.stop is not None:
        lies = f"twice the light lies {wedge.stop.moved:.2f} ± {NINETY * wedge.stop.error:.2f} further along it"
        if abs(wedge.stop.moved - ONE_STOP) > SURE * wedge.stop.error:
            return f"The wedge does not agree: {lies}, and one stop is 0.30. Every ISO R is off in that proportion."
        return f"The wedge is checked: {lies}, and one stop is 0.30."
    one = read[len(read) // 2]
    return (
        f"NOT CHECKED: the wedge's steps are taken to be {wedge.apart:.2f} apart, as was said, and strips alone cannot tell. "
        f"Were they {wedge.taken_for:.2f}, ISO R behind {one.setting} would be "
        f"{one.iso_range * wedge.taken_for / wedge.apart:.0f}, not {one.iso_range:.0f}, and all others in that proportion. One "
        "more strip with the same light twice tells it: rows double, in the recipe."
    )


def next_words(sheet: NextSheet) -> str:
    """Return what to read next in words."""
    if not sheet.what or not sheet.worth_it:
        return "Another strip would narrow these curves by less than a tenth: not worth a sheet."
    what = "an unexposed sheet" if sheet.what == UNEXPOSED else f"a strip behind filter {sheet.what}"
    then = f"the curves would then be known to {sheet.error_then:.3f} D instead of {sheet.error_now:.3f}"
    return f"What to read next: {what}; {then}."


def _curves(axes: Axes, graph: PaperGraph, lux: bool, larger: float) -> None:
    for k, one in enumerate(graph.curves):
        style = "-" if one.read else "--"
        axes.plot(one.log_exposure, one.density, style, color="black", lw=1.1 if one.read else 0.7)
        axes.fill_between(one.log_exposure, one.low, one.high, color=str(0.82 - 0.04 * (k % 3)), lw=0)
    for k, strip in enumerate(graph.strips):
        if strip.density:
            face, mark = "white" if k % 2 else "black", MARKS[k % len(MARKS)]
            axes.plot(strip.log_exposure, strip.density, mark, ms=3.6, mfc=face, mec="black", mew=0.7,
                      label=page_said(f"filter {strip.setting}"))  # fmt: skip
    axes.set_xlim(graph.left, graph.right)
    axes.set_ylim(0.0, graph.top)
    unit = "lux s" if lux else "s, level not known"
    below = f"log exposure before the filter ({unit}); broken: foretold; grey: nine of ten lie there"
    axes.set_xlabel(page_said(below), fontsize=9 * larger)
    axes.set_ylabel(page_said("density"), fontsize=9 * larger)
    axes.tick_params(labelsize=9 * larger)
    if axes.get_legend_handles_labels()[0]:
        axes.legend(loc="lower right", fontsize=9 * larger, frameon=False)


def _misses(axes: Axes, graph: PaperGraph, larger: float) -> None:
    for k, strip in enumerate(graph.strips):
        face = "white" if k % 2 else "black"
        axes.plot(strip.steps, strip.off, MARKS[k % len(MARKS)], ms=3.4, mfc=face, mec="black", mew=0.6)
    axes.axhline(0.0, color="black", lw=0.6)
    axes.set_xlabel(page_said("step of the wedge, from the clear end"), fontsize=9 * larger)
    axes.set_ylabel(page_said("read - curve, D"), fontsize=9 * larger)
    axes.tick_params(labelsize=9 * larger)
