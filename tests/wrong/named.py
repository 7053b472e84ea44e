"""The thirteen wrong constants that once passed every test unnoticed, by name. Adapt the names when a law is rebuilt."""

from __future__ import annotations

from .planting import Wrong

FILMS, STOCKS, EQUIPMENT = "negative/films/*.toml", "paper/stocks/*.toml", "enlarger/equipment.toml"

NAMED: dict[str, Wrong] = {
    "film speed shift x 8": Wrong("negative/film.py", r"shift = ([\d.]+) \*", 8.0, text=True),
    "camera flare x 4": Wrong("negative/camera.py", r"flare_share: .* = ([\d.]+)", 4.0, text=True),
    "dry-down x 1.4": Wrong(STOCKS, r"drying\.dry_down_share", 1.4),
    "chemical fog x 4": Wrong(STOCKS, r"development\.fog_per_time", 4.0),
    "red leak x 50": Wrong("paper/safelight.py", r"_LAMPS\[6\]", 50.0),
    "film fog x 4": Wrong("negative/film.py", r"base_fog_density \+ ([\d.]+)", 4.0, text=True),
    "film toe x 1.6": Wrong(FILMS, "toe_width", 1.6),
    "Callier exponent x 1.25": Wrong("negative/callier.py", "SCATTER_EXPONENT", 1.25),
    "popping x 2": Wrong(EQUIPMENT, r".*\.popping_mm", 2.0),
    "dead time x 2": Wrong(EQUIPMENT, r".*\.dead_time_s", 2.0),
    "surface reflection x 1.5": Wrong(STOCKS, r"base\.surface_reflection", 1.5),
    "wet reflection x 2": Wrong("paper/stocks/matt*.toml", r"base\.wet_surface_reflection", 2.0),
    "half-life of the bath x 2": Wrong(STOCKS, r"development\.half_life_sheets", 2.0),
}
