"""A double click: there is no console, so what goes wrong is shown in a window; evenings lie in the account's own folder."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pygame
import pytest

import sim
from sim.command import double_click
from sim.command.double_click import FILE_NAME, OUR_FAULT, main
from sim.window import could_not_open, main_loop
from sim.window.could_not_open import LEAVE, TITLE, draw_trouble, show_trouble
from sim.window.kit.look import Look

ROOT = Path(sim.__file__).parent.parent


@pytest.fixture
def data(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """The account's own folder, and another one to stand in, on a display that shows nothing."""
    monkeypatch.setattr("sim.shelf.data_of_ones_own", lambda: tmp_path / "data")
    monkeypatch.setenv("SDL_VIDEODRIVER", "dummy")
    (tmp_path / "here").mkdir()
    monkeypatch.chdir(tmp_path / "here")
    return tmp_path / "data"


@pytest.fixture
def shown(monkeypatch: pytest.MonkeyPatch) -> list[tuple[str, Path | None]]:
    seen: list[tuple[str, Path | None]] = []
    monkeypatch.setattr(could_not_open, "show_trouble", lambda text, file: seen.append((text, file)))
    return seen


def test_evenings_are_kept_in_the_accounts_folder_wherever_the_program_lies(
    data: Path, shown: list[tuple[str, Path | None]], monkeypatch: pytest.MonkeyPatch
) -> None:
    real = main_loop.run_window
    monkeypatch.setattr(main_loop, "run_window", lambda folder, scale, exercise: real(folder, scale, exercise, frames=3))
    monkeypatch.setattr(sys, "stdout", None)
    monkeypatch.setattr(sys, "stderr", None)
    assert main([]) == 0
    assert shown == []
    assert (data / "preferences.json").is_file()
    assert not (data / FILE_NAME).exists()
    assert list(Path.cwd().iterdir()) == []


def test_a_refusal_is_shown_and_written_down(data: Path, shown: list[tuple[str, Path | None]], tmp_path: Path) -> None:
    (tmp_path / "a-file").write_text("", encoding="utf-8")
    assert main(["--folder", str(tmp_path / "a-file")]) == 2
    ((text, file),) = shown
    assert "--folder must be a folder, got the file" in text
    assert file == data / FILE_NAME
    assert file.read_text(encoding="utf-8") == f"{text}\n"


def test_words_that_are_not_known_are_told(data: Path, shown: list[tuple[str, Path | None]]) -> None:
    assert main(["--colour"]) == 2
    assert "unrecognized arguments: --colour" in shown[0][0]


def test_a_fault_of_the_programs_own_is_told_with_where_it_stands(
    data: Path, shown: list[tuple[str, Path | None]], monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    def broken(*_: object) -> int:
        raise ZeroDivisionError("the lamp")

    monkeypatch.setattr(main_loop, "run_window", broken)
    assert main([]) == OUR_FAULT
    assert shown[0][0].endswith("ZeroDivisionError: the lamp")
    assert "Traceback" in (data / FILE_NAME).read_text(encoding="utf-8")
    assert "the lamp" in capsys.readouterr().err, "a console that is there is told too"


def test_where_nothing_can_be_written_it_is_shown_all_the_same(
    shown: list[tuple[str, Path | None]], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (tmp_path / "a-file").write_text("", encoding="utf-8")
    monkeypatch.setattr("sim.shelf.data_of_ones_own", lambda: tmp_path / "a-file" / "data")
    assert main([]) == 2
    ((text, file),) = shown
    assert "Not a directory" in text
    assert file is None


def test_a_console_that_is_gone_is_no_fault() -> None:
    class Gone:
        def write(self, text: str) -> int:
            raise OSError(5, "gone")

        def flush(self) -> None:
            raise ValueError("closed")

    said = double_click.Said(Gone())  # type: ignore[arg-type]
    print("kept", file=said, flush=True)
    assert said.kept.getvalue() == "kept\n"


@pytest.mark.skipif(not sys.platform.startswith("linux"), reason="other systems always have a desktop")
def test_without_a_display_it_is_said_on_the_console_and_written_down(tmp_path: Path) -> None:
    bare = {k: v for k, v in os.environ.items() if k not in ("DISPLAY", "WAYLAND_DISPLAY", "SDL_VIDEODRIVER")}
    done = subprocess.run(
        [sys.executable, "-m", "sim.command.double_click"], capture_output=True, text=True, timeout=120, check=False,
        env={**bare, "PYTHONPATH": str(ROOT), "XDG_DATA_HOME": str(tmp_path)}, cwd=tmp_path,
    )  # fmt: skip
    assert done.returncode == 2
    assert "the window needs a display" in done.stderr
    assert "the window needs a display" in (tmp_path / "tonewright" / FILE_NAME).read_text(encoding="utf-8")


LONG = "tonewright window: /home/somebody/" + "a-long-folder/" * 20 + "evenings: Permission denied"


@pytest.mark.parametrize("size", [(760, 420), (320, 240), (40, 40)])
@pytest.mark.parametrize("text", ["no", LONG, "\n".join(f"line {n} of a trace" for n in range(200)), "x" * 5000, ""])
def test_what_went_wrong_fits_the_window_and_ends_with_its_end(text: str, size: tuple[int, int]) -> None:
    pygame.font.init()
    look = Look(1.0)
    lines = draw_trouble(pygame.Surface(size), look, text, Path("/data/could-not-open.txt"))
    assert lines[0] == TITLE
    assert lines[-1] == LEAVE
    if size[0] == 760:
        wide = size[0] - 2 * look.px(could_not_open.MARGIN)
        assert all(look.width(line) <= wide for line in lines[1:])
        assert len(lines) * look.line_height("body") < size[1]
        assert "".join(lines[1:-2]).replace(" ", "").endswith(text.replace("\n", "").replace(" ", "")[-40:])


def test_the_window_of_trouble_opens_and_leaves_with_a_key(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("SDL_VIDEODRIVER", "dummy")
    show_trouble("nothing to be done", None, frames=2)
    assert not pygame.display.get_init()
    waited: list[int] = []

    def keys(wait_ms: int) -> pygame.event.Event:
        waited.append(wait_ms)
        return pygame.event.Event(pygame.KEYDOWN if len(waited) == 3 else pygame.NOEVENT)

    monkeypatch.setattr("pygame.event.wait", keys)
    show_trouble("nothing to be done")
    assert len(waited) == 3
