"""The thirteen wrong constants that once passed every test unnoticed, by name. Adapt the names when a law is rebuilt."""

from __future__ import annotations

from .planting import Wrong

FILMS, STOCKS, EQUIPMENT = "negative/films/*.toml", "paper/stocks/*.toml", "enlarger/equipment.toml"
DEVELOPER, FILAMENT = "paper/developer.toml", "enlarger/filament.py"

# most speed that a film file may claim: opened, so that a wrong one is not merely refused
_ANY_SPEED = Wrong("negative/film.py", r"speed_gain: .*le=([\d.]+)", 10.0, text=True)

NAMED: dict[str, Wrong] = {
    "film speed shift x 8": Wrong(FILMS, "speed_gain", 8.0, also=_ANY_SPEED),
    "camera flare x 4": Wrong("negative/camera.py", r"flare_share: .* = ([\d.]+)", 4.0, text=True),
    # how far water is from gelatin decides it: 1.53 - 1.31 in place of 1.53 - 1.37
    "dry-down x 1.4": Wrong("paper/wet_and_dry.py", r"GELATIN_INDEX WATER_INDEX\[1\]", 0.94),
    "chemical fog x 4": Wrong(STOCKS, r"development\.fog_per_time", 4.0),
    "red leak x 50": Wrong("paper/safelight.py", r"_LAMPS\[5\]", 50.0),
    "film fog x 4": Wrong(FILMS, "fog_gain", 4.0),
    "film toe x 1.6": Wrong(FILMS, "toe_width", 1.6),
    "Callier's grain x 1.25": Wrong("negative/callier.py", "GRAIN_LIMIT GRAIN_GAMMA", 1.25),
    "popping x 2": Wrong(EQUIPMENT, r".*\.popping_mm", 2.0),
    # a heavier wire comes and goes more slowly
    "dead time x 2": Wrong(FILAMENT, "DENSITY_KG_M3", 2.0),
    "surface reflection x 1.5": Wrong(STOCKS, r"base\.surface_reflection", 1.5),
    "wet reflection x 2": Wrong("paper/stocks/matt*.toml", r"base\.wet_surface_reflection", 2.0),
    "half-life of the bath x 2": Wrong(DEVELOPER, r"developer\.silver_mmol_sheet", 0.5),
}
