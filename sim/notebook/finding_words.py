"""What is wrong with an exercise, in words for whoever writes it."""

from __future__ import annotations

from typing import Any

from sim.notebook.lock_words import locked_words
from sim.scoring.checking import Finding
from sim.words import Words

_FINDING_WORDS = {
    "cannot-be-done": "cannot be done: the best print that reach finds earns {share} of the quality",
    "done-at-the-start": "is done at the start: the start record earns {share} of the quality",
    "passes-by-accident": "passes by accident in {share} of random records, allowed are {most}",
    "gate-by-accident": "the skill gate passes by accident in {share} of pairs, allowed are {most}",
    "number-of-records": "{where} must hold {wanted} records (negatives times copies), got {got}",
    "negative": "{where}: negative must be {wanted}, got {got}",
    "moved": "{where}: {moved}",
    "out-of-range": "{where}: {name} must be between {low} and {high}, got {got}",
    "not-full-marks": "the reference does not earn full marks: {lost}",
    "trial-refused": "{where}: {error}",
    "no-advice": "{where}: no advice, {cause} {direction} was expected first",
    "other-advice": "{where}: advice says {told} first, expected {wanted}",
    "unreadable": "{where}: {problem}",
    "public-form": "learners could not open it as they would get it, without what is kept from them: {problem}",
    "gives-the-answer": "{where}: gives the answer for {control}",
}


def finding_words(finding: Finding, words: Words) -> str:
    """Return what is wrong as a sentence that names file or control."""
    what, values = _told(finding, words)
    return words.text(_FINDING_WORDS[what], where=finding.where, **values)


def _told(finding: Finding, words: Words) -> tuple[str, dict[str, object]]:
    """Return which sentence it is, and its values as they are written."""
    values: dict[str, Any] = finding.values
    if finding.what == "moved":
        return finding.what, {"moved": locked_words(values["moved"], words)}
    if finding.what == "not-full-marks":
        lost = [
            words.text("{name} ({measured}, wanted {wanted})", name=mark.name, measured=words.number(mark.measured, 3),
                       wanted=words.number(mark.wanted, 3))
            for mark in values["lost"]
        ]  # fmt: skip
        return finding.what, {"lost": ", ".join(lost)}
    if finding.what == "trial-not-met":
        trial, said = values["trial"], values["said"]
        if said is None:
            return "no-advice", {"cause": trial.cause, "direction": trial.direction}
        told = f"{said[0]} {said[1]} {said[2]:.2f} {said[3]}".strip()
        return "other-advice", {
            "told": told, "wanted": f"{trial.cause} {trial.direction} {trial.size:g} {trial.place}".strip()
        }  # fmt: skip
    decimals = 1 if finding.what == "gate-by-accident" else 0
    written = {key: f"{value:g}" if isinstance(value, float) else value for key, value in values.items()}
    written |= {key: f"{words.number(100 * values[key], 0)}%" for key in ("share", "most") if key in values}
    if "share" in values:
        written["share"] = f"{words.number(100 * values['share'], decimals)}%"
    return finding.what, written
