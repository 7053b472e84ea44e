"""Files that parse but break a rule: file, key, rule and value received stand in the message."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest
from hostile import KINDS, good_record, spoilt, write
from test_hostile_files import refused

from sim.reading import SyntaxRefused, ValueRefused

# kind, text in the good file, what replaces it, words of the message
TOML_VALUES: dict[str, tuple[str, str, str, tuple[str, ...]]] = {
    "stock-yes-for-a-number": ("stock", "curve_a = 8.73833", "curve_a = true",
                               ("emulsion.curve_a: ", "valid number", "got True")),
    "stock-text-for-a-number": ("stock", "density = 0.05", 'density = "0.05"',
                                ("base.density: ", "valid number", "got '0.05'")),
    "stock-date-for-a-number": ("stock", "density = 0.05", "density = 2020-01-01", ("base.density: ", "valid number", "2020")),
    "stock-table-for-a-number": ("stock", "density = 0.05", "density = { a = 1 }",
                                 ("base.density: ", "valid number", "{'a': 1}")),
    "stock-below-range": ("stock", "density = 0.05", "density = -0.05",
                          ("base.density: ", "greater than or equal to 0", "got -0.05")),
    "stock-above-range": ("stock", "rate = 4.0", "rate = 4000.0",
                          ("development.rate: ", "less than or equal to 20", "got 4000.0")),
    "stock-unknown-key": ("stock", "rate = 4.0", "rate = 4.0\nspeed = 3", ("development.speed: is not a known key", "got 3")),
    "stock-misspelt-key": ("stock", "fog_per_time = 0.03", "fog_per_tim = 0.03",
                           ("development.fog_per_time: is required", "did you mean 'fog_per_time'?")),
    "stock-missing-table": ("stock", "[drying]\nwet_gelatin_share = 0.65", "", ("drying: is required and missing",)),
    "stock-other-support": ("stock", 'support = "rc"', 'support = "tin"', ("support: ", "'rc' or 'fb'", "got 'tin'")),
    "stock-number-without-source": ("stock", '"drying.wet_gelatin_share" = ', '"drying.other" = ',
                                    ("sources must name a source", "drying.wet_gelatin_share")),
    "stock-source-for-nothing": ("stock", "[sources]", '[sources]\n"base.colour" = "guess"', ("got base.colour",)),
    "stock-empty-source": ("stock", '"base.density" = "dry base, 0.04 to 0.10 (from memory)"', '"base.density" = " "',
                           ("sources must name a source", "base.density")),
    "stock-wet-duller-than-dry": ("stock", "wet_surface_reflection = 0.003", "wet_surface_reflection = 0.1",
                                  ("wet_surface_reflection must not be above", "got 0.1")),
    "stock-weights-do-not-match": ("stock", "-2.07268, ", "", ("emulsion: ",)),
    "stock-next-format": ("stock", "format = 1", "format = 2", ("format: ", "less than or equal to 1", "got 2")),
    "stock-format-as-text": ("stock", "format = 1", 'format = "1"', ("format: ", "valid integer", "got '1'")),
    "stock-format-yes": ("stock", "format = 1", "format = true", ("format: ", "valid integer", "got True")),
    "stock-half-format": ("stock", "format = 1", "format = 1.5", ("format: ", "integer", "got 1.5")),
    "stock-weight-above-one": ("stock", "0.01790", "1.01790",
                               ("emulsion.green_weights[0]: ", "less than or equal to 1", "1.0179")),
    "sleeve-place-outside": ("sleeve", "x = 0.30", "x = 1.30", ("place[0].x: ", "less than or equal to 1", "got 1.3")),
    "sleeve-place-name": ("sleeve", 'name = "bowl-rim"', 'name = "Bowl Rim"', ("place[0].name: ", "pattern", "got 'Bowl Rim'")),
    "sleeve-place-twice": ("sleeve", 'name = "bowl-rim"', 'name = "plaster"',
                           ("place names must stand only once", "plaster twice")),
    "sleeve-unknown-part": ("sleeve", 'part = "lightest"', 'part = "lighest"',
                            ("place[0].part: ", "'lightest'", "got 'lighest'")),
    "sleeve-misspelt-key": ("sleeve", "spot_mm = 4.0", "spot_m = 4.0",
                            ("place[0].spot_m: is not a known key", "did you mean 'spot_mm'?")),
    "sleeve-one-sided-frame": ("sleeve", "frame_mm = [95.0, 118.75]", "frame_mm = [95.0]",
                               ("film.frame_mm: ", "at least 2", "got [95.0]")),
    "sleeve-three-sided-frame": ("sleeve", "118.75]", "118.75, 3.0]", ("film.frame_mm: ", "at most 2")),
    "sleeve-tiny-frame": ("sleeve", "118.75]", "1.0]", ("film.frame_mm[1]: ", "greater than or equal to 10", "got 1.0")),
    "sleeve-no-light": ("sleeve", "metered_cd_m2 = 24.0", "metered_cd_m2 = 0.0", ("camera.metered_cd_m2: ", "got 0.0")),
    "sleeve-no-scene": ("sleeve", 'scene = "glaze-shelf"', "", ("exactly one of scene, scan and roll",)),
    "sleeve-path-as-scene": ("sleeve", '"glaze-shelf"', '"../../secret"', ("scene: ", "pattern", "got '../../secret'")),
    "sleeve-two-claims": ("sleeve", 'filter = "2"', 'filter = "2"\nsingle_exposure = false', ("a sleeve claims either", "'2'")),
    "sleeve-crop-inside-out": ("sleeve", "[claim]", "[crop]\nleft = 0.9\nright = 0.1\n[claim]", ("crop: ", "at least 0.05")),
    "sleeve-list-for-a-table": ("sleeve", "[camera]\nmetered_cd_m2 = 24.0", "[[camera]]\nmetered_cd_m2 = 24.0", ("camera: ",)),
    "sleeve-short-title": ("sleeve", 'title = "Shelf of glazed ware, morning light"', 'title = "S"',
                           ("title: ", "at least 3", "got 'S'")),
    "targets-unknown-place": ("targets", 'place = "lit"', 'place = "lid"',
                              ("target[0].place: no place 'lid'", "known: lit, dark")),
    "targets-x-without-y": ("targets", "y = 0.1\n", "", ("x and y must be given together", "x=0.9, y=None")),
    "targets-blacker-than-black": ("targets", "density = 1.4", "density = 14.0",
                                   ("target[1].density: ", "less than or equal to 3", "got 14.0")),
    "targets-no-tolerance": ("targets", "tolerance_density = 0.03", "tolerance_density = 0.0",
                             ("target[0].tolerance_density: ", "got 0.0")),
    "targets-unknown-kind": ("targets", '"at-least"', '"about"', ("target[1].kind: ", "got 'about'")),
    "targets-misspelt": ("targets", "points = 6.0", "point = 6.0",
                         ("target[0].point: is not a known key", "did you mean 'points'?")),
    "targets-one-table": ("targets", '[[target]]\nplace = "lit"', '[target]\nplace = "lit"', ("is not valid TOML",)),
    "targets-none": ("targets", "format = 1\n", "format = 1\ntarget = []\n#", ("is not valid TOML",)),
    "recipes-path-up": ("recipes", 'path = "grain.png"', 'path = "../grain.png"',
                        ("file[0].path: ", "pattern", "got '../grain.png'")),
    "recipes-absolute-path": ("recipes", 'path = "grain.png"', 'path = "/etc/x.png"', ("file[0].path: ", "got '/etc/x.png'")),
    "recipes-path-twice": ("recipes", 'path = "scenes/glaze-shelf.png"', 'path = "grain.png"',
                           ("every path must stand once", "grain.png twice")),
    "recipes-unknown-maker": ("recipes", 'maker = "grain"', 'maker = "sand"', ("file[0].maker: ", "got 'sand'")),
    "recipes-negative-seed": ("recipes", "seed = 20240611", "seed = -1", ("file[0].seed: ", "got -1")),
    "recipes-huge-seed": ("recipes", "seed = 20240611", "seed = 4294967296", ("file[0].seed: ", "got 4294967296")),
    "recipes-huge-picture": ("recipes", "size_px = 1024", "size_px = 100000", ("file[0].size_px: ", "got 100000")),
    "recipes-nothing-to-size": ("recipes", "size_px = 1024", "", ("maker 'grain' needs size_px",)),
    "filters-missing-one": ("filters", '    { name = "1.5", yellow = 0.1838, magenta = 0.0000, neutral = 0.3770 },\n', "",
                            ("filters: must name exactly 00", "'2.5'")),
    "filters-number-as-name": ("filters", 'name = "00"', "name = 0", ("filters[0].name: ", "string", "got 0")),
    "filters-negative-dye": ("filters", "yellow = 2.1570", "yellow = -2.0", ("filters[0].yellow: ", "got -2.0")),
    "filters-no-source": ("filters", "source = ", "# source = ", ("source: is required and missing",)),
    "equipment-two-lamps": ("equipment", "temperature_k = 3200.0", "temperature_k = 3200.0\nbands = [[450.0, 20.0, 1.0]]",
                            ("head[0]", "got")),
    "equipment-no-lamp": ("equipment", "temperature_k = 3200.0\n", "", ("exactly one of temperature_k and bands",)),
    "equipment-dark-lamp": ("equipment", "gate_luminance_cd_m2 = 16000.0", "gate_luminance_cd_m2 = 0",
                            ("head[0].gate_luminance_cd_m2: ", "got 0")),
    "equipment-short-band": ("equipment", "[525.0, 33.0, 0.60]", "[525.0, 33.0]", ("head[3].bands[1]: ", "at least 3")),
    "equipment-blind-lens": ("equipment", "transmittance = 0.92", "transmittance = 0.0",
                             ("lens[0].transmittance: ", "got 0.0")),
    "equipment-name-with-capitals": ("equipment", 'name = "50-mm"', 'name = "50 MM"', ("lens[0].name: ", "got '50 MM'")),
}  # fmt: skip


@pytest.mark.parametrize("case", TOML_VALUES)
def test_a_broken_rule_is_named(case: str, tmp_path: Path) -> None:
    kind, old, new, words = TOML_VALUES[case]
    family = SyntaxRefused if "is not valid TOML" in words else ValueRefused
    refused(kind, write(tmp_path, kind, spoilt(kind, old, new)), *words, family=family)


def test_all_problems_of_a_file_are_named_at_once(tmp_path: Path) -> None:
    data = spoilt("stock", "rate = 4.0", "rat = 4.0").replace(b"density = 0.05", b"density = 5.0").replace(b'"rc"', b"3")
    error = refused("stock", write(tmp_path, "stock", data), "base.density: ", "support: ", "did you mean 'rate'?")
    assert len(error.problems) == 4


# where in the record, what is put there (None: the key is taken out), words of the message
RECORD_VALUES: dict[str, tuple[str, Any, tuple[str, ...]]] = {
    "time-as-text": ("exposures.0.time_s", "10", ("exposures[0].time_s: ", "valid number", "got '10'")),
    "time-yes": ("exposures.0.time_s", True, ("exposures[0].time_s: ", "valid number", "got True")),
    "time-below": ("exposures.0.time_s", 0.01, ("time_s must be between 0.1 and 600 s, got 0.01",)),
    "time-negative": ("exposures.0.time_s", -3, ("time_s must be between 0.1 and 600 s, got -3",)),
    "time-for-ever": ("exposures.0.time_s", 1e300, ("time_s must be between 0.1 and 600 s, got 1e+300",)),
    "aperture-zero": ("exposures.0.f_number", 0, ("f_number must be between 2.8 and 64, got 0",)),
    "no-exposures": ("exposures", [], ("exposures must number 1 to 64, got 0",)),
    "exposures-as-a-table": ("exposures", {}, ("exposures: ", "got {}")),
    "no-exposures-key": ("exposures", None, ("exposures: is required and missing",)),
    "unknown-key": ("colour", "red", ("colour: is not a known key", "got 'red'")),
    "misspelt-key": ("sheet.boarder_mm", 3, ("sheet.boarder_mm: is not a known key (did you mean 'border_mm'?), got 3",)),
    "unknown-filter": ("exposures.0.filter.graded", "6", ("graded must be one of 00, 0,", "got '6'")),
    "filter-as-number": ("exposures.0.filter.graded", 2, ("exposures[0].filter.graded: ", "string", "got 2")),
    "filter-and-dial": ("exposures.0.filter.yellow", 0.4, ("graded and dialled filtration exclude each other",)),
    "sheet-too-large": ("sheet.width_mm", 7000, ("width_mm must be between 20 and 700 mm, got 7000",)),
    "sheet-wide-border": ("sheet.border_mm", 101, ("border_mm must be between 0 and 100 mm, got 101",)),
    "sheet-kind": ("sheet.kind", "roll", ("sheet.kind: ", "'sheet' or 'strip'", "got 'roll'")),
    "shift-one-number": ("sheet.image_shift_mm", [1.0], ("sheet.image_shift_mm", "required")),
    "shift-too-far": ("sheet.image_shift_mm", [0, 900], ("image_shift_mm must be between -500 and 500 mm, got 900",)),
    "head-as-list": ("enlarger.head", ["a"], ("enlarger.head: ", "string", "got ['a']")),
    "height-under": ("enlarger.height_mm", 5, ("height_mm must be between 100 and 3000 mm, got 5",)),
    "carrier": ("enlarger.carrier", "paper", ("enlarger.carrier: ", "got 'paper'")),
    "flipped-as-number": ("enlarger.flipped", 1, ("enlarger.flipped: ", "boolean", "got 1")),
    "developer-frozen": ("development.temperature_c", 2, ("temperature_c must be between 13 and 30 degrees C, got 2",)),
    "safelight-kind": ("safelight.kind", "blue", ("safelight.kind: ", "got 'blue'")),
    "safelight-near": ("safelight.distance_m", 0, ("distance_m must be between 0.2 and 10 m, got 0",)),
    "format-three": ("format", 3, ("format: must be 1 or 2, got 3",)),
    "format-list": ("format", [1], ("format: must be 1 or 2", "got [1]")),
    "negative-missing": ("negative", None, ("negative: is required and missing",)),
    "card-shape": ("exposures.0.cards.0.shape", "star", ("exposures[0].cards[0].shape: ", "got 'star'")),
    "card-without-motion": ("exposures.0.cards.0.motion", None, ("exposures[0].cards[0].motion: is required and missing",)),
    "card-motion-kind": ("exposures.0.cards.0.motion.kind", "flying", ("exposures[0].cards[0].motion: ", "'still'", "flying")),
    "card-motion-unnamed": ("exposures.0.cards.0.motion.kind", None, ("exposures[0].cards[0].motion: ", "kind")),
    "card-far-away": ("exposures.0.cards.0.motion.x_mm", 1e9, ("a card must stay within 3000 mm", "1000000000.0")),
    "card-above-the-roof": ("exposures.0.cards.0.card_height_mm", 9e3,
                            ("card_height_mm must be between 0 and 1500 mm, got 9000.0",)),
    "card-outline-missing": ("exposures.0.cards.0.shape", "outline", ("outline must hold 3 to 100 points", "got 0")),
    "card-backwards": ("exposures.0.cards.0.stop_s", -1, ("stop_s must be after start_s (or 0), got 0.0 to -1",)),
    "card-late": ("exposures.0.cards.0.stop_s", 99, ("a card's stop_s must lie within the exposure of 10 s, got 99",)),
    "path-empty": ("exposures.0.cards.1.motion.points", [], ("points must number 1 to 200, got 0",)),
    "path-long": ("exposures.0.cards.1.motion.points", [[0, 0, 0]] * 250, ("exposures[0].cards[1].motion", "at most 200")),
    "path-flat": ("exposures.0.cards.1.motion.points", [[0, 1]], ("exposures[0].cards[1].motion", "points[0]", "required")),
    "path-back-in-time": ("exposures.0.cards.1.motion.points", [[2, 0, 0], [1, 0, 0]], ("points must not go back in time",)),
    "path-runs-away": ("exposures.0.cards.1.motion.points", [[0, 0, 0], [1, 1e300, 0]],
                       ("a card must stay within 3000 mm", "1e+300")),
    "light-longer-than-a-timer": ("exposures.0.light_s", 1e4, ("light_s must be between 0 and 610 s, got 10000.0",)),
    "through": ("exposures.0.through", "window", ("exposures[0].through: ", "got 'window'")),
    "dimmed-upwards": ("exposures.0.dimmed_stops", -1, ("dimmed_stops must be between 0 and 20, got -1",)),
    "note-as-number": ("note", 5, ("note: ", "string", "got 5")),
    "note-too-long": ("note", "y" * 2001, ("note: must not be longer than 2000 characters, got 2001",)),
}  # fmt: skip


def spoilt_record(where: str, value: Any) -> bytes:
    data = json.loads(good_record())
    *way, last = where.split(".")
    inner = data
    for key in way:
        inner = inner[int(key)] if isinstance(inner, list) else inner[key]
    if value is None:
        del inner[last]
    else:
        inner[last] = value
    return json.dumps(data).encode()


@pytest.mark.parametrize("case", RECORD_VALUES)
def test_a_broken_rule_of_the_record_is_named(case: str, tmp_path: Path) -> None:
    where, value, words = RECORD_VALUES[case]
    refused("record", write(tmp_path, "record", spoilt_record(where, value)), *words, family=ValueRefused)


def test_every_spoilt_example_was_good_before() -> None:
    assert set(KINDS) >= {case[0] for case in TOML_VALUES.values()}
    assert len(TOML_VALUES) + len(RECORD_VALUES) > 100
