"""The talk of a lesson in the terminal: a line is read, done or refused in words, and the step after it shown."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from sim.command import lesson_instruments, lesson_lines
from sim.command.lesson_lines import FORMS, Act, read_line, whole_in
from sim.refusals import Refusal, Refused
from sim.viewing.plain_names import plain_name

if TYPE_CHECKING:
    from sim.teaching.lesson import LessonRun

WORDS_WANTED = {"predict": 1, "see": 1, "why": 1, "look": 1, "compare": 2, "loupe": 2, "nominate": 1}
MAX_REFUSED = 1000  # a file of nonsense ends some time


@dataclass
class Talk:
    """A lesson under way in the terminal. ``refused`` counts the lines that could not be done."""

    run: LessonRun
    pictures: Path
    refused: int = 0
    ended: bool = False

    def all_lines(self, lines: Iterable[str], echo: bool) -> None:
        """Work through lines until they end or one says finish; a refused line is said in words and passed over."""
        from sim.command.lesson_show import show_step

        show_step(self.run.step)
        for line in lines:
            if echo and line.strip() and not line.lstrip().startswith("#"):
                print(f"> {line.strip()[:200]}")
            self.line(line)
            if self.ended or self.refused >= MAX_REFUSED:
                return

    def line(self, text: str) -> None:
        """Do one line. What is refused, is refused in words and nothing has happened."""

        try:
            act = read_line(text)
            if act is not None:
                self.act(act)
        except Refusal as error:
            self.refused += 1
            print(f"  Not so: {error}")

    def act(self, act: Act) -> None:
        """Do what a line says. Raises ValueError or OutsideError in words."""
        from sim.command.lesson_show import show_step

        if len(act.words) < WORDS_WANTED.get(act.verb, 0):
            raise Refused(f"the line must be like `{FORMS[act.verb]}`, got {' '.join((act.verb, *act.words))[:60]!r}")
        doing: dict[str, Callable[[Act], bool | None]] = {
            "predict": self._predict, "strip": self._paper, "print": self._paper, "play": self._paper, "see": self._see,
            "why": self._why, "hint": self._hint, "look": self._look, "compare": self._compare, "loupe": self._loupe,
            "focuser": self._focuser, "nominate": self._nominate, "note": self._note, "list": self._list, "help": _help,
            "finish": self._finish, "tell": self._tell, "film": self._film, "meter": self._meter,
            "go-on": self._go_on, "again": self._again, "hand-in": self._finish,
        }  # fmt: skip
        if not doing[act.verb](act):
            show_step(self.run.step)

    def _predict(self, act: Act) -> None:
        self.run.predict(act.words[0], " ".join(act.words[1:]))

    def _paper(self, act: Act) -> None:
        from sim.command.lesson_sheets import print_record, strip_record
        from sim.command.lesson_show import write_picture

        if act.verb == "play":
            self.run.play()
        else:
            self.run.make(strip_record(self.run, act) if act.verb == "strip" else print_record(self.run, act))
        path = write_picture(self.run, self.run.made, self.pictures)
        print(f"  Sheet {self.run.made} lies under white light: {path}")

    def _see(self, act: Act) -> None:
        self.run.see(act.words[0], " ".join(act.words[1:]))

    def _why(self, act: Act) -> None:
        self.run.why(act.words[0])

    def _hint(self, act: Act) -> bool:
        print(f"  Hint: {self.run.hint()}")
        return True

    def _look(self, act: Act) -> bool:
        from sim.command.pictures import show_table
        from sim.notebook.advice_words import advice_words

        number = whole_in("look", act.words[0])
        marks, advice = self.run.readings(number)
        rows = [[plain_name(m.place), m.kind, f"{m.measured:.2f}", f"{m.wanted:.2f}", m.unit] for m in marks if not m.missing]
        show_table(f"Sheet {number}", ["place", "kind", "measured", "wanted", "unit"], rows)
        for one in advice:
            print(f"  {advice_words(one, self.run.words)}")
        return True

    def _compare(self, act: Act) -> bool:
        from sim.command.lesson_show import write_comparison
        from sim.notebook.record_words import changes

        a, b = (whole_in("compare", word) for word in act.words[:2])
        for number in (a, b):
            self.run.readings(number)  # refuses what is not there, or was not looked at yet
        sheets = self.run.evening.state.sheets
        words = changes(sheets[a - 1].record, sheets[b - 1].record) or ("nothing was done differently",)
        print(f"  Sheet {a} and sheet {b}: {', '.join(words)}. {write_comparison(self.run, a, b, self.pictures)}")
        return True

    def _loupe(self, act: Act) -> bool:
        lesson_instruments.under_the_loupe(self.run, act, self.pictures)
        return True

    def _focuser(self, act: Act) -> bool:
        from sim.command.lesson_sheets import print_record
        from sim.command.lesson_show import write_through_focuser

        record = print_record(self.run, act)
        print(f"  The grain on the easel: {write_through_focuser(self.run, record, act.one('at'), self.pictures)}")
        return True

    def _nominate(self, act: Act) -> None:
        from sim.command.lesson_show import write_comparison

        self.run.nominate(*(whole_in("nominate", word) for word in act.words))
        for one in () if self.run.exam else self.run.result()[2]:
            path = write_comparison(self.run, one.first, one.second, self.pictures)
            print(f"  Your prints {one.first} and {one.second} side by side: {path}")

    def _tell(self, act: Act) -> bool:
        lesson_instruments.tell(self.run, act)
        return True

    def _film(self, act: Act) -> bool:
        lesson_instruments.light_table(self.run)
        return True

    def _meter(self, act: Act) -> bool:
        lesson_instruments.meter(self.run, act)
        return True

    def _note(self, act: Act) -> bool:
        self.run.evening.note(act.words[0])
        print("  Noted.")
        return True

    def _list(self, act: Act) -> bool:
        from sim.command.lesson_show import show_sheets

        show_sheets(self.run.step)
        return True

    def _finish(self, act: Act) -> bool:
        self.ended = True
        return True

    def _go_on(self, act: Act) -> None:
        self.run.begin()

    def _again(self, act: Act) -> None:
        """Show the step once more."""


def _help(act: Act) -> bool:
    print(lesson_lines.__doc__)
    return True


def typed_lines(talk: Talk) -> Iterator[str]:
    """Yield what is typed at the prompt until the input ends. A bare answer is taken as the answer to the question."""
    while not talk.ended:
        try:
            text = input("tonewright> ")
        except EOFError:
            print()
            return
        yield answer_line(talk, text)


def answer_line(talk: Talk, text: str) -> str:
    """Return a line for a bare answer such as `darker` or `4`; any other text as it is. An empty line goes on."""
    step = talk.run.step
    verb = {"see": "see", "explain": "why", "brief": "predict", "predict": "predict"}.get(step.stage, "")
    word = text.strip().lower()
    if not word:
        return "go-on" if step.stage == "brief" else "again"
    keys = {choice.key for choice in step.choices}
    if verb and (word in keys or (word.isdigit() and f"step-{word}" in keys)):
        return f"{verb} {word}"
    return text
