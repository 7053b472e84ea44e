"""The easel under the lens: the picture that falls on it, the paper in it, and the hands over it."""

from __future__ import annotations

from dataclasses import replace
from typing import Literal

from pygame import Rect

from sim.bench.piece import Piece as PaperPiece
from sim.bench.tools import CardPose
from sim.refusals import Refusal, Refused
from sim.window.hands.drags import Drag
from sim.window.hands.thing import Cursor, Gesture
from sim.window.kit.canvas import Canvas
from sim.window.kit.events import Pointer
from sim.window.standing.room import OneRoom
from sim.window.things import easel_drawing as drawing
from sim.window.things.card_drawing import draw_card, draw_line_of_scissors
from sim.window.things.cards import USUAL_HEIGHT_MM, CardInHand, CutCard, cut_round, taken
from sim.window.things.easel_picture import EaselPicture
from sim.window.things.easel_plan import EaselPlan, Piece, easel_plan
from sim.window.things.in_room import InRoom
from sim.window.things.strip_meant import covered_part, slot_over

NUDGE_MM, FINE_MM = 2.0, 0.5
CARRY_MM, CARRY_FINE_MM = 5.0, 1.0  # loupe and meter by arrows
LIFT_MM, TURN_DEG = 10.0, 10.0  # one notch of the wheel


class Easel(InRoom):
    """Drag the picture to shift it, a strip to lay it elsewhere; a card in the hand follows the pointer."""

    large = True

    def __init__(self, room: OneRoom):
        super().__init__(room, "easel")
        self.picture = EaselPicture()
        self.plan: EaselPlan = easel_plan(Rect(0, 0, 100, 100), (100.0, 100.0))
        self.marks: tuple[tuple[str, float, float], ...] = ()  # a strip's steps: words and where, mm on the easel
        self.marks_meant = False
        self.covered: tuple[float, float] | None = None  # share and direction
        self.slot: tuple[float, float] | None = None  # direction and share of a slot over the piece's middle
        self.cutting: list[tuple[float, float]] | None = None  # the scissors' line, mm on the easel
        self.cut: CutCard | None = None
        self.board = Rect(0, 0, 0, 0)  # what the easel lies on: a card in the hand is seen as far as it goes

    def lay_out(self, area: Rect) -> None:
        """Lie as large as the sheet's shape allows."""
        now = self.room.darkroom.desk.now
        self.plan = easel_plan(area, (now.sheet_width_mm, now.sheet_height_mm))
        self.rect = self.plan.view

    def poses(self) -> tuple[CardPose, ...]:
        """What stands in the light."""
        card = self.held()
        return card.poses if card is not None else ()

    def held(self) -> CardInHand | None:
        """Return the card in the hand; none while a burn's base exposure is given, in which hands wait beside the light."""
        waits = self.room.burning and self.room.darkroom.paper.hands_wait
        return None if waits else self.room.standing.card

    def update(self, dt_s: float) -> bool:
        """Look at the easel again where something was moved."""
        darkroom = self.room.darkroom
        return self.picture.update(darkroom, self.plan, self.poses() if darkroom.easel.lit else (), dt_s)

    def now(self) -> str:
        """Which negative and paper, and how large the picture is."""
        desk = self.room.darkroom.desk
        wide, high = desk.image_size_mm
        return self.room.line("picture size", wide=f"{wide:.0f}", high=f"{high:.0f}", times=f"{desk.magnification:.2g}")

    def cursor_at(self, pos: tuple[int, int]) -> Cursor:
        """A card hides the pointer's own shape; paper and picture are dragged."""
        return "cross" if self.cutting is not None or self.room.standing.card is not None else "any-way"

    def follow(self, at: Pointer) -> None:
        """Move the card in the hand with the pointer; beside the board the hand is out of the light."""
        card = self.room.standing.card
        if card is None or self.cutting is not None:
            return
        if self.rect.inflate(self.rect.w // 3, self.rect.h // 3).collidepoint(at.pos):
            self.room.stand(card=card.at(*self.plan.to_mm(at.pos)))
        elif card.over:
            self.room.stand(card=replace(card, over=False))

    def press(self, at: Pointer) -> Gesture | None:
        """Scissors draw, a card follows, a strip or the picture is dragged."""
        if self.cutting is not None:
            self.cutting.clear()
            return _Cutting(self)
        if self.room.standing.card is not None:
            return None
        piece = self.room.darkroom.paper.piece
        if piece is not None and piece.kind == "strip" and self._on(piece, at):
            return self._drag_strip(piece, at)
        if piece is not None and piece.kind == "sheet" and piece.exposures and not self.room.burning and self._on(piece, at):
            return self._drag_exposed(at)
        return self._drag_picture(at)

    def _on(self, piece: PaperPiece, at: Pointer) -> bool:
        return bool(self.plan.rect_px(piece.x_mm, piece.y_mm, piece.width_mm, piece.height_mm).collidepoint(at.pos))

    def _drag_strip(self, piece: PaperPiece, start: Pointer) -> Gesture:
        paper, scale = self.room.darkroom.paper, self.plan.px_per_mm
        x, y = piece.x_mm + piece.width_mm / 2, piece.y_mm + piece.height_mm / 2

        def move(dx: int, dy: int, _: Pointer) -> None:
            paper.place(x + dx / scale, y + dy / scale)

        def done() -> None:
            if self.room.at_trays_word(drag.at):
                paper.place(x, y)
                self._carry()

        drag = Drag(start, move, done, None, lambda: paper.place(x, y))
        return drag

    def _carry(self) -> None:
        """Take the paper over to the trays, where it is in the hand."""
        self.room.wanted_place = "trays"
        self.room.messages.done()

    def _drag_exposed(self, start: Pointer) -> Gesture:
        """A sheet with light on it is not shifted any more; it can be carried to the trays."""

        def done() -> None:
            if not self.room.at_trays_word(drag.at):
                raise Refused(self.room.line("sheet lies"))
            self._carry()

        drag = Drag(start, lambda dx, dy, _: None, done)
        return drag

    def _drag_picture(self, start: Pointer) -> Gesture:
        desk, scale = self.room.darkroom.desk, self.plan.px_per_mm
        stood = desk.now.image_shift_x_mm, desk.now.image_shift_y_mm

        def move(dx: int, dy: int, _: Pointer) -> None:
            desk.set("image_shift_x_mm", round(stood[0] + dx / scale, 1), settle=False)
            desk.set("image_shift_y_mm", round(stood[1] + dy / scale, 1), settle=False)

        def back() -> None:
            desk.set("image_shift_x_mm", stood[0], settle=False)
            desk.set("image_shift_y_mm", stood[1])

        return Drag(start, move, desk.settle, None, back)

    def turned(self, steps: int, fine: bool) -> bool:
        """The wheel lifts the card in the hand, with Shift it turns it."""
        card = self.room.standing.card
        if card is None:
            return False
        self.room.stand(card=card.turned(steps * TURN_DEG) if fine else card.raised(steps * LIFT_MM))
        return True

    def nudged(self, right: int, down: int, fine: bool) -> bool:
        """Arrows move what is in the hand, else the strip, else the picture."""
        room, step = self.room, FINE_MM if fine else NUDGE_MM
        card, piece, desk = room.standing.card, room.darkroom.paper.piece, room.darkroom.desk
        if card is not None:
            room.stand(card=card.at(card.x_mm + right * step, card.y_mm + down * step))
        elif piece is not None and piece.kind == "strip":
            middle = piece.x_mm + piece.width_mm / 2, piece.y_mm + piece.height_mm / 2
            room.darkroom.paper.place(middle[0] + right * step, middle[1] + down * step)
        else:
            for name, way in (("image_shift_x_mm", right), ("image_shift_y_mm", down)):
                if way:
                    desk.set(name, round(getattr(desk.now, name) + way * step, 1), settle=False)
        return True

    def shadow_scale(self, card_height_mm: float) -> float:
        """Return how much larger a card's shadow is than the card; held above the lens it throws none, and looks as it is."""
        desk = self.room.darkroom.desk
        try:
            return desk.card_optics(desk.now.f_number).shadow_scale(card_height_mm)
        except Refusal:
            return 1.0

    def finish_cut(self) -> None:
        """Cut a card along the line that was drawn; it is in the hand at once."""
        points, self.cutting = self.cutting or [], None
        self.cut, middle = cut_round(points, self.shadow_scale(USUAL_HEIGHT_MM), 1)
        self.room.stand(card=taken(self.cut, *middle))

    def draw(self, canvas: Canvas) -> None:
        """Draw the easel, what falls on the board around it, and what is seen in it."""
        if self.room.darkroom.easel.lit:
            drawing.draw_stray_light(canvas, self.plan, self.room.darkroom.desk.now.red_filter)
        drawing.draw_frame(canvas, self.plan)
        self.draw_view(canvas)

    def draw_view(self, canvas: Canvas) -> None:
        """Draw light or paper, blades, steps and cards, from below to above."""
        darkroom, plan = self.room.darkroom, self.plan
        border, piece, lit = darkroom.desk.now.border_mm, darkroom.paper.piece, darkroom.easel.lit
        if lit and self.picture.surface is not None:
            canvas.surface.blit(self.picture.surface, plan.view)
            drawing.draw_blades(canvas, plan, border, lit=True)
        else:
            drawing.draw_unlit(canvas, plan, border)
        if piece is not None:
            self._draw_piece(canvas, piece, border, lit)
        if not lit:
            drawing.draw_rulers(canvas, plan)
        before = canvas.surface.get_clip()
        canvas.surface.set_clip(plan.view)
        card = self.held()
        if card is not None and card.over:
            board = plan.view if lit or self.board.w < plan.view.w else self.board
            canvas.surface.set_clip(board)
            draw_card(canvas, plan, board, card, self.shadow_scale(card.card_height_mm), lit)
            canvas.surface.set_clip(plan.view)
        if self.cutting:
            draw_line_of_scissors(canvas, [plan.to_px(*point) for point in self.cutting])
        canvas.surface.set_clip(before)

    def _draw_piece(self, canvas: Canvas, piece: PaperPiece, border: float, lit: bool) -> None:
        flat: Piece = (piece.x_mm, piece.y_mm, piece.width_mm, piece.height_mm)
        rect = self.plan.rect_px(*flat)
        if not lit:
            drawing.draw_paper(canvas, rect)
            if piece.kind == "sheet":
                drawing.draw_blades(canvas, self.plan, border)
                rect = self.plan.rect_px(border, border, piece.width_mm - 2 * border, piece.height_mm - 2 * border)
            if piece.exposures:
                drawing.draw_folded_corner(canvas, rect)
        if piece.kind == "strip":
            drawing.draw_piece_edge(canvas, rect)
            if self.slot is not None:
                drawing.draw_slot(canvas, [self.plan.to_px(*corner) for corner in slot_over(flat, *self.slot)])
            if self.covered is not None and self.covered[0] > 0.0:
                corners = covered_part(flat, self.covered[1], self.covered[0])
                drawing.draw_cover(canvas, [self.plan.to_px(*corner) for corner in corners])
            drawing.draw_steps(canvas, self.plan, flat, self.marks, self.marks_meant)


class OnTheEasel(InRoom):
    """What is carried from its shelf onto the easel and back; the room keeps where it stands (mm)."""

    cursor = "grab"

    def __init__(self, room: OneRoom, easel: Easel, id: Literal["loupe", "meter"]):
        super().__init__(room, id)
        self._easel, self._where = easel, f"{id}_mm"
        self._key: object = None  # what it was last looked at for

    @property
    def at_mm(self) -> tuple[float, float] | None:
        """Where it stands on the easel; None on its shelf."""
        at: tuple[float, float] | None = getattr(self.room.standing, self._where)
        return at

    @property
    def down(self) -> bool:
        """Whether it stands on the easel."""
        return self.at_mm is not None

    def stand(self, at_mm: tuple[float, float] | None) -> None:
        """Set it down at a point of the easel, or put it away."""
        self.room.stand(**{self._where: at_mm})

    def in_the_middle(self) -> tuple[float, float]:
        """Return where it is set down when nobody says where."""
        now = self.room.darkroom.desk.now
        return now.sheet_width_mm / 2, now.sheet_height_mm / 2

    def press(self, at: Pointer) -> Gesture | None:
        """Carry it; beside the easel it is put away."""

        return Drag(at, lambda dx, dy, now: self.carry(now.pos), lambda: None, self.pressed)

    def carry(self, pos: tuple[int, int]) -> None:
        """Stand where the hand is; beside the easel it is put away."""
        self.stand(self._easel.plan.to_mm(pos) if self._easel.rect.collidepoint(pos) else None)

    def nudged(self, right: int, down: int, fine: bool) -> bool:
        """Arrows move it."""
        at, step = self.at_mm, CARRY_FINE_MM if fine else CARRY_MM
        if at is not None:
            self.stand((at[0] + right * step, at[1] + down * step))
        return at is not None


class _Cutting:
    """Drawing round what is to be held back."""

    def __init__(self, easel: Easel):
        self._easel = easel

    def move(self, at: Pointer) -> None:
        """The line goes on."""
        if self._easel.cutting is not None:
            self._easel.cutting.append(self._easel.plan.to_mm(at.pos))

    def drop(self, at: Pointer) -> None:
        """The card is cut."""
        self._easel.finish_cut()

    def cancel(self) -> None:
        """Nothing was cut."""
        self._easel.cutting = None
