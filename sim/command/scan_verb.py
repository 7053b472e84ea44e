"""tonewright scan: scans of one's own negatives become density negatives with sleeves, ready to be printed here."""

from __future__ import annotations

import argparse
from pathlib import Path
from typing import TYPE_CHECKING, Any

import numpy as np

from sim.refusals import Refused

if TYPE_CHECKING:
    from sim.negative.scan import ScanEncoding
    from sim.negative.scan_sleeve import NamedSpot
    from sim.negative.scan_work import ScanChoices, ScanFacts, Scanned, ScannedFrame

ONE_SETTING = "scanned with one setting, as files of a roll must be"
CLEAR_SAID = {
    "rebate": "Clear film is the rebate around the frame.",
    "brightest": "Clear film was guessed: the brightest hundredth of the scan. Point at it with --clear X,Y.",
    "roll's rebate": f"Clear film is the rebate that the roll shows, one for all its files: {ONE_SETTING}.",
    "roll's brightest": "Clear film was guessed: the brightest hundredth of the roll's clearest file stands for all its files, "
    f"{ONE_SETTING}. Point at it with --clear X,Y.",
}


def add_options(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("file", help="the scan of the negative by transmitted light: 8- or 16-bit grey or RGB, PNG or TIFF; "
                        "or 8-bit JPEG; or a folder of them, a roll")  # fmt: skip
    parser.add_argument(
        "-o", "--output", default=".", metavar="FOLDER", help="where sleeve and densities go (default: here)"
    )
    parser.add_argument("--name", help="name of the sleeve (default: the file's name); of a roll, frames are numbered")
    parser.add_argument("--film", default="95x120", metavar="MMxMM", help="size of the frame (default: %(default)s)")
    parser.add_argument("--gamma", default="srgb", help="how the scanner wrote light: a gamma, 1 for linear, or srgb")
    parser.add_argument(
        "--black-offset", type=float, default=0.0, metavar="SHARE", help="value of black, of full scale"
    )
    parser.add_argument("--inverted", action="store_true", help="the scan was turned into a positive")
    parser.add_argument(
        "--channel", choices=("mean", "red", "green", "blue"), default="mean", help="channel of an RGB scan"
    )
    parser.add_argument(
        "--base", type=float, metavar="DENSITY", help="density of the clear film base (default: 0.1 is taken)"
    )
    parser.add_argument("--clear", metavar="X,Y", help="a spot of clear film base in the scan, as fractions")
    parser.add_argument(
        "--wedge",
        metavar="L,T,R,B,STEPS[,FIRST,STEP]",
        help="a step wedge in the frame: its box as fractions, number of steps, first density, increment",
    )
    _frame_options(parser)
    parser.add_argument("--most-px", type=int, default=2400, help="longest side kept (default: %(default)s)")
    parser.add_argument("--json", action="store_true", help="what was made, as JSON")


def _frame_options(parser: argparse.ArgumentParser) -> None:
    """Add how the frame lies in the scan, and which of its places are to be named."""
    parser.add_argument("--turn", type=int, default=0, metavar="DEG", help="turn it clockwise: 90, 180 or 270")
    parser.add_argument(
        "--flip", action="store_true", help="it was scanned from the wrong side: turn it over, left to right"
    )
    parser.add_argument(
        "--straighten", type=float, default=0.0, metavar="DEG", help="turn it clockwise by a few degrees"
    )
    parser.add_argument("--crop", metavar="L,T,R,B", help="keep this part of it, as fractions, once it is turned")
    parser.add_argument("--find-frame", action="store_true", help="find the frame inside a dark holder or clear rebate")
    parser.add_argument("--frames", metavar="COLSxROWS", help="the scan is a sheet of frames in even columns and rows")
    parser.add_argument("--place", action="append", default=[], metavar="NAME=X,Y", help="name a place of the frame, as "
                        "fractions to the right and down; may be repeated")  # fmt: skip


def numbers_of(text: str, option: str, least: int, most: int) -> list[float]:
    """Return the numbers of an option, written with commas between. Raises Refused for fewer, more, or no numbers."""
    try:
        numbers = [float(part) for part in text.split(",")]
    except ValueError:
        numbers = []
    if not least <= len(numbers) <= most or not all(abs(number) < 1e6 for number in numbers):
        count = str(least) if least == most else f"{least} to {most}"
        raise Refused(f"{option} must be {count} numbers with commas between, got {text!r}")
    return numbers


def run(options: argparse.Namespace) -> int:
    """Measure the scan or the roll, write density pictures and sleeves; of a roll nothing before all is measured."""
    from sim.bench.own_scans import pictures_in
    from sim.command.pictures import show_json
    from sim.command.setting_options import sheet_size_mm
    from sim.negative.scan_sleeve import write_scan_sleeve
    from sim.negative.scan_work import scanned_roll

    file = Path(options.file)
    files = pictures_in(file, f"{file.name}: a roll") if file.is_dir() else (file,)
    frame_mm = sheet_size_mm(options.film, "--film", "frame_mm")
    choices, spots = _choices(options, frame_mm), _spots(options.place)
    named = _named(list(zip(files, scanned_roll(files, choices), strict=True)), options.name)
    folder, made = Path(options.output), []
    for name, base, frame, facts in named:
        sleeve = write_scan_sleeve(folder, name, frame.density, base, frame_mm, spots)
        low, high = (float(v) for v in np.percentile(frame.density, (1, 99)))
        made.append(
            {"sleeve": str(sleeve), "density_1_percent": low, "density_99_percent": high, **_facts(frame, facts)}
        )
    if options.json:
        return show_json(made[0] if len(made) == 1 else {"frames": made})
    for done in made:
        low, high = done["density_1_percent"], done["density_99_percent"]
        print(f"{done['sleeve']}: densities above base from {low:.2f} to {high:.2f} (1 to 99 % of the frame).")
    for line in (*_said(named[0][3], named[0][1], [frame for _, _, frame, _ in named]), _curve_said(choices.encoding)):
        print(line)
    print(f"Print it with: tonewright print --negative {made[0]['sleeve']}")
    return 0


def _named(taken: list[tuple[Path, Scanned]], given: str | None) -> list[tuple[str, float, ScannedFrame, ScanFacts]]:
    """Return for every frame its name, the base's density, the frame and what is known of its scan; no two names are alike."""
    from sim.shelf import name_for

    named: list[tuple[str, float, ScannedFrame, ScanFacts]] = []
    for number, (file, one) in enumerate(taken, 1):
        name = name_for(given or file.stem)
        name = f"{name}-{number:02d}" if given and len(taken) > 1 else name
        many = len(one.frames) > 1
        named += [
            (name_for(f"{name}-{k:02d}") if many else name, one.base_density, frame, one.facts)
            for k, frame in enumerate(one.frames, 1)
        ]
    names = [name for name, *_ in named]
    if len(set(names)) < len(names):  # one would take another's place
        raise Refused(f"every frame must get a name of its own, got {', '.join(names)[:100]}: give --name")
    return named


def _choices(options: argparse.Namespace, frame_mm: tuple[float, float]) -> ScanChoices:
    from sim.negative.scan import ScanEncoding, WedgeInFrame
    from sim.negative.scan_frame import Box
    from sim.negative.scan_work import ScanChoices

    try:
        gamma = 0.0 if options.gamma == "srgb" else float(options.gamma)
    except ValueError:
        raise Refused(f"--gamma must be a number or srgb, got {options.gamma!r}") from None
    encoding = ScanEncoding(gamma, options.black_offset, options.inverted, options.channel)
    clear = None
    if options.clear:
        x, y = numbers_of(options.clear, "--clear", 2, 2)
        clear = x, y
    n = numbers_of(options.wedge, "--wedge", 5, 7) if options.wedge else None
    wedge = WedgeInFrame(n[0], n[1], n[2], n[3], int(n[4]), *n[5:]) if n else None
    crop = Box(*numbers_of(options.crop, "--crop", 4, 4)) if options.crop else None
    if options.turn not in (0, 90, 180, 270):
        raise Refused(f"--turn must be 0, 90, 180 or 270, got {options.turn}")
    return ScanChoices(
        encoding, clear, wedge, options.base, options.turn, options.flip, options.straighten, crop, options.find_frame,
        _grid(options.frames), options.most_px, frame_mm,
    )  # fmt: skip


def _grid(text: str | None) -> tuple[int, int] | None:
    if text is None:
        return None
    columns, _, rows = text.lower().partition("x")
    if not (columns.isdecimal() and rows.isdecimal()):
        raise Refused(f"--frames must be columns and rows such as 6x2, got {text!r}")
    return int(columns), int(rows)


def _spots(texts: list[str]) -> tuple[NamedSpot, ...]:
    from sim.negative.scan_sleeve import NamedSpot

    spots = []
    for text in texts:
        name, equals, where = text.partition("=")
        if not equals:
            raise Refused(f"--place must be a name, = and two fractions such as face=0.4,0.3, got {text!r}")
        spots.append(NamedSpot(name, *numbers_of(where, "--place", 2, 2)))
    return tuple(spots)


def _facts(frame: ScannedFrame, facts: ScanFacts) -> dict[str, Any]:
    box = [round(v, 4) for v in (frame.box.left, frame.box.top, frame.box.right, frame.box.bottom)]
    steps = {f"{density:g}": round(step, 4) for density, step in facts.step_at}
    return {"frame": box, "frame_found": frame.found, "straightened_deg": frame.tilt_deg,
            "clear_guessed": facts.clear_guessed, "clear_by": facts.clear_by, "base_guessed": facts.base_guessed,
            "bits": facts.bits, "packed_with_loss": facts.lossy, "density_step_at": steps}  # fmt: skip


def _curve_said(encoding: ScanEncoding) -> str:
    """Return in words by which curve the scan's values were read as light."""
    if encoding.gamma == 0.0:
        return (
            "Values were read by the sRGB curve, which pictures for screens have; densities are wrong where the scanner wrote "
            "another: --gamma 1 for linear light, or its number."
        )
    return f"Values were read by gamma {encoding.gamma:g}."


def _said(facts: ScanFacts, base: float, frames: list[ScannedFrame]) -> list[str]:
    """Return in words what was guessed, found and lost."""
    lines = []
    if any(frame.found for frame in frames):
        lines.append(f"Frames found inside holder or rebate: {sum(frame.found for frame in frames)} of {len(frames)}.")
        turned = sorted({f"{frame.tilt_deg:+.1f}" for frame in frames if frame.tilt_deg}, key=float)
        lines += [f"Straightened by {', '.join(turned)} degrees (clockwise +)."] if turned else []
    lines += [CLEAR_SAID[facts.clear_by]] if facts.clear_by in CLEAR_SAID else []
    if facts.base_guessed:
        lines.append(f"The base's density was taken to be {base:.2f}; say --base if you have read it.")
    if facts.coarse:
        steps = ", ".join(f"{min(step, 9.99):.3f} at {density:g}" for density, step in facts.step_at)
        what = "8 bits" + (" packed with loss: grain and fine tones are smeared in blocks" if facts.lossy else "")
        lines.append(
            f"Warning: {what}. Between two values lie, in density, {steps} above base; a 16-bit scan keeps them."
        )
    lost = max(frame.run_full for frame in frames)
    if lost and len(frames) == 1:
        lines.append(f"Warning: {100 * lost:.1f} % of the frame has run full or black: those tones are lost.")
    elif lost:
        lines.append(f"Warning: up to {100 * lost:.1f} % of a frame has run full or black: those tones are lost.")
    if facts.grid_unseen:
        lines.append(
            "Warning: cut as said, and not checked: no gaps between frames were seen along every cut. Look at what was cut, or "
            "say --find-frame."
        )
    return lines
