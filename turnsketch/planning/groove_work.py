"""What the passes of one groove share: tool, places, the metal of the moment, and how one is added.

Every pass comes in over its first place, cuts, and goes out again; it is asked for collisions and
gouges before it is taken.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from itertools import pairwise

import shapely
from shapely.geometry.base import BaseGeometry

from turnsketch.geometry.constants import CHORD_FINE
from turnsketch.geometry.elements import Point
from turnsketch.geometry.minkowski import clean
from turnsketch.job import Operation
from turnsketch.part.outline_records import ResolvedGroove
from turnsketch.plan_records import PathSize, StepTable, TaperSetting
from turnsketch.planning.context import Context, State, setting_mm
from turnsketch.planning.draft import Direction, DraftMove, DraftPass, position
from turnsketch.planning.groove_space import GrooveSpace
from turnsketch.planning.means import Means
from turnsketch.planning.route import Mover, path_points
from turnsketch.shop.suited import goes_straight_in
from turnsketch.shop.tool_shape import ToolShape

__all__ = ["Cuts", "GrooveWork", "NoWayError"]

_TIP_MM = 0.1
"""Half the width of a nose's lowest place, over which the depth of a plunge is measured."""


class NoWayError(Exception):
    """The tool cannot make the groove from where it stands."""


@dataclass(frozen=True)
class Cuts:
    """The cuts of a pass, from its first place over the groove, and what the sheet says of them."""

    moves: Sequence[DraftMove]
    first: Point
    """The tool comes in over this place."""
    last: bool
    depth: float
    steps: StepTable | None = None
    places: tuple[Point, ...] = ()
    notes: tuple[str, ...] = ()
    means: Means = "wheels"
    taper: TaperSetting | None = None
    direction: Direction = "plunge"
    sized: bool = True
    """It makes the groove's bottom, whose diameter the print gives."""
    enters: bool = True
    """The tool comes in over `first`; else it stands there, left by the pass before."""
    leaves: bool = True
    """It goes out at the end."""


@dataclass
class GrooveWork:
    """One groove in work with one tool; keeps the passes and the metal of the moment."""

    ctx: Context
    operation: Operation
    shape: ToolShape
    groove: ResolvedGroove
    space: GrooveSpace
    state: State
    mover: Mover
    where: str
    out: float
    """Radius at which the tool goes from plunge to plunge."""
    found: list[DraftPass] = field(default_factory=list)

    @classmethod
    def of(
        cls,
        ctx: Context,
        operation: Operation,
        shape: ToolShape,
        groove: ResolvedGroove,
        space: GrooveSpace,
        state: State,
        where: str,
    ) -> GrooveWork:
        """Return the work on one groove."""
        mover = Mover.of(ctx, shape)
        low = min(p.z for e in groove.elements for p in (e.start, e.end))
        high = max(p.z for e in groove.elements for p in (e.start, e.end))
        over = shapely.clip_by_rect(state.remaining, low + 0.01, 0.0, high - 0.01, 1e4)
        top = over.bounds[3] if not over.is_empty else groove.elements[0].start.r
        out = min(ctx.clear_r, ctx.out_radius(top))
        return cls(ctx, operation, shape, groove, space, state, mover, where, out)

    # The tool

    @property
    def blade(self) -> bool:
        """Whether the tool is a blade: it cuts on its front edge, between two corners."""
        return self.shape.blade

    @property
    def flat(self) -> float:
        """Length of the tool's cutting end between its corners; 0 for a single nose."""
        tool = self.shape.tool
        return max(0.0, tool.width_mm - 2 * tool.corner_radius_mm) if self.blade else 0.0

    @property
    def plunges(self) -> bool:
        """Whether the tool goes straight into metal."""
        return goes_straight_in(self.shape.tool)

    @property
    def nosed(self) -> bool:
        """Whether the tool cuts along Z as well as down: a corner between two edges."""
        return self.shape.tool.kind in ("turning", "groove form")

    def greatest_depth(self) -> float:
        """Return the depth of one cut that the tool is used for at most, on radius."""
        tool = self.shape.tool
        where = f"{self.where}.depth"
        return setting_mm(self.operation.depth, tool.greatest_depth_mm, self.ctx.units, where)

    def _note(self) -> tuple[str, ...]:
        """Return which side of the tool its Z belongs to, for the first pass of the groove."""
        if self.found:
            return ()
        side = self.shape.tool.reference
        if self.blade:
            corner = "middle" if side == "centre" else f"{side} corner"
            return (f"reference: the blade's {corner}",)
        words = "tip's middle" if side == "centre" else f"nose's {side} side"
        return (f"reference: the {words}",)

    # The metal

    def metal_over(self, z: float, r: float, metal: BaseGeometry | None = None) -> float:
        """Return how high metal stands over the tool's end at `z`; `r` when none does.

        What it takes beside its end does not count.
        """
        ring = [p for piece in self.shape.cutting for p in piece.ring(1e-3)]
        low, high = min(p.z for p in ring), max(p.z for p in ring)
        if self.flat == 0.0:
            middle = next(p.z for p in ring if abs(p.r) < 1e-9)
            low, high = middle - _TIP_MM, middle + _TIP_MM
        standing = self.state.remaining if metal is None else metal
        band = shapely.clip_by_rect(standing, z + low + 0.005, r + 1e-5, z + high - 0.005, self.out)
        return r if band.is_empty else float(band.bounds[3])

    # Passes

    def add(self, cuts: Cuts) -> None:
        """Add a pass: the way over its first place, the cuts, and out again.

        Raises
        ------
        NoWayError
            Something is in the way, or it would cut what must stand.
        """
        ctx, mover = self.ctx, self.mover
        top = self._over(cuts)
        way = mover.route(self.state.position, top, self.state.remaining)
        if way is None:
            raise NoWayError
        here, metal = self._cleared(top, cuts.moves)
        end = Point(here.z, self.out) if cuts.leaves else here
        if not mover.free([here, end], metal):
            raise NoWayError
        back = [] if here.distance(end) < 1e-9 else [position(end)]
        stepped = cuts.steps is not None
        self.found.append(
            DraftPass(
                tool=self.shape.tool.number,
                start=self.state.position,
                moves=(*(position(p) for p in way), *cuts.moves, *back),
                surface=self.groove.label,
                direction="steps" if stepped else cuts.direction,
                depth=cuts.depth,
                speed_diameter=2 * min(self.out, ctx.held.radius),
                last_on_surface=cuts.last,
                size=self._size() if cuts.last and cuts.sized and not stepped else None,
                notes=(*self._note(), *cuts.notes),
                means="steps" if stepped else cuts.means,
                taper=cuts.taper,
                steps=cuts.steps,
                step_places=cuts.places,
            )
        )
        self.state = State(metal, end, self.shape.tool.number)

    def clear(self, cuts: Cuts) -> bool:
        """Return whether a pass of these cuts hits nothing and cuts nothing that must stand."""
        try:
            here, metal = self._cleared(self._over(cuts), cuts.moves)
        except NoWayError:
            return False
        return self.mover.free([here, Point(here.z, self.out)], metal)

    def _over(self, cuts: Cuts) -> Point:
        return Point(cuts.first.z, self.out) if cuts.enters else self.state.position

    def _cleared(self, here: Point, cuts: Sequence[DraftMove]) -> tuple[Point, BaseGeometry]:
        """Return where the cuts end and the metal after them; no way where they do any harm."""
        mover, metal = self.mover, self.state.remaining
        for draft in cuts:
            stretch = path_points(here, [draft], CHORD_FINE)
            if draft.move.kind == "position" and not mover.free(stretch, metal):
                raise NoWayError
            if draft.move.kind == "cut":
                if not mover.free(stretch, self.space.solid):
                    raise NoWayError
                metal = clean(metal.difference(mover.removed(stretch)))
                if not mover.holder_free(stretch, metal):
                    raise NoWayError
            here = draft.move.to
        return here, metal

    def _size(self) -> PathSize | None:
        size, bottom = self.groove.diameter, self.space.bottom
        if self.ctx.axis_r is not None:
            bottom = self.ctx.axis_r - bottom
        if abs(2 * bottom - size.aim) > 1e-6:
            return None
        return PathSize(size.aim, size.lower, size.upper)

    def withdrawn(self) -> tuple[list[DraftPass], State] | None:
        """Return what was made, the tool clear of the work (out of the bore) after the last pass.

        None where it cannot get there.
        """
        last = self.found[-1]
        way = [Point(last.end.z, self.ctx.clear_r)]
        if self.ctx.axis_r is not None:
            way.append(Point(self.ctx.return_z, self.ctx.clear_r))
        path = [last.end, *way]
        if not self.mover.free(path, self.state.remaining):
            return None
        moves = [position(b) for a, b in pairwise(path) if a.distance(b) > 1e-9]
        self.found[-1] = replace(last, moves=(*last.moves, *moves))
        self.state = replace(self.state, position=path[-1])
        return self.found, self.state
