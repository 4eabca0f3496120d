"""The plan as other programs read it: frozen records, millimetres and radians, points [z, r].

Points stand in the setup's frame: z from the setup's zero, r a radius. Readings stand in display
units, X as a diameter. Field names of the outside contract are never renamed; fields that the
sheet and the screen need besides stand behind them.
"""

from __future__ import annotations

from typing import Literal

import msgspec

from turnsketch.geometry.elements import Point, Turn
from turnsketch.job import Job
from turnsketch.shop.records import Shop
from turnsketch.units import Units

__all__ = [
    "CentreWork",
    "Deviation",
    "EndsCheck",
    "Finding",
    "Finished",
    "Frame",
    "KnurlSetting",
    "LeftOver",
    "MeasureStop",
    "Move",
    "MoveKind",
    "Obstacle",
    "Pass",
    "PathCaution",
    "PathSize",
    "Plan",
    "PlanSource",
    "PlannedOperation",
    "QuillWork",
    "Reading",
    "Ring",
    "SectionSpan",
    "SetupPlan",
    "Severity",
    "SteadyWork",
    "StepRow",
    "StepTable",
    "TaperSetting",
    "ThreadMark",
    "ThreadSetting",
    "ThreadWires",
    "ToolPiece",
    "ToolRecord",
    "Totals",
    "WarmGrowth",
]

Ring = tuple[Point, ...]
MoveKind = Literal["position", "cut", "thread"]
Severity = Literal["note", "caution", "stop"]


class _Record(msgspec.Struct, frozen=True):
    """Base of the plan's records."""


class Move(msgspec.Struct, frozen=True, omit_defaults=True):
    """One motion of the reference point, straight, or an arc about `centre`."""

    kind: MoveKind
    to: Point
    centre: Point | None = None
    turn: Turn | None = None
    pitch: float | None = None


class Reading(_Record, frozen=True):
    """What the readout shows, in display units; x is a diameter."""

    x: float
    z: float


class Frame(_Record, frozen=True):
    """Where a setup's frame stands in the first setup's."""

    z0: float = 0.0
    mirrored: bool = False


class Obstacle(_Record, frozen=True):
    """Jaws, chuck body, centre or steady rest, true size."""

    name: str
    ring: Ring
    from_pass: int | None = None
    """It is put in place before this pass (the centre after its hole is drilled, the steady rest
    after its track is turned); null: it stands there from the start."""


class ToolPiece(_Record, frozen=True):
    """A part of a tool around the reference point at [0, 0]."""

    name: str
    cuts: bool
    ring: Ring


class ToolRecord(_Record, frozen=True):
    """A tool as the plan uses it."""

    number: int
    name: str
    nose_radius: float
    pieces: tuple[ToolPiece, ...]
    kind: str = "turning"
    hand: str = "right"
    reference: str = "left"
    material: str = "carbide"


class QuillWork(_Record, frozen=True):
    """A hole made from the tailstock, its quill's scale at 0 where the tool first touches.

    Millimetres, z in the setup's frame.
    """

    touch_z: float
    """Z of the tool's tip at the first touch: on the face, on a rim, or in a hole."""
    depth: float
    """What the scale shows at the end."""
    tip_z: float
    """Z of the tip at the end."""
    full_z: float | None = None
    """Z to which the full diameter goes; null: a cone, it has none."""
    pecks: tuple[float, ...] = ()
    """What the scale shows each time that the tool is drawn out to clear its chips."""
    feed_mm: float = 0.0
    """Feed a turn, by hand: a guide."""
    touch: Literal["face", "rim", "inside"] = "face"
    """What is touched first: the end face, the rim of a hole in it, or the bottom of a hole."""


class PathSize(_Record, frozen=True):
    """Diameter left behind by a pass, with the limits when the print gives it. Millimetres."""

    diameter: float
    lower: float | None = None
    upper: float | None = None


class PathCaution(_Record, frozen=True):
    """A place of a finishing path that could not be made exact, or was cut short."""

    z: float
    r: float
    kind: Literal["unverified", "cut short"]
    words: str


class MeasureStop(_Record, frozen=True):
    """Stop, withdraw along Z, spindle off, measure: stands before the pass that carries it."""

    at_z: tuple[float, ...]
    expected_diameter: float
    instrument: str
    reason: str


class TaperSetting(_Record, frozen=True):
    """How a taper is moved. Angles in radians, lengths in millimetres."""

    means: Literal["top slide", "set-over", "taper attachment", "guided"]
    half_angle: float
    travel: float
    """Way along the taper: what the top slide's dial counts."""
    scale_deg: float | None = None
    """Top slide: what its scale shows."""
    set_over: float | None = None
    """Tailstock set-over."""
    rise_per_50: float | None = None
    """Indicator's rise while the carriage (or slide) goes 50 mm, to check the setting."""


class ThreadWires(_Record, frozen=True):
    """The check of an outside thread by three wires, millimetres."""

    wire_mm: float
    """Best wire."""
    lower_mm: float
    """Reading over the wires at the limits of the pitch diameter, and at the aimed one."""
    upper_mm: float
    aim_mm: float


class ThreadSetting(_Record, frozen=True):
    """How one pass of a single-point thread is cut. Millimetres; diameters stay diameters."""

    text: str
    """Designation in full, "M12x1.75-6g"."""
    pitch_mm: float
    left_hand: bool
    toward: Literal["chuck", "tailstock"]
    """Where the carriage goes with the spindle turning forward: a left-hand thread is cut away
    from the chuck."""
    infeed: Literal["straight", "flank"]
    depth_mm: float
    """Radial, from the blank's surface."""
    blank_mm: float
    """Diameter before threading: where the tip touches and the slide stands at 0."""
    full_x_mm: float
    """X at which this tool's tip stands at full depth."""
    slide_travel_mm: float | None
    """Flank: travel of the top slide from the touch on the blank; null: the cross slide feeds."""
    slide_angle_deg: float | None
    """Flank: of the top slide from the cross slide's direction."""
    slide_scale_deg: float | None
    """Flank: what the slide's scale shows."""
    spring: bool
    """A pass without infeed."""
    gearbox: str | None
    """What the gearbox is set to, "1.75 mm"; null: the lathe does not cut this pitch."""
    half_nuts: Literal["any place", "by the dial", "stay closed"]
    dial_marks: str
    """Of the thread dial, "1 or 3"; empty unless the half-nuts close by it."""
    start_room_mm: float
    """From where the tool starts to the thread's beginning."""
    free_run_mm: float
    """Behind the thread's end, in which the tool may still run; below 0: it does not reach the
    thread's end."""
    relief: bool
    """The tool runs out into a relief, or past an end; else it is drawn out of the metal."""
    last_z: float
    """Z that the tool must not pass at the end of the run, in the setup's frame."""
    hand_rpm: float
    """Greatest speed that a hand can follow: 60 x room / (pitch x 1 s), the room from where the run
    is to end to where it must stand."""
    wires: ThreadWires | None = None
    """Measure over wires before this pass; null: not before it."""


class KnurlSetting(_Record, frozen=True):
    """How one pass of a knurl is pressed. Millimetres; diameters stay diameters."""

    text: str
    """Designation, "RGE 1.0"."""
    blank_mm: float
    """Diameter before it: where the wheels touch."""
    pressed_x_mm: float
    """X at which the points are about sharp; the work springs, so the look decides."""
    lower_mm: float
    """Limits of the diameter over the knurl."""
    upper_mm: float
    first: bool
    """The wheels begin here: they are pressed in."""
    last: bool
    """The wheels come off behind this pass: the diameter over the knurl is checked."""


class StepRow(_Record, frozen=True):
    """One step of a step table: where Z stands and the X it is fed to. Display units."""

    x: float
    z: float


class TangentCut(_Record, frozen=True):
    """A straight cut by the swivelled top slide that touches an arc."""

    angle: float
    """Of the slide to the spindle, radians; below 0 X gets smaller toward the chuck."""
    scale_deg: float
    """What the slide's scale shows."""
    start: Reading
    """Where the tool stands when the slide begins, and where it ends. Display units."""
    end: Reading
    travel: float
    """Way of the slide, millimetres."""


class StepTable(_Record, frozen=True):
    """Steps along an arc or a taper where no guided move exists."""

    rows: tuple[StepRow, ...]
    cusp: float
    """Height of metal that stays between steps, normal to the surface, millimetres."""
    tangents: tuple[TangentCut, ...] = ()
    """Where the steps are many: cuts by the top slide that leave no more, front to back."""


class Pass(_Record, frozen=True):
    """One cut of an operation."""

    number: int
    operation: str
    tool: int
    start: Point
    moves: tuple[Move, ...]
    rpm: float
    surface_speed_m_min: float | None
    feed_mm_per_rev: float | None
    minutes: float
    removed_mm3: float
    start_reading: Reading
    readings: tuple[Reading, ...]
    operation_number: int = 0
    """Index of the operation in the setup's list, from 1."""
    surface: str = ""
    """What it cuts, in words: "seat Ø25 h6", "front face"."""
    section: int | None = None
    """Number of the section in the part record, when it works on one."""
    direction: Literal["turn", "face", "plunge", "taper", "arc", "steps", "drill", "thread"] = (
        "turn"
    )
    depth: float = 0.0
    """Radial depth (turning) or axial depth (facing), millimetres."""
    power: bool = True
    """Moved by power feed as far as `power_until`; else by hand."""
    power_until: float | None = None
    """Z (turning) or r (facing) at which power feed stops and the wheel takes over."""
    last_on_surface: bool = False
    """This pass makes the finished surface."""
    size: PathSize | None = None
    keep_x: bool = False
    """The tool goes back along Z alone: X stays where it cut, for a measure stop."""
    measure: MeasureStop | None = None
    taper: TaperSetting | None = None
    steps: StepTable | None = None
    speed_limited_by: str = ""
    notes: tuple[str, ...] = ()
    cautions: tuple[PathCaution, ...] = ()
    inside: bool = False
    """It works in a bore: metal lies at greater X, the wheel turns the other way."""
    quill_depth_mm: float | None = None
    """Drilled from the tailstock: what the quill's scale counts from the first touch."""
    quill: QuillWork | None = None
    """Made from the tailstock: where it touches, how deep it goes, where it is drawn out."""
    thread: ThreadSetting | None = None
    """A pass of a single-point thread."""
    knurl: KnurlSetting | None = None
    """A pass of knurling wheels, which press and take nothing."""


class PlannedOperation(_Record, frozen=True):
    """An operation as it was planned."""

    number: int
    kind: str
    tool: int
    reason: str
    rpm: float
    surface_speed_m_min: float | None
    feed_mm_per_rev: float | None
    depth_mm: float | None
    x_allowance_mm: float
    z_allowance_mm: float
    first_pass: int | None
    last_pass: int | None
    means: str | None = None
    speed_limited_by: str = ""


class LeftOver(_Record, frozen=True):
    """Metal that stays although it is not part."""

    volume_mm3: float
    z: tuple[float, float]
    reason: str
    cause: str = ""
    """"edge angle", "nose", "no way in", "jaws", "centre", "reach", "shank", "cusp"."""
    remedy: str = ""
    height_mm: float = 0.0
    """How far it stands over the part's surface at most."""
    fillet_mm: float | None = None
    """For an inside corner: the radius that stays."""


class Deviation(_Record, frozen=True):
    """How far one section comes out over and under, millimetres, normal to the surface."""

    section: int
    over_mm: float
    under_mm: float


class Finished(_Record, frozen=True):
    """The finished part against the aimed outline."""

    over_mm: float
    under_mm: float
    left_over: tuple[LeftOver, ...] = ()
    sections: tuple[Deviation, ...] = ()


class Finding(_Record, frozen=True):
    """Something that the program noticed."""

    code: str
    severity: Severity
    message: str
    setup: int | None
    pass_number: int | None = msgspec.field(name="pass")
    z: float | None
    remedy: str
    r: float | None = None
    operation: int | None = None
    """Number of the operation, where it is about one that makes no pass."""


class ThreadMark(_Record, frozen=True):
    """A thread of the finished part for drawings (ISO 6410-1), in the setup's frame."""

    section: int
    text: str
    inside: bool
    z: tuple[float, float]
    """Its usable length, low and high."""
    root_r: float
    """Where its roots stand: drawn as a thin line."""
    crest_r: float


class SectionSpan(_Record, frozen=True):
    """Where a section of the print lies on the part's outline, in the setup's frame."""

    section: int
    """Number of the section in the part record."""
    line: Ring
    """A polyline along the outline, chords within 1e-4."""


class CentreWork(_Record, frozen=True):
    """The tailstock centre in a setup."""

    from_pass: int | None = None
    """It is put in before this pass; null: from the start."""
    designation: str = ""
    """Of its hole, "ISO 6411 - A 2.5/5.3"; empty: no hole is known."""
    face_z: float = 0.0
    """Z of the end face in which it stands."""
    rim_diameter_mm: float = 0.0
    hole_depth_mm: float = 0.0
    between_centres_mm: float | None = None
    """Length of the work, when it is held between centres."""


class SteadyWork(_Record, frozen=True):
    """The steady rest in a setup. Millimetres, z in the setup's frame."""

    low_z: float
    """Its side toward the chuck; no tool comes between here and `high_z`."""
    high_z: float
    diameter_mm: float
    """Of the surface that its fingers run on."""
    from_pass: int | None = None
    """It is set before this pass; null: from the start, or never."""
    stands: bool = True
    """False: its track is not turned, it is never set."""


class EndsCheck(_Record, frozen=True):
    """Measure two places of one cut: what they differ tells how far the tailstock stands off.

    Half the difference where they lie as far apart as the work is long; else more, as the length
    is to the distance.
    """

    before_pass: int
    at_z: tuple[float, float]
    """Near the centre, near the chuck."""
    expected_diameters: tuple[float, float]
    length_mm: float = 0.0
    """From where the work turns about in the chuck, or on the other centre, to the tailstock."""
    move_per_difference: float = 0.5
    """How far the tailstock is moved for each millimetre that the two places differ."""


class WarmGrowth(_Record, frozen=True):
    """How much too large a size is on warm work. Millimetres, kelvin."""

    what: Literal["length", "diameter"]
    size_mm: float
    kelvin: float
    growth_mm: float


class SetupPlan(_Record, frozen=True):
    """One setup's passes and the shapes they were planned for."""

    number: int
    name: str
    frame: Frame
    part: tuple[Ring, ...]
    blank: tuple[Ring, ...]
    obstacles: tuple[Obstacle, ...]
    change_point: Point
    tools: tuple[ToolRecord, ...]
    passes: tuple[Pass, ...]
    remaining: tuple[Ring, ...]
    operations: tuple[PlannedOperation, ...] = ()
    jaw_face_z: float = 0.0
    stick_out_mm: float = 0.0
    grip_mm: float = 0.0
    greatest_rpm: float = 0.0
    greatest_rpm_reason: str = ""
    never_beyond_z: float = 0.0
    raw_front_z: float = 0.0
    centre: CentreWork | None = None
    """Support by the tailstock centre; null: none in this setup."""
    ends_check: EndsCheck | None = None
    """On a centre: the places to measure before finishing."""
    warm: tuple[WarmGrowth, ...] = ()
    """How much sizes grow while the work is warm."""
    zero_from: str = ""
    """How Z is found in this setup, in words."""
    steady: SteadyWork | None = None
    """The steady rest; null: none in this setup."""
    limit_z: float | None = None
    """This setup works no farther toward the chuck: the rest is another setup's."""
    sections: tuple[SectionSpan, ...] = ()
    """Lets the replay give deviations section by section; a section may have several spans."""
    threads: tuple[ThreadMark, ...] = ()
    """The part's threads, for drawings."""


class Totals(_Record, frozen=True):
    """Sums over all setups."""

    passes: int
    minutes: float
    removed_mm3: float
    """From the replay's rings: air beside a hexagon's or square's flats counts as removed."""
    blank_mm3: float = 0.0
    """True volume of the blank: that of the hexagon where the bar is one."""


class PlanSource(_Record, frozen=True):
    """What a plan was made from: the job, and the shop's records that it uses."""

    job: Job
    shop: Shop


class Plan(_Record, frozen=True):
    """The whole plan; see DEVELOPERS.md for the outside contract."""

    job: str
    mark: str
    display_units: Units
    setups: tuple[SetupPlan, ...]
    finished: Finished
    finished_as_read: Finished
    findings: tuple[Finding, ...]
    totals: Totals
    source: PlanSource | None = None
    """null: a plan that was not made from a job here; no sheet can be printed from it."""
    format: Literal["turnsketch-plan"] = "turnsketch-plan"
    version: Literal[1] = 1
