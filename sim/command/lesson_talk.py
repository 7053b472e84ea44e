"""The talk of a lesson in the terminal: a line is read, done or refused in words, and the step after it shown."""

from __future__ import annotations

import sys
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from pathlib import Path

from sim.command import lesson_lines
from sim.command.in_language import know_on, tell_whole
from sim.command.lesson_instruments import light_table, meter, ruler, show_wet, tell, under_the_loupe
from sim.command.lesson_lines import FORMS, Act, read_line, whole_in
from sim.command.lesson_sheets import print_record, strip_record
from sim.command.lesson_show import (
    show_read,
    show_sheets,
    show_step,
    show_task,
    write_comparison,
    write_picture,
    write_through_focuser,
)
from sim.evening.evening_state import FRESH_DEVELOPER_L, POURING_S
from sim.notebook.advice_words import advice_words
from sim.notebook.record_words import changes
from sim.refusals import Refusal, Refused
from sim.scoring.hints import texts_in
from sim.teaching.lesson import LessonRun
from sim.teaching.lesson_texts import litres_in_words

WORDS_WANTED = {"predict": 1, "see": 1, "why": 1, "look": 1, "compare": 2, "loupe": 2, "nominate": 1}
LOOKING = ("hint", "look", "compare", "loupe", "focuser", "tell", "task", "ruler", "film", "meter", "note", "list", "help",
           "finish", "hand-in")  # fmt: skip
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
        know_on(sys.stdout, lambda language: texts_in(self.run.folder, language))
        show_step(self.run.step, self.run)
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
        """Do what a line says. Raises Refused or OutsideError in words."""
        if len(act.words) < WORDS_WANTED.get(act.verb, 0):
            raise Refused(f"the line must be like `{FORMS[act.verb]}`, got {' '.join((act.verb, *act.words))[:60]!r}")
        if act.verb in LOOKING:
            self._look(act)
        else:
            self._work(act)
            show_step(self.run.step, self.run)

    def _work(self, act: Act) -> None:
        """Do what brings the lesson on."""
        match act.verb:
            case "predict":
                self.run.predict(lesson_lines.with_point(act.words[0]), " ".join(act.words[1:]))
            case "strip" | "print" | "play":
                self._paper(act)
            case "pour":
                self.run.pour()
                print(f"  {litres_in_words(FRESH_DEVELOPER_L)} of fresh developer stands in the tray; mixing took "
                      f"{POURING_S / 60:g} minutes. The tired bath goes where local rules say.")  # fmt: skip
            case "see":
                self.run.see(act.words[0], " ".join(act.words[1:]))
            case "why":
                self.run.why(act.words[0])
            case "nominate":
                self._nominate(act)
            case "go-on":
                self.run.begin()

    def _look(self, act: Act) -> None:
        """Do what shows, tells or notes something and leaves the lesson where it stands."""
        match act.verb:
            case "hint":
                print(f"  Hint: {self.run.hint()}")
            case "look":
                number = whole_in("look", act.words[0])
                self._read(number)
                if act.words[1:] == ("wet",):
                    show_wet(self.run, number)
                elif len(act.words) > 1:
                    raise Refused(f"look takes a sheet's number and if wanted wet, got {' '.join(act.words)[:60]!r}")
            case "compare":
                self._compare(act)
            case "loupe":
                under_the_loupe(self.run, act, self.pictures)
            case "focuser":
                seen = write_through_focuser(self.run, print_record(self.run, act), act.one("at"), self.pictures)
                print(f"  The grain on the easel: {seen}")
            case "tell":
                tell(self.run, act)
            case "task":
                show_task(self.run)
            case "ruler":
                ruler(self.run, print_record(self.run, act))
            case "film":
                light_table(self.run)
            case "meter":
                meter(self.run, act)
            case "note":
                self.run.evening.note(act.words[0])
                print("  Noted.")
            case "list":
                show_sheets(self.run.step)
            case "help":
                tell_whole(sys.stdout, lesson_lines.LINES)
            case "finish" | "hand-in":
                self.ended = True

    def _paper(self, act: Act) -> None:
        if act.verb == "play":
            self.run.play()
        else:
            self.run.make(strip_record(self.run, act) if act.verb == "strip" else print_record(self.run, act))
        path = write_picture(self.run, self.run.made, self.pictures)
        print(f"  Sheet {self.run.made} lies under white light: {path}")

    def _read(self, number: int) -> None:
        marks, advice = self.run.readings(number)
        show_read(f"Sheet {number}", marks, self.run)
        for one in advice:
            print(f"  {advice_words(one, self.run.words)}")

    def _compare(self, act: Act) -> None:
        a, b = (whole_in("compare", word) for word in act.words[:2])
        for number in (a, b):
            self.run.readings(number)  # refuses what is not there, or was not looked at yet
        sheets = self.run.evening.state.sheets
        words = changes(sheets[a - 1].record, sheets[b - 1].record) or ("nothing was done differently",)
        print(f"  Sheet {a} and sheet {b}: {', '.join(words)}. {write_comparison(self.run, a, b, self.pictures)}")

    def _nominate(self, act: Act) -> None:
        self.run.nominate(*(whole_in("nominate", word) for word in act.words))
        for one in () if self.run.exam else self.run.result()[2]:
            path = write_comparison(self.run, one.first, one.second, self.pictures)
            print(f"  Your prints {one.first} and {one.second} side by side: {path}")


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
