"""Wrong constants by name, as the checks name them; ``test_notices`` plants each and sees those checks fail."""

from __future__ import annotations

from wrong.named import EQUIPMENT, FILMS, NAMED, STOCKS
from wrong.planting import Wrong

WRONG: dict[str, Wrong] = {
    **NAMED,
    # film and camera
    "film's blacks x 0.67": Wrong(FILMS, "net_dmax", 0.67),
    "meter constant x 0.67": Wrong("negative/camera.py", "METERED_EXPOSURE_LUX_S_ISO", 0.67),
    "granularity's aperture x 1.5": Wrong("negative/film.py", "GRANULARITY_APERTURE_MM", 1.5),
    "stain x 0.5": Wrong("negative/negative.py", r"(?<=[\[ ])(\d\.\d\d)(?=[,\]])", 0.5, text=True),
    # heads and lenses
    "condenser's scatter x 1.75": Wrong(EQUIPMENT, r"head\.condenser-small\.scatter_share", 1.75),
    "condenser's temperature x 0.87": Wrong(EQUIPMENT, r"head\.condenser-small\.temperature_k", 0.87),
    "lamp's light x 2": Wrong(EQUIPMENT, r"head\.diffusion.*\.gate_luminance_cd_m2", 2.0),
    "flux exponent x 1.3": Wrong("enlarger/equipment.py", r".*FLUX_EXPONENT.*", 1.3),
    "voltage exponent x 1.5": Wrong("enlarger/equipment.py", r".*TEMPERATURE_EXPONENT.*\[1\]", 1.5),
    "lamp's light x 0.5": Wrong(EQUIPMENT, r"head\.diffusion.*\.gate_luminance_cd_m2", 0.5),
    "popping x 0.3": Wrong(EQUIPMENT, r".*\.popping_mm", 0.3),
    "lens rim x 0.3": Wrong(EQUIPMENT, r".*\.rim_distance_mm", 0.3),
    "lens faults x 0.3": Wrong(EQUIPMENT, r".*aberration.*", 0.3),
    "green light at 445 nm": Wrong("enlarger/focus.py", "GREEN_NM", 0.82),
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
    "paper curve b x 1.5": Wrong(STOCKS, r"emulsion\.curve_b", 1.5),
    "spread of green speeds x 1.3": Wrong(STOCKS, r"emulsion\.green_nodes.*", 1.3),
    "spread of green speeds x 2": Wrong(STOCKS, r"emulsion\.green_nodes.*", 2.0),
    "completion time x 0.6": Wrong(STOCKS, r"development\.completion_time_s", 0.6),
    "wet reflection of glossy x 1.45": Wrong("paper/stocks/glossy-fb*.toml", r"base\.wet_surface_reflection", 1.45),
    "RC dry-down x 4": Wrong("paper/stocks/glossy-rc-vc.toml", r"drying\.dry_down_share", 4.0),
    "rate of development x 0.5": Wrong(STOCKS, r"development\.rate", 0.5),
    "rate of development x 2": Wrong(STOCKS, r"development\.rate", 2.0),
    "emergence x 2 at 20 only": Wrong(STOCKS, r"development\.hydroquinone_doubling_c", 0.5),
    "emergence x 2": Wrong(STOCKS, r"development\.emergence_share", 2.0),
    "doubling by warmth x 0.67": Wrong(STOCKS, r"development\.doubling_c", 0.67),
    "amber leak x 50": Wrong("paper/safelight.py", r"_LAMPS\[2\]", 50.0),
}
