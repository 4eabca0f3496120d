"""Work held in its bore: by jaws that open, or on a mandrel through it."""

from __future__ import annotations

import shapely

from turnsketch.errors import InputError
from turnsketch.geometry.elements import rectangle
from turnsketch.plan_records import Obstacle
from turnsketch.planning.holding import HeldBlank, Stock
from turnsketch.planning.tailstock import Seat
from turnsketch.shop.records import Chuck

__all__ = ["JAWS_INSIDE", "MANDREL", "hold_inside"]

JAWS_INSIDE = "jaws in the bore"
MANDREL = "mandrel"
"""Names of the obstacles; the replay knows by them what is held."""

_EDGE = 1e-3
"""Radial room between what holds and the bore, so that rings do not touch."""


def hold_inside(
    radius: float,
    length: float,
    front: float,
    grip: float,
    chuck: Chuck,
    *,
    stock: Stock,
    seat: Seat | None = None,
    flat_radius: float | None = None,
    where: str = "setups[0].holding",
) -> HeldBlank:
    """Return the blank as it is held from inside: nothing stands around its back end.

    Parameters are those of `planning.holding.hold`. `grip` is the length that jaws or mandrel
    reach into the bore from the back end; a mandrel may reach right through. In a stepped bore they
    hold on its narrowest cylinder within that depth. What remains of jaws or mandrel stands behind
    the work, in front of the chuck's body.

    Raises
    ------
    InputError
        The bore is missing, of another size, or (on a mandrel) not open right through.
    """
    mandrel = chuck.kind == "mandrel"
    if grip <= 0 or grip > length + 1e-9:
        raise InputError("the grip must not be longer than the blank", f"{where}.grip")
    if grip > chuck.jaw_length_mm + 1e-9:
        raise InputError(
            f"{chuck.name} reaches {chuck.jaw_length_mm:g} mm into a bore: give no more grip",
            f"{where}.grip",
        )
    back = front - length
    reached = front if mandrel else back + grip
    bore = _least_radius(stock, back, reached)
    _check_bore(chuck, bore, reached - back, where)
    foot = back + grip - chuck.jaw_length_mm
    outer = bore - _EDGE
    # Three jaws stand as a ring; between them, and through the chuck's bore, a drill may go on.
    open_r = 0.0 if mandrel else max(0.0, outer - chuck.jaw_height_mm)
    through, body = chuck.bore_mm / 2, chuck.body_diameter_mm / 2
    obstacles = (
        Obstacle(MANDREL if mandrel else JAWS_INSIDE, rectangle(foot, back + grip, open_r, outer)),
        Obstacle("chuck body", rectangle(foot - chuck.body_length_mm, foot, through, body)),
    )
    return HeldBlank(
        radius,
        length,
        front,
        grip,
        foot,
        obstacles,
        stock,
        seat,
        flat_radius=flat_radius,
        inside=True,
    )


def _check_bore(chuck: Chuck, bore: float, depth: float, where: str) -> None:
    if chuck.inside_largest_mm <= 0:
        raise InputError(
            f"{chuck.name} does not hold from inside; choose another holding", f"{where}.device"
        )
    if bore < 1e-6:
        what = "through the work" if chuck.kind == "mandrel" else "in the gripped end"
        raise InputError(
            f"there is no bore {what} for {chuck.name}: bore it in a setup before, or take a tube",
            f"{where}.device",
        )
    least, most = chuck.inside_smallest_mm, chuck.inside_largest_mm
    if not least - 1e-6 <= 2 * bore <= most + 1e-6:
        raise InputError(
            f"{chuck.name} opens in bores Ø{least:g} to Ø{most:g} mm; this one has "
            f"Ø{2 * bore:.2f} within {depth:g} mm: choose another holding, or another depth",
            f"{where}.device",
        )


def _least_radius(stock: Stock, low: float, high: float) -> float:
    """Return how far the bore is open between two z values; 0: it is closed somewhere."""
    part = shapely.clip_by_rect(stock.region, low, 0.0, high, 1e4)
    return 0.0 if part.is_empty else float(part.bounds[1])
