"""What each kind of criterion asks for, in words, beside its mark."""

from __future__ import annotations

from sim.words import Words

KIND_WORDS = {
    "tone": "density at this place",
    "at-least": "at least so dark",
    "at-most": "at most so dark",
    "may-go-white": "may go white",
    "may-go-black": "may go black",
    "separation": "apart from each other",
    "black": "a full black",
    "white": "a clean white",
    "sharp": "sharp under the loupe",
    "even": "no edge of a card to be seen",
    "size": "size of the image",
    "time-window": "time within a window",
    "each-time": "time for a hand in every exposure",
    "developed": "the developer's full time",
    "on-paper": "on the paper that is asked for",
    "match-sheet": "like your earlier sheet",
    "match-series": "alike in the series",
    "match-print": "like the print shown",
}


def kind_words(kind: str, words: Words) -> str:
    """Return what a kind of criterion asks for; the kind itself where it is of another version's making."""
    return words.text(KIND_WORDS.get(kind, kind))
