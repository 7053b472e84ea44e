"""tonewright scan: a scan of one's own negative becomes a density negative with a sleeve, ready to be printed here."""

from __future__ import annotations

import argparse
from pathlib import Path
from typing import TYPE_CHECKING

import numpy as np

from sim.page_templates import from_template
from sim.refusals import Refused

if TYPE_CHECKING:
    from numpy.typing import NDArray

SLEEVE = Path(__file__).with_name("templates") / "sleeve.toml"


def add_options(parser: argparse.ArgumentParser) -> None:
    """Add the verb's options."""
    parser.add_argument("file", help="the scan of the negative by transmitted light: 8- or 16-bit grey or RGB, PNG or TIFF; "
                        "or 8-bit JPEG")
    parser.add_argument("-o", "--output", default=".", metavar="FOLDER", help="where sleeve and densities go (default: here)")
    parser.add_argument("--name", help="name of the sleeve (default: the file's name)")
    parser.add_argument("--film", default="95x120", metavar="MMxMM", help="size of the frame (default: %(default)s)")
    parser.add_argument("--gamma", default="srgb", help="how the scanner wrote light: a gamma, 1 for linear, or srgb")
    parser.add_argument("--black-offset", type=float, default=0.0, metavar="SHARE", help="value of black, of full scale")
    parser.add_argument("--inverted", action="store_true", help="the scan was turned into a positive")
    parser.add_argument("--channel", choices=("mean", "red", "green", "blue"), default="mean", help="channel of an RGB scan")
    parser.add_argument("--base", type=float, default=0.1, metavar="DENSITY", help="density of the clear film base")
    parser.add_argument("--clear", metavar="X,Y", help="a spot of clear film base in the scan, as fractions")
    parser.add_argument("--wedge", metavar="L,T,R,B,STEPS[,FIRST,STEP]",
                        help="a step wedge in the frame: its box as fractions, number of steps, first density, increment")
    parser.add_argument("--most-px", type=int, default=2400, help="longest side kept (default: %(default)s)")
    parser.add_argument("--json", action="store_true", help="what was made, as JSON")


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
    """Measure the scan and write density picture and sleeve."""
    from sim.command.pictures import show_json
    from sim.command.setting_options import sheet_size_mm
    from sim.negative.scan import encode_density
    from sim.writing import write_png, write_text

    source = Path(options.file)
    density = _density(options, source)
    name = _name(options.name or source.stem)
    folder = Path(options.output)
    width, height = sheet_size_mm(options.film, "--film", "frame_mm")
    if (density.shape[1] > density.shape[0]) != (width > height):
        width, height = height, width
    picture = f"{name}-density.png"
    dark, light = _even_ends(density)
    title = name.replace("-", " ")
    sleeve = from_template(
        SLEEVE, title=title, picture=picture, base=options.base, width=width, height=height, light=light, dark=dark
    )
    write_png(folder / picture, encode_density(density))
    write_text(folder / f"{name}.toml", sleeve + "\n")
    low, high = (float(v) for v in np.percentile(density, (1, 99)))
    if options.json:
        show_json({"sleeve": str(folder / f"{name}.toml"), "density_1_percent": low, "density_99_percent": high})
        return 0
    print(f"Densities above base from {low:.2f} to {high:.2f} (1 to 99 % of the frame).")
    print(f"Sleeve written to {folder / name}.toml; print it with: tonewright print --negative {folder / name}.toml")
    return 0


def _density(options: argparse.Namespace, source: Path) -> NDArray[np.float32]:
    """Return the scan's density above base."""
    from sim.negative.scan import ScanEncoding, WedgeInFrame, calibrated, light_of_bands, reduced, scanned_density
    from sim.picture_reading import open_picture

    try:
        gamma = 0.0 if options.gamma == "srgb" else float(options.gamma)
    except ValueError:
        raise Refused(f"--gamma must be a number or srgb, got {options.gamma!r}") from None
    if not 64 <= options.most_px <= 8000:
        raise Refused(f"--most-px must be between 64 and 8000, got {options.most_px}")
    if not 0.0 <= options.base <= 1.0:
        raise Refused(f"--base must be between 0 and 1, got {options.base:g}")
    encoding = ScanEncoding(gamma, options.black_offset, options.inverted, options.channel)
    picture = open_picture(source)
    rows, cols = picture.shape[:2]
    light = light_of_bands(picture.bands(), rows, cols, encoding)
    del picture
    clear = None
    if options.clear:
        x, y = numbers_of(options.clear, "--clear", 2, 2)
        if not (0.0 <= x <= 1.0 and 0.0 <= y <= 1.0):
            raise Refused(f"--clear must lie inside the scan (0 to 1), got {options.clear!r}")
        row, col = (min(int(share * size), size - 1) for share, size in ((y, light.shape[0]), (x, light.shape[1])))
        clear = float(light[max(row - 4, 0) : row + 5, max(col - 4, 0) : col + 5].mean())
    density = scanned_density(light, clear)
    del light
    if options.wedge:
        n = numbers_of(options.wedge, "--wedge", 5, 7)
        density = calibrated(density, WedgeInFrame(n[0], n[1], n[2], n[3], int(n[4]), *n[5:]))
    density = reduced(density, options.most_px)
    return np.maximum(density, np.float32(0.0), out=density)


def _name(text: str) -> str:
    import re

    name = re.sub(r"[^a-z0-9]+", "-", text.lower()).strip("-")[:48]
    if not name:
        raise Refused(f"the sleeve's name must hold a letter or digit, got {text!r}")
    return name


def _even_ends(density: NDArray[np.float32]) -> tuple[tuple[float, float], tuple[float, float]]:
    """Return where (y, x fractions) the thinnest and the densest even spots lie: block means, edges left out."""
    step = max(4, min(density.shape) // 40)
    rows, cols = (size // step for size in density.shape)
    blocks = density[: rows * step, : cols * step].reshape(rows, step, cols, step).mean(axis=(1, 3))
    inner = blocks[2:-2, 2:-2] if min(blocks.shape) > 8 else blocks
    rim = 2 if min(blocks.shape) > 8 else 0
    spots = []
    for index in (np.argmin(inner), np.argmax(inner)):
        r, c = np.unravel_index(int(index), inner.shape)
        spots.append((float(r + rim + 0.5) / rows, float(c + rim + 0.5) / cols))
    return spots[0], spots[1]
