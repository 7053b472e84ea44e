"""The words of the wet bench: helps, cautions, and what a sheet's time in the developer cost."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from sim.bench.lost_black import LostBlack

Words = Callable[..., str]
SEEN_IN_BLACKS = 0.03  # a smaller loss is below half a step of L* in the blacks and is not spoken of

HELP = {
    "place": (
        "The wet side. Slide the exposed sheet in, watch it come up, and see it through stop, fix and wash to"
        " the line."
    ),
    "go-on": (
        "The next thing to do with the sheet: into the developer, out of it into the stop, and on to the "
        "line. Out of the developer it is written into the evening."
    ),
    "skip": "Leaves the sheet in every bath for its time and hangs it up. The evening's clock moves on by as much.",
    "speed": (
        "How fast the clock of the darkroom runs. The sheet gets the seconds that this clock shows, whatever "
        "the speed."
    ),
    "white-light": "The room's white light. It stays off while paper that is not fixed is out: it would fog it.",
    "expect": "What you expect of this sheet, before it comes up. It is kept with the evening and costs nothing.",
    "to-lesson": "The lesson asks for your prediction before the paper is developed. It is made in the lesson.",
    "to-enlarger": "Back to the dry side, to expose a sheet or a strip.",
}

CAUTIONS = (
    "Gloves or tongs for every bath, fresh air across the trays. Keep to the maker's safety sheet and the rules of your own "
    "darkroom. Dry hands before any switch."
)

NAMES = (("developer", "Developer"), ("stop", "Stop"), ("fix", "Fix"), ("wash", "Wash"), ("dry", "Line"))

GO_ON = {
    "": "Slide it into the developer", "developer": "Lift it into the stop", "stop": "On into the fix",
    "fix": "On into the wash", "wash": "Hang it on the line", "dry": "Pin it to the wall",
}  # fmt: skip

EXPECTED = (("lighter", "lighter"), ("right", "as wanted"), ("darker", "darker"))


def ready_words(stage: str, t: Words) -> str:
    """Return what is said when a bath has had its time."""
    return {
        "developer": t("The developer has had its time."),
        "stop": t("Stopped. On into the fix."),
        "fix": t("Fixed. White light may go on."),
        "wash": t("Rinsed. It can hang on the line."),
    }.get(stage, "")


def price_words(price: LostBlack, t: Words) -> str:
    """Return what a sheet's time in the developer cost, as lost black; nothing when it cost nothing that can be seen."""
    if price.lost < SEEN_IN_BLACKS:
        return ""
    return t(
        "Out after {had} s where this developer needs {wanted} s. Blackest black {black}; developed out, this paper "
        "gives {full}. {lost} of black is missing, and no exposure brings it back.",
        had=f"{price.time_s:.0f}", wanted=f"{price.wanted_s:.0f}", black=f"{price.black:.2f}",
        full=f"{price.developed_out:.2f}", lost=f"{price.lost:.2f}",
    )  # fmt: skip


def expected_words(choice: str, text: str, t: Words) -> str:
    """Return the prediction as it was committed."""
    said = {"lighter": t("lighter than wanted"), "right": t("as wanted"), "darker": t("darker than wanted")}.get(choice, choice)
    return t("You expected it {what}.", what=said) if choice in ("lighter", "right", "darker") else t(
        "You expected: {what}", what=", ".join(filter(None, (said, text)))
    )  # fmt: skip
