"""tonewright ring: a ring-around, nine small prints to choose time and filter from."""

from __future__ import annotations

import argparse
from dataclasses import replace
from typing import TYPE_CHECKING, Any

from sim.command.setting_options import add_setting_options, default_output, named_place, set_up_from
from sim.control_ranges import in_range
from sim.refusals import Refused

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from sim.negative.negative import Negative, Place
    from sim.paper.stock import Stock
    from sim.printing.exposure import LightCache
    from sim.printing.record import PrintingRecord

USUAL_TIME_S = 10.0


def add_options(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("--time", type=float, metavar="S",
                        help="time behind the middle filter, whose tone the others keep (default: what is right)")  # fmt: skip
    parser.add_argument("--stops", type=float, default=0.5, help="less and more light by this (default: %(default)s)")
    parser.add_argument("--filters", default="1,2,3", help="soft, middle and hard filter (default: %(default)s)")
    parser.add_argument("--keep", metavar="PLACE", help="place whose tone stays behind every filter (default: the lightest)")
    parser.add_argument("-o", "--output", metavar="PNG", help="where the sheet goes (default: NEGATIVE-ring.png)")
    parser.add_argument("--json", action="store_true", help="readings as JSON instead of a table")
    add_setting_options(parser)


def run(options: argparse.Namespace) -> int:
    """Make the prints, put them on one sheet, show what the ends read."""
    import numpy as np

    from sim.command.pictures import readings_of, show_json
    from sim.printing.exposure import LightCache
    from sim.printing.make_print import make_print
    from sim.printing.strips import ring_around
    from sim.viewing.lightness import screen_values
    from sim.viewing.strip_numbers import captioned
    from sim.writing import write_png

    in_range("--stops", options.stops, 0.05, 3)
    negative, stock, record = set_up_from(options, USUAL_TIME_S if options.time is None else options.time)
    output, lights = default_output(options, f"{negative.name}-ring.png"), LightCache()
    filters = tuple(name.strip() for name in options.filters.split(","))
    place, times_s = _times(options, negative, stock, record, filters, lights)
    if (stopped := _in_hands_time(options, record, times_s)) is not record:
        record = stopped
        place, times_s = _times(options, negative, stock, record, filters, lights)
    rows: list[NDArray[Any]] = []
    found: list[dict[str, Any]] = []
    for cells in ring_around(record, options.stops, filters, times_s):
        pictures = []
        for cell in cells:
            sheet, time_s = make_print(negative, cell.record, stock, lights=lights), cell.record.exposures[0].time_s
            step = max(1, sheet.density.shape[1] // 500)
            small = screen_values(sheet.density[::step, ::step])
            label = f"filter {cell.filtration.name}, {time_s:.1f} s, {stops_said(cell.stops)}"
            pictures.append(captioned(small, label, small.shape[1] + 16))
            found.append({"print": label, "time_s": round(time_s, 2), "readings": readings_of(sheet, negative)})
        rows.append(np.concatenate(pictures, axis=1))
    write_png(output, np.concatenate(rows, axis=0))
    if options.json:
        return show_json({"ring": str(output), "keeps": place.name, "f_number": record.exposures[0].f_number, "prints": found})
    _show_ends(negative, found)
    print(f"In the middle column {place.name} has one tone behind every filter, at f/{record.exposures[0].f_number:g}.")
    print(f"Ring-around written to {output}")
    return 0


def _in_hands_time(options: argparse.Namespace, record: PrintingRecord, times_s: dict[str, float]) -> PrintingRecord:
    """Return the record at the aperture at which all prints last as long as hands want; as it is where one was said."""
    from sim.enlarger.equipment import find_lens
    from sim.viewing.hands_seconds import mark_for_hands

    first = record.exposures[0]
    if options.time is not None or "--f-number" in options.given:
        return record
    ends = [time_s * 2.0 ** (sign * options.stops) for time_s in times_s.values() for sign in (-1, 1)]
    mark = mark_for_hands(find_lens(record.enlarger.lens), first.f_number, ends)
    return record if mark == first.f_number else record.with_exposures(replace(first, f_number=mark))


def _hands_lines(times_s: list[float]) -> list[str]:
    """Return in words which of the prints lie beyond the seconds that hands want."""
    from sim.viewing.hands_seconds import HANDS_S, too_long_for_hands, too_short_for_hands

    short, long, count = sum(map(too_short_for_hands, times_s)), sum(map(too_long_for_hands, times_s)), len(times_s)
    lines = []
    if short:
        lines.append(f"Shorter than the {HANDS_S[0]:g} s that hands want: {short} of {count}, down to {min(times_s):.1f} s.")
    if long:
        lines.append(f"Longer than the {HANDS_S[1]:g} s that hands want: {long} of {count}, up to {max(times_s):.1f} s.")
    return lines


def _times(
    options: argparse.Namespace, negative: Negative, stock: Stock, record: PrintingRecord, filters: tuple[str, ...],
    lights: LightCache,
) -> tuple[Place, dict[str, float]]:  # fmt: skip
    """Return the place whose tone stays, and the seconds of every filter that keep it."""
    from sim.enlarger.filters import FilterSetting
    from sim.notebook.reprint import reference_place
    from sim.paper.response import Response
    from sim.scoring.target_tones import LIGHTEST_NET_DENSITY
    from sim.viewing.easel_meter import place_density, time_for_density

    if not stock.is_variable_contrast:
        raise Refused(f"a ring-around of filters must be of variable-contrast paper, got {stock.name}")
    place = reference_place(negative, record) if options.keep is None else named_place(negative, "--keep", options.keep)
    first = replace(record.exposures[0], filter=FilterSetting.named(filters[len(filters) // 2]))
    right = options.time is None and place.part == "lightest"
    response = Response(stock, record.development)
    tone = (
        response.base_plus_fog + LIGHTEST_NET_DENSITY if right
        else place_density(negative, record.with_exposures(first), place, stock, first, lights)
    )  # fmt: skip
    try:
        exposures = {name: replace(first, filter=FilterSetting.named(name)) for name in filters}
        return place, {n: time_for_density(negative, record, place, stock, e, tone, lights) for n, e in exposures.items()}
    except Refused as error:
        raise Refused(f"{place.name} must print as a tone that can be kept: {error}") from None


def stops_said(stops: float) -> str:
    """Return a column of the ring in words."""
    return "as it is" if stops == 0.0 else f"{abs(stops):g} stop {'more' if stops > 0 else 'less'}"


def _show_ends(negative: Negative, found: list[dict[str, Any]]) -> None:
    """Show what the lightest and darkest places read on every print, and which prints hands have no time for."""
    from sim.command.pictures import show_table

    ends = [p for p in negative.places if p.part in ("lightest", "darkest")] or list(negative.places[:2])
    names = [place.name for place in ends]
    table = []
    for item in found:
        by_name = {r["place"]: r["print_density"] for r in item["readings"]}
        table.append([str(item["print"]), *(f"{by_name[name]:.2f}" if name in by_name else "" for name in names)])
    show_table(f"Ring-around of {negative.name}, rows soft to hard, columns less to more light", ["print", *names], table)
    for line in _hands_lines([float(item["time_s"]) for item in found]):
        print(line)
