"""The wet bench: the sheet slides in, comes up, and goes its way to the line. All it shows the tray station answers."""

from __future__ import annotations

from typing import TYPE_CHECKING, ClassVar

from pygame import Rect

from sim.refusals import Refusal
from sim.window.keys_of_every_place import WET_BENCH_KEYS
from sim.window.kit.boxes import cut_bottom, cut_right, cut_top, inset
from sim.window.kit.buttons import PushButton, Toggle
from sim.window.kit.canvas import Canvas
from sim.window.kit.choices import ChoiceRow
from sim.window.kit.events import HANDLED, UNUSED, Outcome, said, warned, went
from sim.window.kit.notes import TextNote
from sim.window.kit.screen import Screen
from sim.window.wet.clocks import draw_baths, draw_clock
from sim.window.wet.tray_view import TrayView
from sim.window.wet.wet_words import CAUTIONS, EXPECTED, GO_ON, HELP, NAMES, expected_words, price_words, ready_words

if TYPE_CHECKING:
    from sim.bench.paper_in_hand import Piece

STAGES = tuple(name for name, _ in NAMES)
FRAMES_PER_S = 12.0  # how often the picture in the developer is made anew
SPEEDS = {"real": 1.0, "x8": 8.0}


class WetBenchScreen(Screen):
    """Trays, clock, and the sheet."""

    NAME = "wet-bench"
    HELP: ClassVar[dict[str, str]] = HELP
    ACTIONS = WET_BENCH_KEYS

    @property
    def LIGHT(self) -> str:  # type: ignore[override]
        """Amber until the white light is switched on."""
        darkroom = self.room.darkroom
        return "white-light" if darkroom is not None and darkroom.white_light else "safelight"

    def build(self) -> None:
        """Make the controls."""
        t = self.room.words.text
        self.expect = self.add(
            ChoiceRow("expect", t("What do you expect?"), [(k, t(w)) for k, w in EXPECTED], "", change=self._expected)
        )
        self.go_on = self.add(PushButton("go-on", t(GO_ON[""]), press=self._go_on, big=True))
        self.skip = self.add(PushButton("skip", t("Skip to the dry print"), press=self._skip))
        speeds = [("real", t("real seconds")), ("x8", t("eight times"))]
        self.speed = self.add(ChoiceRow("speed", t("Clock"), speeds, "real"))
        self.white = self.add(Toggle("white-light", t("White light"), change=self._white_light))
        self.to_lesson = self.add(PushButton("to-lesson", t("To the lesson"), press=lambda: went("lessons")))
        self.to_enlarger = self.add(PushButton("to-enlarger", t("To the enlarger"), press=lambda: went("enlarger")))
        self.words = self.add(TextNote("words", "", "body", shorten=True))
        self.cautions = self.add(TextNote("cautions", t(CAUTIONS), "small", soft=True))
        self.view = TrayView()
        self.baths = self.clock = self.below = Rect(0, 0, 0, 0)  # until the first layout
        self.since_frame_s = 1.0
        self.price = ""
        self.called = ""  # the bath whose time was called out

    # --- where things are ------------------------------------------------------------------------------------------

    def layout(self, area: Rect) -> None:
        """The sink takes what the column at the right leaves over."""
        look = self.room.look
        area = inset(area, look.px(12), look.px(8))
        column, rest = cut_right(area, look.px(300), look.px(16))
        self.baths, self.view.rect = cut_top(rest, look.px(44), look.px(6))
        self.clock, column = cut_top(column, look.px(150), look.px(10))
        self.speed.rect, column = cut_top(column, self.speed.wanted(look)[1], look.px(10))
        self.go_on.rect, column = cut_top(column, self.go_on.wanted(look)[1], look.px(10))
        self.skip.rect, column = cut_top(column, self.skip.wanted(look)[1], look.px(10))
        self.to_enlarger.rect = self.skip.rect
        self.white.rect, column = cut_top(column, self.white.wanted(look)[1], look.px(10))
        self.cautions.rect, column = cut_bottom(column, self.cautions.height_for(look, column.w), look.px(10))
        self.below = column
        self.expect.rect, _ = cut_top(column, self.expect.wanted(look)[1])
        self.to_lesson.rect, _ = cut_top(column, look.px(34))
        self._lay_words()
        self._picture()

    def _lay_words(self) -> None:
        """The words stand under the question, or in its place."""
        above = self.expect if self.expect.visible else self.to_lesson if self.to_lesson.visible else None
        used = above.rect.h + self.room.px(10) if above else 0
        self.words.rect = cut_top(self.below, used)[1]

    def entered(self) -> None:
        """Nothing moves on entering: the sheet is where it was left."""
        self.view.position, self.view.still = float(self._place()), self.room.reduced_motion

    def _place(self) -> int:
        stage = self.room.darkroom.tray.stage
        return min(3, STAGES.index(stage)) if stage else 0

    # --- the darkroom's state --------------------------------------------------------------------------------------

    def refresh(self) -> None:
        """Ask the tray how things stand."""
        if self.room.darkroom is None:
            return
        t, dark = self.room.words.text, self.room.darkroom
        tray, stage = dark.tray, dark.tray.stage
        hand = dark.paper.piece
        start = hand is not None and hand.exposures > 0 and stage in ("", "dry")
        wanted = dark.prediction_wanted() if hand is not None else None
        key = "" if start else stage
        self.go_on.label = t(GO_ON[key])
        if stage == "developer" and tray.seconds < 0.97 * tray.wanted_s:
            self.go_on.label = t("Pull it now")
        self.go_on.enabled = (start or bool(stage)) and not self.room.bench_asked
        self.skip.visible = bool(stage) and stage != "dry"
        self.to_enlarger.visible = not self.skip.visible
        self.skip.enabled = not self.room.bench_asked
        self.white.value = dark.white_light
        lesson = wanted is not None and self.room.lesson is not None
        self.to_lesson.visible = start and lesson
        self.expect.visible = start and not lesson
        committed = dark.prediction if start else None
        self.expect.why_not = t("it is committed for this sheet") if committed else ""
        if committed:
            self.expect.value = committed[0]
        self._ask(hand)
        self.words.text = self._words(start, wanted)
        self._lay_words()
        self._picture()

    def _ask(self, hand: Piece | None) -> None:
        """A sheet: lighter or darker than wanted. A strip: which step will be the right one."""
        t = self.room.words.text
        steps = self.room.darkroom.paper.strip_steps if hand is not None else ()
        if len(steps) >= 2:
            self.expect.label = t("Which step will be right?")
            self.expect.options = [(f"step {n + 1}", str(n + 1)) for n in range(len(steps))]
        else:
            self.expect.label = t("What do you expect?")
            self.expect.options = [(k, t(w)) for k, w in EXPECTED]

    def _words(self, start: bool, wanted: str | None) -> str:
        t, dark = self.room.words.text, self.room.darkroom
        stage = dark.tray.stage
        if start:
            return (wanted or t("Say it before the sheet comes up, if you like.")) + "\n" + self._bath_words()
        if not stage:
            return t("Nothing to develop. Expose a sheet or a strip at the enlarger and bring it here.")
        if stage == "developer":
            return self._bath_words()
        number = dark.tray.number
        said_before = dark.evening.state.said_of("predicted", number - 1) if number else ()
        lines = [expected_words(said_before[-1].choice, said_before[-1].text, t)] if said_before else []
        if self.price:
            lines.append(self.price)
        if stage == "dry" and not dark.white_light:
            lines.append(t("Safelight hides the difference between paper white and a light grey. Judge it in white light."))
        return "\n".join(lines)

    def _bath_words(self) -> str:
        now = self.room.darkroom.desk.now
        return self.room.words.text("Developer at {c} °C.", c=f"{now.temperature_c:g}")

    # --- what one does ---------------------------------------------------------------------------------------------

    def _expected(self, choice: str) -> Outcome:
        self.room.darkroom.predict(choice)
        return said(self.room.words.text("Kept: {what}.", what=self.expect.spoken()))

    def _go_on(self) -> Outcome:
        dark = self.room.darkroom
        stage, hand = dark.tray.stage, dark.paper.piece
        if hand is not None and hand.exposures and stage in ("", "dry"):
            dark.tray.put_in()
            self.called, self.price, self.expect.value = "", "", ""
            self.view.put_in(self.room.reduced_motion)
            return HANDLED
        if stage == "dry":
            dark.tray.clear()
            return went("wall")
        if not stage:
            return warned(self.room.words.text("There is nothing in hand that has had light."))
        if stage == "developer":
            self.room.later(dark.tray.next, lambda _: self._out_of_developer(), self.room.words.text("into the stop"))
            return HANDLED
        dark.tray.next()
        return HANDLED

    def _out_of_developer(self) -> Outcome:
        from sim.bench.lost_black import lost_black

        dark = self.room.darkroom
        self.called = ""
        self.price = price_words(lost_black(dark.wall.record(dark.tray.number)), self.room.words.text)
        return HANDLED

    def _skip(self) -> Outcome:
        tray = self.room.darkroom.tray
        if not tray.stage:
            return UNUSED
        early = tray.stage == "developer"
        self.view.slide = 0.0
        if early:
            self.room.later(tray.finish, lambda _: self._out_of_developer(), self.room.words.text("developing"))
        else:
            tray.finish()
        return HANDLED

    def _white_light(self, on: bool) -> Outcome:
        tray = self.room.darkroom.tray
        if on and tray.stage == "fix" and tray.seconds < tray.wanted_s:
            self.white.value = False
            left = f"{tray.wanted_s - tray.seconds:.0f}"
            return warned(self.room.words.text("It is not fixed yet: white light would fog it. {left} s more.", left=left))
        try:
            self.room.darkroom.switch_white_light(on)
        except Refusal as refusal:
            self.white.value = self.room.darkroom.white_light
            return warned(str(refusal))
        return Outcome(layout=True)

    def act(self, action: str) -> Outcome:
        """Keys do what the controls do."""
        if action == "tray-on":
            return self._go_on() if self.go_on.enabled else UNUSED
        if action == "tray-skip":
            return self._skip() if self.skip.visible and self.skip.enabled else UNUSED
        if action == "tray-speed":
            return self.speed.choose("x8" if self.speed.value == "real" else "real")
        if action == "tray-white-light":
            return self._white_light(not self.room.darkroom.white_light)
        return UNUSED

    # --- time ------------------------------------------------------------------------------------------------------

    def update(self, dt_s: float) -> Outcome:
        """Let the darkroom's clock run, the tray rock and the picture come up."""
        dark = self.room.darkroom
        if dark is None or self.room.bench_asked or dark.evening.hands_off:  # whose time it is runs elsewhere
            return UNUSED
        stage = dark.tray.stage
        moved = self.view.walk(self._place(), dt_s)
        if not stage or stage == "dry":
            return HANDLED if moved else UNUSED
        self.view.rocked(dt_s)
        dark.tray.advance(dt_s * SPEEDS[self.speed.value])
        self.since_frame_s += dt_s
        if stage == "developer" and self.since_frame_s >= 1.0 / FRAMES_PER_S:
            self._picture(anew=True)
        if dark.tray.seconds >= dark.tray.wanted_s > 0 and self.called != stage:
            self.called = stage
            return said(ready_words(stage, self.room.words.text))
        return HANDLED

    def _picture(self, anew: bool = False) -> None:
        self.since_frame_s = 0.0 if anew else self.since_frame_s
        if self.room.darkroom is not None:
            self.view.make(self.room.darkroom, self.room.look, anew)

    # --- drawing ---------------------------------------------------------------------------------------------------

    def draw(self, canvas: Canvas) -> None:
        """Sink or line, the way of the sheet, the clock, the controls."""
        dark = self.room.darkroom
        if dark is not None:
            t, tray = self.room.words.text, dark.tray
            names = [t(name) for _, name in NAMES]
            here = STAGES.index(tray.stage) if tray.stage else -1
            draw_baths(canvas, self.baths, names, here)
            self.view.draw(canvas, dark, names[:4])
            under_way = tray.darkroom_minutes if tray.stage == "developer" else 0.0
            draw_clock(canvas, self.clock, tray, names[here], dark.minutes_left - under_way, t)
        super().draw(canvas)
