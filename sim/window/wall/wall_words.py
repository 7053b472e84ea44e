"""The words of the viewing wall."""

from __future__ import annotations

HELP = {
    "place": (
        "The viewing wall, in neutral light of a stated strength. It stands outside the darkroom's door: its "
        "light is no danger to paper. Point at a print to read its density."
    ),
    "look-at": (
        "What to look at: the prints, how two differ, the paper's curve, the whole way of the tones, or soft "
        "beside hard."
    ),
    "sheets": "Every piece of paper of the evening. A pin marks those that hang on the wall; four hang at most.",
    "pin": "Pins the chosen sheet to the wall, or takes it down. All hang at the same scale.",
    "nominate": (
        "Names the sheet that counts, or takes its name away again. It can be changed until the evening is "
        "handed in."
    ),
    "prints": (
        "The wall. Arrow keys move the densitometer (with Shift in large steps), End takes it to the same "
        "spot of the next print, the wheel zooms."
    ),
    "light": (
        "How strong the viewing light is: 500 lux for practical appraisal, 2000 lux for critical comparison "
        "(levels of ISO 3664). A print that looks right under the strong lamp looks dark at home. Paper white"
        " is as bright as this screen can be from 500 lux on: under the strong lamp read the lights with the "
        "densitometer."
    ),
    "zoom": "How near you stand. All prints on the wall are shown at the same place and scale.",
    "wet": "The sheets as they look wet. A print dries down: its lights go a little darker.",
    "steps": (
        "The steps of this strip: seconds, stops from the first, and the density in the middle of each. "
        "Choosing one lays the densitometer on it."
    ),
    "places": (
        "The named places of the negative. The one chosen is ringed in the diagram; in the four quadrants its"
        " whole way is drawn."
    ),
    "soft-step": "The step of the soft strip whose lights are right.",
    "hard-step": (
        "The step of the hard strip whose blacks are right. A hard strip laid over the chosen soft exposure "
        "shows it best."
    ),
    "use-plan": "Takes both exposures to the enlarger as the plan for the next sheet.",
}

VIEWS = (
    ("prints", "Prints"), ("difference", "Difference"), ("curve", "Paper curve"), ("chain", "Scene to print"),
    ("split", "Soft + hard"),
)  # fmt: skip

SPLIT_WORDS = (
    "Read the soft strip in the lights, the hard strip in the blacks. Over a whole sheet the two together equal one filter "
    "between them; what the pair gives is each end set on its own."
)
