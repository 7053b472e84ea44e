"""Trials: the reference with exactly one decision changed, and the cause that advice must then name first.

``trials/<name>.toml`` says by hand which decision is changed and what the print then needs; how much of it is derived
(``derived/trials.json``), or written beside it in an exercise of one's own. ``check`` holds advice to both.
"""

from __future__ import annotations

from dataclasses import dataclass, fields, replace
from math import log2
from pathlib import Path
from typing import Annotated, Any, Literal

from pydantic import Field

from sim.enlarger.equipment import find_lens
from sim.enlarger.filters import FilterSetting
from sim.enlarger.geometry import magnification_at_height
from sim.printing.controls import number_in_range
from sim.printing.flash import flashes
from sim.printing.record import Exposure, PrintingRecord
from sim.quantities import burn_time_s, dodge_time_s, exact_f_number
from sim.reading import Problem, ValueRefused, read_toml_of_format
from sim.refusals import Refused
from sim.scoring.burn_stops import is_burn, main_exposures, stays, without_cards
from sim.scoring.derived import read_trial_sizes

TrialCause = Literal[
    "exposure", "contrast", "local", "sharpness", "evenness", "development", "size", "match", "economy", "time", "place",
    "hand", "flash",
]  # fmt: skip
SIZE_WITHIN = 0.25
# A place that needs more light is burnt in more or held back less, whichever card is there.
SAME_DIRECTION = {"more-light-here": ("more-burn", "less-hold-back"), "less-light-here": ("less-burn", "more-hold-back")}


@dataclass(frozen=True)
class Change:
    """One decision. ``exposure`` and ``copy`` count from 0; ``keep_light`` makes the time follow aperture and height."""

    time_stops: Annotated[float, Field(ge=-6.0, le=6.0)] | None = None
    filter: str | None = None
    f_number: float | None = None
    column_mm: float | None = None
    focus_offset_mm: float | None = None
    easel_tilt_deg: float | None = None
    card_stops: Annotated[float, Field(ge=-4.0, le=4.0)] | None = None
    drop_cards: bool | None = None
    development_time_s: float | None = None
    flash_stops: Annotated[float, Field(ge=-6.0, le=6.0)] | None = None
    sheets_used: Annotated[float, Field(gt=0.0, le=200.0)] | None = None
    exposure: Annotated[int, Field(ge=0, le=63)] | None = None
    copy: Annotated[int, Field(ge=0, le=143)] = 0
    keep_light: bool = False

    def __post_init__(self) -> None:
        decisions = [f.name for f in fields(self) if f.name not in QUALIFIERS and getattr(self, f.name) is not None]
        if len(decisions) != 1:
            raise Refused(f"exactly one decision must be changed, got {', '.join(decisions) or 'none'}")
        if self.filter is not None:
            FilterSetting.named(self.filter)
        for key, control in RANGED.items():
            if (value := getattr(self, key)) is not None:
                number_in_range(control, value, key)


NOT_MEASURED = 0.0  # the size of a trial that leaves it to be derived
QUALIFIERS = ("exposure", "copy", "keep_light")
# changes that set a control to a number, and the control
RANGED = {
    "f_number": "f_number", "column_mm": "height_mm", "focus_offset_mm": "focus_offset_mm",
    "easel_tilt_deg": "easel_tilt_deg", "development_time_s": "development_time_s",
}  # fmt: skip


@dataclass(frozen=True)
class Trial:
    """A typical mistake: what is changed, and the cause, direction, size and place that advice must give first."""

    name: str
    change: Change
    cause: TrialCause
    direction: Annotated[str, Field(min_length=3, max_length=40)]
    size: Annotated[float, Field(gt=0.0, le=500.0)] = NOT_MEASURED
    place: str = ""

    def is_met_by(self, cause: str, direction: str, size: float, place: str) -> bool:
        """Tell whether advice names this cause, with its size within a quarter."""
        directions = (self.direction, *SAME_DIRECTION.get(self.direction, ()))
        same_place = self.cause != "local" or not self.place or place == self.place
        return cause == self.cause and direction in directions and same_place and abs(size / self.size - 1.0) <= SIZE_WITHIN


def read_trials(folder: Path) -> tuple[Trial, ...]:
    """Return the trials of an exercise's folder, by name, sizes derived. Raises OutsideError with file and key."""
    sizes, trials = read_trial_sizes(folder), []
    for trial in trials_by_hand(folder):
        size = trial.size or sizes.get(trial.name)
        if not size:
            rule = "is required: written by hand, or by `tonewright derive`"
            raise ValueRefused(folder / "trials" / f"{trial.name}.toml", [Problem("size", rule, "none")])
        trials.append(replace(trial, size=size))
    return tuple(trials)


def trials_by_hand(folder: Path) -> tuple[Trial, ...]:
    """Return the trials as they are written, the size NOT_MEASURED where it is left to be derived."""
    trials = []
    for file in sorted((folder / "trials").glob("*.toml")):
        trial = read_toml_of_format(file, Trial, needed=False, name=file.stem)
        if trial.cause == "local" and not trial.place:
            raise ValueRefused(file, [Problem("place", "is required for cause 'local'", "none")])
        trials.append(trial)
    return tuple(trials)


def apply_trial(records: tuple[PrintingRecord, ...], trial: Trial) -> tuple[PrintingRecord, ...]:
    """Return the reference's records with the trial's one decision changed. Raises Refused where it cannot be.

    A change of time takes burns and cards with it, so that nothing but the light changes.
    """
    change = trial.change
    if change.copy >= len(records):
        raise Refused(f"trial {trial.name!r}: copy must be below {len(records)}, got {change.copy}")
    if change.exposure is not None and change.exposure >= len(records[change.copy].exposures):
        many = len(records[change.copy].exposures)
        raise Refused(f"trial {trial.name!r}: exposure must be below {many}, got {change.exposure}")
    changed = _changed(records[change.copy], change)
    return (*records[: change.copy], changed, *records[change.copy + 1 :])


def _changed(record: PrintingRecord, change: Change) -> PrintingRecord:
    if change.time_stops is not None:
        return with_light(record, change.time_stops, change.exposure)
    if change.flash_stops is not None:
        return _flashed(record, change.flash_stops)
    if change.filter is not None:
        name = change.filter
        return _each(record, change, lambda exposure: replace(exposure, filter=FilterSetting.named(name)))
    if change.f_number is not None:
        wider = 2.0 * log2(exact_f_number(change.f_number) / exact_f_number(record.exposures[0].f_number))
        other = change.f_number
        record = _each(record, change, lambda exposure: replace(exposure, f_number=other))
        return with_light(record, wider) if change.keep_light else record
    if change.drop_cards:
        return without_cards(record)
    if change.card_stops is not None:
        return with_card_stops(record, change.card_stops, change.exposure)
    if change.development_time_s is not None:
        return replace(record, development=replace(record.development, time_s=change.development_time_s))
    return _enlarger_changed(record, change)


def _flashed(record: PrintingRecord, stops: float) -> PrintingRecord:
    """Return the record with its flash so many stops longer (+) or shorter. Raises Refused where it has none."""
    if not flashes(record):
        raise Refused("flash_stops needs a flash in the reference, got none")
    changed = [timed(e, e.time_s * 2.0**stops) if k in flashes(record) else e for k, e in enumerate(record.exposures)]
    return record.with_exposures(*changed)


def _enlarger_changed(record: PrintingRecord, change: Change) -> PrintingRecord:
    settings: Any = record.enlarger
    for key, field in (
        ("column_mm", "height_mm"), ("focus_offset_mm", "focus_offset_mm"), ("easel_tilt_deg", "easel_tilt_deg")
    ):  # fmt: skip
        value = getattr(change, key)
        if value is not None:
            settings = replace(settings, **{field: value})
    if change.column_mm is not None and change.keep_light:
        focal_mm = find_lens(settings.lens).focal_mm
        sizes = [magnification_at_height(focal_mm, at) for at in (record.enlarger.height_mm, settings.height_mm)]
        record = with_light(record, 2.0 * log2((sizes[1] + 1.0) / (sizes[0] + 1.0)))
    return replace(record, enlarger=settings)


def _each(record: PrintingRecord, change: Change, how: Any) -> PrintingRecord:
    """Return the record with one exposure changed, or all where none is named."""
    chosen = range(len(record.exposures)) if change.exposure is None else (change.exposure,)
    return record.with_exposures(*(how(e) if k in chosen else e for k, e in enumerate(record.exposures)))


def with_light(record: PrintingRecord, stops: float, exposure: int | None = None) -> PrintingRecord:
    """Return the record with so many stops more light in all exposures, or in one and the burns that add to it."""
    named = None if exposure is None else record.exposures[exposure]
    exposures = []
    for k, one in enumerate(record.exposures):
        belongs = named is None or k == exposure or (is_burn(one, k) and one.filter == named.filter)
        exposures.append(timed(one, one.time_s * 2.0**stops) if belongs else one)
    return record.with_exposures(*exposures)


def timed(exposure: Exposure, time_s: float) -> Exposure:
    """Return an exposure with another time, its cards' moments in proportion."""
    time_s = round(time_s, 2)
    factor = time_s / exposure.time_s
    cards = tuple(card.at_moments(lambda moment_s: min(moment_s * factor, time_s)) for card in exposure.cards)
    light_s = None if exposure.light_s is None else exposure.light_s * factor
    return replace(exposure, time_s=time_s, light_s=light_s, cards=cards)


def with_card_stops(record: PrintingRecord, stops: float, exposure: int | None = None) -> PrintingRecord:
    """Return the record with its card work changed by stops of local light: + burns more or holds back less.

    A burn of n stops becomes one of n + stops of the exposure it adds to; so does a tool's time over a place. Raises
    Refused when the record has no card work, or it would have to turn into its opposite.
    """
    mains = main_exposures(record)
    found, exposures = False, []
    for k, one in enumerate(record.exposures):
        if not one.cards or (exposure is not None and k != exposure):
            exposures.append(one)
            continue
        found = True
        exposures.append(_burnt(record, one, mains, stops) if is_burn(one, k) else _held(one, stops))
    if not found:
        raise Refused("card_stops needs card work in the reference, got none")
    return record.with_exposures(*exposures)


def _burnt(record: PrintingRecord, burn: Exposure, mains: tuple[int, ...], stops: float) -> Exposure:
    """Return a burn longer or shorter by stops of the exposure it adds to: the main one with its filter, else all."""
    same = [record.exposures[k] for k in mains if record.exposures[k].filter == burn.filter]
    base_s = sum(one.time_s for one in same or [record.exposures[k] for k in mains])
    now = log2(1.0 + burn.time_s / base_s)
    if now + stops <= 0.02:
        raise Refused(f"card_stops must leave something of a burn of {now:.2f} stops, got {stops:+g}")
    return timed(burn, burn_time_s(base_s, now + stops))


def _held(exposure: Exposure, stops: float) -> Exposure:
    """Return an exposure whose holding back tools stay longer (-) or shorter (+) by stops of this exposure."""
    cards = []
    for card in exposure.cards:
        if stays(card, exposure):
            raise Refused("card_stops cannot change a tool that is held there all the time")
        lit = 1.0 - (card.stop_s - card.start_s) / exposure.time_s
        now = -log2(lit)
        if now - stops <= 0.02:
            raise Refused(f"card_stops must leave something of holding back by {now:.2f} stops, got {stops:+g}")
        out_s = dodge_time_s(exposure.time_s, now - stops)
        cards.append(replace(card, stop_s=card.start_s + out_s))
    return replace(exposure, cards=tuple(cards))
