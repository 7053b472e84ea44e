"""What advice is made of: facts, codes and numbers; ``sim/notebook/advice_words.py`` says them in a language."""

from __future__ import annotations

from dataclasses import dataclass

UNIT_OF_CAUSE = {
    "exposure": "stops", "local": "stops", "contrast": "filter grades", "sharpness": "contrast at 5 lp/mm", "size": "mm",
    "evenness": "density", "match": "density", "development": "share of completion", "economy": "sheets", "time": "stops",
    "place": "density", "hand": "density", "flash": "shares of what the paper bears unseen",
    "pair": "density", "paper": "papers",
}  # fmt: skip
CAUSES_OF_HANDS = ("place", "hand")


@dataclass(frozen=True)
class Evidence:
    """A reading that shows a cause: a place's density and how far off it is (+ too dark), or how far two places lie apart.

    ``then``: so it would read once all else that was found is put right; on this print something else hides it.
    """

    places: tuple[str, ...]
    read: float
    off: float
    then: bool = False


@dataclass(frozen=True)
class Advice:
    """One cause: what the print needs (``direction``), by how much, where, and how many points hang on it.

    ``exposure`` names the soft or the hard one where the causes of two are told apart. ``amount`` says, signed and in
    ``amount_unit``, by how much the control is off where that is not the size itself (stage in mm, width as a ratio,
    aperture in stops, a card against the usual one). ``evidence`` is what shows it; ``after_others``: no reading of this print
    does until the other causes are put right. ``measured`` and ``wanted`` are those of a set-up, a time, the paper used, or a
    card's trace. Of a hand ``over`` is the place where the card lay or that it reaches over, ``tool`` what was held; of a
    place's own light what worked there already, empty where nothing did.
    ``negative`` and ``copy`` count from 1; ``prints`` are the numbers of the prints it speaks of where there are several, and
    ``film`` the negative they are of where there are several of those.
    """

    cause: str
    direction: str
    size: float
    unit: str
    place: str = ""
    loss_points: float = 0.0
    exposure: str = ""
    amount: float = 0.0
    amount_unit: str = ""
    evidence: tuple[Evidence, ...] = ()
    after_others: bool = False
    measured: float = 0.0
    wanted: float = 0.0
    over: str = ""
    tool: str = ""
    negative: int = 1
    copy: int = 1
    prints: tuple[int, ...] = ()
    film: str = ""
