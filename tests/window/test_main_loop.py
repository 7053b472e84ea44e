"""The window of the desktop: its events become ours, a flood of them is bounded, and without a display it says so."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pygame
import pytest

import sim
from sim.window import main_loop
from sim.window.icon import icon
from sim.window.kit.events import Key, Pointer
from sim.window.main_loop import MOST_EVENTS, bounded, run_window, translated, window_size
from sim.window.preferences import Preferences, read_preferences, write_preferences

ROOT = Path(sim.__file__).parent.parent


@pytest.fixture(autouse=True)
def _display(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("SDL_VIDEODRIVER", "dummy")
    pygame.display.init()
    pygame.font.init()


def _event(kind: int, **data: object) -> pygame.event.Event:
    return pygame.event.Event(kind, data)


def test_keys_are_named_as_in_the_key_list() -> None:
    ours = translated(_event(pygame.KEYDOWN, key=pygame.K_z, mod=pygame.KMOD_LCTRL | pygame.KMOD_LSHIFT, unicode="\x1a"))
    assert ours == Key("z", True, True, True, False, "")
    assert isinstance(ours, Key)
    assert ours.chord == "ctrl+shift+z"
    number = translated(_event(pygame.KEYDOWN, key=pygame.K_KP5, mod=0, unicode="5"))
    assert number == Key("5", True, text="5")
    assert translated(_event(pygame.KEYDOWN, key=pygame.K_KP_ENTER, mod=0, unicode="\r")) == Key("return", True)
    assert translated(_event(pygame.KEYUP, key=pygame.K_SPACE, mod=0)) == Key("space", False)
    assert translated(_event(pygame.KEYDOWN, key=pygame.K_LSHIFT, mod=0, unicode="")) is None
    assert translated(_event(pygame.KEYDOWN, key=pygame.K_PAGEDOWN, mod=0, unicode="")) == Key("pagedown", True)


def test_pointer_events_are_ours() -> None:
    move = translated(_event(pygame.MOUSEMOTION, pos=(3, 4), buttons=(1, 0, 0), rel=(0, 0)))
    assert move == Pointer("move", (3, 4), 0, 0, frozenset({1}))
    assert translated(_event(pygame.MOUSEBUTTONDOWN, pos=(1, 2), button=1)) == Pointer("down", (1, 2), 1)
    assert translated(_event(pygame.MOUSEBUTTONUP, pos=(1, 2), button=3)) == Pointer("up", (1, 2), 3)
    assert translated(_event(pygame.MOUSEBUTTONDOWN, pos=(1, 2), button=4)) is None
    assert translated(_event(pygame.USEREVENT)) is None


def test_a_flood_of_events_is_bounded_and_moves_become_one() -> None:
    moves = [_event(pygame.MOUSEMOTION, pos=(n, n), buttons=(0, 0, 0), rel=(1, 1)) for n in range(5000)]
    assert [event.pos for event in bounded(moves)] == [(4999, 4999)]
    keys = [_event(pygame.KEYDOWN, key=pygame.K_a, mod=0, unicode="a") for _ in range(5000)]
    assert len(bounded(keys)) == MOST_EVENTS


def test_the_window_opens_draws_remembers_and_leaves(tmp_path: Path) -> None:
    assert run_window(tmp_path, scale=1.0, frames=3) == 0
    assert not list(tmp_path.glob("*.part"))


def test_a_bad_preferences_file_is_said_and_the_window_opens(tmp_path: Path) -> None:
    (tmp_path / "preferences.json").write_text("{", encoding="utf-8")
    assert run_window(tmp_path, frames=2) == 0
    assert "preferences" in (tmp_path / "window.log").read_text(encoding="utf-8")


def test_an_exercise_named_at_the_command_line_is_opened(tmp_path: Path) -> None:
    assert run_window(tmp_path, exercise="time-from-a-strip", frames=90) == 0
    assert list((tmp_path / "evenings").iterdir())


def test_the_window_is_eighty_five_per_cent_and_never_less_than_the_least_room() -> None:
    assert window_size((2560, 1440)) == (2176, 1224)
    assert window_size((800, 600)) == (1024, 700)


def test_the_window_has_the_size_it_had_where_that_still_fits(tmp_path: Path) -> None:
    assert window_size((2560, 1440), (1300, 900, 40, 50)) == (1300, 900)
    assert window_size((1280, 800), (1281, 800)) == (1088, 700), "another screen: it no longer fits"
    assert window_size((1280, 800), (1280, 800)) == (1280, 800)
    assert run_window(tmp_path, frames=2) == 0
    kept, problem = read_preferences(tmp_path)
    assert problem == ""
    assert kept.window[:2] == window_size(main_loop.open_display())


def test_full_screen_is_entered_left_and_remembered(tmp_path: Path) -> None:
    write_preferences(tmp_path, Preferences(full=True, window=(1024, 705)))
    assert run_window(tmp_path, frames=3) == 0
    kept, _ = read_preferences(tmp_path)
    assert kept.full
    assert kept.window[:2] == (1024, 705), "what it is when it is a window again"


def test_the_icon_is_a_strip_of_five_steps() -> None:
    picture = icon()
    levels = {tuple(picture.get_at((x, 40)))[:3] for x in range(12, 52, 9)}
    assert len(levels) == 5


def _run(*words: str, **environment: str | None) -> subprocess.CompletedProcess[str]:
    bare = {k: v for k, v in os.environ.items() if k not in ("DISPLAY", "WAYLAND_DISPLAY", "SDL_VIDEODRIVER")}
    bare |= {"PYTHONPATH": str(ROOT)} | {k: v for k, v in environment.items() if v is not None}
    return subprocess.run(
        [sys.executable, "-m", "sim.command.main", *words], capture_output=True, text=True, env=bare, timeout=60, check=False
    )


@pytest.mark.skipif(not sys.platform.startswith("linux"), reason="other systems always have a desktop")
@pytest.mark.parametrize("words", [(), ("window",)])
def test_without_a_display_it_says_so_and_names_what_works(words: tuple[str, ...]) -> None:
    done = _run(*words)
    assert done.returncode == 2
    assert done.stderr.count("\n") == 1
    assert "needs a display" in done.stderr
    assert "tonewright print" in done.stderr


def test_the_verb_refuses_a_scale_out_of_range(tmp_path: Path) -> None:
    for scale in ("50", "900"):
        done = _run("window", "--folder", str(tmp_path), "--scale", scale, SDL_VIDEODRIVER="dummy")
        assert done.returncode == 2
        assert "between 100 and 250" in done.stderr


def test_the_name_over_the_door_is_seen_before_anything_heavy_is_loaded(tmp_path: Path) -> None:
    code = (
        "import sys\nfrom pathlib import Path\nfrom sim.window import main_loop\n"
        "heavy = ('numpy', 'scipy', 'matplotlib', 'rich', 'PIL', 'sim.bench')\n"
        "flip, seen = main_loop.pygame.display.flip, []\n"
        "def first():\n    seen.append([n for n in heavy if n in sys.modules])\n    flip()\n"
        "main_loop.pygame.display.flip = first\n"
        f"main_loop.run_window(Path({str(tmp_path)!r}), frames=1)\nprint(seen[0])"
    )
    done = subprocess.run(
        [sys.executable, "-c", code], capture_output=True, text=True, check=True,
        env={**os.environ, "PYTHONPATH": str(ROOT), "SDL_VIDEODRIVER": "dummy"},
    )  # fmt: skip
    assert done.stdout.strip().endswith("[]")


def test_a_display_that_fails_is_refused_in_words(monkeypatch: pytest.MonkeyPatch) -> None:
    def fails() -> None:
        raise pygame.error("no video device")

    monkeypatch.setattr(pygame.display, "init", fails)
    with pytest.raises(main_loop.NoDisplay, match="needs a display"):
        main_loop.open_display()
