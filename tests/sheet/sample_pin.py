"""A stepped pin by hand, as the planner would hand it to the sheet: bar, passes, findings.

Bar Ø32 x 95, 13 in the jaws. Ø12 end to Z-22, seat Ø25 h6 to Z-58, taper 25 to 30 to Z-66, collar
Ø30 with R3 to Z-72, parted off. Not planned: numbers are set down so that every kind of row
stands on the sheet once.
"""

from __future__ import annotations

import math
from dataclasses import replace
from typing import Literal

import msgspec

from turnsketch.geometry.elements import Line, Point
from turnsketch.job import Blank, Holding, Job, Setup
from turnsketch.part.outline_records import (
    InspectionRow,
    Outline,
    OutlineElement,
    ResolvedPart,
    SectionInfo,
    Size,
)
from turnsketch.part.records import PartRecord, Section
from turnsketch.plan_records import (
    Finding,
    Finished,
    Frame,
    LeftOver,
    MeasureStop,
    Move,
    Obstacle,
    Pass,
    PathSize,
    Plan,
    PlannedOperation,
    Reading,
    SetupPlan,
    StepRow,
    StepTable,
    TaperSetting,
    ToolPiece,
    ToolRecord,
    Totals,
)
from turnsketch.sheet.content import SheetInput
from turnsketch.shop.records import (
    Chuck,
    Dial,
    Lathe,
    Material,
    Readout,
    SurfaceSpeed,
    Tool,
    TopSlide,
)
from turnsketch.shop.tool_shape import tool_shape
from turnsketch.units import Units, from_mm

__all__ = ["sample"]

Kind = Literal["face", "cylinder", "taper", "arc"]
MARK = "4c19a07e"

HOLDER = ((Point(3.0, 6.0), Point(16.0, 5.0), Point(16.0, 60.0), Point(-2.0, 60.0)),)

TOOLS = (
    Tool(1, "roughing", "turning", nose_radius_mm=0.8, shape="C", holder=HOLDER,
         coolant="coolant"),
    Tool(2, "finishing", "turning", nose_radius_mm=0.4, shape="D", edge_angle_deg=93.0,
         end_edge_angle_deg=32.0, holder=HOLDER, coolant="coolant"),
    Tool(3, "chamfer 45°", "chamfer", hand="neutral", material="HSS", edge_length_mm=6.0,
         reference="centre", coolant="dry"),
    Tool(4, "round nose R3", "round", hand="neutral", material="HSS", nose_radius_mm=3.0),
    Tool(5, "parting 3", "parting", hand="neutral", width_mm=3.0, corner_radius_mm=0.2,
         reach_mm=18.0, coolant="coolant"),
)  # fmt: skip

LATHE = Lathe(
    name="Bench 2",
    swing_mm=280.0,
    between_centres_mm=600.0,
    readout=Readout(x_step_mm=0.01, z_step_mm=0.005, x_step_inch=0.0005, z_step_inch=0.0005),
    cross_dial=Dial("mm", 5.0, 100, "diameter"),
    carriage_dial=Dial("mm", 18.0, 90),
    speeds_rpm=(90, 160, 250, 355, 500, 710, 1000, 1400, 2000),
    top_slide=TopSlide(80.0, Dial("mm", 2.0, 100)),
)

CHUCK = Chuck(
    name="160 three-jaw", kind="three-jaw", smallest_mm=3.0, largest_mm=140.0, jaw_length_mm=30.0,
    jaw_height_mm=22.0, body_diameter_mm=160.0, body_length_mm=70.0, greatest_rpm=2500.0,
    least_grip_mm=12.0, bore_mm=42.0,
)  # fmt: skip

MATERIAL = Material(
    "Silicon bronze", "copper alloys", (SurfaceSpeed("carbide", 120, 160, 60),), 780.0, 0.18,
    105.0, 8530.0,
)  # fmt: skip

PART = (
    Point(0.0, 0.0),
    *(Point(-3 + 3 * math.cos(i / 12 * math.pi / 2), 3 + 3 * math.sin(i / 12 * math.pi / 2))
      for i in range(13)),
    Point(-22.0, 6.0), Point(-22.0, 11.5), Point(-22.9965, 12.4965), Point(-58.0, 12.4965),
    Point(-66.0, 15.0), Point(-72.0, 15.0), Point(-72.0, 0.0),
)  # fmt: skip
BLANK = (Point(1.0, 0.0), Point(1.0, 16.0), Point(-94.0, 16.0), Point(-94.0, 0.0))
JAWS = (Point(-81.0, 16.0), Point(-81.0, 38.0), Point(-111.0, 38.0), Point(-111.0, 16.0))
BODY = (Point(-111.0, 21.0), Point(-111.0, 80.0), Point(-181.0, 80.0), Point(-181.0, 21.0))


class _Bench:
    """Adds passes one after the other and keeps where the tool stands."""

    def __init__(self, units: Units) -> None:
        self.units = units
        self.passes: list[Pass] = []
        self.here = Point(61.0, 60.0)
        self.tool = 0

    def reading(self, point: Point) -> Reading:
        digits_x, digits_z = (2, 3) if self.units == "mm" else (4, 4)
        return Reading(
            round(from_mm(2 * point.r, self.units), digits_x),
            round(from_mm(point.z, self.units), digits_z),
        )

    def add(
        self, operation: str, number: int, tool: int, moves: list[tuple[str, float, float]],
        **rest: object,
    ) -> None:  # fmt: skip
        """Append a pass; moves are (kind, X as a diameter, z)."""
        if tool != self.tool:
            self.here, self.tool = Point(61.0, 60.0), tool
        made = tuple(Move(kind, Point(z, x / 2)) for kind, x, z in moves)  # type: ignore[arg-type]
        base = Pass(
            number=len(self.passes) + 1, operation=operation, tool=tool, start=self.here,
            moves=made, rpm=1000.0, surface_speed_m_min=None, feed_mm_per_rev=0.2, minutes=0.4,
            removed_mm3=900.0, start_reading=self.reading(self.here),
            readings=tuple(self.reading(m.to) for m in made), operation_number=number,
        )  # fmt: skip
        self.passes.append(msgspec.structs.replace(base, **rest))
        self.here = made[-1].to


def _passes(units: Units) -> tuple[Pass, ...]:
    bench = _Bench(units)
    p, c = "position", "cut"
    bench.add("face", 1, 1, [(p, 36, 2), (p, 36, 0), (c, -1.6, 0), (p, -1.6, 2), (p, 36, 2)],
              rpm=710.0, feed_mm_per_rev=0.15, surface="front face", direction="face", depth=1.0,
              power_until=1.0, section=1)  # fmt: skip
    for x, z in ((30.8, -72.0), (28.2, -58.6), (25.8, -57.8)):
        bench.add("rough", 2, 1, [(p, x, 2), (c, x, z), (p, math.ceil(x + 2), z),
                  (p, math.ceil(x + 2), 2)], surface="seat Ø25 h6", depth=1.3,
                  power_until=math.ceil(z) + 2.0, section=3,
                  size=PathSize(x))  # fmt: skip
    for x in (19.2, 12.8):
        bench.add("rough", 2, 1, [(p, x, 2), (c, x, -21.9), (p, math.ceil(x + 2), -21.9),
                  (p, math.ceil(x + 2), 2)], surface="end Ø12", depth=3.25, power_until=-19.0,
                  section=2, size=PathSize(x))  # fmt: skip
    bench.add("finish", 3, 2, [(p, 36, 2), (p, 12, 2), (c, 12, -22), (c, 23, -22), (p, 27, -22),
              (p, 27, 2)],
              rpm=1400.0, feed_mm_per_rev=0.1, surface="end Ø12", depth=0.4, section=2,
              last_on_surface=True, power_until=-19.0, size=PathSize(12.0, 11.8, 12.2))  # fmt: skip
    bench.add("finish", 3, 2, [(p, 25.4, 2), (c, 25.4, -57.9), (p, 25.4, 40)], rpm=1400.0,
              feed_mm_per_rev=0.1, surface="seat Ø25 h6", depth=0.2, power_until=-55.0, section=3,
              size=PathSize(25.4))  # fmt: skip
    bench.add("finish", 3, 2, [(p, 24.99, 2), (c, 24.99, -58), (c, 31, -58), (p, 31, 2)],
              rpm=1400.0, feed_mm_per_rev=0.1, surface="seat Ø25 h6", depth=0.205,
              power_until=-55.0, section=3, last_on_surface=True,
              size=PathSize(24.9935, 24.987, 25.0),
              measure=MeasureStop((-30.0, -55.0), 25.4, "micrometer 25-50 (and 0-25)",
                                  "6.5 µm either way are left for the seat"))  # fmt: skip
    bench.add("finish", 4, 2, [(p, 27, -57), (p, 25, -57.8), (c, 30, -65.8), (p, 34, -65.8),
              (p, 34, 2)], feed_mm_per_rev=None, power=False,
              rpm=1400.0, surface="taper 25 to 30", direction="taper", depth=0.4, section=4,
              last_on_surface=True, size=PathSize(30.0),
              taper=TaperSetting("top slide", math.atan(2.5 / 8), 8.382, scale_deg=17.354,
                                 rise_per_50=15.625))  # fmt: skip
    bench.add("chamfer", 5, 3, [(p, 36, -21), (c, 21, -21), (p, 36, -21), (p, 36, 2)],
              rpm=500.0, feed_mm_per_rev=None, power=False, surface="chamfer 1x45°",
              direction="plunge", depth=1.0, section=None)  # fmt: skip
    rows = [Point(-6 + 6 * math.sin(i / 24 * math.pi / 2), 6 * math.cos(i / 24 * math.pi / 2))
            for i in range(25)]  # fmt: skip
    steps = [(c, 2 * q.r, q.z) for q in rows]
    bench.add("finish", 6, 4, [(p, 14, 2), (p, 14, -6), *steps, (p, 0, 2), (p, 36, 2)],
              rpm=710.0, feed_mm_per_rev=None, power=False, surface="round R3", direction="steps",
              depth=0.5, section=5, last_on_surface=True,
              steps=StepTable(tuple(StepRow(bench.reading(q).x, bench.reading(q).z) for q in rows),
                              0.024))  # fmt: skip
    bench.add("part off", 7, 5, [(p, 36, 2), (p, 36, -75), (c, -0.4, -75), (p, 36, -75),
              (p, 36, 2)], rpm=355.0, feed_mm_per_rev=0.06, surface="back face",
              direction="plunge", depth=16.0, section=7, last_on_surface=True,
              speed_limited_by="trainee limit")  # fmt: skip
    return tuple(bench.passes)


_OPERATIONS = (
    (1, "face", 1, "a clean front face sets Z for every tool", 710.0, 0.15, 1, 1, None),
    (2, "rough", 1, "large diameters toward the chuck first", 1000.0, 0.2, 2, 6, None),
    (3, "finish", 2, "h6 wants two equal last cuts", 1400.0, 0.1, 7, 9, None),
    (4, "finish", 2, "8 mm of taper fit the top slide", 1400.0, None, 10, 10, "top slide"),
    (5, "chamfer", 3, "by the edge, nobody turns both wheels for it", 500.0, None, 11, 11, None),
    (6, "finish", 4, "no guided move on this lathe", 710.0, None, 12, 12, "steps"),
    (7, "part off", 5, "last of all", 355.0, 0.06, 13, 13, None),
)


def _tool_record(tool: Tool) -> ToolRecord:
    shape = tool_shape(tool)
    return ToolRecord(
        tool.number,
        tool.name,
        shape.nose_radius,
        tuple(ToolPiece(p.name, p.cuts, p.ring(0.01)) for p in shape.pieces),
        tool.kind,
        tool.hand,
        tool.reference,
        tool.material,
    )


def _setup(units: Units) -> SetupPlan:
    operations = tuple(
        PlannedOperation(n, kind, tool, reason, rpm, None, feed, None, 0.2, 0.1, a, b, means)
        for n, kind, tool, reason, rpm, feed, a, b, means in _OPERATIONS
    )
    return SetupPlan(
        number=1, name="First setup", frame=Frame(), part=(PART,), blank=(BLANK,),
        obstacles=(Obstacle("jaws", JAWS), Obstacle("chuck body", BODY)),
        change_point=Point(61.0, 60.0), tools=tuple(_tool_record(t) for t in TOOLS),
        passes=_passes(units), remaining=(PART,), operations=operations, jaw_face_z=-81.0,
        stick_out_mm=82.0, grip_mm=13.0, greatest_rpm=1400.0,
        greatest_rpm_reason="trainee limit of this shop", never_beyond_z=-76.0, raw_front_z=1.0,
    )  # fmt: skip


_FINDINGS = (
    Finding("stick-out", "caution", "Stick-out is 2.6 × Ø, unsupported.", 1, None, None,
            "Keep the depth below 1.5 mm, or grip 8 mm more."),
    Finding("readout-steps", "caution", "Only one readout step lies inside Ø25 h6: 24.99.", 1, 9,
            -40.0, "Use the top slide at 5°44' for the last cut."),
    Finding("leftover", "note", "0.4 mm³ stays in the corner at Z −22.", 1, 7, -22.0,
            "The nose (R0.4) is smaller than the R0.8 that the print allows."),
)  # fmt: skip

STOP = Finding("gouge", "stop", "Replay: pass 12 cuts 0.05 mm into the round.", 1, 12, -1.5,
               "Take another tool, or check the arc's centre.")  # fmt: skip


def _plan(units: Units, stop: bool) -> Plan:
    setup = _setup(units)
    left = LeftOver(0.4, (-22.0, -21.6), "nose rounder than the corner", "nose",
                    "a nose of R0.2, or a relief", 0.17, 0.4)  # fmt: skip
    return Plan(
        job="Oarlock pin",
        mark=MARK,
        display_units=units,
        setups=(setup,),
        finished=Finished(0.003, 0.0, (left,)),
        finished_as_read=Finished(0.006, 0.002),
        findings=(*((STOP,) if stop else ()), *_FINDINGS),
        totals=Totals(len(setup.passes), 12.4, 40210.0),
    )


def _part() -> ResolvedPart:
    ring = (*PART, PART[0])
    outline = Outline(
        tuple(
            OutlineElement(Line(a, b), None, "cylinder")
            for a, b in zip(PART, ring[1:], strict=True)
        )[:-1],
        (),
    )
    seat = Size(25.0, 24.987, 25.0, 24.9935, "h6 (ISO 286-2)")

    def section(number: int, kind: Kind, label: str, front: float, back: float) -> SectionInfo:
        return SectionInfo(
            number,
            kind,
            label,
            Point(front, 6.0),
            Point(back, 6.0),
            roughness_um=1.6 if number == 3 else None,
        )

    sections = (
        section(1, "face", "front face", 0.0, 0.0),
        section(2, "cylinder", "end Ø12", 0.0, -22.0),
        section(3, "cylinder", "seat Ø25 h6", -22.0, -58.0),
        replace(section(4, "taper", "taper 25 to 30", -58.0, -66.0), half_angle=math.atan(2.5 / 8)),
        replace(
            section(5, "arc", "round R3", 0.0, -3.0),
            radius=Size(3.0, 2.8, 3.2, 3.0, "ISO 2768-m"),
            centre=Point(-3.0, 3.0),
            front=Point(0.0, 3.0),
            back=Point(-3.0, 6.0),
        ),
        section(7, "face", "back face", -72.0, -72.0),
    )
    inspection = (
        InspectionRow("end", "Ø12", Size(12, 11.8, 12.2, 12, "ISO 2768-m"), "diameter", False, 2),
        InspectionRow("seat", "Ø25 h6", seat, "diameter", False, 3),
        InspectionRow("shoulder to front", "58", Size(58, 57.7, 58.3, 58, "ISO 2768-m"), "length",
                      False, 3),
        InspectionRow("taper, half angle", "17.35°",
                      Size(math.radians(17.35), math.radians(16.85), math.radians(17.85),
                           math.radians(17.35), "ISO 2768-m"), "angle", False, 4),
        InspectionRow("end, round", "R3", Size(3, 2.8, 3.2, 3, "ISO 2768-m"), "radius", False, 5),
        InspectionRow("seat, front edge", "1x45°", Size(1, 0.8, 1.2, 1, "ISO 2768-m"), "chamfer",
                      False, 2),
        InspectionRow("overall", "(72)", Size(72, 71.7, 72.3, 72, ""), "length", True, None),
    )  # fmt: skip
    return ResolvedPart(
        name="Oarlock pin", aim=outline, nominal=outline, corners=(), sections=sections,
        inspection=inspection, issues=(), inside_corner_mm=0.8, total_length=72.0,
        greatest_diameter=30.0,
    )  # fmt: skip


def sample(units: Units = "mm", *, stop: bool = False) -> SheetInput:
    """Return all that a sheet needs for the stepped pin."""
    inch = units == "inch"
    job = Job(
        part=PartRecord(
            name="Oarlock pin",
            sections=(Section("cylinder", diameter="25 h6", length="36"),),
            number="SY-014",
            material="Silicon bronze",
            edges="-0.3",
        ),
        blank=Blank("1.26" if inch else "32", "3.74" if inch else "95"),
        lathe="Bench 2",
        setups=(Setup(Holding("160 three-jaw", "0.51" if inch else "13")),),
        units=units,
        title="Oarlock pin",
    )
    return SheetInput(_plan(units, stop), _part(), job, LATHE, CHUCK, TOOLS, MATERIAL)
