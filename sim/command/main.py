"""The command ``tonewright``: finds the verb, opens its door late, turns refusals into words and exit codes.

Exit codes: 0 done, 1 done but with findings (a check failed, a goal not reached), 2 refused (bad input, in words).
"""

from __future__ import annotations

import argparse
import errno
import importlib
import os
import sys
from collections.abc import Iterator, Sequence
from contextlib import contextmanager, nullcontext
from typing import TYPE_CHECKING, NoReturn

from sim.plain_text import one_line, plain_output
from sim.refusals import Refusal

if TYPE_CHECKING:
    from sim.words import Words

OPTION = "--language"
VERBS: dict[str, str] = {
    "window": "open the darkroom on the screen; this is also what `tonewright` alone does",
    "demo": "develop two negatives of the pottery workshop and print them: strip, straight print, split print with a card",
    "print": "make a print from a printing record, or from settings given here",
    "strip": "lay a test strip and read it",
    "ring": "make a ring-around: small prints with less and more light behind softer and harder filters",
    "loupe": "look at any point of a print through a loupe, or of the picture on the easel through a grain focuser",
    "meter": "read the light on the easel, and the time that keeps a tone when filter, aperture or height changes",
    "paper": "show what a paper can do: curves, ISO range and speed behind every filter",
    "head": "tell what the lamp of a head gives: light and colour at a voltage, at a current, a moment after the switch",
    "reach": "find the best print of a negative, or what stops it",
    "check": "tell whether an exercise is sound: marks of its reference, what passes, what its advice says",
    "derive": "work out again what lessons and sleeves claim: references, targets, trials, numbers; or check them",
    "sleeves": "list the negatives in the file and what each one teaches",
    "calibrate": "your own paper and enlarger, from strips of a step wedge, grey patches or one print that was right",
    "times": "tables of seconds by stops, for exposures, dodging and burning",
    "proof": "a proof sheet: all frames of a roll printed alike, at the least time for full black through clear film",
    "scan": "turn a scan of your own negative into one that can be printed here",
    "generate": "make the scenes, grain and figures again, or check them",
    "lesson": "work a lesson in the terminal; alone, list the lessons, how far you are, and what comes next",
    "drill": "a short drill on one decision: read a strip, choose a filter, say a burn",
    "progress": "what has been met so far, the learning curve, and what comes next",
    "submit": "hand an evening in as one file",
    "author": "begin an exercise of your own from a negative and a few answers",
    "assign": "make one bundle per learner and exercise of a course, with a negative of the learner's own",
    "mark": "mark a folder of handed-in evenings: gradebook, pages for learners, a page for whoever teaches",
    "map": "draw the printing map of a record: a page for a real darkroom",
    "reprint": "make a record again for another size, paper or negative",
    "schema": "print the JSON schema of a printing record",
}


class Parser(argparse.ArgumentParser):
    """A parser that refuses in one line, as everything else here does, in the language that is spoken."""

    words: Words | None = None

    def error(self, message: str) -> NoReturn:
        """Say what is wrong and where help is; exit code 2."""
        said = f"{self.prog}: {one_line(message)} (see {self.prog} --help)"
        self.exit(2, (self.words.said(said) if self.words is not None else said) + "\n")

    def format_help(self) -> str:
        """Return the help, its first word in the language."""
        text, usage = super().format_help(), "usage: "
        return self.words.said(usage) + text.removeprefix(usage) if self.words is not None else text


def build_parser(verb: str | None) -> argparse.ArgumentParser:
    """Return the parser; only the verb asked for is imported, so that --help comes at once."""
    parser = Parser(
        prog="tonewright",
        description="A teaching darkroom: print difficult negatives by hand, without burning paper.",
        epilog="Run `tonewright VERB --help` for the options of one verb.",
    )
    parser.add_argument("--version", action="store_true", help="print the version and stop")
    parser.add_argument(
        "--language", metavar="LANGUAGE", help="say everything in this language, such as de (default: en)"
    )
    verbs = parser.add_subparsers(dest="verb", metavar="VERB")
    for name, what in VERBS.items():
        sub = verbs.add_parser(name, help=what, description=what[0].upper() + what[1:] + ".")
        sub.set_defaults(parser=sub)
        if name == verb:
            module = importlib.import_module(f"sim.command.{name}_verb")
            module.add_options(sub)
            sub.set_defaults(run=module.run)
    return parser


def main(arguments: Sequence[str] | None = None) -> int:
    """Run the command line; return the exit code."""
    words = list(sys.argv[1:] if arguments is None else arguments)
    for stream in (sys.stdout, sys.stderr):
        if hasattr(stream, "reconfigure"):  # a narrow code page must not end a verb that has done its work
            stream.reconfigure(errors="backslashreplace")
    if not words:
        words = ["window"]
    if not any(word.startswith(OPTION) for word in words):
        return _with(None, words or ["window"])
    from sim.command.in_language import language_in
    from sim.words import Words

    try:
        language, words = language_in(words)
    except Refusal as error:
        print(f"tonewright: {one_line(str(error))}", file=sys.stderr)
        return 2
    return _with(Words(language), words or ["window"])


def _with(spoken_in: Words | None, words: list[str]) -> int:
    """Run a verb, in a language where one was asked for."""
    verb = next((word for word in words if not word.startswith("-")), None)
    parser = build_parser(verb if verb in VERBS else None)
    if spoken_in is not None:
        from sim.command.in_language import speak

        speak(parser, spoken_in)
    Parser.words = spoken_in
    options, unknown = parser.parse_known_args(words)
    options.language = spoken_in.language if spoken_in is not None else ""
    if unknown:
        (options.parser if options.verb else parser).error(f"unrecognized arguments: {' '.join(unknown)}")
    if options.version:
        from sim.version import VERSION

        print(f"tonewright {VERSION}")
        return 0
    if options.verb is None:
        parser.print_help()
        return 0
    with plain_output(), _spoken(spoken_in, options):
        return _run(options)


@contextmanager
def _spoken(spoken_in: Words | None, options: argparse.Namespace) -> Iterator[None]:
    """Say what is printed, and write pages, in a language; data for machines stays as it is."""
    if spoken_in is None:
        yield
        return
    from sim.command.in_language import spoken
    from sim.words_page import pages_in

    data = getattr(options, "json", False) or options.verb == "schema"
    with pages_in(spoken_in), nullcontext() if data else spoken(spoken_in):
        yield


def _run(options: argparse.Namespace) -> int:
    """Run a verb; refusals become one line on stderr and exit code 2, anything else is a fault of ours and is shown."""
    from sim.command.output_places import folders_to_make, say_made

    to_make = folders_to_make(options)
    try:
        code: int = options.run(options)
        sys.stdout.flush()
        return code
    except (Refusal, OSError) as error:
        if _nobody_reads_on(error):
            os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
            return 141
        print(f"tonewright {options.verb}: {_in_words(error)}", file=sys.stderr)
        return 2
    except KeyboardInterrupt:
        print("stopped", file=sys.stderr)
        return 130
    finally:
        say_made(to_make)


def _nobody_reads_on(error: Exception) -> bool:
    """Tell whether whoever reads our output has seen enough, as with ``| head``; one system calls that a wrong argument."""
    bare = isinstance(error, OSError) and error.filename is None
    return isinstance(error, BrokenPipeError) or (bare and sys.platform == "win32" and error.errno == errno.EINVAL)


def _in_words(error: Exception) -> str:
    from pydantic import ValidationError

    from sim.reading import problems_of

    words = "; ".join(map(str, problems_of(error))) if isinstance(error, ValidationError) else str(error)
    if isinstance(error, OSError) and error.filename:
        words = f"{error.filename}: {error.strerror}"
    return one_line(words)


if __name__ == "__main__":
    sys.exit(main())
