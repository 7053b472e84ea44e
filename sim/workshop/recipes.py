"""Recipes for everything in assets_generated: one entry per file, and who makes it."""

from __future__ import annotations

import hashlib
import json
from pathlib import Path
from typing import Annotated, Literal

from pydantic import Field, model_validator

from sim.reading import OutsideFile, OutsideTable, read_toml
from sim.refusals import Refused


class Recipe(OutsideTable):
    """How one file is made: ``maker`` decides which of the other keys count."""

    path: Annotated[str, Field(pattern=r"^(scenes/|figures/)?[a-z0-9-]+\.png$")]
    maker: Literal["grain", "photograph", "sleeve-sheet", "paper-family", "demo", "ring", "window", "page"]
    seed: Annotated[int, Field(ge=0, lt=2**32)] = 0
    size_px: Annotated[int, Field(ge=16, le=4096)] | None = None
    width_px: Annotated[int, Field(ge=16, le=4096)] | None = None
    height_px: Annotated[int, Field(ge=16, le=4096)] | None = None
    subject: Annotated[str, Field(max_length=60)] | None = None

    @model_validator(mode="after")
    def _has_what_its_maker_needs(self) -> Recipe:
        needs = {
            "grain": ("size_px",),
            "photograph": ("subject",),
            "sleeve-sheet": ("subject",),
            "paper-family": ("subject",),
            "demo": ("subject",),
            "ring": ("subject",),
            "window": ("subject", "width_px", "height_px"),
            "page": ("subject", "width_px", "height_px"),
        }[self.maker]
        missing = [key for key in needs if getattr(self, key) is None]
        if missing:
            raise Refused(f"maker {self.maker!r} needs {', '.join(missing)}, got none")
        return self

    @property
    def digest(self) -> str:
        """SHA-256 of the recipe, so that a changed recipe is noticed."""
        text = json.dumps(self.model_dump(), sort_keys=True)
        return hashlib.sha256(text.encode()).hexdigest()


class RecipeBook(OutsideFile):
    """The file recipes.toml."""

    file: list[Recipe]

    @model_validator(mode="after")
    def _paths_once(self) -> RecipeBook:
        paths = [recipe.path for recipe in self.file]
        twice = sorted({path for path in paths if paths.count(path) > 1})
        if twice:
            raise Refused(f"every path must stand once, got {', '.join(twice)} twice")
        return self


def read_recipes(folder: Path) -> tuple[Recipe, ...]:
    """Return the recipes of a folder of generated files. Raises OutsideError."""
    return tuple(read_toml(folder / "recipes.toml", RecipeBook).file)
