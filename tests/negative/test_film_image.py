"""Detail on the film: the camera lens's diffraction and the film's spread take their share before the curve."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from sim import lost_detail
from sim.negative import develop as developing
from sim.negative.camera import Camera, falloff_factor
from sim.negative.develop import develop
from sim.negative.film import find_film
from sim.negative.film_image import spread_in_film
from sim.negative.scene_file import decoded_luminance
from sim.negative.sleeve import find_sleeve
from sim.negative.sleeve_contents import Crop, Sleeve

COLS, ROWS = 1200, 960
SMALL = replace(find_sleeve("racks-small-film"), crop=Crop(), mirrored=False)
LOW, HIGH = -3.0, 5.0


def grating(lp_mm: float, sleeve: Sleeve) -> np.ndarray:
    """Return stored codes of a scene whose light swings by a twentieth, so many times a millimetre of film."""
    x_mm = (np.arange(COLS) + 0.5) * sleeve.frame_mm[0] / COLS
    wanted = sleeve.camera.metered_cd_m2 * (1.0 + 0.05 * np.cos(2 * np.pi * lp_mm * x_mm))
    codes = np.arange(65536, dtype=np.uint16)
    nearest = np.searchsorted(decoded_luminance(codes, LOW, HIGH), wanted).clip(0, 65535).astype(np.uint16)
    return np.ascontiguousarray(np.broadcast_to(nearest, (ROWS, COLS)))


def swing(lp_mm: float, monkeypatch: pytest.MonkeyPatch, sleeve: Sleeve = SMALL, **film: object) -> float:
    """Return the swing of density that a grating leaves on a film without grain."""
    stock = replace(find_film(sleeve.film), rms_granularity=0.0, **film)
    monkeypatch.setattr(developing, "find_film", lambda name: stock)
    monkeypatch.setattr(developing, "read_scene_codes", lambda name: (grating(lp_mm, sleeve), LOW, HIGH))
    row = develop(sleeve).silver_density[ROWS // 2, 100:-100].astype(float)
    x_mm = np.arange(len(row)) * sleeve.frame_mm[0] / COLS
    return float(abs(((row - row.mean()) * np.hanning(len(row)) * np.exp(-2j * np.pi * lp_mm * x_mm)).sum()))


def wanted(lp_mm: float, half_lp_mm: float, f_number: float) -> float:
    s = lp_mm * 0.55e-3 * f_number
    return 2 / np.pi * (np.arccos(s) - s * np.sqrt(1 - s * s)) / (1 + (lp_mm / half_lp_mm) ** 2)


@pytest.mark.parametrize("lp_mm", [10.0, 20.0])
def test_film_and_camera_lens_pass_what_the_equations_say(lp_mm: float, monkeypatch: pytest.MonkeyPatch) -> None:
    half = find_film(SMALL.film).half_contrast_lp_mm
    assert half is not None
    ratio = swing(lp_mm, monkeypatch) / swing(1.0, monkeypatch)
    assert ratio == pytest.approx(wanted(lp_mm, half, 8.0) / wanted(1.0, half, 8.0), abs=0.02)


def test_a_film_that_spreads_twice_as_far_is_noticed(monkeypatch: pytest.MonkeyPatch) -> None:
    half = find_film(SMALL.film).spread_lp_mm
    blurred = swing(20.0, monkeypatch, half_contrast_lp_mm=half / 2) / swing(1.0, monkeypatch)
    assert blurred < wanted(20.0, half, 8.0) - 0.1


def test_a_smaller_opening_of_the_camera_costs_detail(monkeypatch: pytest.MonkeyPatch) -> None:
    small = replace(SMALL, camera=replace(SMALL.camera, f_number=22.0))
    half = find_film(SMALL.film).spread_lp_mm
    ratio = swing(20.0, monkeypatch, small) / swing(1.0, monkeypatch, small)
    assert ratio == pytest.approx(wanted(20.0, half, 22.0) / wanted(1.0, half, 22.0), abs=0.02)


@pytest.mark.parametrize(
    ("frame_mm", "f_number"),
    [((24.0, 36.0), 8.0), ((56.0, 56.0), 11.0), ((56.0, 84.0), 11.0), ((95.0, 120.0), 22.0), ((203.0, 254.0), 32.0)],
)
def test_larger_film_is_taken_at_a_smaller_opening(frame_mm: tuple[float, float], f_number: float) -> None:
    assert Camera(100.0).opening_for(frame_mm) == f_number
    assert Camera(100.0, f_number=4.0).opening_for(frame_mm) == 4.0


def test_a_picture_too_coarse_to_show_the_spread_is_left_as_it_is() -> None:
    light = np.random.Generator(np.random.PCG64(1)).random((40, 50)).astype(np.float32) + 0.5
    assert spread_in_film(light, (100.0, 80.0), 22.0, 45.0) is light


def test_the_spread_keeps_the_mean_light() -> None:
    light = np.random.Generator(np.random.PCG64(1)).random((160, 200)).astype(np.float32) + 0.5
    spread = spread_in_film(light, (5.0, 4.0), 8.0, 45.0)
    assert spread.mean() == pytest.approx(light.mean(), rel=1e-3)
    assert spread.std() < 0.9 * light.std()


@pytest.mark.parametrize(("film", "low", "high"), [("medium", 40.0, 50.0), ("slow", 80.0, 100.0)])
def test_films_pass_half_contrast_where_films_of_their_kind_do(film: str, low: float, high: float) -> None:
    assert low <= find_film(film).spread_lp_mm <= high


def test_a_coarser_film_spreads_further() -> None:
    slow, medium, fast = (find_film(name).spread_lp_mm for name in ("slow", "medium", "fast"))
    assert slow > medium > fast


def test_a_film_whose_file_says_nothing_of_it_spreads_as_usual() -> None:
    assert replace(find_film("fast"), half_contrast_lp_mm=None, uncertainty={}).spread_lp_mm == find_film("medium").spread_lp_mm


def test_a_dark_edge_of_the_film_knows_nothing_of_the_bright_edge_opposite() -> None:
    """A perfect lens spreads wavelength * N / (pi**2 x) of a bright half's light to a distance x beyond its border."""
    pixel_mm, f_number = 0.05, 8.0
    light = np.ones((60, 720), dtype=np.float32)
    light[:, :360] = 1000.0
    edge = float(spread_in_film(light, (36.0, 3.0), f_number, 45.0)[30, -10:].mean())
    spread = 1000.0 * 0.55e-3 * f_number / (np.pi**2 * 360 * pixel_mm)
    assert edge == pytest.approx(1.0 + 2.0 * spread, abs=0.04)  # twice: the edge is a mirror


@pytest.mark.parametrize(("more", "threads"), [(0, 1), (-1, 2)])
def test_a_small_picture_is_transformed_by_one_thread_and_comes_out_the_same(
    more: int, threads: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    from scipy import fft

    light, passed = np.random.Generator(np.random.PCG64(3)).random((40, 50), dtype=np.float32), np.linspace(1.0, 0.5, 99)
    usual = lost_detail.with_detail_lost(light, (9.0, 9.0), passed)
    asked = []
    dctn = fft.dctn
    monkeypatch.setattr(fft, "dctn", lambda *a, workers, **more: asked.append(workers) or dctn(*a, workers=workers, **more))
    monkeypatch.setattr(lost_detail, "SMALL_PX", light.size + more)
    assert np.array_equal(lost_detail.with_detail_lost(light, (9.0, 9.0), passed), usual)
    assert asked == [threads]


@pytest.mark.parametrize("towards_deg", [0.0, 40.0, 135.0, -90.0])
def test_uneven_light_falls_off_smoothly_from_edge_to_edge(towards_deg: float) -> None:
    stops, (rows, cols) = 0.8, (61, 81)
    made = falloff_factor(Camera(100.0, falloff_stops=stops, falloff_towards_deg=towards_deg), rows, cols)
    angle = np.radians(towards_deg)
    along = np.cos(angle) * np.linspace(-1, 1, cols)[None, :] + np.sin(angle) * np.linspace(-1, 1, rows)[:, None]
    share = 0.5 * (along / (abs(np.cos(angle)) + abs(np.sin(angle))) + 1.0)
    assert made == pytest.approx(2.0 ** (-stops * (3.0 * share**2 - 2.0 * share**3)), rel=1e-6)
