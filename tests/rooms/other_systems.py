"""Finds what only one family of systems knows, or what means something else elsewhere, in a module's source."""

from __future__ import annotations

import ast
from collections.abc import Iterator
from pathlib import Path


# Modules and names that the standard library says are there on one family of systems only (typeshed's words, checked where
# it is installed: test_other_systems.py).
def _words(text: str) -> frozenset[str]:
    return frozenset(text.split())


ONLY_POSIX_MODULES = _words("fcntl resource pwd grp termios tty pty posix syslog readline curses crypt spwd nis")
ONLY_WINDOWS_MODULES = _words("msvcrt winreg winsound _winapi nt")
ONLY_POSIX = {
    "os": _words(
        """O_NONBLOCK O_DIRECTORY O_NOFOLLOW O_CLOEXEC O_SYNC O_DSYNC O_NOCTTY O_TMPFILE O_PATH O_ASYNC O_DIRECT O_NOATIME
        WNOHANG fork forkpty register_at_fork wait wait3 wait4 killpg setsid setpgid getpgid getpgrp getsid setuid setgid
        setgroups getuid geteuid getgid getegid getgroups getpriority setpriority nice chown fchown lchown chroot mkfifo mknod
        pread pwrite preadv pwritev readv writev sendfile fdatasync sync lockf statvfs fstatvfs pathconf sysconf confstr
        uname getloadavg sched_getaffinity sched_setaffinity sched_yield openpty ttyname tcgetpgrp tcsetpgrp ctermid
        posix_fallocate posix_fadvise posix_spawn getxattr setxattr listxattr memfd_create eventfd initgroups"""
    ),
    "signal": _words(
        """SIGKILL SIGALRM SIGHUP SIGQUIT SIGUSR1 SIGUSR2 SIGCHLD SIGPIPE SIGSTOP SIGCONT SIGTSTP SIGVTALRM SIGPROF SIGWINCH
        SIGXCPU ITIMER_REAL ITIMER_VIRTUAL ITIMER_PROF setitimer getitimer alarm pause pthread_kill pthread_sigmask sigwait
        sigpending siginterrupt sigtimedwait"""
    ),
    "time": _words("tzset clock_settime clock_gettime pthread_getcpuclockid"),
    "select": _words("poll epoll kqueue"),
    "socket": _words("AF_UNIX sethostname"),
}
ONLY_WINDOWS = {"os": _words("O_BINARY startfile add_dll_directory"), "ctypes": _words("windll WinDLL oledll")}

# There everywhere, and not the same everywhere.
OTHERWISE = {
    "os": _words("""fsync replace rename link symlink unlink remove kill chmod name sep altsep open ftruncate dup2 devnull
                 access umask"""),
    "os.path": _words("samefile samestat normcase expanduser"),
    "sys": _words("platform getwindowsversion executable"),
    "signal": _words("signal"),
    "ctypes": _words("pythonapi CDLL"),
    "multiprocessing": _words("get_context set_start_method"),
    "pathlib.Path": _words("home"),
}
OTHERWISE_MODULES = frozenset({"locale", "platform", "subprocess"})
METHODS = _words("chmod symlink_to hardlink_to rename samefile expanduser owner unlink")
ROOTS = ("/proc", "/dev", "/tmp", "/etc", "/var", "/usr", "/sys", "C:\\")
TEXT_CALLS = frozenset({"read_text", "write_text"})


def found_in(tree: ast.AST) -> Iterator[tuple[int, str]]:
    """Yield (line, what) of every call and name that is only one system's, or another thing on another."""
    called = _names_of_modules(tree)
    for node in ast.walk(tree):
        if isinstance(node, ast.Import):
            yield from ((node.lineno, one.name) for one in node.names if one.name.partition(".")[0] in _MODULES)
        elif isinstance(node, ast.ImportFrom) and node.module and not node.level:
            yield from ((node.lineno, f"{node.module}.{one.name}") for one in node.names if _is_listed(node.module, one.name))
            if node.module.partition(".")[0] in _MODULES:
                yield node.lineno, node.module
        elif isinstance(node, ast.Attribute):
            module = called.get(_dotted(node.value), "")
            yield from [(node.lineno, f"{module}.{node.attr}")] if _is_listed(module, node.attr) else []
        elif isinstance(node, ast.Constant) and isinstance(node.value, str) and node.value.startswith(ROOTS):
            yield node.lineno, node.value
        elif isinstance(node, ast.Call):
            yield from _of_a_call(node, called)


def _of_a_call(node: ast.Call, called: dict[str, str]) -> Iterator[tuple[int, str]]:
    """Yield names asked for by ``getattr`` and ``hasattr``, methods of paths, and text without its encoding."""
    name = node.func.id if isinstance(node.func, ast.Name) else node.func.attr if isinstance(node.func, ast.Attribute) else ""
    if name in ("getattr", "hasattr") and len(node.args) > 1 and isinstance(node.args[1], ast.Constant):
        module, attribute = called.get(_dotted(node.args[0]), ""), str(node.args[1].value)
        if _is_listed(module, attribute):
            yield node.lineno, f"{module}.{attribute}"
    method = isinstance(node.func, ast.Attribute)
    owner = _dotted(node.func.value) if isinstance(node.func, ast.Attribute) else ""
    moved = name == "replace" and len(node.args) == 1 and not node.keywords  # a text's own takes two words
    if method and owner not in called and (name in METHODS or moved):
        yield node.lineno, f".{name}"
    if _opens_text(node, name, method) and "encoding" not in {word.arg for word in node.keywords}:
        yield node.lineno, f"{name} without encoding"


def _opens_text(node: ast.Call, name: str, method: bool) -> bool:
    if method and name in TEXT_CALLS:  # the encoding is the first argument of one and the second of the other
        return len(node.args) < 1 + (name == "write_text")
    if method or name != "open":
        return False
    mode = node.args[1] if len(node.args) > 1 else next((word.value for word in node.keywords if word.arg == "mode"), None)
    return not (isinstance(mode, ast.Constant) and "b" in str(mode.value))


_MODULES = ONLY_POSIX_MODULES | ONLY_WINDOWS_MODULES | OTHERWISE_MODULES


def _is_listed(module: str, name: str) -> bool:
    return any(name in table.get(module, ()) for table in (ONLY_POSIX, ONLY_WINDOWS, OTHERWISE))


def _dotted(node: ast.AST) -> str:
    if isinstance(node, ast.Name):
        return node.id
    return f"{_dotted(node.value)}.{node.attr}" if isinstance(node, ast.Attribute) else ""


def _names_of_modules(tree: ast.AST) -> dict[str, str]:
    """Return what a module is called in this source -> what it is."""
    known = {*ONLY_POSIX, *ONLY_WINDOWS, *OTHERWISE}
    found = {}
    for node in ast.walk(tree):
        if isinstance(node, ast.Import):
            found |= {one.asname or one.name: one.name for one in node.names if one.name in known}
        elif isinstance(node, ast.ImportFrom) and node.module:
            found |= {one.asname or one.name: whole for one in node.names if (whole := f"{node.module}.{one.name}") in known}
    return found | ({f"{name}.path": "os.path" for name, whole in found.items() if whole == "os"})


def calls_of(package: Path) -> set[tuple[str, str]]:
    """Return (file, what) over a package."""
    return {
        (file.relative_to(package).as_posix(), what)
        for file in sorted(package.rglob("*.py")) for _, what in found_in(ast.parse(file.read_text(encoding="utf-8")))
    }  # fmt: skip
