"""A criterion as the keys it is written with, and back: ``[[criterion]]`` of ``exercise.toml``, by what its kind declares.

The file has a key of its own for what each kind wants (density, share, millimetres); inside, a criterion is one form for all.
"""

from __future__ import annotations

from functools import lru_cache
from typing import Annotated, Any, Literal

from pydantic import Field, create_model, model_validator

from sim.reading import OutsideTable
from sim.refusals import Refused
from sim.scoring.criterion_kinds import KINDS, Key, Kind
from sim.scoring.exercise import Criterion, PlaceName, Spot

COMMON = frozenset({"kind", "name", "points", "negative", "hidden"})
USUAL_POINTS = 1.0
AnyPlace = PlaceName | Spot


class CriterionEntry(OutsideTable):
    """One ``[[criterion]]``: the keys of every kind. ``criterion_form`` adds those that the kinds declare."""

    kind: str
    name: Annotated[str, Field(min_length=1, max_length=64)] | None = None
    place: AnyPlace | None = None
    places: Annotated[tuple[AnyPlace, ...], Field(min_length=1, max_length=20)] | None = None
    points: Annotated[float, Field(ge=0.0, le=1000.0)] | None = None
    negative: Annotated[int, Field(ge=1, le=12)] | None = None
    hidden: bool = False

    @property
    def of_kind(self) -> Kind:
        """What is true of all criteria of its kind."""
        return KINDS[self.kind]

    @property
    def given(self) -> dict[str, Any]:
        """The kind's own keys that stand in the file."""
        return {key: value for key, value in self if value is not None and key not in COMMON}

    @model_validator(mode="after")
    def _keys_fit_the_kind(self) -> CriterionEntry:
        kind, given = self.of_kind, self.given
        for key in kind.required:
            if key not in given:
                raise Refused(f"{key} is required for kind {kind.name!r}, got none")
        takes = (*kind.required, *kind.optional)
        for key in sorted(set(given) - set(takes)):
            raise Refused(f"{key} does not belong to kind {kind.name!r} (it takes {', '.join(takes)}), got one")
        fewest, most = kind.places
        if most > 1 and not fewest <= len(self.places or ()) <= most:
            number = {1: "one", 2: "two"}.get(fewest, str(fewest)) + ("" if fewest == most else f" to {most}")
            raise Refused(f"places must be {number} for kind {kind.name!r}, got {len(self.places or ())}")
        if kind.one_of and len(set(kind.one_of) & set(given)) != 1:
            keys = " and ".join(kind.one_of)
            raise Refused(f"exactly one of {keys} is required for kind {kind.name!r}, got none or both")
        if not kind.costs and self.points:
            raise Refused(f"points must be 0 for kind {kind.name!r}, which never costs any, got {self.points:g}")
        kind.check(given)
        return self

    def spots(self) -> tuple[Spot, ...]:
        """Return where it is read."""
        given = self.places or ((self.place,) if self.place is not None else ())
        return tuple(Spot(place) if isinstance(place, str) else place for place in given)

    def called(self) -> str:
        """Return its name: the one given, else kind, place and negative."""
        tail = [spot.name for spot in self.spots()] + ([str(self.negative)] if self.negative else [])
        return self.name or "-".join([self.kind, *tail])

    def criterion(self) -> Criterion:
        """Return the criterion with every default filled in."""
        kind, given = self.of_kind, self.given
        fields: dict[str, Any] = {key.field: given.get(key.name, key.default) for key in kind.keys}
        fields = {name: value for name, value in fields.items() if value is not None}
        fields.setdefault("tolerance", kind.usual_tolerance(fields.get("wanted", 0.0)))
        if "densities" in fields:
            fields["densities"] = tuple(fields["densities"])
        points = (USUAL_POINTS if kind.costs else 0.0) if self.points is None else self.points
        return Criterion(
            name=self.called(), kind=self.kind, spots=self.spots(), points=points, negative=self.negative,
            hidden=self.hidden, **fields,
        )  # fmt: skip


def criterion_form() -> type[CriterionEntry]:
    """Return the form of one ``[[criterion]]``: common keys, and every key that a kind declares."""
    return _form(tuple(KINDS.values()))


@lru_cache(maxsize=4)
def _form(kinds: tuple[Kind, ...]) -> type[CriterionEntry]:
    keys: dict[str, Any] = {key.name: (key.form | None, None) for kind in kinds for key in kind.keys}
    names: Any = Literal[tuple(kind.name for kind in kinds)]
    return create_model("CriterionEntry", __base__=CriterionEntry, kind=(names, ...), **keys)


def criterion_keys(c: Criterion) -> dict[str, Any]:
    """Return a criterion as the keys it is written with (the inverse of ``CriterionEntry.criterion``)."""
    kind = c.of_kind
    spots = [s.name if s.x is None else {"name": s.name, "x": s.x, "y": s.y, "spot_mm": s.spot_mm} for s in c.spots]
    first = [key for key in kind.keys if key.field in ("wanted", "tolerance") and key.name not in kind.one_of]
    rest = sorted((key for key in kind.keys if key not in first), key=lambda key: key.field != "most")
    keys: dict[str, Any] = {"name": c.name, "kind": c.kind}
    if spots:
        keys[kind.place_key] = spots if kind.place_key == "places" else spots[0]
    keys |= {key.name: getattr(c, key.field) for key in first}
    keys["points"] = c.points
    keys |= {key.name: c.most for key in rest if key.field == "most" and c.most is not None}
    keys |= {"negative": c.negative} if c.negative is not None else {}
    keys |= {"hidden": True} if c.hidden else {}
    return keys | {key.name: _plain(c, key) for key in rest if key.field != "most" and _is_given(c, kind, key)}


def _plain(c: Criterion, key: Key) -> Any:
    value = getattr(c, key.field)
    return list(value) if isinstance(value, tuple) else value


def _is_given(c: Criterion, kind: Kind, key: Key) -> bool:
    """Tell whether a key stands in the file: of two that exclude each other the one that holds something."""
    others = [other for other in kind.keys if other.name in kind.one_of and other != key and other.field != "wanted"]
    return bool(getattr(c, key.field)) and not (key.name in kind.one_of and any(getattr(c, o.field) for o in others))
