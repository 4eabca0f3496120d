"""What a shop owns and allows, as it stands in a shop file. Names carry the unit.

A person edits this file, so every field says its unit and nothing is worked out here. Lengths are
millimetres unless the name says otherwise; a bar's size is text as the trade writes it.
"""

from __future__ import annotations

from typing import Literal

import msgspec

from turnsketch.geometry.elements import Point

__all__ = [
    "Bar",
    "Chuck",
    "Clearances",
    "Dial",
    "Driver",
    "Lathe",
    "Limits",
    "Material",
    "Readout",
    "Shop",
    "SurfaceSpeed",
    "TailstockCentre",
    "ThreadDial",
    "Tool",
    "ToolKind",
    "TopSlide",
]


class _Record(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """Base of all shop records: frozen, and strict about unknown fields."""


class Readout(_Record, frozen=True):
    """Digital readout: steps per axis and unit, signs. X is shown as a diameter."""

    x_step_mm: float = 0.01
    """Smallest step of the X display, on diameter."""
    z_step_mm: float = 0.005
    x_step_inch: float = 0.0005
    z_step_inch: float = 0.0005
    counts_z_up_away_from_chuck: bool = True
    counts_x_up_outward: bool = True
    adds_top_slide: bool = False
    """The Z display includes the top slide's travel."""


class Dial(_Record, frozen=True):
    """A handwheel's dial. It stays in its own unit whatever the readout shows."""

    unit: Literal["mm", "inch"]
    per_turn: float
    """What the dial counts in one turn, in its unit."""
    divisions: int
    reads: Literal["diameter", "travel"] = "travel"
    """Cross slide: cut in diameter, or in slide travel (a radius)."""
    fine_per_turn: float | None = None
    """A second, fine wheel or the top slide, if there is one; else null."""
    fine_divisions: int | None = None


class TopSlide(_Record, frozen=True):
    """The slide that swivels; a two-axis readout does not see it."""

    travel_mm: float
    dial: Dial
    scale_zero: Literal["along", "across"] = "along"
    """The scale shows 0 with the slide along the spindle, or across it."""
    greatest_angle_deg: float = 90.0


class TailstockCentre(_Record, frozen=True):
    """The centre in the tailstock: a 60 degree point on a body."""

    point_included_deg: float = 60.0
    point_diameter_mm: float = 18.0
    nose_length_mm: float = 0.0
    """A slim centre: length of the cylinder of the point's diameter between point and body."""
    body_diameter_mm: float = 25.0
    body_length_mm: float = 40.0
    quill_diameter_mm: float = 40.0
    quill_reach_mm: float = 100.0
    carriage_room_mm: float = 0.0
    """How far carriage and top slide stand out behind a tool that cuts at the end of the work:
    the tailstock's body stays behind it. 0: not known."""


class ThreadDial(_Record, frozen=True):
    """One line of the plate beside the thread dial: where the half-nuts may be closed."""

    marks: str
    """As the plate says it: "any line", "1 or 3"."""
    pitches_mm: tuple[float, ...] = ()
    """Pitches for which these marks hold."""
    threads_per_inch: tuple[float, ...] = ()


class Lathe(_Record, frozen=True):
    """A lathe moved by hand."""

    name: str
    swing_mm: float
    between_centres_mm: float
    readout: Readout
    cross_dial: Dial
    carriage_dial: Dial
    speeds_rpm: tuple[float, ...] = ()
    """Steps of a geared head, ascending; empty when the speed is free in a range."""
    speed_range_rpm: tuple[float, float] | None = None
    constant_surface_speed: bool = False
    power_kw: float = 1.5
    efficiency: float = 0.75
    feed_range_mm_per_rev: tuple[float, float] = (0.03, 0.5)
    power_cross_feed: bool = True
    top_slide: TopSlide | None = None
    set_over_mm: float = 0.0
    """Greatest tailstock set-over; 0: none."""
    taper_attachment_deg: float = 0.0
    """Greatest half angle of a taper attachment; 0: none."""
    taper_attachment_length_mm: float = 0.0
    guided_moves: Literal["none", "taper", "taper and arc"] = "none"
    leadscrew_pitch_mm: float = 0.0
    """Pitch of the leadscrew (8 threads an inch: 3.175); 0: not known."""
    thread_pitches_mm: tuple[float, ...] = ()
    """Pitches that the gearbox or the change gears cut, as their plate gives them."""
    threads_per_inch: tuple[float, ...] = ()
    """The same in threads an inch. Both empty: no threads are cut here with a single point."""
    thread_dial: tuple[ThreadDial, ...] = ()
    """Plate of the thread dial; empty: none, and the half-nuts stay closed."""
    steady_smallest_mm: float = 0.0
    """Smallest diameter that its steady rest takes."""
    steady_largest_mm: float = 0.0
    """Largest one; 0: the lathe has no steady rest."""
    steady_width_mm: float = 0.0
    """Width of the steady rest along the spindle: no tool comes there."""
    centre: TailstockCentre = TailstockCentre()
    change_point: Point = Point(60.0, 60.0)
    """Where tools are changed: z in front of the raw front face, r from the axis."""


class Chuck(_Record, frozen=True):
    """A chuck or a collet chuck. Jaws are rings of a rectangular section to the planner."""

    name: str
    kind: Literal["three-jaw", "four-jaw", "collet", "driver", "mandrel"]
    """Mandrel: it expands in a bore through the work; its jaw length is that of its body in it."""
    smallest_mm: float
    """Smallest diameter that it grips."""
    largest_mm: float
    jaw_length_mm: float
    """How far the jaws (or the collet nose) stand out of the body, along Z: the greatest grip."""
    jaw_height_mm: float
    """Radial height of a jaw above the gripped diameter."""
    body_diameter_mm: float
    body_length_mm: float
    greatest_rpm: float
    least_grip_mm: float
    """Grip shorter than this is a finding."""
    bore_mm: float = 0.0
    """Largest bar that goes through; longer blanks reach into it."""
    inside_smallest_mm: float = 0.0
    """Smallest bore in which the jaws open, or the mandrel."""
    inside_largest_mm: float = 0.0
    """Largest one; 0: it does not hold from inside."""
    soft_jaws: bool = False
    """Soft jaws for it are here, to be bored to the work's diameter."""
    soft_least_grip_mm: float = 0.0
    """Least grip in soft jaws, which touch all along; 0: as in hard ones."""


class Driver(_Record, frozen=True):
    """A driver plate, its dog and the headstock centre: work between centres."""

    name: str
    smallest_mm: float
    """Smallest diameter that the dog takes."""
    largest_mm: float
    dog_width_mm: float
    """Length of work under the dog, at least."""
    dog_height_mm: float
    """Radial height of the dog, its screw included, above the work."""
    plate_diameter_mm: float
    plate_thickness_mm: float
    plate_gap_mm: float = 10.0
    """From the plate's face to the back end of the work."""
    centre_point_diameter_mm: float = 18.0
    centre_body_diameter_mm: float = 25.0
    greatest_rpm: float = 1000.0


ToolKind = Literal[
    "turning",
    "round",
    "chamfer",
    "form",
    "groove form",
    "parting",
    "centre drill",
    "drill",
    "reamer",
    "countersink",
    "boring",
    "inside grooving",
    "threading",
    "inside threading",
    "tap",
    "die",
    "knurl",
]


class Tool(_Record, frozen=True):
    """A tool in its holder, seen from above with the work's axis below it (r up, z right)."""

    number: int
    """Number in the readout's tool library and on the sheet ("T1")."""
    name: str
    kind: ToolKind
    hand: Literal["right", "left", "neutral"] = "right"
    """Right: cuts toward the chuck. Left: away from it."""
    material: Literal["HSS", "carbide"] = "carbide"
    shape: str = ""
    """Shape letter of ISO 1832 ("C", "D", "V", "R" ...), or empty for a ground bit."""
    nose_radius_mm: float = 0.0
    edge_angle_deg: float = 95.0
    """Turning, groove form: angle between the leading edge and the feed direction (kappa_r; 90 is
    square)."""
    end_edge_angle_deg: float = 5.0
    """The same: angle between the trailing edge and the feed's back direction (kappa'_r)."""
    edge_length_mm: float = 12.0
    """Length of an edge (round insert: unused)."""
    usable_edge_mm: float | None = None
    """Greatest engagement along the edge; null: two thirds of the edge, half a round's radius."""
    width_mm: float = 0.0
    """Parting or form blade: width."""
    corner_radius_mm: float = 0.0
    """Parting blade: radius of both corners."""
    reach_mm: float = 0.0
    """Parting blade: depth that it can go in, radially."""
    side_depth_mm: float = 0.0
    """Parting blade: how deep it may cut sideways; 0: front edge only."""
    chamfer_angle_deg: float = 45.0
    """Chamfer tool: angle of its edges to the axis (a symmetrical pointed tool)."""
    form_radius_mm: float = 0.0
    """Form tool: radius of its concave quarter, which makes a corner round."""
    centre_size_mm: float = 0.0
    """Centre drill: its size, the pilot's diameter (ISO 866 form A gives the rest)."""
    diameter_mm: float = 0.0
    """Drill, reamer, countersink: its diameter; knurl: of its wheels."""
    point_angle_deg: float = 118.0
    """Drill: included angle of its point; countersink: of its cone (90)."""
    length_mm: float = 0.0
    """Drill, reamer, tap: usable length. Bars (boring, inside grooving, inside threading): reach
    along the axis."""
    bar_diameter_mm: float = 0.0
    """Boring, inside grooving, inside threading: diameter of the bar."""
    bar_material: Literal["steel", "carbide"] = "steel"
    """What the bar itself is made of: solid carbide may stand out farther."""
    least_bore_mm: float = 0.0
    """The same: smallest bore that it goes into."""
    thread: str = ""
    """Tap, die: the thread that it cuts, "M8x1.25"."""
    profile_angle_deg: float = 60.0
    """Threading: included angle of its point; nose_radius_mm is its tip's radius."""
    pitch_range_mm: tuple[float, float] = (0.0, 0.0)
    """Threading: smallest and largest pitch that its point is long enough for."""
    knurl: str = ""
    """Knurl: form and pitch after DIN 82, "RGE 1.0"."""
    reference: Literal["left", "right", "centre"] = "left"
    """Which side of the cutting end the Z reading belongs to. X is always its lowest point."""
    plunge_angle_deg: float = 0.0
    """Steepest way into metal, to the axis: 90 straight in, 0 never."""
    thinnest_cut_mm: float = 0.05
    """Radial depth below which the edge rubs."""
    greatest_depth_mm: float = 2.0
    """Radial depth of one roughing cut that the tool is used for at most."""
    rough_feed_mm: float = 0.2
    finish_feed_mm: float = 0.1
    holder: tuple[tuple[Point, ...], ...] = ()
    """Convex outlines of holder and shank around the reference point at [0, 0]."""
    coolant: Literal["coolant", "dry", "either"] = "either"


class SurfaceSpeed(_Record, frozen=True):
    """Surface speed for one tool material, metres a minute."""

    tool_material: Literal["HSS", "carbide"]
    rough_m_min: float
    finish_m_min: float
    part_off_m_min: float


class Material(_Record, frozen=True):
    """A material of the work."""

    name: str
    group: str
    speeds: tuple[SurfaceSpeed, ...]
    kc11_n_mm2: float
    """Specific cutting force at 1 mm chip width and thickness (Kienzle)."""
    mc: float
    modulus_gpa: float
    density_kg_m3: float
    expansion_um_m_k: float = 11.5
    """Thermal expansion, micrometres a metre and kelvin."""
    source: str = ""


class Bar(_Record, frozen=True):
    """A bar in the rack."""

    size: str
    """Diameter as text: "32", "1 1/4 in"."""
    skin: Literal["black", "bright"] = "bright"
    materials: tuple[str, ...] = ()
    """Names of the materials in which it is stocked; empty: all."""


class Clearances(_Record, frozen=True):
    """Distances kept in every plan, millimetres."""

    cut_to_jaws: float = 2.0
    """Cutting edge to jaws or centre."""
    holder_to_jaws: float = 2.0
    holder_to_metal: float = 0.2
    approach: float = 2.0
    """Positioning stops this far in front of metal."""
    withdraw: float = 1.0
    """Radial way off a fresh surface (2 on diameter)."""
    above_blank: float = 2.0
    """Radial distance above the blank at which the tool travels."""
    never_beyond_jaws: float = 5.0
    """The "never beyond Z" line stands this far in front of the jaws."""
    power_until: float = 2.0
    """Power feed stops this far before a shoulder or the jaws; the rest is by wheel."""


class Limits(_Record, frozen=True):
    """What a trainee may do here; a job cannot loosen it."""

    greatest_rpm: float | None = None
    greatest_depth_mm: float | None = None
    unsupported_ratio: float = 3.0
    """Stick-out over diameter without a centre (common practice)."""
    centre_ratio: float = 10.0
    """The same on a centre (common practice)."""


class Shop(_Record, frozen=True):
    """A shop file."""

    format: Literal["turnsketch-shop"] = "turnsketch-shop"
    version: Literal[1] = 1
    name: str = ""
    lathes: tuple[Lathe, ...] = ()
    chucks: tuple[Chuck, ...] = ()
    drivers: tuple[Driver, ...] = ()
    tools: tuple[Tool, ...] = ()
    materials: tuple[Material, ...] = ()
    bars: tuple[Bar, ...] = ()
    clearances: Clearances = Clearances()
    limits: Limits = Limits()
