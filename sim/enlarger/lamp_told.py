"""What a lamp gives, asked in the ways in which a lamp can be run: at a voltage, at a current, a moment after the switch."""

from __future__ import annotations

from dataclasses import dataclass

from sim.enlarger.coming_light import Burning, flux_share_at
from sim.enlarger.equipment import Head
from sim.enlarger.filament import colour_temperature_k
from sim.enlarger.light_given import dead_time_s
from sim.refusals import Refused

SHARES = (0.3, 1.3)  # of rated voltage or current that may be asked for


@dataclass(frozen=True)
class LampTold:
    """A head's lamp at one voltage, settled or at a moment; light and current over those at the rated point.

    ``dead_blue_s`` and ``dead_green_s`` are seconds lost at one switching at 450 and 530 nm, ``dead_time_s`` as the eye
    counts them. ``inrush`` is the first moment's current into the cold wire, over the rated one. Without a filament colour,
    current and inrush are None.
    """

    head: str
    voltage_share: float
    flux_share: float
    colour_temperature_k: float | None
    current_share: float | None
    inrush: float | None
    dead_time_s: float
    dead_blue_s: float
    dead_green_s: float
    after_on_s: float | None = None
    after_off_s: float | None = None


def lamp_told(
    head: Head, voltage_share: float = 1.0, current_share: float | None = None, after_on_s: float | None = None,
    after_off_s: float | None = None,
) -> LampTold:  # fmt: skip
    """Return light and colour of a head's lamp.

    ``voltage_share`` or ``current_share`` (0.3 to 1.3 of the rated one) says how it is run, in which case the other follows;
    ``after_on_s`` or ``after_off_s`` (0 or more) asks for a moment after switching a cold lamp on or a settled one off. Raises
    Refused for what cannot be asked. Law: sim/enlarger/filament.py.
    """
    for name, share in (("voltage_share", voltage_share), ("current_share", current_share)):
        if share is not None and not SHARES[0] <= share <= SHARES[1]:
            raise Refused(f"{name} must be between {SHARES[0]:g} and {SHARES[1]:g}, got {share:g}")
    if min(after_on_s or 0.0, after_off_s or 0.0) < 0.0:
        raise Refused(f"seconds after switching must be 0 or more, got {min(after_on_s or 0.0, after_off_s or 0.0):g}")
    if (current_share is not None and voltage_share != 1.0) or (after_on_s is not None and after_off_s is not None):
        raise Refused("a lamp is run at a voltage or at a current, and looked at after on or after off, got both")
    filament = head.filament
    if filament is None:
        return _without_filament(head, voltage_share, current_share, after_on_s, after_off_s)
    volts = voltage_share if current_share is None else filament.voltage_at_current(current_share)
    burning = Burning(filament, volts)
    way, coming = burning.switching, burning.coming
    now_k = way.settled_k
    if after_on_s is not None:
        now_k = way.after_on_k(after_on_s)
    elif after_off_s is not None:
        now_k = way.after_off_k(after_off_s)
    current = 0.0 if after_off_s is not None else volts / float(filament.resistance(now_k))
    return LampTold(
        head.name, volts, flux_share_at(filament, now_k), colour_temperature_k(now_k), current, volts * filament.inrush(),
        coming.dead_time_s, coming.dead_time_at_s(450.0), coming.dead_time_at_s(530.0), after_on_s, after_off_s,
    )  # fmt: skip


def _without_filament(
    head: Head, voltage_share: float, current_share: float | None, after_on_s: float | None, after_off_s: float | None
) -> LampTold:
    """Return what is known of a lamp that its supply holds steady: full light after its dead time, none once it is off.

    Raises Refused for another voltage or current than the rated one.
    """
    if voltage_share != 1.0 or current_share is not None:
        raise Refused(f"{head.name} has no filament: its supply holds it steady, so it is asked at its rated voltage only, "
                      f"got {voltage_share if current_share is None else current_share:g}")  # fmt: skip
    lost_s = dead_time_s(head)
    dark = after_off_s is not None or (after_on_s is not None and after_on_s < lost_s)
    flux = 0.0 if dark else 1.0
    return LampTold(
        head.name, 1.0, flux, None, None, None, lost_s, lost_s, lost_s, after_on_s, after_off_s
    )  # fmt: skip
