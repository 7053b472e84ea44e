"""What goes on by itself wherever one stands: the lamp burns, the sheet lies in its bath. Only seconds passed in count."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from sim.bench.tools import CardPose
from sim.window.standing.room import OneRoom
from sim.window.things.strip_card import StripCard
from sim.window.things.trays import clock

LAST_S = 3  # counted down aloud
FAST = 8.0  # how much faster the wet side's clock may run than a real one
BEAT_LIT = 0.3  # share of a beat for which the counting lamp is lit
LONGEST_STEP_S = 0.25  # a window that stood still for a moment lets no more light fall than this at once


class TimePassing:
    """The lamp and the trays between two frames."""

    def __init__(self, room: OneRoom, strip: StripCard, exposed: Callable[[float], None]):
        self._room, self._strip, self._exposed = room, strip, exposed
        self.dialled_s = 0.0
        self._second = -1
        self._beat_s = 0.0

    def begin(self, dialled_s: float) -> None:
        """The lamp went on."""
        self.dialled_s, self._second = dialled_s, -1
        self._room.sounds.play("relay")

    def update(self, dt_s: float, poses: Sequence[CardPose]) -> bool:
        """Let the light fall and the bath work; returns whether anything goes on."""
        if not self._room.open:
            return False
        step_s = min(LONGEST_STEP_S, max(0.0, dt_s))
        wet = self._bathe(step_s)
        wet = self._count_aloud(step_s) or wet
        if not self._room.burning:
            return wet
        self._burn(step_s, poses)
        return True

    def _burn(self, step_s: float, poses: Sequence[CardPose]) -> None:
        """Let the lamp burn, the covering card drawn on at its very moment where it goes by itself."""
        paper = self._room.darkroom.paper
        while step_s > 0.0 and paper.exposing:
            part = step_s
            drawn = paper.being_covered
            if drawn is not None and not drawn.whole and not self._strip.meant.by_hand:
                part = min(step_s, max(0.0, self._strip.next_s() - paper.elapsed_s))
            going_on = paper.advance(part, tuple(poses))
            step_s -= part
            if going_on and self._strip.due(paper.elapsed_s):
                paper.cover_next_step()
                self._room.sounds.play("tongs")
            if not going_on:
                self._over()
                return
        self._count()

    def _count(self) -> None:
        """A second that is over is heard; the last three are heard otherwise."""
        paper = self._room.darkroom.paper
        second = int(paper.elapsed_s)
        if second != self._second:
            self._second = second
            self._room.sounds.play("last" if paper.left_s <= LAST_S else "tick")

    def _count_aloud(self, step_s: float) -> bool:
        """Let the counting lamp go on and off; returns whether it changed. It lights for the first part of every beat."""
        room = self._room
        if not room.standing.beating:
            self._beat_s = 0.0
            return False
        before, beat_s = self._beat_s, room.preferences.beat_s
        self._beat_s = (before + step_s) % beat_s
        lit = self._beat_s < BEAT_LIT * beat_s
        if self._beat_s < before and not room.burning:
            room.sounds.play("tick")
        if lit == room.standing.beat_lit:
            return False
        room.stand(beat_lit=lit)
        return True

    def put_out(self) -> None:
        """Switch the lamp off before its time; what was given is on record."""
        if self._room.burning:
            self._room.darkroom.paper.end()
            self._over()

    def _over(self) -> None:
        self._room.sounds.play("relay")
        self._exposed(self.dialled_s)

    def _bathe(self, step_s: float) -> bool:
        """Let the bath work; on the line a print has all the time it wants."""
        tray = self._room.darkroom.tray
        if tray.stage in ("", "dry") or self._room.darkroom.evening.hands_off:  # nobody rocks what is only looked at
            return False
        stage, wanted_s, before_s = tray.stage, tray.wanted_s, tray.seconds
        to_come_s, end_s = step_s * (FAST if self._room.fast_clock else 1.0), self._room.bath_end_s
        tray.advance(min(to_come_s, max(step_s, (end_s or 0.0) - before_s)))  # the fast clock stops where a time is over
        ends = (wanted_s, tray.full_s) if stage == "developer" else (wanted_s,)
        if any(before_s < end_s <= tray.seconds for end_s in ends):
            self._room.sounds.play("last")
            self._say_over(stage)
        return True

    def _say_over(self, stage: str) -> None:
        """A time is over: the bath's own, or the one that was set, which in the developer may end before the paper has all."""
        tray, bath = self._room.darkroom.tray, self._room.name(f"bath {stage}")
        whole, full = clock(tray.wanted_s), clock(tray.full_s)
        key, holds = "time over", lambda: tray.stage == stage
        if stage == "developer" and not tray.complete:
            early = tray.seconds < tray.full_s
            key = "set time over" if early else "full time over"
            holds = lambda: tray.stage == stage and not tray.complete and (tray.seconds < tray.full_s) is early  # noqa: E731
        self._room.say(key, holds=holds, bath=bath, whole=whole, full=full)
