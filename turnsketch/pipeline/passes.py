"""From the planner's drafts to passes with speeds, feeds, times and readings."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import zip_longest

import msgspec

from turnsketch.cutting.feed import clamp_feed
from turnsketch.cutting.interrupted_speed import interrupted_limits
from turnsketch.cutting.knurl_speed import knurl_limits
from turnsketch.cutting.roughness import REAL_SURFACE_FACTOR, feed_for_ra
from turnsketch.cutting.speed import (
    STEP_OVER,
    HardLimit,
    Speed,
    chosen_speed,
    constant_surface_speed,
    spindle_speed,
    worth_changing,
)
from turnsketch.cutting.surface import PURPOSES, surface_speed
from turnsketch.cutting.thread_speed import hand_limits, turned_by_hand
from turnsketch.cutting.time import pass_minutes
from turnsketch.geometry.elements import Point
from turnsketch.pipeline.pass_readings import readings_of
from turnsketch.plan_records import Move, Pass, PlannedOperation, QuillWork, Reading, ThreadSetting
from turnsketch.planning.context import Context, operation_path, setting_mm
from turnsketch.planning.draft import DraftPass
from turnsketch.planning.fold import Planned, Step
from turnsketch.planning.rough_depth import X_ALLOWANCE_MM, Z_ALLOWANCE_MM
from turnsketch.readings.moves import Rounder
from turnsketch.shop.records import Tool

__all__ = ["hard_limits", "passes_of"]

_STRUCK = ("face", "rough", "finish", "groove", "part off")
"""Operations whose edge the flats of a hexagon or square strike."""


def hard_limits(ctx: Context) -> list[HardLimit]:
    """Return the speeds that nothing may pass, each with its name."""
    held = "driver" if ctx.chuck.kind == "driver" else "chuck"
    limits: list[HardLimit] = [(ctx.chuck.greatest_rpm, f"{held}'s mark")]
    if ctx.shop.limits.greatest_rpm is not None:
        limits.append((ctx.shop.limits.greatest_rpm, "trainee limit"))
    return limits


def passes_of(ctx: Context, planned: Planned) -> tuple[list[Pass], list[PlannedOperation]]:
    """Return all passes, numbered, in the setup's frame, and the operations as planned."""
    passes: list[Pass] = []
    operations: list[PlannedOperation] = []
    last: Reading | None = None
    tool: int | None = None
    for step in planned.steps:
        maker = _Maker(ctx, step)
        made: list[Pass] = []
        for draft, following in zip_longest(step.passes, step.passes[1:]):
            start = last if draft.tool == tool else None
            maker.following = following
            made.append(maker.make(draft, len(passes) + len(made) + 1, start))
            last, tool = made[-1].readings[-1] if made[-1].readings else None, draft.tool
        operations.append(maker.operation(made))
        passes += made
    return passes, operations


@dataclass
class _Maker:
    """Makes the passes of one operation; holds the spindle speed that the levers stand at."""

    ctx: Context
    step: Step
    speed: Speed | None = None
    following: DraftPass | None = None
    """The operation's next pass, for which the levers may have to go back."""

    @property
    def _tool(self) -> Tool:
        where = operation_path(self.step.index, self.step.operation, self.ctx.index)
        return self.ctx.shape(self.step.operation.tool, where).tool

    def operation(self, passes: Sequence[Pass]) -> PlannedOperation:
        """Return the record of the operation."""
        operation, tool = self.step.operation, self._tool
        where, units = operation_path(self.step.index, operation, self.ctx.index), self.ctx.units
        rough = operation.kind in ("rough", "bore")
        speed = self.speed or self._speed(2 * self.ctx.held.radius)
        return PlannedOperation(
            number=self.step.index + 1,
            kind=operation.kind,
            tool=tool.number,
            reason=operation.reason,
            rpm=passes[0].rpm if passes else speed.rpm,
            surface_speed_m_min=speed.constant_m_min,
            feed_mm_per_rev=passes[0].feed_mm_per_rev if passes else None,
            depth_mm=setting_mm(operation.depth, tool.greatest_depth_mm, units, f"{where}.depth"),
            x_allowance_mm=setting_mm(
                operation.x_allowance,
                X_ALLOWANCE_MM if rough else 0.0,
                units,
                f"{where}.x_allowance",
            ),
            z_allowance_mm=setting_mm(
                operation.z_allowance,
                Z_ALLOWANCE_MM if rough else 0.0,
                units,
                f"{where}.z_allowance",
            ),
            first_pass=passes[0].number if passes else None,
            last_pass=passes[-1].number if passes else None,
            means=_gearbox(passes),
            speed_limited_by=passes[0].speed_limited_by if passes else speed.limited_by,
        )

    def make(self, draft: DraftPass, number: int, start: Reading | None) -> Pass:
        """Return one pass; `start` is the reading at which the pass before ended."""
        ctx = self.ctx
        zero = Point(ctx.zero, 0.0)
        speed = self._kept_speed(draft)
        feed = self._feed(draft)
        moves = tuple(_shifted(m.move, zero) for m in draft.moves)
        begin = draft.start.plus(zero)
        rounder = Rounder.of(ctx.lathe.readout, ctx.units)
        readings = readings_of(rounder, draft, moves)
        time = pass_minutes(begin, moves, speed.rpm, feed, surface_m_min=speed.constant_m_min)
        return Pass(
            number=number,
            operation=self.step.operation.kind,
            tool=draft.tool,
            start=begin,
            moves=moves,
            rpm=speed.rpm,
            surface_speed_m_min=speed.constant_m_min,
            feed_mm_per_rev=feed,
            minutes=time.moving,
            removed_mm3=0.0,
            start_reading=start if start is not None else rounder.read(begin),
            readings=readings,
            operation_number=self.step.index + 1,
            surface=draft.surface,
            section=draft.section,
            direction=draft.direction,
            depth=draft.depth,
            power=feed is not None,
            power_until=self._power_until(draft),
            last_on_surface=draft.last_on_surface,
            size=draft.size,
            keep_x=draft.keep_x,
            measure=draft.measure,
            taper=draft.taper,
            steps=draft.steps,
            speed_limited_by=speed.limited_by,
            notes=draft.notes,
            cautions=tuple(msgspec.structs.replace(c, z=c.z + ctx.zero) for c in draft.cautions),
            quill_depth_mm=None if draft.quill is None else draft.quill.depth,
            quill=_quill(draft, ctx.zero),
            inside=draft.inside,
            thread=_placed(draft.thread, ctx.zero),
            knurl=draft.knurl,
        )

    def _power_until(self, draft: DraftPass) -> float | None:
        if draft.power_until is None or draft.direction == "face":
            return draft.power_until
        return draft.power_until + self.ctx.zero

    def _kept_speed(self, draft: DraftPass) -> Speed:
        """Return the speed for a pass: the levers stay unless a change must be or pays.

        A rise for one pass alone, after which they would have to go back, does not pay.
        """
        new = self._pass_speed(draft)
        kept, following = self.speed, self.following
        if kept is not None and new.rpm > kept.rpm and following is not None:
            after = self._pass_speed(following)
            if after.rpm < new.rpm:
                return kept
        if kept is None or self._must_fall(kept, new, draft) or worth_changing(kept.rpm, new.rpm):
            self.speed = new
            return new
        return kept

    def _pass_speed(self, draft: DraftPass) -> Speed:
        """Return the speed that suits a pass; the passes of one thread all have the least of them.

        A change in the midst of a thread is one more slip to make, and gains nothing.
        """
        if draft.thread is None:
            return self._speed(draft.speed_diameter)
        one = [p for p in self.step.passes if p.thread is not None and p.section == draft.section]
        speeds = [self._speed(p.speed_diameter, p.thread) for p in one]
        return min(speeds, key=lambda speed: speed.rpm)

    def _must_fall(self, kept: Speed, new: Speed, draft: DraftPass) -> bool:
        """Return whether the speed that stands is too high for a pass.

        A stepless lathe is not turned down for a few per cent: as a gear step may, its speed may
        stand a tenth over the wanted one.
        """
        if new.rpm >= kept.rpm:
            return False
        near = new.limited_by == "surface speed" and draft.thread is None
        return not (near and kept.rpm <= STEP_OVER * new.wanted_rpm)

    def _speed(self, diameter: float, thread: ThreadSetting | None = None) -> Speed:
        ctx, operation = self.ctx, self.step.operation
        limits = hard_limits(ctx)
        if operation.kind == "knurl":
            limits += knurl_limits(diameter, ctx.material, ctx.lathe)
        if operation.rpm is not None:
            return chosen_speed(operation.rpm, diameter, ctx.lathe, limits)
        if operation.kind in ("tap", "die"):
            return turned_by_hand(diameter, ctx.lathe)
        limits += hand_limits(thread, ctx.lathe)
        surface = operation.surface_speed or self._surface_speed()
        if operation.kind in _STRUCK:
            limits += interrupted_limits(surface, diameter, ctx.held.flat_radius, ctx.lathe)
        if operation.constant_surface_speed and thread is None:
            return constant_surface_speed(surface, diameter, ctx.lathe, limits)
        return spindle_speed(surface, diameter, ctx.lathe, limits)

    def _surface_speed(self) -> float:
        """Return the shop file's surface speed for this material, tool and purpose."""
        purpose = PURPOSES[self.step.operation.kind]
        return surface_speed(self.ctx.material, self._tool.material, purpose)

    def _feed(self, draft: DraftPass) -> float | None:
        """Return the feed per revolution; None when the wheel is turned by hand."""
        ctx, operation, tool = self.ctx, self.step.operation, self._tool
        if draft.thread is not None:
            return draft.thread.pitch_mm
        if draft.direction in ("steps", "drill") or operation.kind == "chamfer":
            return None
        if draft.means == "top slide":
            return None
        if operation.kind == "groove" and tool.width_mm == 0:
            return None  # a few tenths with a pointed or round tool: by hand
        if draft.direction in ("face", "plunge") and not ctx.lathe.power_cross_feed:
            return None
        where = operation_path(self.step.index, operation, self.ctx.index)
        finishing = operation.kind in ("finish", "finish bore")
        usual = tool.finish_feed_mm if finishing else tool.rough_feed_mm
        if operation.feed is not None:
            usual = setting_mm(operation.feed, usual, ctx.units, f"{where}.feed")
        elif draft.last_on_surface and tool.nose_radius_mm > 0:
            wanted = self._roughness(draft)
            if wanted is not None:
                usual = min(
                    usual, feed_for_ra(wanted / REAL_SURFACE_FACTOR[0], tool.nose_radius_mm)
                )
        return round(clamp_feed(usual, ctx.lathe).mm_per_rev, 3)

    def _roughness(self, draft: DraftPass) -> float | None:
        bore = self.ctx.part.bore
        for section in (*self.ctx.part.sections, *(bore.sections if bore else ())):
            if section.number == draft.section:
                return section.roughness_um
        return None


def _quill(draft: DraftPass, zero: float) -> QuillWork | None:
    """Return what is read on the quill's scale, told in the setup's frame."""
    quill = draft.quill
    if quill is None:
        return None
    full = None if quill.full_z is None else quill.full_z + zero
    return msgspec.structs.replace(
        quill, touch_z=quill.touch_z + zero, tip_z=quill.tip_z + zero, full_z=full
    )


def _gearbox(passes: Sequence[Pass]) -> str | None:
    """Return what the gearbox is set to for the threads of an operation; None for others."""
    found = [p.thread.gearbox or "no setting" for p in passes if p.thread is not None]
    return f"gearbox {', '.join(dict.fromkeys(found))}" if found else None


def _placed(thread: ThreadSetting | None, zero: float) -> ThreadSetting | None:
    if thread is None:
        return None
    return msgspec.structs.replace(thread, last_z=thread.last_z + zero)


def _shifted(move: Move, by: Point) -> Move:
    centre = move.centre.plus(by) if move.centre is not None else None
    return Move(move.kind, move.to.plus(by), centre, move.turn, move.pitch)
