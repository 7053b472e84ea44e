"""One start worked at the terminal: the first sheet with its faults, the words, the reader's next sheets, the mark."""

from __future__ import annotations

import json
import random
import re
import shutil
import subprocess
import sys
import tempfile
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from tests.readers import judging
from tests.readers.evening_file import with_hand
from tests.readers.lessons_from import Lesson, Settings, hands_of, line_for
from tests.readers.starts import Start, needs_card
from tests.readers.terminal import Terminal

FURTHER = 4
READ_OFF = ("filter", "half", "halves", "exposure only", "anywhere", "aperture", "old time")


class Reader:
    """A reader in a process of its own; it gets JSON and gives JSON, and could import nothing of the program."""

    def __init__(self, file: Path) -> None:
        self.process = subprocess.Popen(
            [sys.executable, "-E", "-S", "-B", str(file)], cwd=tempfile.gettempdir(), stdin=subprocess.PIPE,
            stdout=subprocess.PIPE, text=True, env={},
        )  # fmt: skip

    def ask(self, question: dict[str, Any]) -> dict[str, Any]:
        """Return the answer."""
        assert self.process.stdin is not None
        assert self.process.stdout is not None
        print(json.dumps(question), file=self.process.stdin, flush=True)
        answer: dict[str, Any] = json.loads(self.process.stdout.readline())
        return answer

    def close(self) -> None:
        """Let the reader go."""
        assert self.process.stdin is not None
        assert self.process.stdout is not None
        self.process.stdin.close()
        self.process.wait(timeout=30)
        self.process.stdout.close()


@dataclass
class Outcome:
    """How a start went."""

    start: Start
    at_once: bool = False
    passed: bool = False
    further: int = 0
    first_right: bool = False
    first_named_hand: bool = False
    contradictions: list[str] = field(default_factory=list)
    refused: list[str] = field(default_factory=list)
    not_offered: bool = False
    better_sheet: int = 0
    fault: str = ""
    story: list[str] = field(default_factory=list)


class Evening:
    """An evening at the terminal, from the brief to the sheet that counts."""

    def __init__(self, terminal: Terminal, lesson: Lesson, start: Start, rng: random.Random, folder: Path) -> None:
        self.terminal, self.lesson, self.start, self.rng = terminal, lesson, start, rng
        self.folder, self.log = folder, folder / "evening.jsonl"
        self.outcome = Outcome(start)
        self.sheets: dict[str, int] = {}
        self.explained = ""
        self.made = 0
        self.screen = self._open(self.log)
        self.screen = self.terminal.type("go-on")

    def _open(self, log: Path) -> str:
        return self.terminal.command(
            "lesson", self.lesson.name, "--mode", "solo", "--learner", "k01", "--keep", str(self.folder / "kept"),
            "--log", str(log), "--pictures", str(self.folder / "prints"),
        )  # fmt: skip

    def type(self, line: str) -> str:
        """Type a line and keep it, with what it showed, for the story."""
        self.screen = self.terminal.type(line)
        self.outcome.story += [f"> {line}", self.screen]
        return self.screen

    def _choices(self, verb: str) -> list[tuple[str, str]]:
        return re.findall(rf"^    {verb} (\S+(?: s)?)\s+(.+)$", self.screen, re.M)

    def sheets_left(self) -> float:
        """Return how much paper the screen says is left."""
        found = re.findall(r"([\d.]+) sheets? and", self.screen)
        return float(found[-1]) if found else 1.0

    def make(self, key: str, settings: Settings, first: bool) -> str:
        """Make one print so, look at it, say why, and return what `look` shows; "" where it is refused."""
        if "Not so" in self.type("predict darker"):
            choices = self._choices("predict")
            self.type(f"predict {choices[0][0].replace('8.5 s', '8.5s') if choices else '8.5s'}")
        if "Not so" in self.type(line_for(settings, self.lesson)):
            self.outcome.fault = self.screen.strip()
            return ""
        self.made += 1
        hands = hands_of(settings, self.lesson)
        if hands:
            self.terminal.type("finish")
            with_hand(self.log, hands)
            self.outcome.story.append(f"# in the evening's file: the cards were held so: {hands}")
            self.screen = self._open(self.log)
        self.sheets[key] = self.made
        self._see(first and (not self.start.at or key == self.start.at))
        return self.type(f"look {self.made}")

    def _see(self, telling: bool) -> None:
        """Answer what is seen and why: truly where the planted fault decides it."""
        choices = self._choices("see")
        truth = self._seen_truly(choices) if telling else ""
        if choices and "refuse" not in self.outcome.fault:
            answer = truth or choices[0][0]
            if judging.refused(self._line_of(self.type(f"see {answer}"), "you saw")) and truth:
                self.outcome.refused.append(f"see {answer}: {self._line_of(self.screen, 'you saw')}")
        self.explained = self.screen
        choices = self._choices("why")
        if not choices:
            return
        faults = self.start.faults + (
            judging.read_off(judging.rows_of(self.explained)) if drawn_at_large(self.start) else []
        )
        truth = judging.true_answer(choices, faults) if telling else ""
        if telling and not truth:
            self.outcome.not_offered = True
        shown = self.type(f"why {truth or choices[0][0]}")
        if truth and judging.refused(shown):
            self.outcome.refused.append(f"why {truth}: {self._line_of(shown, 'look again')}")

    def _line_of(self, screen: str, words: str) -> str:
        return next((line.strip() for line in screen.splitlines() if words in line.lower()), "")

    def _seen_truly(self, choices: list[tuple[str, str]]) -> str:
        """Return what is surely seen: a single fault that moves the asked place one way only."""
        kind = self.start.kind
        ways = {fault["way"] for fault in self.start.faults}
        if kind == "time":
            wanted = "darker" if "less" in ways else "lighter"
        elif kind == "filter":
            wanted = "harder" if "softer" in ways else "softer"
        elif kind in ("held too long", "held too short", "no card"):
            fault = self.start.faults[0]
            place = fault["place"].replace("-", " ")
            if not any(words.startswith(f"{place}:") for _, words in choices):
                return ""
            wanted = "darker" if fault["way"] == "less-light" else "lighter"
        else:
            return ""
        return next((key for key, _ in choices if key == wanted), "")

    def nominate(self, *choices: list[int], last: bool = False) -> list[tuple[bool, str]]:
        """Return whether each choice of sheets passes, by the program's mark in a copy of the evening, and its words."""
        if self.terminal.running:
            self.terminal.type("finish")
        copy = self.folder / f"copy-{len(list(self.folder.glob('copy-*.jsonl')))}.jsonl"
        shutil.copy(self.log, copy)
        self._open(copy)
        said = [self.terminal.type(f"nominate {' '.join(map(str, sheets))}") for sheets in choices]
        self.terminal.type("finish")
        if not last:
            self.screen = self._open(self.log)
        return [("(passed)" in shown, shown) for shown in said]


def work(evening: Evening, reader: Reader, further: int = FURTHER) -> Outcome:
    """Work one start to its end; with no further sheets, only the first words are judged."""
    start, outcome, lesson = evening.start, evening.outcome, evening.lesson
    places = sorted({place for names in lesson.places.values() for place in names})
    reader.ask({"begin": {"places": places, "controls": lesson.controls, "fixed": lesson.fixed}})
    now, words, together, todo = dict(start.prints), dict[str, str](), "", dict(start.prints)
    for rounds in range(further + 1):
        for key, settings in todo.items():
            words[key] = evening.make(key, settings, rounds == 0)
            now[key] = settings
            if not words[key]:
                return finished(evening)
        outcome.further = rounds
        if len(now) > 1:
            ((outcome.passed, together),) = evening.nominate([evening.sheets[key] for key in now])
            outcome.at_once |= rounds == 0 and outcome.passed
        told = [{"key": k, "settings": one, "words": words[k], "sheet": evening.sheets[k]} for k, one in now.items()]
        answer = reader.ask({"prints": told, "together": together})
        if rounds == 0:
            first_words(evening, reader, answer, together)
            silent = not any(answer["heard"].values())
            if len(now) == 1 and (silent or (needs_card(start.kind) and further)):
                ((outcome.at_once, _),) = evening.nominate([1])
        for heard in answer["heard"].values():
            outcome.contradictions += judging.contradictions(heard)
        todo = {key: one for key, one in answer["settings"].items() if one is not None}
        if outcome.at_once or outcome.passed or not todo or evening.sheets_left() < len(todo):
            break
    if further:
        last_words(evening, answer, now)
    return finished(evening)


def finished(evening: Evening) -> Outcome:
    """Leave the lesson."""
    if evening.terminal.running:
        evening.terminal.type("finish")
    return evening.outcome


def first_words(evening: Evening, reader: Reader, answer: dict[str, Any], marks: str) -> None:
    """Judge the first line of the first sheet; of several prints, the first line of the marks, which must say which print."""
    start, outcome = evening.start, evening.outcome
    faults = list(start.faults)
    at = start.at or next(iter(start.prints))
    if drawn_at_large(start):
        faults += judging.read_off(judging.rows_of(evening.explained))
    heard = answer["heard"][at]
    if len(start.prints) > 1:
        said = [line for line in marks.splitlines() if not re.match(r"\s*(?:Quality|Economy|Marks):", line)]
        heard = reader.ask({"judge": "\n".join(said)})["heard"]
    first = judging.first_line(heard)
    outcome.first_right = any(judging.true_of(one, faults) for one in first)
    if len(start.prints) > 1 and start.at and first:
        outcome.first_right &= names_print(first[0]["line"], start)
    outcome.first_named_hand = any(one["cause"] in judging.HAND for one in first)


def drawn_at_large(start: Start) -> bool:
    """Tell whether a fault of this kind moves light and scale together, so that the print itself must say which is off."""
    return any(word in start.kind for word in READ_OFF)


def names_print(line: str, start: Start) -> bool:
    """Tell whether a line says which of several prints it speaks of."""
    negatives = {one["negative"] for one in start.prints.values()}
    name = start.prints[start.at]["negative"].replace("-", " ")
    if len(negatives) > 1 and name in line.lower().replace("-", " "):
        return True
    return re.search(rf"\b(?:print|sheet|copy|number|no\.?) {start.at}\b", line.lower()) is not None


def last_words(evening: Evening, answer: dict[str, Any], now: dict[str, Settings]) -> None:
    """Name the sheet that counts; where it fails, see whether another would have passed."""
    outcome = evening.outcome
    if outcome.passed or len(now) > 1:
        return
    chosen = next(iter(answer["nominate"].values()))
    if outcome.at_once:
        return
    ((outcome.passed, shown),) = evening.nominate([chosen], last=True)
    outcome.at_once = outcome.passed and chosen == 1
    outcome.story += [f"> nominate {chosen}", shown]
    others = [[sheet] for sheet in range(1, evening.made + 1) if sheet != chosen]
    if not outcome.passed and others:
        good = [
            sheets[0]
            for sheets, (passed, _) in zip(others, evening.nominate(*others, last=True), strict=True)
            if passed
        ]
        outcome.better_sheet = good[0] if good else 0
