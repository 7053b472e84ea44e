"""Aperture ring and filter drawer, or the yellow and magenta dials."""

from __future__ import annotations

from pygame import Rect

from sim.window.dry.part import Part
from sim.window.kit.boxes import columns
from sim.window.kit.numbers import NumberField
from sim.window.kit.ring import Ring

THIRDS = {"1/3": "⅓", "2/3": "⅔"}


def ring_words(title: str, here: bool) -> str:
    """Return what is engraved for ``f/8 + 1/3``: the mark alone, a third alone unless it stands under the index."""
    mark, _, third = title.removeprefix("f/").partition(" + ")
    if not third:
        return mark
    return f"{mark} {THIRDS[third]}" if here else THIRDS[third]


def filter_words(name: str) -> str:
    """Return a filter's number as it is stamped on its holder."""
    return {"none": "–"}.get(name, name.replace("0.5", "½").replace(".5", "½"))


class LensPart(Part):
    """What stands in the light's way and is worked between exposures."""

    def build(self) -> None:
        """Make the two rings and the two dials."""
        t = self.words
        self.aperture = self.add(Ring("aperture", t("Aperture"), [("8.0", "8")], "8.0", self.set_aperture))
        self.filter = self.add(Ring("filter", t("Filter"), [("2", "2")], "2", lambda v: self.darkroom.desk.set("filter", v)))
        self.yellow = self.add(NumberField("yellow", t("Yellow"), 0.0, "", 0.0, 2.0, 0.05, 2, self._dial("yellow")))
        self.magenta = self.add(NumberField("magenta", t("Magenta"), 0.0, "", 0.0, 2.0, 0.05, 2, self._dial("magenta")))

    def _dial(self, name: str):  # type: ignore[no-untyped-def]
        return lambda value: self.darkroom.desk.set(name, value)

    def set_aperture(self, key: str) -> None:
        """Turn the lens ring to a mark or a third between two."""
        self.darkroom.desk.set("f_number", float(key))

    def turn_aperture(self, thirds: int) -> None:
        """Open (-) or close (+) the lens by thirds of a stop."""
        self.aperture.turn_to(self.aperture.index + thirds)

    def turn_filter(self, steps: int) -> None:
        """Put the next softer (-) or harder (+) filter in."""
        self.filter.turn_to(self.filter.index + steps)

    @property
    def dials(self) -> bool:
        """Whether the head's dials are used instead of the drawer."""
        return bool(self.screen.dials)

    def layout(self, rect: Rect) -> None:
        """Side by side; the dials stand where the drawer is."""
        self.rect, px = rect, self.look.px
        self.aperture.rect, right = columns(rect, (1, 1), px(10))
        self.filter.rect = right
        high = self.yellow.wanted(self.look)[1]
        self.yellow.rect, self.magenta.rect = columns(Rect(right.x, right.bottom - high, right.w, high), (1, 1), px(6))

    def refresh(self) -> None:
        """Copy marks, filters and locks."""
        found = self.desk_control(self.aperture, "f_number")
        here = min(range(len(found.choices)), key=lambda n: abs(found.choices[n] - found.value))
        engraved = enumerate(zip(found.choices, found.choice_titles))
        self.aperture.stops = [(str(value), ring_words(title, n == here)) for n, (value, title) in engraved]
        self.aperture.value = self.aperture.stops[here][0]
        found = self.desk_control(self.filter, "filter")
        self.filter.stops = [(str(name), filter_words(str(name))) for name in found.choices]
        self.filter.visible = self.shown and not self.dials
        for dial in (self.yellow, self.magenta):
            self.desk_control(dial, dial.id)
            dial.visible = self.shown and self.dials
