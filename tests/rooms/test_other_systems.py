"""Every call that only one family of systems knows, or means otherwise elsewhere, has its other branch, and a test."""

from __future__ import annotations

import ast
import sys
from pathlib import Path

import pytest
from other_systems import ONLY_POSIX, ONLY_WINDOWS, calls_of, found_in

import sim

PACKAGE = Path(sim.__file__).parent
TESTS = Path(__file__).parents[1]

# file, what -> what happens elsewhere, and the test that fakes it (or where the ordinary branch is told from the other)
BRANCHES: dict[tuple[str, str], tuple[str, str]] = {
    ("bench/desk_file.py", ".replace"): (
        "what cannot be moved aside is said", "test_a_damaged_desk_that_cannot_be_moved_keeps_nobody_out",
    ),
    ("command/assign_verb.py", ".chmod"): (
        "elsewhere a secret is as private as its folder", "test_a_secret_is_made_where_nothing_can_be_closed_to_others",
    ),
    ("command/demo_verb.py", ".replace"): (
        "an older evening that is held open is refused in words",
        "test_a_demonstration_over_a_log_that_is_held_open_is_refused",
    ),
    ("command/main.py", "os.open"): ("the same everywhere", "test_a_reader_that_has_seen_enough_is_no_fault"),
    ("command/main.py", "os.devnull"): ("the same everywhere", "test_a_reader_that_has_seen_enough_is_no_fault"),
    ("command/main.py", "os.dup2"): ("the same everywhere", "test_a_reader_that_has_seen_enough_is_no_fault"),
    ("command/main.py", "sys.platform"): (
        "a closed pipe is called a wrong argument",
        "test_a_reader_that_has_seen_enough_is_no_fault_where_that_is_called_a_wrong_argument",
    ),
    ("evening/handing_in.py", "os.path.samefile"): (
        "names are compared", "test_two_spellings_of_a_log_are_one_file_where_files_cannot_be_compared",
    ),
    ("evening/log.py", ".unlink"): (
        "what cannot be taken away stays, named as set aside", "test_a_set_aside_end_that_cannot_be_taken_away_is_no_fault",
    ),
    ("evening/log.py", "os.O_BINARY"): ("left out", "test_files_are_opened_where_opening_knows_text_from_bytes"),
    ("evening/log.py", "os.O_NONBLOCK"): ("left out", "test_files_are_opened_where_opening_knows_text_from_bytes"),
    ("evening/log.py", "os.ftruncate"): ("the torn end stays", "test_a_log_that_cannot_be_cut_back_keeps_its_torn_end"),
    ("evening/log.py", "os.open"): ("refused in words", "test_a_log_in_a_wrong_place_is_refused"),
    ("locking.py", "os.O_NONBLOCK"): ("left out", "test_files_are_opened_where_opening_knows_text_from_bytes"),
    ("locking.py", "os.open"): (
        "work goes on without a lock", "test_where_no_lock_file_can_be_made_decisions_that_can_be_written_are",
    ),
    ("locking.py", "os.path.normcase"): (
        "the same file under all spellings", "test_another_name_of_the_same_evening_is_the_same_evening",
    ),
    ("locking.py", "os.path.samestat"): (
        "the lock file is made anew", "test_a_lock_file_taken_away_meanwhile_never_lets_two_in",
    ),
    ("locking.py", "os.unlink"): (
        "the lock file stays", "test_a_lock_file_that_cannot_be_removed_while_it_is_open_stays_and_keeps_nobody_out",
    ),
    ("marking/outputs.py", ".unlink"): ("refused in words", "test_a_page_that_somebody_has_open_is_refused_in_words"),
    ("marking/supervisor.py", "multiprocessing.get_context"): ("spawn, everywhere", "test_a_lost_worker_loses_one_piece_only"),
    ("marking/supervisor.py", "signal.signal"): ("SIGINT is known everywhere", "test_a_lost_worker_loses_one_piece_only"),
    ("marking/worker_walls.py", "/proc/self/statm"): (
        "memory held is watched",
        "test_a_memory_hog_gets_a_row_of_its_own_and_a_fresh_worker_follows_where_the_system_holds_no_bound",
    ),
    ("marking/worker_walls.py", "/proc/{process}/stat"): (
        "by the clock", "test_where_no_processor_time_is_told_a_limit_counts_by_how_slow_the_machine_is",
    ),
    ("marking/worker_walls.py", "os.sysconf"): (
        "by the clock", "test_where_no_processor_time_is_told_a_limit_counts_by_how_slow_the_machine_is",
    ),
    ("marking/worker_walls.py", "time.pthread_getcpuclockid"): (
        "by the clock", "test_where_no_processor_time_is_told_a_limit_counts_by_how_slow_the_machine_is",
    ),
    ("marking/worker_walls.py", "time.clock_gettime"): (
        "by the clock", "test_where_no_processor_time_is_told_a_limit_counts_by_how_slow_the_machine_is",
    ),
    ("marking/worker_walls.py", "resource"): ("no bound", "test_where_nothing_tells_of_memory_there_is_no_bound_and_no_fault"),
    ("marking/worker_walls.py", "ctypes.pythonapi"): ("the same everywhere", "test_a_watcher_ends_a_loop_in_another_thread"),
    ("marking/worker_walls.py", "signal.ITIMER_REAL"): ("a watcher", "test_a_time_limit_holds_where_there_is_no_alarm"),
    ("marking/worker_walls.py", "signal.SIGALRM"): ("a watcher", "test_a_time_limit_holds_where_there_is_no_alarm"),
    ("marking/worker_walls.py", "signal.setitimer"): ("a watcher", "test_a_time_limit_holds_where_there_is_no_alarm"),
    ("marking/worker_walls.py", "signal.signal"): ("a watcher", "test_a_time_limit_holds_where_there_is_no_alarm"),
    ("marking/worker_walls.py", "sys.platform"): (
        "memory held is told in bytes or kilobytes", "test_where_no_address_space_is_told_the_bound_is_of_memory_held",
    ),
    ("notebook/page_by_locale.py", "locale"): (
        "territories spelled out are known too", "test_a_page_is_guessed_from_the_territory_of_a_locale",
    ),
    ("plain_text.py", "os.devnull"): ("the same everywhere", "test_a_program_without_a_console_prints_into_nothing"),
    ("reading.py", "os.O_BINARY"): ("left out", "test_files_are_opened_where_opening_knows_text_from_bytes"),
    ("reading.py", "os.O_NONBLOCK"): ("left out", "test_files_are_opened_where_opening_knows_text_from_bytes"),
    ("reading.py", "os.open"): ("a folder cannot be opened", "test_a_folder_that_cannot_be_opened_to_be_read_is_no_file"),
    ("shelf.py", "os.altsep"): ("either stroke makes a path", "test_a_path_is_a_path_with_either_stroke_where_there_are_two"),
    ("shelf.py", "os.sep"): ("either stroke makes a path", "test_a_path_is_a_path_with_either_stroke_where_there_are_two"),
    ("window/evenings.py", ".unlink"): (
        "a folder without a log is no evening", "test_an_evening_refused_before_it_began_may_leave_its_folder",
    ),
    ("window/main_loop.py", "sys.platform"): (
        "the display is asked for at once", "test_another_system_is_asked_for_its_display_without_looking_for_one",
    ),
    ("window/teacher/handing_in.py", "os.path.expanduser"): (
        "a home nobody knows stays as typed", "test_a_home_that_nobody_knows_stays_as_it_was_typed_and_is_no_folder",
    ),
    ("window/things/calibrate.py", "os.path.expanduser"): (
        "a home nobody knows stays as typed", "test_a_home_that_nobody_knows_stays_as_it_was_typed_and_is_no_folder",
    ),
    ("window/things/own_scan.py", "os.path.expanduser"): (
        "a home nobody knows stays as typed", "test_a_home_that_nobody_knows_stays_as_it_was_typed_and_is_no_folder",
    ),
    ("workshop/derive/run.py", "multiprocessing.get_context"): (
        "spawn, everywhere", "test_workers_are_begun_alike_on_every_system",
    ),
    ("workshop/derive/writing_out.py", ".rename"): (
        "a folder that somebody has open stays whole", "test_a_folder_of_results_that_somebody_has_open_is_left_whole",
    ),
    ("writing.py", ".unlink"): ("what cannot be taken away stays", "test_what_a_write_left_and_cannot_be_removed_is_no_fault"),
    ("writing.py", "os.fsync"): ("done without", "test_without_fsync_files_and_decisions_are_written"),
    ("writing.py", "os.link"): ("a copy", "test_a_system_that_knows_no_hard_links_at_all_is_no_fault"),
    ("writing.py", "os.open"): ("a folder cannot be synced", "test_a_folder_that_cannot_be_synced_is_no_fault"),
    ("writing.py", "os.replace"): (
        "tried again", "test_a_file_that_another_program_reads_for_a_moment_is_replaced_when_it_is_free",
    ),
}  # fmt: skip


def test_every_such_call_is_listed_with_its_other_branch_and_no_other() -> None:
    assert calls_of(PACKAGE) == set(BRANCHES)


def test_every_test_that_is_named_is_there() -> None:
    wanted = {test for _, test in BRANCHES.values()}
    there = set()
    for file in TESTS.rglob("test_*.py"):
        text = file.read_text(encoding="utf-8")
        there |= {test for test in wanted if f"def {test}(" in text}
    assert wanted - there == set()


def test_workers_are_begun_alike_on_every_system() -> None:
    for name in ("marking/supervisor.py", "workshop/derive/run.py"):
        tree = ast.parse((PACKAGE / name).read_text(encoding="utf-8"))
        calls = [one for one in ast.walk(tree) if isinstance(one, ast.Call) and "get_context" in ast.dump(one.func)]
        assert [ast.unparse(one.args[0]) for one in calls] == ["'spawn'"], name


SEEN = {
    "a call": ("import os\nos.fork()\n", {"os.fork"}),
    "under another name": ("import os as system\nsystem.fork()\n", {"os.fork"}),
    "a name taken out": ("from os import fork\n", {"os.fork"}),
    "a module": ("def f():\n    import fcntl\n", {"fcntl"}),
    "out of a module": ("from pwd import getpwuid\n", {"pwd"}),
    "asked for": ('import os\ngetattr(os, "O_DIRECTORY", 0)\n', {"os.O_DIRECTORY"}),
    "a path of paths": ("import os\nos.path.samefile(1, 2)\n", {"os.path.samefile"}),
    "a method": ("def f(file, other):\n    file.replace(other)\n    file.chmod(1)\n", {".replace", ".chmod"}),
    "a device": ('open("/dev/null", "rb")\n', {"/dev/null"}),
    "text in the desktop's code page": ('def f(p):\n    open(p)\n    p.read_text()\n    p.write_text("")\n',
                                        {"open without encoding", "read_text without encoding", "write_text without encoding"}),
    "home": ("from pathlib import Path\nPath.home()\n", {"pathlib.Path.home"}),
    "the country": ("import locale\n", {"locale"}),
    "nothing": ('from dataclasses import replace\ndef f(p, x):\n    "a".replace("a", "b")\n    replace(x)\n    open(p, "rb")\n'
                '    p.write_text("", "utf-8")\n    p.read_text("utf-8")\n    open(p, encoding="ascii")\n', set()),
}  # fmt: skip


@pytest.mark.parametrize("case", SEEN, ids=lambda case: case.replace(" ", "-"))
def test_what_is_only_one_systems_is_seen(case: str) -> None:
    text, wanted = SEEN[case]
    assert {what for _, what in found_in(ast.parse(text))} == wanted


def names_in(stub: Path, platform: str) -> set[str]:
    """Return the names that a module of the standard library has on a system, by what is said of it for type checkers."""
    names: set[str] = set()

    def applies(test: ast.expr) -> bool | None:
        if isinstance(test, ast.BoolOp):
            parts = [applies(one) for one in test.values]
            known = [one for one in parts if one is not None]
            if isinstance(test.op, ast.And):
                return False if False in known else None if None in parts else True
            return True if True in known else None if None in parts else False
        if not isinstance(test, ast.Compare) or len(test.comparators) != 1:
            return None
        text, other = ast.unparse(test.left), test.comparators[0]
        if text == "sys.platform" and isinstance(other, ast.Constant):
            return (platform == other.value) is isinstance(test.ops[0], ast.Eq)
        if text == "sys.version_info" and isinstance(other, ast.Tuple):
            newer = sys.version_info[: len(other.elts)] >= ast.literal_eval(other)
            return newer if isinstance(test.ops[0], ast.GtE) else not newer
        return None

    def look(body: list[ast.stmt]) -> None:
        for node in body:
            if isinstance(node, ast.If):
                known = applies(node.test)
                look(node.body if known is not False else [])
                look(node.orelse if known is not True else [])
            elif isinstance(node, ast.FunctionDef | ast.ClassDef):
                names.add(node.name)
            elif isinstance(node, ast.AnnAssign | ast.Assign):
                targets = node.targets if isinstance(node, ast.Assign) else [node.target]
                names.update(target.id for target in targets if isinstance(target, ast.Name))
            elif isinstance(node, ast.ImportFrom):
                names.update(one.asname or one.name for one in node.names)

    look(ast.parse(stub.read_text(encoding="utf-8")).body)
    return names


@pytest.mark.parametrize("module", ["os", "signal", "time", "select"])
def test_the_names_of_one_system_are_those_that_the_standard_library_says(module: str) -> None:
    """Whatever a module has here and not there is on the list, as far as this program could ever come to use it."""
    mypy = pytest.importorskip("mypy")
    folder = Path(mypy.__file__).parent / "typeshed" / "stdlib"
    stub = next(file for file in (folder / module / "__init__.pyi", folder / f"{module}.pyi") if file.exists())
    here, there = names_in(stub, "linux"), names_in(stub, "win32")
    assert ONLY_POSIX[module] & here - there, "the list is of names that are missing there"
    assert not (ONLY_POSIX[module] & here) & there
    assert not ONLY_WINDOWS.get(module, frozenset()) & here
    used = {what.partition(".")[2] for _, what in _attributes_of(module)}
    assert used & here - there <= ONLY_POSIX[module], "used, and missing there"


def _attributes_of(module: str) -> set[tuple[str, str]]:
    """Return (file, module.attribute) wherever the program asks this module for anything."""
    found = set()
    for file in PACKAGE.rglob("*.py"):
        for node in ast.walk(ast.parse(file.read_text(encoding="utf-8"))):
            if isinstance(node, ast.Attribute) and isinstance(node.value, ast.Name) and node.value.id == module:
                found.add((file.name, f"{module}.{node.attr}"))
    return found
