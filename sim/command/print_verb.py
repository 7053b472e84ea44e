"""tonewright print: make a print from a record, or from settings given on the line."""

from __future__ import annotations

import argparse
from pathlib import Path
from typing import TYPE_CHECKING, Any

from sim.command.real_paper_option import add_real_paper_option
from sim.command.setting_options import Given, add_setting_options, default_output, laid_out, set_up_from
from sim.refusals import Refused

if TYPE_CHECKING:
    from collections.abc import Sequence

    from sim.command.lesson_lines import Act
    from sim.negative.negative import Negative
    from sim.paper.stock import Stock
    from sim.printing.make_print import Print
    from sim.printing.record import PrintingRecord
    from sim.scoring.marks import Marks
    from sim.scoring.target_tones import ToneTarget
    from sim.shelf import Shelf

SAID_AS = {"--sheet": "size", "--yellow": "filter", "--magenta": "filter"}  # options whose word is another
LAID_OUT_BY_OPTIONS = ("negative", "paper", "like")  # what the shelf and the record decide

CARD_GRAMMAR = (
    "A card is WHERE:STOPS[:MM[xMM][:EXPOSURE]], where WHERE is a place or x,y in mm; then, in any order, height=MM above the "
    "paper, angle=DEG, still (else it is kept moving), outline=X,Y;X,Y;X,Y in mm around its middle, and of a burn filter=NAME. "
    "A burn adds to what the place had before behind the same filter, else to all light before, or to the EXPOSURE it names. "
    "Others: burn-above=PLACE:STOPS edge-burn=SIDE:STOPS:MM "
    "flash=S[:STOPS] flash-at=WHERE:S:MM[:dimmed=STOPS] shift=X,Y size=WxH temperature=C"
)


def add_options(parser: argparse.ArgumentParser) -> None:
    """Add the verb's options."""
    parser.add_argument("record", nargs="*", metavar="RECORD|KEY=VALUE",
                        help="a printing record (JSON); what it has of your own lies in your own folder, or where --negative "
                             "and --paper say; without a record, the set-up below is printed. KEY=VALUE are the words of a "
                             "lesson's print line: time=8.5 then=5:6 hold-back=face:0.5:40 burn=85,120:0.7:30:filter=4 "
                             "edge-burn=all:0.3:25 focus=0.1 carrier=glassless develop=90. " + CARD_GRAMMAR)  # fmt: skip
    parser.add_argument("--time", action=Given, type=float, default=10.0, metavar="S",
                        help="exposure time (default: %(default)s)")  # fmt: skip
    parser.add_argument("-o", "--output", metavar="PNG", help="where the print goes (default: NEGATIVE-print.png)")
    parser.add_argument("--save-record", metavar="JSON", help="write the record behind the print")
    parser.add_argument("--targets", metavar="TOML", help="score the print against target tones")
    parser.add_argument("--hold-back", action="append", default=[], metavar="PLACE:STOPS[:MM]",
                        help="hold a place back with a tool of that size (or its own), kept moving; repeatable")  # fmt: skip
    parser.add_argument("--burn", action="append", default=[], metavar="PLACE:STOPS[:MM]",
                        help="burn a place in through a hole of that size (or its own), kept moving; repeatable")  # fmt: skip
    parser.add_argument("--loupe", metavar="PLACE|X,Y",
                        help="also write what a loupe shows at a place, or mm from the corner (…-loupe.png)")  # fmt: skip
    parser.add_argument("--wet", action="store_true", help="look at the print wet, before it dries down")
    parser.add_argument("--view", choices=("white", "amber", "red"), default="white", help="light it is looked at in")
    parser.add_argument("--lux", type=float, default=500.0, help="viewing light in lux (default: %(default)s)")
    parser.add_argument("--json", action="store_true", help="readings as JSON instead of a table")
    add_real_paper_option(parser)
    add_setting_options(parser)


def asked_for(options: argparse.Namespace) -> tuple[Negative, Stock, PrintingRecord]:
    """Return what is to be printed: a record from a file, or the set-up given on the line, as the KEY=VALUE words say.

    A strip's pieces of time are no whole print's, and no word is said of them.
    """
    from sim.command.printing_lines import print_said, set_up_said
    from sim.control_ranges import checked

    options.record, said = _record_and_words(options.record)
    _refuse_said_twice(options.given, said)
    checked("--lux", options.lux, "viewing_lux")
    negative, stock, record = _of_record(options) if options.record else set_up_from(options, options.time)
    if not said.settings:
        return negative, stock, record
    if record.sheet.kind == "strip":
        raise Refused("a strip's record must be printed as it is, got words for a whole print")
    return negative, stock, print_said(negative, set_up_said(said, record), said)


def _of_record(options: argparse.Namespace) -> tuple[Negative, Stock, PrintingRecord]:
    """Return the record in a file, and the negative and the paper that it names."""
    from sim.command.of_a_course import refuse_of_a_course
    from sim.negative.develop import find_negative
    from sim.paper.stock import find_stock
    from sim.printing.record_file import read_record

    record = read_record(Path(options.record))
    refuse_of_a_course((record.negative,))
    shelf = _shelf_for(options, record)
    return find_negative(record.negative, shelf), find_stock(record.sheet.paper, shelf), record


def _record_and_words(words: list[str]) -> tuple[str | None, Act]:
    """Return the record's file, if one is named, and what the KEY=VALUE words say. Raises Refused in words."""
    from sim.command.lesson_lines import PRINT_KEYS, Act, settings_said

    files = [word for word in words if "=" not in word or Path(word).is_file()]
    if len(files) > 1:
        raise Refused(f"one record may be printed at a time, got {', '.join(files)[:100]}")
    known = tuple(key for key in PRINT_KEYS if key not in LAID_OUT_BY_OPTIONS)
    return (files[0] if files else None), Act("print", (), settings_said("print", [w for w in words if w not in files], known))


def _refuse_said_twice(given: Sequence[str], said: Act) -> None:
    """Refuse a setting that is said both as an option and as a word: neither may be dropped in silence."""
    for option in given:
        key = SAID_AS.get(option, option.removeprefix("--"))
        if key in said.settings:
            raise Refused(f"{option} and {key}={said.one(key)} exclude each other: say it once, got both")


def _shelf_for(options: argparse.Namespace, record: PrintingRecord) -> Shelf:
    """Return the shelf a record's things are looked for on. Raises Refused for what the record itself decides.

    A record names no paths; --negative and --paper may say where its own things lie.
    """
    beside = [name for name in options.given if name not in ("--negative", "--paper")]
    if beside:
        raise Refused(f"{', '.join(dict.fromkeys(beside))} cannot stand beside a record, which decides that itself; "
                      "`tonewright reprint` makes one for another sheet, paper or negative")  # fmt: skip
    shelf, negative, paper = laid_out(options)
    for option, named, own in (("--negative", negative, record.negative), ("--paper", paper, record.sheet.paper)):
        if option in options.given and named != own:
            raise Refused(f"{option} beside a record must be its own {own}, or the file of it, got {named!r}")
    return shelf


def run(options: argparse.Namespace) -> int:
    """Make the print, write it, show its readings."""
    from sim.bench.real_sheet import tones_on_real_paper
    from sim.command.pictures import fineness_said, print_data, save_print, show_json, show_print, show_tones
    from sim.command.real_paper_option import real_paper_data, show_real_paper
    from sim.printing.make_print import make_print
    from sim.printing.picture_fineness import picture_of
    from sim.printing.record_file import write_record
    from sim.printing.strips import strip_in
    from sim.scoring.marks import score

    negative, stock, record = asked_for(options)
    record = _with_cards(options, negative, record)
    targets, at_mm = _looked_for(options, negative, record)
    output = _output(options, negative)
    sheet = make_print(negative, record, stock, wet=options.wet)
    strip = strip_in(record)
    picture, fineness = picture_of(negative, record, stock, sheet, options.wet)
    save_print(output, picture, strip.steps if strip else (), options.lux, options.view)
    if options.save_record:
        write_record(Path(options.save_record), record)
    sharpness = _loupe(negative, record, stock, output, at_mm, options.lux) if at_mm else None
    marks = score(sheet, targets) if targets else None
    stale = bool(record.negative_digest) and record.negative_digest != negative.digest
    real = tones_on_real_paper(negative, record, stock) if options.real_paper else ()
    if options.json:
        read = {"negative_changed": stale, **print_data(sheet, negative, record), **_tones(sheet)}
        drawn = {"print": str(output), "px_per_mm": round(picture.grid.px_per_mm, 3)}
        return show_json({**drawn, **read, **(sharpness or {}), **({"marks": _data(marks)} if marks else {}),
                          **({"real_paper": real_paper_data(real)} if real else {})})  # fmt: skip
    show_print(sheet, negative, record, f"{negative.name} on {stock.title}")
    show_real_paper(real)
    _show_notes(stock, record, stale)
    if marks:
        show_tones(marks, f"Marks: {round(marks.points, 2)} of {marks.full_points}")
    _show_whole_sheet(options, sheet, sharpness)
    print("".join(f"{line}\n" for line in fineness_said(fineness)), end="")
    print(f"Print written to {output}")
    return 0


def _show_notes(stock: Stock, record: PrintingRecord, stale: bool) -> None:
    """Say what the print was made with that is not what it was meant for."""
    if stock.read_with not in ("", record.enlarger.head):
        print(f"Note: this paper was read with {stock.read_with} and its filters; behind another lamp its contrast may differ.")
    if stale:
        print("Note: the record was written for a negative with other densities than today's of that name.")


def _looked_for(
    options: argparse.Namespace, negative: Negative, record: PrintingRecord
) -> tuple[tuple[ToneTarget, ...] | None, tuple[float, float] | None]:
    """Return the tones to be met and where the loupe is to stand, if asked for: refused before paper is used."""
    from sim.command.loupe_pictures import point_of
    from sim.scoring.target_tones import read_targets

    targets = read_targets(Path(options.targets), negative) if options.targets else None
    return targets, point_of(options.loupe, "--loupe", negative, record) if options.loupe else None


def _output(options: argparse.Namespace, negative: Negative) -> Path:
    state = ("-wet" if options.wet else "") + (f"-{options.view}" if options.view != "white" else "")
    return default_output(options, f"{negative.name}-print{state}.png")


def _show_whole_sheet(options: argparse.Namespace, sheet: Print, sharpness: dict[str, Any] | None) -> None:
    """Show how much of the picture is white and black, and what the loupe showed."""
    tones = _tones(sheet)
    print(f"Paper white {100 * tones['white_share']:.1f} % of the picture, full black {100 * tones['black_share']:.1f} %")
    if sharpness:
        print(f"Under the loupe at {options.loupe}: the lens keeps {100 * float(sharpness['contrast_5_lp_mm']):.0f} % "
              f"of contrast at 5 lp/mm; crop in {sharpness['loupe']}")  # fmt: skip


def _with_cards(options: argparse.Namespace, negative: Negative, record: PrintingRecord) -> PrintingRecord:
    """Return the record with the places held back and burnt in that the options ask for."""
    from sim.command.printing_lines import card_said

    for option, texts, sign in (("--hold-back", options.hold_back, -1.0), ("--burn", options.burn, 1.0)):
        for text in texts:
            record = card_said(negative, record, option, sign, text)
    return record


def _tones(sheet: Print) -> dict[str, float]:
    from sim.viewing.lost_tones import lost_in_white_and_black

    white, black = lost_in_white_and_black(sheet)
    return {"white_share": round(white, 4), "black_share": round(black, 4)}


def _loupe(
    negative: Negative, record: PrintingRecord, stock: Stock, output: Path, at_mm: tuple[float, float], lux: float
) -> dict[str, Any]:
    """Write the loupe's crop beside the print; return where, and the sharpness there."""
    from sim.command.loupe_pictures import write_loupe
    from sim.viewing.loupe import sharpness_at

    crop = output.with_name(f"{output.stem}-loupe.png")
    write_loupe(crop, negative, record, stock, at_mm, viewing_lux=lux)
    return {"loupe": str(crop), "contrast_5_lp_mm": round(sharpness_at(negative, record, *at_mm), 3)}


def _data(marks: Marks) -> dict[str, object]:
    from dataclasses import asdict

    criteria = [asdict(mark) for mark in marks.marks]
    return {"points": round(marks.points, 2), "full_points": marks.full_points, "criteria": criteria}
