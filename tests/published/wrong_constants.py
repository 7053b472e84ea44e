"""Wrong constants by name, as the checks name them; ``test_notices`` plants each and sees those checks fail."""

from __future__ import annotations

from wrong.named import DEVELOPER, EQUIPMENT, FILAMENT, FILMS, NAMED, STOCKS
from wrong.planting import Wrong

# noticed by the readings that film and Callier's law are fitted to (tests/negative), which are no published checks
NOT_HERE = ("Callier's grain x 1.25", "film toe x 1.6")

_ANY_TOE = Wrong("negative/film.py", r"toe_width: .*le=([\d.]+)", 2.0, text=True)

WRONG: dict[str, Wrong] = {
    **{name: wrong for name, wrong in NAMED.items() if name not in NOT_HERE},
    # film and camera
    "film toe x 2.5": Wrong(FILMS, "toe_width", 2.5, also=_ANY_TOE),
    "film's blacks x 0.67": Wrong(FILMS, "net_dmax", 0.67),
    "meter constant x 0.67": Wrong("negative/camera.py", "METERED_EXPOSURE_LUX_S_ISO", 0.67),
    "granularity's aperture x 1.5": Wrong("negative/grain.py", "GRANULARITY_APERTURE_MM", 1.5),
    "grain's growth with density x 0.67": Wrong("negative/grain.py", "GRANULARITY_EXPONENT", 0.67),
    "stain x 0.5": Wrong("negative/negative.py", r"(?<=[\[ ])(\d\.\d\d)(?=[,\]])", 0.5, text=True),
    # heads and lenses
    "condenser's cone x 3": Wrong(EQUIPMENT, r"head\.condenser-small\.light_half_angle_deg", 3.0),
    "condenser's temperature x 0.87": Wrong(EQUIPMENT, r"head\.condenser-small\.temperature_k", 0.87),
    "lamp's light x 2": Wrong(EQUIPMENT, r"head\.diffusion.*\.gate_luminance_cd_m2", 2.0),
    "filament's resistance by heat, power x 0.3": Wrong(FILAMENT, "RESISTANCE_POWER", 0.3),
    "filament's resistance by heat, power x 4": Wrong(FILAMENT, "RESISTANCE_POWER", 4.0),
    "lamp's light x 0.33": Wrong(EQUIPMENT, r"head\.diffusion.*\.gate_luminance_cd_m2", 0.33),
    "popping x 0.3": Wrong(EQUIPMENT, r".*\.popping_mm", 0.3),
    "lens rim x 0.3": Wrong(EQUIPMENT, r".*\.rim_distance_mm", 0.3),
    "lens faults x 0.3": Wrong(EQUIPMENT, r".*\.spherical_waves", 0.3),
    "80 mm lens covers x 0.87": Wrong(EQUIPMENT, r"lens\.80-mm\.covers_diagonal_mm", 0.87),
    "80 mm lens of 85 mm": Wrong(EQUIPMENT, r"lens\.80-mm\.focal_mm", 85.0 / 80.0),
    "lens sees no green": Wrong("enlarger/printing_light.py", r"_WEIGHT\[(6|7|8|9)\]", 0.01),
    "blue leak of gelatin x 6": Wrong("enlarger/filters.py", "GELATIN_BLUE_LEAK", 6.0),
    "filters' neutral x 1.5": Wrong("enlarger/filters.toml", r".*\.neutral", 1.5),
    "filter 00's neutral x 3": Wrong("enlarger/filters.toml", r"00\.neutral", 3.0),
    "filter 1's neutral x 2": Wrong("enlarger/filters.toml", r"1\.neutral", 2.0),
    "filter 4's neutral x 2": Wrong("enlarger/filters.toml", r"4\.neutral", 2.0),
    "filters' dyes x 0.1": Wrong("enlarger/filters.toml", r".*\.(yellow|magenta)", 0.1),
    "filters' dyes x 0.3": Wrong("enlarger/filters.toml", r".*\.(yellow|magenta)", 0.3),
    "filters' dyes x 1.5": Wrong("enlarger/filters.toml", r".*\.(yellow|magenta)", 1.5),
    "cold cathode's blue line x 3": Wrong(EQUIPMENT, r"head\.cold-cathode-sheet\.bands\[2\]", 3.0),
    # paper and tray
    "glossy fibre base's surface x 0.87": Wrong("paper/stocks/glossy-fb*.toml", r"base\.surface_reflection", 0.87),
    "lights of ISO R counted from net 0.08": Wrong("paper/sensitometry.py", "NET_IDMIN", 2.0),
    "film's contrast x 0.87": Wrong("negative/film.py", "ISO_DENSITY_RANGE", 0.87),
    "toe widens with development": Wrong("negative/film.py", "TOE_NARROWS", -2.0),
    "filter 4 1/2's neutral x 1.5": Wrong("enlarger/filters.toml", r"4\.5\.neutral", 1.5),
    "graded paper's speed x 1.15": Wrong("paper/stocks/graded*.toml", r"emulsion\.log_speed", 1.15),
    "reciprocity failure x 0.67": Wrong(STOCKS, r"reciprocity\.schwarzschild_p", 0.67),
    "spread of graded speeds x 2": Wrong("paper/stocks/graded*.toml", r"emulsion\.blue_nodes.*", 2.0),
    "spread of green speeds x 1.3": Wrong(STOCKS, r"emulsion\.green_nodes.*", 1.3),
    "spread of green speeds x 2": Wrong(STOCKS, r"emulsion\.green_nodes.*", 2.0),
    "completion time x 0.6": Wrong(STOCKS, r"development\.completion_time_s", 0.6),
    "wet reflection of glossy x 1.45": Wrong("paper/stocks/glossy-fb*.toml", r"base\.wet_surface_reflection", 1.45),
    "RC swells as fibre base does": Wrong("paper/stocks/glossy-rc-vc.toml", r"drying\.wet_gelatin_share", 0.3),
    "rate of development x 0.5": Wrong(STOCKS, r"development\.rate", 0.5),
    "rate of development x 2": Wrong(STOCKS, r"development\.rate", 2.0),
    "emergence x 2": Wrong(STOCKS, r"development\.emergence_share", 2.0),
    "building agent's warmth x 0.2": Wrong(DEVELOPER, r"developer\.build_activation_kj_mol", 0.2),
    "speed lost to bromide x 0.67": Wrong(DEVELOPER, r"developer\.speed_by_bromide", 0.67),
    "amber edge x 0.95": Wrong("paper/safelight.py", "_LAMPS", 0.95),
    "amber leak x 50": Wrong("paper/safelight.py", r"_LAMPS\[2\]", 50.0),
}
