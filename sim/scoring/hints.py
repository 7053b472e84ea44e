"""The texts of an exercise: the brief in short steps with its pictures, and hints in three levels."""

from __future__ import annotations

import re
from dataclasses import dataclass
from pathlib import Path

from sim.reading import Problem, read_text
from sim.refusals import refuse_any
from sim.scoring.derived import filled

MAX_TEXT_BYTES = 64 * 1024
HINT_LEVELS = ("look at", "principle", "neighbouring case")
MOST_WORDS_A_STEP = 60
MOST_WORDS = 260
_PICTURE = re.compile(r"!\[([^\]]*)\]\(([^)\s]+)\)")
_LANGUAGE = re.compile(r"[a-z]{2,3}(-[A-Za-z0-9]{2,8})*")
_STEP = re.compile(r"^\d+\.\s+")


@dataclass(frozen=True)
class Picture:
    """A picture in the brief: its caption, its file, and the step (0-based) it stands at."""

    caption: str
    file: Path
    step: int


@dataclass(frozen=True)
class Brief:
    """What the learner reads: a title, short steps, pictures."""

    title: str
    steps: tuple[str, ...]
    pictures: tuple[Picture, ...] = ()

    @property
    def words(self) -> int:
        """Words of all steps together."""
        return sum(len(step.split()) for step in self.steps)


def text_file(folder: Path, name: str, language: str = "") -> Path:
    """Return the file of a text in a language (``brief.de.md``) where one stands, else the English one (``brief.md``)."""
    told = folder / f"{name}.{language}.md"
    return told if _LANGUAGE.fullmatch(language) and told.is_file() else folder / f"{name}.md"


def brief_of(folder: Path, language: str = "") -> Brief:
    """Return the brief of an exercise's folder, in a language if it stands there in it.

    Raises OutsideError when it is missing, has no title or a step too long.
    """
    file = text_file(folder, "brief", language)
    lines = filled(file, read_text(file, MAX_TEXT_BYTES)).splitlines()
    title = next((line[2:].strip() for line in lines if line.startswith("# ")), "")
    steps, pictures = _steps(file, lines)
    brief = Brief(title, tuple(steps), tuple(pictures))
    problems = [] if title else [Problem("title", "the brief must begin with `# title`", "none")]
    if not steps:
        problems.append(Problem("steps", "the brief must have numbered steps", "none"))
    for number, step in enumerate(steps, start=1):
        if len(step.split()) > MOST_WORDS_A_STEP:
            rule = f"a step must have at most {MOST_WORDS_A_STEP} words"
            problems.append(Problem(f"step {number}", rule, f"{len(step.split())}"))
    if brief.words > MOST_WORDS:
        problems.append(Problem("steps", f"all steps together must have at most {MOST_WORDS} words", f"{brief.words}"))
    refuse_any(file, problems)
    return brief


def texts_in(folder: Path, language: str) -> dict[str, str]:
    """Return what brief and hints of an exercise are in a language: each English text with its other one.

    An exercise of one's own may have no hints.
    """
    english, told = brief_of(folder), brief_of(folder, language)
    pairs = [*zip(english.steps, told.steps, strict=False)] if len(english.steps) == len(told.steps) else []
    pairs.append((english.title, told.title))
    if text_file(folder, "hints").is_file():
        pairs += zip(hints_of(folder), hints_of(folder, language), strict=True)
    return {source: text for source, text in pairs if source != text}


def _steps(file: Path, lines: list[str]) -> tuple[list[str], list[Picture]]:
    """Return numbered steps with their continuation lines joined, and the pictures among them."""
    steps: list[str] = []
    pictures = []
    for line in lines:
        for caption, path in _PICTURE.findall(line):
            pictures.append(Picture(caption, (file.parent / path).resolve(), max(len(steps) - 1, 0)))
        text = _PICTURE.sub("", line).strip()
        if not text or text.startswith("#"):
            continue
        if _STEP.match(text):
            steps.append(_STEP.sub("", text))
        elif steps:
            steps[-1] = f"{steps[-1]} {text}"
    return steps, pictures


def hints_of(folder: Path, language: str = "") -> tuple[str, str, str]:
    """Return the three hints: what to look at, which principle, a neighbouring case. Raises OutsideError if one is missing."""
    file = text_file(folder, "hints", language)
    sections: dict[str, list[str]] = {}
    current: list[str] | None = None
    for line in filled(file, read_text(file, MAX_TEXT_BYTES)).splitlines():
        if line.startswith("## "):
            current = sections.setdefault(line[3:].strip().lower(), [])
        elif current is not None and not line.startswith("# "):
            current.append(line)
    texts = {level: "\n".join(sections.get(level, [])).strip() for level in HINT_LEVELS}
    problems = [Problem(f"## {level}", "is required and missing or empty", "") for level in HINT_LEVELS if not texts[level]]
    problems += [
        Problem(f"## {name}", f"must be one of {', '.join(HINT_LEVELS)}", "") for name in sections if name not in HINT_LEVELS
    ]
    refuse_any(file, problems)
    return texts[HINT_LEVELS[0]], texts[HINT_LEVELS[1]], texts[HINT_LEVELS[2]]
