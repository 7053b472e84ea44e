"""Run by itself: ``mutations COUNT SEED`` or ``large FORM FOLDER``; prints what was measured as JSON.

Mutations follow the structure of the format: chunks, tags and segments are changed, left out, doubled, moved, put in, and
lengths and check sums are made right again, so that what is wrong is met deep inside a decoder and not at its door.
"""

from __future__ import annotations

import json
import struct
import sys
import tempfile
import time
import zlib
from collections.abc import Callable
from pathlib import Path

import numpy as np
from pictures_made import (
    jpeg,
    jpeg_of,
    jpeg_segments,
    png_chunks,
    png_of,
    tiff_fields,
    tiff_of,
    tiff_pieces,
    whole_picture,
)

from sim.picture_reading import read_grey_image
from sim.refusals import OutsideError

Generator = np.random.Generator
ODD = (0, 1, 2, 3, 7, 8, 15, 16, 17, 31, 32, 63, 64, 127, 128, 255, 256, 4095, 16_384, 16_385, 32_767, 65_535, 2**31 - 1,
       2**31, 2**32 - 1)  # fmt: skip
SIZE = (64, 48)


def pixels(dice: Generator) -> np.ndarray:
    shape = SIZE if dice.random() < 0.5 else (*SIZE, int(dice.choice([2, 3, 4])))
    most, kind = (65536, np.uint16) if dice.random() < 0.5 else (256, np.uint8)
    return dice.integers(0, most, shape).astype(kind)


def odd(dice: Generator, most: int) -> int:
    return int(dice.choice([v for v in ODD if v <= most]))


def bent(dice: Generator, body: bytes) -> bytes:
    """Return a body with one byte, one word or its length changed."""
    out = bytearray(body)
    way, at = dice.integers(4), int(dice.integers(max(len(out), 1)))
    if way == 0 and out:
        out[at] = int(dice.integers(256))
    elif way == 1 and len(out) >= 4:
        at = min(at, len(out) - 4)
        out[at : at + 4] = struct.pack(">I", odd(dice, 2**32 - 1))
    elif way == 2:
        out = out[:at]
    else:
        out[at:at] = bytes(dice.integers(0, 256, int(dice.integers(1, 40))).astype(np.uint8))
    return bytes(out)


def rearranged(dice: Generator, parts: list, new: Callable[[], object], change: Callable[[object], object]) -> list:
    """Return parts with one to three changes of their order, number or contents."""
    for _ in range(int(dice.integers(1, 4))):
        at = int(dice.integers(len(parts))) if parts else 0
        way = int(dice.integers(6))
        if way <= 2 and parts:
            parts[at] = change(parts[at])
        elif way == 3 and len(parts) > 1:
            del parts[at]
        elif way == 4 and parts:
            parts.insert(int(dice.integers(len(parts) + 1)), parts[at])
        else:
            parts.insert(at, new())
    return parts


def bent_png(dice: Generator) -> bytes:
    names = [b"IHDR", b"IDAT", b"PLTE", b"tRNS", b"iCCP", b"zTXt", b"iTXt", b"eXIf", b"sBIT", b"acTL", b"fdAT", b"XXXX"]

    def change(chunk: object) -> object:
        name, body = chunk  # type: ignore[misc]
        if name == b"IHDR" and dice.random() < 0.7:
            head = list(struct.unpack(">IIBBBBB", body)) if len(body) == 13 else [48, 64, 8, 0, 0, 0, 0]
            at = int(dice.integers(7))
            head[at] = odd(dice, 2**32 - 1 if at < 2 else 255) if dice.random() < 0.5 else int(dice.integers(0, 20))
            return name, struct.pack(">IIBBBBB", *head)
        if name == b"IDAT" and dice.random() < 0.5:
            try:
                return name, zlib.compress(bent(dice, zlib.decompress(body)))
            except zlib.error:
                return name, bent(dice, body)
        return name, bent(dice, body)

    def new() -> object:
        body = b"a\0\0" + zlib.compress(b"\0" * int(dice.choice([0, 100, 3_000_000])))
        return names[int(dice.integers(len(names)))], body

    return png_of(rearranged(dice, list(png_chunks(pixels(dice))), new, change))


def bent_tiff(dice: Generator) -> bytes:
    picture, rows = pixels(dice), int(dice.choice([1, 7, 64]))
    planar, packed = picture.ndim == 3 and dice.random() < 0.3, bool(dice.random() < 0.4)
    pieces = tiff_pieces(picture, rows, planar, packed)
    tags = [256, 257, 258, 259, 262, 273, 277, 278, 279, 284, 317, 322, 323, 324, 325, 338, 339, 330, 34675, 700, 254, 320, 347]

    def change(field: object) -> object:
        tag, kind, values = field  # type: ignore[misc]
        changed = list(values)
        at = int(dice.integers(len(changed))) if changed else 0
        if dice.random() < 0.2:
            changed = (changed * 3)[: int(dice.integers(1, 3 * max(len(changed), 1) + 1))] or [0]
        elif changed:
            changed[at] = odd(dice, 65_535 if kind == 3 else 2**32 - 1)
        return tag, kind, changed

    def new() -> object:
        return tags[int(dice.integers(len(tags)))], 3, [odd(dice, 65_535) for _ in range(int(dice.integers(1, 6)))]

    fields = rearranged(dice, list(tiff_fields(picture, pieces, rows, planar, packed)), new, change)
    fields = sorted(fields, key=lambda f: f[0]) if dice.random() < 0.8 else fields
    if dice.random() < 0.3:
        pieces[0] = bent(dice, pieces[0])
    next_page = odd(dice, 2**32 - 1) if dice.random() < 0.2 else 0
    return tiff_of(fields, pieces, next_page, order=str(dice.choice(["<", ">"])))


def bent_jpeg(dice: Generator) -> bytes:
    picture = pixels(dice)
    picture = picture[:, :, :3] if picture.ndim == 3 and picture.shape[2] >= 3 else picture.reshape(*SIZE, -1)[:, :, 0]
    codes = [0xC0, 0xC1, 0xC2, 0xC3, 0xC4, 0xC9, 0xDB, 0xDC, 0xDD, 0xE0, 0xE1, 0xEE, 0xFE, 0xDA]

    def change(segment: object) -> object:
        code, body = segment  # type: ignore[misc]
        return code, bent(dice, body)

    def new() -> object:
        return codes[int(dice.integers(len(codes)))], bytes(dice.integers(0, 256, int(dice.integers(0, 80))).astype(np.uint8))

    eight = (picture >> 8).astype(np.uint8) if picture.dtype == np.uint16 else picture
    data = jpeg(np.ascontiguousarray(eight), dice.random() < 0.4)
    return jpeg_of(rearranged(dice, jpeg_segments(data), new, change))


def peak_kb() -> int:
    """Return the most memory this program has held; resource.getrusage would count its parent's from before it began."""
    status = Path("/proc/self/status").read_text(encoding="utf-8")
    return next(int(line.split()[1]) for line in status.splitlines() if line.startswith("VmHWM:"))


def mutations(count: int, seed: int) -> dict[str, float]:
    dice = Generator(np.random.PCG64(seed))
    out = {"read": 0, "refused": 0, "tracebacks": 0, "slowest_cpu_s": 0.0}
    before = 0
    with tempfile.TemporaryDirectory() as folder:
        file = Path(folder) / "bent"
        for number in range(-30, count):  # the first thirty warm the libraries up
            if number == 0:
                before = peak_kb()
            file.write_bytes((bent_png, bent_tiff, bent_jpeg)[number % 3](dice))
            for read in (whole_picture, read_grey_image):
                started = time.process_time()
                try:
                    read(file)
                    out["read"] += 1
                except OutsideError:
                    out["refused"] += 1
                except Exception as error:
                    out["tracebacks"] += 1
                    print(f"mutation {number} of seed {seed}: {error!r}", file=sys.stderr)
                if number >= 0:
                    out["slowest_cpu_s"] = max(out["slowest_cpu_s"], time.process_time() - started)
    out["grown_mb"] = (peak_kb() - before) / 1024
    return out


def large(form: str, folder: Path) -> dict[str, float]:
    """Write a scan of 39.96 megapixels in 16-bit RGB by another process, then read it in as the verb does."""
    import subprocess

    from sim.command.main import main

    file = folder / ("scan.png" if form == "png" else "scan.tif")
    subprocess.run([sys.executable, __file__, "write", form, str(file)], check=True)
    started = time.process_time()
    sys.stdout, real = sys.stderr.__class__(open("/dev/null", "wb")), sys.stdout  # noqa: SIM115
    code = main(["scan", str(file), "-o", str(folder)])
    sys.stdout = real
    assert code == 0
    return {"cpu_s": time.process_time() - started, "peak_mb": peak_kb() / 1024}


def write_large(form: str, file: Path) -> None:
    rows, cols = 5160, 7744
    ramp = np.linspace(3000.0, 60000.0, cols)[None, :, None] * np.linspace(0.4, 1.0, rows)[:, None, None]
    picture = np.empty((rows, cols, 3), np.uint16)
    noise = Generator(np.random.PCG64(1)).normal(0.0, 60.0, (120, cols, 3))
    for top in range(0, rows, 120):
        picture[top : top + 120] = np.clip(ramp[top : top + 120] * np.array([1.0, 0.8, 0.6]) + noise, 0, 65535)
    if form == "png":
        lines = zlib.compressobj(1)
        body = b"".join(lines.compress(b"\0" + row.astype(">u2").tobytes()) for row in picture) + lines.flush()
        head = png_chunks(np.zeros((2, 2, 3), np.uint16))[0]
        chunks = [(head[0], struct.pack(">II", cols, rows) + head[1][8:]), (b"tEXt", b"Comment\0a scan")]
        file.write_bytes(png_of([*chunks, (b"IDAT", body), (b"IEND", b"")]))
        return
    strip, planar = {"strips": (64, False), "one-strip": (rows, False), "planes": (rows, True)}[form]
    pieces = tiff_pieces(picture, strip, planar)
    file.write_bytes(tiff_of(tiff_fields(picture, pieces, strip, planar), pieces))


if __name__ == "__main__":
    if sys.argv[1] == "mutations":
        print(json.dumps(mutations(int(sys.argv[2]), int(sys.argv[3]))))
    elif sys.argv[1] == "write":
        write_large(sys.argv[2], Path(sys.argv[3]))
    else:
        print(json.dumps(large(sys.argv[2], Path(sys.argv[3]))))
