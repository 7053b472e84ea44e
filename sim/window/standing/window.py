"""The window: events come in, time passes, a frame is drawn. Nothing here knows a clock; who drives it passes seconds in."""

from __future__ import annotations

import logging
from collections.abc import Callable, Sequence
from dataclasses import replace
from pathlib import Path

from pygame import Rect, Surface

from sim.notebook.exposure_plan import PlannedExposure
from sim.window.hands.dispatch import Dispatcher
from sim.window.hands.thing import Thing
from sim.window.kit.boxes import cut_bottom, cut_top
from sim.window.kit.canvas import Canvas
from sim.window.kit.events import Key, Pointer
from sim.window.kit.look import Look
from sim.window.preferences import Preferences, scale_by_desktop
from sim.window.standing import standing as where
from sim.window.standing.at_the_enlarger import AtTheEnlarger
from sim.window.standing.at_the_shelf import AtTheShelf
from sim.window.standing.at_the_trays import AtTheTrays
from sim.window.standing.at_the_wall import AtTheWall
from sim.window.standing.drawing import Undrawn, Walking, draw_hands, draw_line
from sim.window.standing.glow import draw_edge_glow
from sim.window.standing.keys import usual_key
from sim.window.standing.next_act import draw_rim, next_act
from sim.window.standing.overlay import Overlay
from sim.window.standing.place import Place
from sim.window.standing.room import OneRoom
from sim.window.standing.small import in_room, made_smaller, room_size, scale_for
from sim.window.standing.time_passing import TimePassing
from sim.window.teacher.taking_up import open_lesson
from sim.window.teacher.target import place_of
from sim.window.teacher.task_card import TaskSign
from sim.window.teacher.teacher import Teacher
from sim.window.things.above import HIGH, Above, Corner
from sim.window.things.easel import Easel
from sim.window.things.light_words import light_so_far
from sim.window.things.wall import OnTheWall

FOOT_HIGH = 26
TRAYS = where.ALONG_THE_BENCH.index("trays")


class OneWindow:
    """The room behind glass. It is what the dispatcher asks for things, keys and the foot."""

    def __init__(
        self, folder: Path, preferences: Preferences, size: tuple[int, int], log: logging.Logger,
        desktop: tuple[int, int] | None = None,
    ):  # fmt: skip
        self.room = OneRoom(folder, preferences, log)
        self.glass, self.size, self.desktop = size, room_size(size), desktop or size
        self.leaving, self.full = False, preferences.full
        self.hands = Dispatcher(self, self.room.guarded)
        self.room.put_focus = self.hands.put_focus
        self.room.hand_at = lambda: self.hands.pointer
        self.room.at_trays_word = lambda pos: bool(self.above.words[TRAYS].rect.collidepoint(pos))
        self.above = Above(self.room, self._corners())
        self.places: dict[str, Place] = {"shelf": AtTheShelf(self.room)}
        self.over: Overlay | None = None
        self.teacher = Teacher(self.room, self.find, self._easel, self._wall, self._kept_clear)
        self.time: TimePassing | None = None
        self._walking, self._undrawn = Walking(), Undrawn()
        self._small: Surface | None = None
        self._stirred = True  # whether anything moved in the last moment
        self._stood: tuple[object, ...] | None = None
        self._seen: object = None  # what the last whole frame was drawn from
        self.room.stand(place="shelf")
        self.canvas: Canvas | None = None
        self.lay_out()

    def _corners(self) -> tuple[Corner, ...]:
        """Return the signs at the right of the row above."""
        return (
            TaskSign(self.room), Corner(self.room, "notebook", "✎", self.notebook), Corner(self.room, "help", "?", self.help),
            Corner(self.room, "preferences", "⚙", self.prefer),
        )  # fmt: skip

    @property
    def place(self) -> Place:
        """Where one stands."""
        return self.places[self.room.standing.place]

    @property
    def enlarger(self) -> AtTheEnlarger | None:
        """The enlarger, once there is an evening."""
        found = self.places.get("enlarger")
        return found if isinstance(found, AtTheEnlarger) else None

    def _open_places(self) -> None:
        """An evening was taken up: the places along the bench are there."""
        enlarger = AtTheEnlarger(self.room)
        self.places.update(enlarger=enlarger, trays=AtTheTrays(self.room), wall=AtTheWall(self.room))
        self.time = TimePassing(self.room, enlarger.strip, self._exposed)
        self._evening = self.room.darkroom

    def _exposed(self, dialled_s: float) -> None:
        """The lamp went off: the timer remembers, and it is said what the paper has had."""
        enlarger = self.enlarger
        if enlarger is None:
            return
        piece, now = self.room.darkroom.paper.piece, self.room.darkroom.desk.now
        if piece is not None and piece.kind == "sheet" and not now.opal_sheet:
            enlarger.timer.last = PlannedExposure(dialled_s, now.f_number, now.filtration.name)
        if piece is not None:
            exposures = piece.exposures

            def holds() -> bool:
                now = self.room.darkroom.paper.piece
                return now is not None and now.exposures == exposures and not self.room.burning

            if self.room.darkroom.paper.steps_lost:
                self.room.say("steps lost", holds=holds, warn=True)
                return
            steps = self.room.darkroom.paper.strip_to_come
            if steps is not None:
                self.room.say("step given", holds=holds, n=steps.given, all=len(steps.exposures))
                return
            self.room.say("light so far", holds=holds, light=light_so_far(self.room, piece))

    # --- what the dispatcher asks ----------------------------------------------------------------------------------

    def things(self) -> Sequence[Thing]:
        """Return what can be touched now."""
        if self.over is not None:
            return self.over.things()
        place = [] if self.teacher.hands.busy else self.place.things()
        return [*place, *self.teacher.things(), *self.above.things()]

    def find(self, id: str) -> Rect:
        """Return where a thing stands: here, else what leads to it: the plate below the easel, or the word above."""
        enlarger = self.enlarger
        if id == "trays" and enlarger is not None and self.place is enlarger and enlarger.way_on.shown:
            return enlarger.way_on.rect
        for thing in (*self.place.things(), self.above.cord):
            if thing.id == id and thing.shown:
                return thing.rect
        if place_of(id) == self.room.standing.place:
            return self.place.area
        return self.above.words[where.ALONG_THE_BENCH.index(place_of(id))].rect

    def _easel(self) -> Easel | None:
        return self.enlarger.easel if self.enlarger is not None else None

    def _wall(self) -> OnTheWall | None:
        found = self.places.get("wall")
        return found.wall if isinstance(found, AtTheWall) and not found.compare.way else None

    def line_left(self) -> Rect:
        """Return what of the line at the foot is free: a folded note stands at its right end."""
        folded = self.teacher.folded
        tab = folded.rect.w if folded in self.teacher.things() and self.over is None else 0
        return Rect(self.line.x, self.line.y, self.line.w - tab, self.line.h)

    def _kept_clear(self) -> list[Rect]:
        return self.place.kept_clear()

    def foot(self, key: Key) -> None:
        """The foot comes down, whatever has the focus; while a sheet lies over the room it reaches nothing."""
        if self.over is not None:
            self.room.say("lies over", warn=True, holds=lambda: self.over is not None)
            return
        if self.teacher.hands.busy:
            self.teacher.hands_stop()
            return
        self.place.foot(key)
        self._light_the_lamp()

    def _light_the_lamp(self) -> None:
        enlarger = self.enlarger
        if enlarger is None or self.time is None:
            return
        if enlarger.started:
            enlarger.started = False
            self.time.begin(enlarger.begun)
        if enlarger.stopped:
            enlarger.stopped = False
            self.time.put_out()

    def room_key(self, pressed: Key) -> bool:
        """Keys of the place, then of the room, as somebody chose them."""
        key = usual_key(self.place.id, pressed, self.room.keys)
        if key is None:
            return False
        if self.over is not None:
            if key.name == "escape":
                self.over.close()
                return True
            return self.over.key(key)
        if self.teacher.hands.busy and self.teacher.key(key):
            return True
        return self.place.key(key) or self.teacher.key(key) or self._key(key)

    def _key(self, key: Key) -> bool:
        acts: dict[str, Callable[[], None]] = {
            "pageup": lambda: self.walk(-1), "pagedown": lambda: self.walk(1), "wheel-up": lambda: self.walk(-1),
            "wheel-down": lambda: self.walk(1), "ctrl+left": lambda: self.walk(-1), "ctrl+right": lambda: self.walk(1),
            "left": lambda: self.walk(-1), "right": lambda: self.walk(1), "w": self.above.cord.pressed,
            "ctrl+z": self.above.undo.pressed, "ctrl+y": self.above.redo.pressed, "ctrl+shift+z": self.above.redo.pressed,
            "f": self.fill, "escape": self.unfill, "f1": self.help, "f2": self.notebook, "f3": self.prefer,
            "f4": self.beat, "f11": self.full_screen, "ctrl+q": self.leave,
        }  # fmt: skip
        for n in range(len(where.ALONG_THE_BENCH)):
            acts[f"f{n + 5}"] = self.above.words[n].pressed
            acts[f"alt+{n + 1}"] = self.above.words[n].pressed
        return self.room.does(acts, key)

    def hand_rests(self) -> None:
        """A gesture by wheel or arrows is over: it is one step."""
        self.room.settle()

    def hand_moved(self, at: Pointer) -> None:
        """The hand moves without touching."""
        if self.over is None:
            self.place.hand_moved(at)

    # --- walking and looking ----------------------------------------------------------------------------------------

    def walk(self, steps: int) -> None:
        """Go along the bench."""
        if self.room.standing.place == "shelf" and not self.room.open:
            self.room.say("no evening")
            return
        self.go(self.room.standing.neighbour(steps))

    def go(self, place: where.Place) -> None:
        """Walk to a place. What is being dragged is let go; what burns burns on."""
        here = self.room.standing.place
        if place == here or (place not in self.places):
            return
        self.hands.let_go()
        self.close_over()
        self.place.left()
        order = where.ALONG_THE_BENCH
        way = 1 if order.index(place) > order.index(here) else -1
        seen = None if self.room.preferences.reduced_motion or self.canvas is None else self.canvas.surface.copy()
        self._walking.begin(seen, way)
        self.room.standing = self.room.standing.at(place)
        self.lay_out()
        self.place.entered()
        if self.room.burning and place != "enlarger":
            self.room.say("burns on", holds=lambda: self.room.burning and self.room.standing.place != "enlarger")

    def fill(self) -> None:
        """Let the picture fill the window, or not any more."""
        self.room.stand(whole=not self.room.standing.whole)

    def unfill(self) -> None:
        """Back from a picture that fills the window; else hang up the card."""
        if self.room.standing.whole:
            self.fill()
        else:
            self.room.stand(card=None)
            self.hands.put_focus(None)

    def leave(self) -> None:
        """Leave the room."""
        self.leaving = True

    def open_exercise(self, name: str) -> None:
        """Go to an exercise that was asked for by name or folder."""
        self.room.guarded(lambda: open_lesson(self.room, name))

    def full_screen(self) -> None:
        """Fill the screen, or be a window again; whoever has the window asks."""
        self.full = not self.full
        self.room.prefer(replace(self.room.preferences, full=self.full))

    def let_go(self) -> None:
        """The window lost the keyboard, and with it what hands and foot let go of: nothing is held any more.

        What was dragged stands as before, the card is out of the light, and the foot is off its switch. The timer goes on.
        """
        self.hands.let_go()
        self.hands.foot_up()
        card = self.room.standing.card
        if card is not None and card.over:
            self.room.stand(card=replace(card, over=False))
            if self.room.burning:
                self.room.say("let go", holds=lambda: self.room.burning)

    def beat(self) -> None:
        """Let the counting lamp begin, or end."""
        self.room.stand(beating=not self.room.standing.beating)

    def help(self) -> None:
        """Open help."""
        from sim.window.things.help import HelpSheet

        self.open_over(HelpSheet(self.room, self.place.id))

    def prefer(self) -> None:
        """Open the preferences."""
        from sim.window.things.preferences import PreferencesSheet

        self.open_over(PreferencesSheet(self.room))

    def notebook(self) -> None:
        """Open the notebook."""
        from sim.window.things.notebook import Notebook

        self.room.darkroom  # noqa: B018  refuses in words while no evening is open
        self.open_over(Notebook(self.room))

    def dropped(self, file: Path) -> None:
        """A file was let fall into the window: a scan of a negative of one's own, or readings of paper or enlarger."""
        from sim.window.things.calibrate import TABLES, Calibrate
        from sim.window.things.cupboard import Cupboard
        from sim.window.things.own_scan import OwnScan

        if isinstance(self.over, Calibrate):
            self.over.take(file)
            self.lay_out()
        elif file.suffix.lower() in TABLES:
            self.room.guarded(lambda: self.open_over(Calibrate(self.room, lambda: Cupboard(self.room), file)))
        else:
            self.room.guarded(lambda: self.open_over(OwnScan(self.room, file)))

    def open_over(self, over: Overlay) -> None:
        """Lay a sheet over the room."""
        self.hands.let_go()
        self.hands.put_focus(None)
        self.over, self.room.outside = over, over.outside
        self.lay_out()

    def close_over(self) -> None:
        """Take it away."""
        self.over, self.room.outside = None, False
        self.hands.put_focus(None)

    # --- a frame -----------------------------------------------------------------------------------------------------

    def resize(self, size: tuple[int, int]) -> None:
        """The window has another size."""
        self.glass = (max(1, size[0]), max(1, size[1]))
        self.size, self._small = room_size(self.glass), None
        self.lay_out()

    def lay_out(self) -> None:
        """Let everything stand where it belongs, in the light there is."""
        scale = scale_for(self.room.preferences.scale or scale_by_desktop(self.desktop), self.size)
        if (self.room.look.scale, self.room.look.palette.name) != (scale, self.room.palette):
            self.room.look = Look(scale, self.room.palette)
        top, rest = cut_top(Rect((0, 0), self.size), self.room.px(HIGH))
        self.line, area = cut_bottom(rest, self.room.px(FOOT_HIGH))
        self.above.lay_out(top)
        self.place.lay_out(area)
        self.teacher.lay_out(area)
        if self.over is not None:
            self.over.lay_out(area)

    def handle(self, event: Pointer | Key) -> None:
        """Take one event; things that moved by it stand anew before the next."""
        self.hands.handle(in_room(event, self.glass, self.size))
        self._light_the_lamp()
        self._follow()

    def _follow(self, stirred: bool = True) -> None:
        """Do what things asked for: walk, open an evening, open a drawer; where anything stirred, all stands anew."""
        if self.room.open and (self.enlarger is None or self._evening is not self.room.darkroom):
            self._open_places()
        wanted, self.room.wanted_place = self.room.wanted_place, None
        if wanted is not None:
            self.go(wanted)
        opened = None if self.hands.writing else self.room.wanted_over  # a box waits until the writing is done
        if opened is not None:
            self.room.wanted_over = None
        if opened is not None:
            self.room.guarded(lambda: self._lay_over(opened()))
        if self.over is not None and self.over.closed:
            self.close_over()
        if stirred and not self._only_a_card_moves():
            self.lay_out()

    def _lay_over(self, made: object) -> None:
        if isinstance(made, Overlay):
            self.open_over(made)
        else:
            self.close_over()

    def update(self, dt_s: float) -> bool:
        """Let time pass; returns whether anything is to be drawn anew."""
        self.hands.update(dt_s)
        moved = self.room.messages.update(dt_s)
        follow = self.room.work.finished()
        if follow is not None:
            moved = self.room.guarded(follow) or True
        if self.time is not None:
            moved = self._pass(self.time, dt_s) or moved
        there: list[bool] = []
        self.room.guarded(lambda: there.append(self.teacher.update(dt_s)))
        self._follow(moved or any(there) or self._stirs())
        looked = self.over if self.over is not None else self.place
        self.room.guarded(lambda: there.append(looked.update(dt_s)))
        moved = self._walking.update(dt_s) or moved
        told = self.hands.told() is not None
        self._stirred = moved or any(there) or (told and self.hands.still_s < 1.0)
        return self._stirred

    def _stirs(self) -> bool:
        """Tell whether something may stand elsewhere: it moved a moment ago, or room, desk or preferences are others."""
        room = self.room
        stood = (room.standing, room.preferences, room.darkroom.kept if room.open else None, room.look, self.over)
        same = self._stood is not None and all(one is other for one, other in zip(stood, self._stood))
        self._stood = stood
        return self._stirred or not same or room.wanted_place is not None or room.wanted_over is not None

    def _pass(self, time: TimePassing, dt_s: float) -> bool:
        enlarger = self.enlarger
        poses = enlarger.easel.poses() if enlarger is not None and self.room.standing.place == "enlarger" else ()
        went: list[bool] = []
        self.room.guarded(lambda: went.append(time.update(dt_s, poses)))
        return any(went)

    def _only_a_card_moves(self) -> bool:
        """Tell whether the lamp burns before one's eyes and all else is as in the last whole frame."""
        return self._seen is not None and self._seen == self._sight()

    def _sight(self) -> object:
        """Return everything that a frame of the burning lamp is drawn from, but for what moves in the light."""
        room, hands = self.room, self.hands
        if not room.burning or room.standing.place != "enlarger" or self.over is not None or self._walking.under_way:
            return None
        still = replace(room.standing, card=None)
        bath = int(room.darkroom.tray.seconds) if room.darkroom.tray.stage else -1
        held = room.standing.card.card if room.standing.card is not None else None
        noted = [(thing.id, tuple(thing.rect)) for thing in self.teacher.things()]
        return (self.size, id(room.look), room.messages.now, still, bath, held, noted, id(hands.over), id(hands.focus),
                hands.focus_shown, hands.told() is None, room.work.busy, room.darkroom.kept.hand)  # fmt: skip

    def draw(self, surface: Surface) -> Canvas:
        """Draw one frame; nothing but the surface changes. While only a card moves in the light, only that is drawn."""
        if self.glass == self.size:
            return self._draw(surface)
        if self._small is None:
            self._small = Surface(self.size)
        canvas = self._draw(self._small)
        made_smaller(self._small, surface)
        return canvas

    def _draw(self, surface: Surface) -> Canvas:
        enlarger = self.enlarger
        if self.canvas is not None and self.canvas.surface is surface and self._only_a_card_moves() and enlarger is not None:
            moving = Canvas(surface, self.room.look)
            self.dirty = enlarger.draw_in_the_light(moving)
            surface.set_clip(enlarger.easel.rect)
            self.teacher.draw(moving)
            surface.set_clip(None)
            return self.canvas
        self.dirty = None
        canvas = Canvas(surface, self.room.look)
        surface.fill(canvas.look.colour("ground"))
        self._undrawn.draw(canvas, self.room, self.place)
        if self.over is None:
            self.teacher.draw(canvas)
        self._walking.draw(surface)
        draw_edge_glow(canvas, self.room, self.place.area)
        self.above.draw(canvas)
        self._draw_next(canvas)
        draw_line(canvas, self.room, self.hands, self.line_left())
        if self.over is None:
            self.teacher.draw_above(canvas)
        if self.over is not None:
            canvas.layer = "over"
            self.over.draw(canvas)
        canvas.layer = "told"
        draw_hands(canvas, self.room, self.hands, self.things())
        for thing in self.things():
            if thing.shown:
                canvas.hit(thing.id, thing.rect)
        self.canvas, self._seen = canvas, self._sight()
        return canvas

    def _draw_next(self, canvas: Canvas) -> None:
        """Towards a first print the thing that comes next has a rim of light."""
        wanted = next_act(self.room) if self.over is None and not self._walking.under_way else ""
        for thing in (*self.place.things(), *self.above.things()) if wanted else ():
            if thing.id == wanted and thing.shown:
                draw_rim(canvas, thing.rect)

    dirty: list[Rect] | None = None  # what the last frame drew anew; None: all of it

    def close(self) -> None:
        """Leave: a lamp that burns is switched off, and what the paper had by then is on record."""
        self.hands.let_go()
        if self.time is not None:
            self.room.guarded(self.time.put_out)
        self.room.close()
