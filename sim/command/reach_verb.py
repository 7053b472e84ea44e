"""tonewright reach: the best print of a negative by its aim tones or by target tones, or what stops it."""

from __future__ import annotations

import argparse
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

from sim.command.real_paper_option import add_real_paper_option
from sim.command.setting_options import add_setting_options, named_place, set_up_from
from sim.enlarger.equipment import find_lens
from sim.refusals import Refused
from sim.viewing.hands_seconds import HANDS_S, mark_for_hands, too_long_for_hands, too_short_for_hands

if TYPE_CHECKING:
    from sim.printing.record import PrintingRecord
    from sim.scoring.reach import Reached
    from sim.viewing.real_paper import RealTone


def add_options(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("--targets", metavar="TOML", help="target tones (default: the sleeve's lightest and darkest places)")
    parser.add_argument("--way", choices=("one", "pair"), default="one", help="one exposure, or a soft and a hard one")
    parser.add_argument("--card", action="append", default=[], metavar="PLACE", help="a place a card may hold back or burn")
    parser.add_argument("--card-in", choices=("soft", "hard", "both"), default="both", help="exposure the card may be in")
    parser.add_argument("--longest", type=float, default=180.0, metavar="S", help="longest time (default: %(default)s)")
    parser.add_argument("--shortest", type=float, default=1.0, metavar="S", help="shortest time (default: %(default)s)")
    parser.add_argument("--save-record", metavar="JSON", help="write the record found (without cards)")
    parser.add_argument("--json", action="store_true", help="as JSON instead of a table")
    add_real_paper_option(parser)
    add_setting_options(parser)


def run(options: argparse.Namespace) -> int:
    """Find the print; exit code 1 when the goals cannot be reached."""
    from sim.bench.real_sheet import tones_on_real_paper
    from sim.notebook.own_seconds import own_seconds_lines
    from sim.paper.response import Response
    from sim.printing.record_file import write_record
    from sim.scoring.reach import ReachOptions, reach
    from sim.scoring.target_tones import aim_tones, read_targets

    negative, stock, record = set_up_from(options)
    _refuse_given_out(negative.name)
    if options.targets:
        targets = read_targets(Path(options.targets), negative)
    else:
        targets = aim_tones(negative, Response(stock, record.development))
    if not targets:
        raise Refused(f"{negative.name} names no lightest or darkest place; give --targets")
    for name in options.card:
        named_place(negative, "--card", name)
    exposures = {"soft": (0,), "hard": (1,), "both": (0, 1)}[options.card_in]
    limits = (options.shortest, options.longest)
    if not all(0.1 <= limit <= 600.0 for limit in limits):
        raise Refused(f"--shortest and --longest must lie between 0.1 and 600 s, got {limits[0]:g} and {limits[1]:g}")
    if limits[0] >= limits[1]:
        raise Refused(f"--shortest must be below --longest, got {limits[0]:g} and {limits[1]:g} s")
    allowed = ReachOptions(time_limits_s=limits, card_places=tuple(options.card), card_exposures=exposures)
    found = _in_hands_time(options, record, lambda one: reach(negative, one, stock, targets, options.way, allowed))
    if options.save_record:
        write_record(Path(options.save_record), found.record)
    real = tones_on_real_paper(negative, found.record, stock) if options.real_paper else ()
    if options.json:
        _show_json(found, real)
    else:
        _show(found, real)
        hands = _hands_lines(found.record, record.exposures[0].f_number) if _aperture_is_free(options, record) else []
        for line in (*hands, *own_seconds_lines(found.record, negative, stock)):
            print(line)
    return 0 if found.holds else 1


def _in_hands_time(
    options: argparse.Namespace, record: PrintingRecord, solve: Callable[[PrintingRecord], Reached]
) -> Reached:
    """Return the best print at the aperture that was said, else at one that leaves hands their time if it is as good there."""
    found = solve(record)
    if not _aperture_is_free(options, record):
        return found
    lens, f_number = find_lens(record.enlarger.lens), record.exposures[0].f_number
    mark = mark_for_hands(lens, f_number, [one.time_s for one in found.record.exposures], cards_first=True)
    if mark == f_number:
        return found
    again = solve(record.with_exposures(replace(record.exposures[0], f_number=mark)))
    return again if again.holds or not found.holds else found


def _aperture_is_free(options: argparse.Namespace, record: PrintingRecord) -> bool:
    """Tell whether the aperture may be set by what hands want: nobody said it, and it bears on the seconds they are to have."""
    return not ("--f-number" in options.given or options.longest < HANDS_S[0] or record.enlarger.contact)


def _hands_lines(found: PrintingRecord, f_number: float) -> list[str]:
    """Return in words whether hands have their time in every exposure, and which has not; ``f_number`` is where it began."""
    times_s = [one.time_s for one in found.exposures]
    shortest, longest = HANDS_S
    lines = []
    for number, one in enumerate(found.exposures, 1):
        time_s = one.time_s
        if too_short_for_hands(time_s):
            lines.append(
                f"Exposure {number}, {time_s:.1f} s, is too short for a card in and out: hands want {shortest:g} s."
                if one.cards
                else f"Exposure {number}, {time_s:.1f} s, is too short to be timed and repeated: hands want {shortest:g} s."
            )
        elif too_long_for_hands(time_s):
            lines.append(f"Exposure {number}, {time_s:.1f} s, is longer than the {longest:g} s that hands hold still.")
    if lines:
        if max(times_s) > min(times_s) * longest / shortest:
            lines.append(f"No one aperture gives both exposures {shortest:g} to {longest:g} s; --f-number sets another.")
        return lines
    if found.exposures[0].f_number == f_number:
        return []
    return [f"The aperture is one at which hands have {shortest:g} to {longest:g} s; --f-number sets another."]


def _refuse_given_out(negative: str) -> None:
    """Leave a negative alone of which a variant was given out to be printed by its learner. Raises Refused."""
    from sim.evening.given_out import GIVEN_OUT_FILE, is_given_out, negatives_given_out
    from sim.shelf import data_of_ones_own

    folder = data_of_ones_own()
    if is_given_out(negative, negatives_given_out(folder)):
        raise Refused(
            f"{negative} was given out in a course, and its print is its learner's to find; take another negative "
            f"(what was given out stands in {folder / GIVEN_OUT_FILE})"
        )


def _show_json(found: Reached, real: tuple[RealTone, ...]) -> None:
    from sim.command.pictures import show_json
    from sim.command.real_paper_option import real_paper_data
    from sim.notebook.limit_words import limit_words
    from sim.printing.record_file import record_data
    from sim.words import Words

    show_json(
        {
            "holds": found.holds,
            "rms_lightness": round(found.rms_lightness, 3),
            "goals": [
                {"place": g.place.name, "wanted": round(g.density, 3), "reached": round(d, 3)}
                for g, d in zip(found.goals, found.densities, strict=True)
            ],
            "cards": [{"place": c.place, "exposure": c.exposure + 1, "stops": round(c.stops, 2)} for c in found.card_factors],
            "limits": [limit_words(limit, Words()) for limit in found.limits],
            "record": record_data(found.record),
            **({"real_paper": real_paper_data(real)} if real else {}),
        }
    )


def _show(found: Reached, real: tuple[RealTone, ...]) -> None:
    from sim.command.pictures import show_table
    from sim.command.real_paper_option import show_real_paper
    from sim.notebook.control_words import filter_words
    from sim.notebook.limit_words import limit_words
    from sim.words import Words

    exposures = ", then ".join(f"{filter_words(e.filter)} {e.time_s:.1f} s at f/{e.f_number:g}" for e in found.record.exposures)
    rows = [
        [g.place.name, f"{g.density:.2f}", f"{d:.2f}", f"{miss:+.1f}"]
        for g, d, miss in zip(found.goals, found.densities, found.misses_lightness, strict=True)
    ]
    show_table(f"Best print: {exposures}", ["place", "wanted", "reached", "L* off"], rows)
    for card in found.card_factors:
        verb = "hold back" if card.stops < 0 else "burn in"
        print(f"  {verb} {card.place} by {abs(card.stops):.2f} stop in exposure {card.exposure + 1}")
    print("Every goal is reached." if found.holds else "Not all goals can be reached:")
    for limit in found.limits:
        print(f"  {limit_words(limit, Words())}")
    show_real_paper(real)
