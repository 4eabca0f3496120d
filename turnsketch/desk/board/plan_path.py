"""The way of a pass for the board: where the tool is, and what the readout shows there. No Qt."""

from __future__ import annotations

from dataclasses import dataclass

from turnsketch.desk.dimension_text import plan_numbers
from turnsketch.geometry.elements import Arc, Element, Line, Point
from turnsketch.plan_records import Move, Pass, Plan, SetupPlan
from turnsketch.units import from_mm

__all__ = ["Way", "main_move", "readings_words", "way_of"]


@dataclass(frozen=True, slots=True)
class Way:
    """A pass in pieces, setup frame."""

    pieces: tuple[tuple[Element, bool], ...]
    """Each with whether it cuts."""
    main: int | None
    """Number of the piece at whose end the tool is shown: its reading is the one fed to."""

    def place(self, share: float) -> Point:
        """Return where the reference point is when a share of the cutting way is done.

        1 is the end of the main cut; positioning counts for nothing.
        """
        if self.main is None:
            return self.pieces[-1][0].end if self.pieces else Point(0.0, 0.0)
        cuts = [piece for piece, cutting in self.pieces[: self.main + 1] if cutting]
        left = min(max(share, 0.0), 1.0) * sum(piece.length for piece in cuts)
        for piece in cuts[:-1]:
            if left <= piece.length and piece.length > 0:
                return piece.at(left / piece.length)
            left -= piece.length
        last = cuts[-1]
        return last.at(min(left / last.length, 1.0)) if share < 1.0 else last.end


def main_move(step: Pass) -> int | None:
    """Return the index of the move that matters: the longest cut.

    Along tapers, arcs and steps it is the last one. None when the pass does not cut.
    """
    cuts = [i for i, move in enumerate(step.moves) if move.kind != "position"]
    if not cuts:
        return None
    if step.direction in ("taper", "arc", "steps"):
        return cuts[-1]
    starts = (step.start, *(move.to for move in step.moves))
    return max(cuts, key=lambda i: starts[i].distance(step.moves[i].to))


def way_of(step: Pass) -> Way:
    """Return the way of a pass."""
    here, pieces = step.start, list[tuple[Element, bool]]()
    chosen, main = main_move(step), None
    for index, move in enumerate(step.moves):
        if move.to != here:
            if index == chosen:
                main = len(pieces)
            pieces.append((_element(here, move), move.kind != "position"))
        here = move.to
    return Way(tuple(pieces), main)


def _element(here: Point, move: Move) -> Element:
    if move.centre is not None and move.turn is not None:
        return Arc(here, move.to, move.centre, move.turn)
    return Line(here, move.to)


def readings_words(plan: Plan, setup: SetupPlan, step: Pass, share: float) -> str:
    """Return what the readout shows where the tool stands: X as a diameter over Z.

    At the end of the main cut these are the plan's own readings; on the way there they are worked
    out from the place.
    """
    main, numbers = main_move(step), plan_numbers(plan)
    if share >= 1.0 and main is not None and main < len(step.readings):
        reading = step.readings[main]
        return f"X {numbers.x(reading.x)}\nZ {numbers.z(reading.z)}"
    at = way_of(step).place(share)
    x, z = (from_mm(value, plan.display_units) for value in (2.0 * at.r, at.z))
    return f"X {numbers.x(x)}\nZ {numbers.z(z)}"
