"""The papers and filters as TOML, each number with its source beside it; and what the fit does not decide of each paper."""

from __future__ import annotations

from dataclasses import dataclass

from sim.calibration.curve_fit import SheetAims
from sim.enlarger.filters import FilterDensities
from sim.paper.emulsion import Emulsion
from sim.paper.stock import PaperError


@dataclass(frozen=True)
class StockText:
    """What the fit does not decide: names, surfaces, development and drying of one stock."""

    name: str
    title: str
    support: str
    surface: str
    sheet: SheetAims
    wet_surface_reflection: float
    completion_time_s: float
    wet_gelatin_share: float
    emulsion_source: str
    error_source: str


_COMMON = {
    "emulsion.log_speed": "placed so that ISO speed P (2856 K, no filter) comes out near a maker's figure (from memory)",
    "development.emergence_share": "assumption: first tones after about a tenth of the time",
    "development.rate": "assumption: at half the time blacks are visibly grey (L. P. Clerc, sections 556-557)",
    "development.early_log_shift": "assumption: shadows come up before the lights",
    "development.fog_per_time": "assumption: fog appears at about twice the time (L. P. Clerc, section 556)",
    "reciprocity.schwarzschild_p": "assumption: 0.1 to 0.25 stop per tenfold time, off unless asked for",
    "reciprocity.reference_time_s": "best exposure time of variable-contrast paper, 8 to 10 s (a maker's staff)",
}
_SWELLING = {
    "fb": "assumption: unhardened gelatin swells to five times its thickness in water",
    "rc": "assumption: the hardened gelatin of resin-coated paper swells to one and a half times its thickness",
}
_AS_ALL_PAPERS_DEVELOP = """\
emergence_share = 0.09
rate = 4.0
early_log_shift = 0.6
fog_per_time = 0.03
"""


_UNCERTAINTY = """\

[uncertainty]
# One standard deviation from box to box of such a paper: the range of the sources, else an assumption. How well the curve
# itself is known stands under [error].
"base.density" = 0.015
"base.half_contrast_lp_mm" = 4.0
"base.surface_reflection" = {surface}
"base.wet_surface_reflection" = {wet_surface}
"development.completion_time_s" = {completion}
"development.early_log_shift" = 0.2
"development.emergence_share" = 0.03
"development.fog_per_time" = 0.015
"development.rate" = 0.8
"drying.wet_gelatin_share" = {gelatin}
"emulsion.image_density" = 0.10
"emulsion.log_speed" = 0.10
"reciprocity.reference_time_s" = 2.0
"reciprocity.schwarzschild_p" = 0.02"""


def _uncertainty(text: StockText) -> str:
    """Return the table of how sure every number of a stock is."""
    return _UNCERTAINTY.format(
        surface=round(0.25 * text.sheet.surface_reflection, 5), wet_surface=round(0.4 * text.wet_surface_reflection, 5),
        completion=round(0.2 * text.completion_time_s, 1), gelatin=round(0.25 * text.wet_gelatin_share, 3),
    )  # fmt: skip
_RECIPROCITY = """\
[reciprocity]
schwarzschild_p = 0.95
reference_time_s = 10.0
"""


def _numbers(values: tuple[float, ...]) -> str:
    rows = [", ".join(f"{v:.5f}" for v in values[i : i + 8]) for i in range(0, len(values), 8)]
    return "[\n    " + ",\n    ".join(rows) + ",\n]"


def _sources(text: StockText, emulsion: Emulsion, error: PaperError) -> str:
    """Return the table of where every number of a stock comes from."""
    sources = {
        "base.density": "dry base, 0.04 to 0.10 (from memory)",
        "base.half_contrast_lp_mm": "20-30 lp/mm, no limit on a print seen by eye (from memory)",
        "base.surface_reflection": "chosen so that Dmax is that of the surface (glossy 2.0-2.3, matt 1.4-1.7)",
        "base.wet_surface_reflection": "assumption: a wet surface is smoother",
        "emulsion.curve_a": text.emulsion_source,
        "emulsion.curve_b": text.emulsion_source,
        "emulsion.image_density": "silver alone, from net Dmax and surface reflection",
        "development.completion_time_s": "RC 1 min, fibre base 2 min at 20 degrees C (common practice)",
        "drying.wet_gelatin_share": _SWELLING[text.support],
        **_COMMON,
        **{f"error.{name}": text.error_source for name in error.as_data()},
    }
    if emulsion.green_nodes:
        sources["emulsion.green_nodes"] = (
            "first the grains without dye (assumption), then the fit's grid; "
            "placed so that unfiltered 3200 K light prints near ISO R 110"
        )
        sources["emulsion.green_weights"] = text.emulsion_source
    if emulsion.blue_nodes:
        sources["emulsion.blue_nodes"] = "grid of the fit"
        sources["emulsion.blue_weights"] = "normal spread of log speed, as wide as ISO R asks for"
    return "\n".join(f'"{key}" = "{value}"' for key, value in sorted(sources.items()))


def _classes(emulsion: Emulsion) -> str:
    return "".join(
        f"{colour}_nodes = {_numbers(nodes)}\n{colour}_weights = {_numbers(weights)}\n"
        for colour, nodes, weights in (
            ("green", emulsion.green_nodes, emulsion.green_weights),
            ("blue", emulsion.blue_nodes, emulsion.blue_weights),
        )
        if nodes
    )


def _error(error: PaperError) -> str:
    """Return the table of how well the curve is known, with what each number means."""
    meaning = {
        "along_curve": "rms density along a curve that nobody measured, counted from net 0.60",
        "at_ends": "the same at the softest and the hardest light",
        "worst": "largest single departure seen, on the steepest part",
    }
    return "\n".join(f"{name} = {value:.3f}  # {meaning[name]}" for name, value in error.as_data().items())


def stock_toml(text: StockText, emulsion: Emulsion, error: PaperError, remark: str) -> str:
    """Return the data file of one stock; ``remark`` says its grains in few numbers."""
    return f"""# Written by `python -m sim.calibration.paper_fit`; edit paper_family.toml or paper_files.py instead.
format = 1
title = "{text.title}"
support = "{text.support}"
surface = "{text.surface}"

[base]
density = {text.sheet.base_density}
surface_reflection = {text.sheet.surface_reflection}
wet_surface_reflection = {text.wet_surface_reflection}
half_contrast_lp_mm = 25.0

# {remark}
[emulsion]
curve_a = {emulsion.curve_a:.5f}
curve_b = {emulsion.curve_b:.5f}
log_speed = {emulsion.log_speed:.5f}
image_density = {emulsion.image_density:.5f}
{_classes(emulsion)}
[development]
completion_time_s = {text.completion_time_s}
{_AS_ALL_PAPERS_DEVELOP}
[drying]
wet_gelatin_share = {text.wet_gelatin_share}

{_RECIPROCITY}
[error]
{_error(error)}

[sources]
{_sources(text, emulsion, error)}
{_uncertainty(text)}
"""


def filters_toml(filters: dict[str, FilterDensities], source: str) -> str:
    """Return the data file of the graded set."""
    entries = "\n".join(
        f'    {{ name = "{name}", yellow = {f.yellow:.4f}, magenta = {f.magenta:.4f}, neutral = {f.neutral:.4f} }},'
        for name, f in filters.items()
    )
    return f"""# Written by `python -m sim.calibration.paper_fit`; edit paper_family.toml there, not this file.
# Peak densities of yellow and magenta dye and neutral density of each graded filter.
format = 1
source = "{source}"
filters = [
{entries}
]
"""


_MEASURED = "fitted to step-tablet readings of a glossy fibre-base paper (paper_family.toml)"
_LEFT_OUT = "every setting of paper_family.toml left out of the fit once, its light found from its ISO R"
GLOSSY_RC = StockText(
    "glossy-rc-vc", "Glossy resin-coated variable-contrast paper", "rc", "glossy", SheetAims(0.05, 0.004, 2.06),
    0.003, 60.0, 0.65, "shape of the glossy fibre-base paper, " + _MEASURED,
    "that of the glossy fibre-base paper whose shape it has, and ISO R of its filters within 10 (a maker's data sheet)",
)  # fmt: skip
GLOSSY_FB = StockText(
    "glossy-fb-vc", "Glossy fibre-base variable-contrast paper", "fb", "glossy", SheetAims(0.06, 0.003, 2.21),
    0.002, 120.0, 0.2, _MEASURED, _LEFT_OUT,
)  # fmt: skip
MATT_FB = StockText(
    "matt-fb-vc", "Matt fibre-base variable-contrast paper", "fb", "matt", SheetAims(0.07, 0.020, 1.52),
    0.006, 120.0, 0.2, "the glossy fibre-base emulsion on a matt base",
    "assumption: no worse than the glossy fibre-base paper whose emulsion it has",
)  # fmt: skip
GRADED_FB = StockText(
    "graded-fb-2", "Glossy fibre-base graded paper, grade 2", "fb", "glossy", SheetAims(0.06, 0.003, 2.15),
    0.002, 120.0, 0.2, "grains of the variable-contrast paper without dye (assumption)",
    "ISO R anywhere in the band of grade 2, 95 to 115; no curve of such a paper was read",
)  # fmt: skip
