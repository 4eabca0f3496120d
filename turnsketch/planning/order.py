"""What has to stay before what, and why: the order of the trade as rules (common practice).

Two operations whose order is free may change places where that saves a change of tool or gear
step. Whatever is not known to be free stays as it stands.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from turnsketch.job import Operation
from turnsketch.part.outline_records import ResolvedPart
from turnsketch.part.records import AT_SHOULDER
from turnsketch.planning.chamfer import corners_for
from turnsketch.planning.necks import in_front_of_weak_neck
from turnsketch.shop.records import Tool

__all__ = ["Order"]

_REASONS = {
    ("rough", "rough"): "the metal is taken from large diameters toward the chuck to small ones",
    ("rough", "finish"): "roughing bends and warms the work: the last cuts come after it",
    ("rough", "groove"): "a groove is cut when its seat stands nearly at size",
    ("finish", "rough"): "what a neck carries is made while the neck is still thick",
    ("finish", "chamfer"): "an edge is broken when both of its surfaces stand",
    ("groove", "finish"): "the last cut on the seat takes the groove's burr away",
    ("finish", "knurl"): "the wheels need the blank at its size",
    ("knurl", "finish"): "the wheels press hard on the work: fine surfaces come after",
    ("knurl", "chamfer"): "the chamfer takes the burr off the knurl's end",
    ("drill", "bore"): "the bar needs the hole to go in",
    ("drill", "ream"): "the reamer needs its hole",
    ("bore", "finish"): "heavy boring springs a thin wall: the last cuts come after it",
    ("bore", "finish bore"): "roughing bends and warms the work: the last cuts come after it",
}
_DEFAULT = "this is the order of the trade"


@dataclass(frozen=True)
class Order:
    """The rules for one part."""

    part: ResolvedPart
    tools: tuple[Tool, ...]
    """Those of the operations."""

    def reason(self, first: Operation, second: Operation) -> str:
        """Return why `first`, which stands in front, stays before `second`; empty: it need not."""
        if second.kind == "part off":
            return "the part comes off the bar last"
        if first.kind == "face":
            return "the face gives the zero and a true end"
        kinds = (first.kind, second.kind)
        if kinds == ("groove", "groove"):
            return self._grooves(first, second)
        if kinds == ("finish", "finish"):
            return self._finishes(first, second)
        if kinds == ("chamfer", "chamfer"):
            return self._chamfers(first, second)
        return _REASONS.get(kinds, _DEFAULT)

    def _grooves(self, first: Operation, second: Operation) -> str:
        groups = [self._groove_kinds(o) for o in (first, second)]
        if not all(groups) or set(first.grooves or ()) & set(second.grooves or ()):
            return _DEFAULT
        if any(inside for group in groups for _, inside in group):
            return "the bore is worked in the order of the trade"
        reliefs = [{kind in AT_SHOULDER for kind, _ in group} for group in groups]
        if reliefs[0] != reliefs[1] or len(reliefs[0]) > 1:
            return "reliefs and undercuts come before other grooves"
        return ""

    def _groove_kinds(self, operation: Operation) -> set[tuple[str, bool]]:
        wanted = operation.grooves or ()
        return {(g.kind, g.inside) for g in self.part.grooves if g.number in wanted}

    def _finishes(self, first: Operation, second: Operation) -> str:
        if not first.sections or not second.sections:
            return "the second tool takes what the first cannot reach"
        if set(first.sections) & set(second.sections):
            return "both work on the same section"
        if in_front_of_weak_neck(self.part, self.part.aim):
            return "what a weak neck carries is made before the neck"
        return ""

    def _chamfers(self, first: Operation, second: Operation) -> str:
        if first.tool == second.tool:
            return ""
        corners = [self._corners(o) for o in (first, second)]
        return "both tools fit the same edge" if corners[0] & corners[1] else ""

    def _corners(self, operation: Operation) -> set[int]:
        tools: Iterable[Tool] = (t for t in self.tools if t.number == operation.tool)
        return {c.index for tool in tools for c in corners_for(tool, self.part)}
