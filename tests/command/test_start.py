"""Starting: help comes at once, a subprocess behaves like the call inside, and a closed pipe is no fault."""

from __future__ import annotations

import json
import os
import subprocess
import sys
import time
from pathlib import Path

import sim
from sim.command.main import VERBS

ROOT = Path(sim.__file__).parent.parent
HEAVY = ("numpy", "pydantic", "scipy", "PIL", "rich", "matplotlib", "pygame")
MOST_HELP_S = 0.150


def command(*words: str) -> list[str]:
    return [sys.executable, "-m", "sim.command.main", *words]


def environment(**more: str) -> dict[str, str]:
    return {**os.environ, "PYTHONPATH": str(ROOT), **more}


def _fastest_s(words: list[str], times: int = 7) -> float:
    found = []
    for _ in range(times):
        start = time.perf_counter()
        subprocess.run(words, check=True, capture_output=True, env=environment())
        found.append(time.perf_counter() - start)
    return min(found)


def test_help_comes_at_once() -> None:
    bare = _fastest_s([sys.executable, "-c", "pass"])
    assert _fastest_s(command("--help")) - bare < MOST_HELP_S


def test_help_imports_nothing_heavy() -> None:
    code = (
        "import sys, contextlib, io\nfrom sim.command.main import main\n"
        "with contextlib.redirect_stdout(io.StringIO()), contextlib.suppress(SystemExit):\n    main(['--help'])\n"
        f"print([name for name in {HEAVY!r} if name in sys.modules])"
    )
    done = subprocess.run([sys.executable, "-c", code], check=True, capture_output=True, text=True, env=environment())
    assert done.stdout.strip() == "[]"


def test_the_help_of_every_verb_imports_no_scipy_matplotlib_or_window() -> None:
    code = (
        "import sys, contextlib, io\nfrom sim.command.main import main, VERBS\n"
        "for verb in VERBS:\n"
        "    with contextlib.redirect_stdout(io.StringIO()), contextlib.suppress(SystemExit):\n"
        "        main([verb, '--help'])\n"
        "print([name for name in ('scipy', 'matplotlib', 'pygame') if name in sys.modules])"
    )
    done = subprocess.run([sys.executable, "-c", code], check=True, capture_output=True, text=True, env=environment())
    assert done.stdout.strip() == "[]"


def test_a_subprocess_gives_exit_codes_and_one_line(tmp_path: Path) -> None:
    for words, code, line in (
        (("--version",), 0, ""), (("paper",), 0, ""), (("prnt",), 2, "invalid choice"), (("paper", "tin"), 2, "must be one of"),
        (("print", "--time", "x"), 2, "invalid float value"),
    ):  # fmt: skip
        done = subprocess.run(command(*words), capture_output=True, text=True, env=environment(), cwd=tmp_path)
        assert done.returncode == code
        assert done.stderr.count("\n") == (1 if code else 0), done.stderr
        assert line in done.stderr
        assert bool(done.stdout) is (code == 0)
    assert list(tmp_path.iterdir()) == []


def test_a_reader_that_has_seen_enough_is_no_fault() -> None:
    for words in (("schema",), ("paper", "glossy-rc-vc"), ("paper", "glossy-rc-vc", "--json")):
        reading, writing = os.pipe()
        os.close(reading)
        done = subprocess.run(command(*words), stdout=writing, stderr=subprocess.PIPE, text=True, env=environment())
        os.close(writing)
        assert done.stderr == ""
        assert done.returncode in (1, 141)


def test_a_full_disk_behind_standard_output_is_said() -> None:
    with open("/dev/full", "w") as full:
        done = subprocess.run(command("schema"), stdout=full, stderr=subprocess.PIPE, text=True, env=environment())
    assert done.returncode != 0
    assert "No space left on device" in done.stderr


def test_a_narrow_code_page_ends_no_verb() -> None:
    for words in (("paper", "glossy-rc-vc"), ("sleeves",), ("sleeves", "--json")):
        done = subprocess.run(command(*words), capture_output=True, env=environment(PYTHONIOENCODING="ascii"))
        assert (done.returncode, done.stderr) == (0, b"")
        done.stdout.decode("ascii")
        assert words[-1] != "--json" or json.loads(done.stdout)


def test_what_is_printed_does_not_depend_on_language_time_zone_or_hash_seed(tmp_path: Path) -> None:
    seen = set()
    for language, zone, seed in (("C", "UTC", "0"), ("de_DE.UTF-8", "Asia/Kathmandu", "1"), ("C.UTF-8", "America/Lima", "77")):
        done = subprocess.run(
            command("print", "--negative", "tone-patches", "-o", "a.png", "--save-record", "a.json", "--json"),
            capture_output=True, text=True, cwd=tmp_path, check=True,
            env=environment(LANG=language, LC_ALL=language, TZ=zone, PYTHONHASHSEED=seed),
        )  # fmt: skip
        seen.add((done.stdout, (tmp_path / "a.png").read_bytes(), (tmp_path / "a.json").read_bytes()))
    assert len(seen) == 1


def test_every_verb_has_its_file() -> None:
    folder = ROOT / "sim" / "command"
    assert {p.stem.removesuffix("_verb") for p in folder.glob("*_verb.py")} == set(VERBS)
