"""Several setups: frames, what is carried over, limits; and the centre in one setup."""

from __future__ import annotations

import math

import msgspec
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from tests.pipeline.invariants import _volume
from turnsketch.checking.replay import replay
from turnsketch.document.demo import load_demo
from turnsketch.document.sheets import plan
from turnsketch.errors import InputError
from turnsketch.geometry.constants import GOUGE
from turnsketch.job import Blank, Holding, Job, Operation, Setup
from turnsketch.part.records import PartRecord, Section
from turnsketch.plan_records import Plan, SetupPlan


def cylinder(diameter: str, length: str, corner: str | None = None) -> Section:
    return Section("cylinder", diameter=diameter, length=length, front_corner=corner)


PIN = PartRecord(
    "pin",
    (cylinder("12", "20", "1x45°"), cylinder("16", "25"), cylinder("18", "25", "1x45°")),
    material="mild steel",
    inside_corners="R0.8",
)
PULLED = Job(
    PIN,
    Blank("20", "110", "1"),
    "Slipway 1",
    (
        Setup(Holding("Three-jaw 125", "70"), "front"),
        Setup(Holding("Three-jaw 125"), "back", zero="5", pull_out="40"),
    ),
)
ON_CENTRE = Job(
    msgspec.structs.replace(PIN, centre_hole="allowed"),
    Blank("20", "112", "1"),
    "Slipway 1",
    (Setup(Holding("Three-jaw 125", "30", centre=True)),),
)
DRIVEN = Holding("Driver plate 160", "16", kind="between centres", centred_blank=True)


def codes(made: Plan, severity: str | None = None) -> list[str]:
    return [f.code for f in made.findings if severity in (None, f.severity)]


def clean(made: Plan) -> None:
    """A plan that a supervisor would let go: no stop, nothing hit, the part as printed."""
    assert not codes(made, "stop"), [f.message for f in made.findings]
    for as_read in (False, True):
        assert [e.what for e in replay(made, as_read).events if e.depth_mm > 0.02] == []
    assert made.finished.over_mm <= 0.005
    assert made.finished.under_mm <= GOUGE


def volumes_flow(made: Plan) -> None:
    """Blank less all that is removed is what remains, and each blank is what remained before."""
    removed = sum(p.removed_mm3 for s in made.setups for p in s.passes)
    whole, left = _volume(made.setups[0].blank), _volume(made.setups[-1].remaining)
    assert math.isclose(whole - removed, left, rel_tol=1e-9)
    for before, after in zip(made.setups, made.setups[1:], strict=False):
        assert math.isclose(_volume(before.remaining), _volume(after.blank), rel_tol=1e-12)


def test_a_bar_pulled_out_is_turned_on() -> None:
    made = plan(PULLED)
    clean(made)
    volumes_flow(made)
    first, second = made.setups
    assert (first.frame.z0, second.frame.z0) == (0.0, -5.0)
    assert (first.limit_z, second.limit_z) == (-20.0, None)
    assert second.grip_mm == pytest.approx(30.0)
    assert second.jaw_face_z - 5.0 == pytest.approx(first.jaw_face_z - 40.0)
    assert "Z 5.00" in second.zero_from
    assert [o.kind for o in first.operations] == ["face", "rough", "finish", "chamfer"]
    # Over three diameters long, it would whip if it were parted off with its front end free.
    assert [o.kind for o in second.operations] == ["rough", "finish", "chamfer"]
    (told,) = [f for f in made.findings if f.code == "back-not-made"]
    assert "whip" in told.message


def test_the_blank_of_a_setup_is_what_remained_point_by_point() -> None:
    first, second = plan(PULLED).setups
    moved = [[(z + 5.0, r) for z, r in ring] for ring in first.remaining]
    blank = [[tuple(p) for p in ring] for ring in second.blank]
    assert [len(ring) for ring in blank] == [len(ring) for ring in moved]
    for got, expected in zip(blank, moved, strict=True):
        assert all(math.dist(a, b) < 1e-9 for a, b in zip(got, expected, strict=True))


def test_the_first_setup_leaves_the_bar_behind_its_limit() -> None:
    first = plan(PULLED).setups[0]
    cuts = [m.to.z for p in first.passes for m in p.moves if m.kind == "cut"]
    assert min(cuts) == -20.0


def test_named_sections_limit_a_setup() -> None:
    front, back = PULLED.setups
    limited = (msgspec.structs.replace(front, sections=(1,)), back)
    held = msgspec.structs.replace(
        limited[0], holding=msgspec.structs.replace(front.holding, grip="30")
    )
    job = msgspec.structs.replace(
        PULLED,
        setups=(held, msgspec.structs.replace(back, pull_out=None, holding=held.holding)),
    )
    made = plan(job)
    clean(made)
    volumes_flow(made)
    assert made.setups[0].limit_z == -20.0
    assert made.setups[1].zero_from.startswith("The work was taken up again")


def test_a_blank_that_is_not_what_remained_is_seen() -> None:
    made = plan(PULLED)
    first, second = made.setups
    other = msgspec.structs.replace(second, blank=plan(PULLED).setups[0].blank)
    events = replay(msgspec.structs.replace(made, setups=(first, other))).events
    assert [e.kind for e in events] == ["blank mismatch"]
    assert events[0].setup == 2
    assert events[0].depth_mm == pytest.approx(5.0, abs=1.1)


@pytest.mark.parametrize(
    ("setups", "where"),
    [
        ((Setup(Holding("Three-jaw 125")),), "setups[0].holding.grip"),
        ((Setup(Holding("Three-jaw 125", "30"), pull_out="5"),), "setups[0].pull_out"),
        (
            (PULLED.setups[0], Setup(Holding("Three-jaw 125", "20"), pull_out="40")),
            "setups[1].pull_out",
        ),
        (
            (Setup(Holding("Three-jaw 125", "100")), Setup(Holding("Three-jaw 125", "30"))),
            "setups[0].sections",
        ),
    ],
)
def test_setups_that_cannot_be(setups: tuple[Setup, ...], where: str) -> None:
    with pytest.raises(InputError) as caught:
        plan(msgspec.structs.replace(PULLED, setups=setups))
    assert caught.value.where == where


@settings(max_examples=6, deadline=None, suppress_health_check=list(HealthCheck))
@given(
    st.lists(st.integers(0, 3), min_size=2, max_size=4),
    st.lists(st.integers(8, 30), min_size=4, max_size=4),
    st.integers(0, 40),
    st.booleans(),
)
def test_nothing_is_lost_between_setups(
    steps: list[int], lengths: list[int], zero: int, chamfered: bool
) -> None:
    """Any shaft that grows toward the chuck, its first section in one setup, the rest later."""
    diameters = [14 + 2 * sum(steps[: i + 1]) for i in range(len(steps))]
    corner = "1x45°" if chamfered else None
    sections = tuple(
        cylinder(str(d), str(n), None if i else corner)
        for i, (d, n) in enumerate(zip(diameters, lengths, strict=False))
    )
    total = sum(lengths[: len(sections)])
    length = total + 1 + 40
    grip = length - (lengths[0] + 1 + 8)
    job = Job(
        PartRecord("shaft", sections, material="mild steel"),
        Blank(str(diameters[-1] + 2), str(length), "1"),
        "Slipway 2",
        (
            Setup(Holding("Three-jaw 125", str(grip))),
            Setup(Holding("Three-jaw 125"), zero=str(zero), pull_out=str(grip - 25)),
        ),
    )
    made = plan(job)
    volumes_flow(made)
    assert [e.what for e in replay(made).events] == []
    assert made.finished.under_mm <= GOUGE


# --- the centre -------------------------------------------------------------------------------


def test_the_centre_goes_in_after_its_hole() -> None:
    made = plan(ON_CENTRE)
    clean(made)
    (setup,) = made.setups
    assert [o.kind for o in setup.operations][:3] == ["face", "centre hole", "rough"]
    assert setup.centre is not None
    assert setup.centre.from_pass == 3
    assert setup.centre.designation == "ISO 6411 - A 2.5/5.3"
    late = {o.name: o.from_pass for o in setup.obstacles}
    assert late == {
        "jaws": None,
        "chuck body": None,
        "centre": 3,
        "centre nose": 3,
        "centre body": 3,
        "quill": 3,
    }
    drilled = setup.passes[1]
    assert drilled.quill_depth_mm == 4.6
    assert drilled.feed_mm_per_rev is None
    assert [(r.x, r.z) for r in drilled.readings][2] == (0.0, -4.6)


def test_no_parting_is_proposed_on_the_centre() -> None:
    assert "part off" not in [o.kind for o in plan(ON_CENTRE).setups[0].operations]


def test_the_hole_stands_in_the_finished_part() -> None:
    (setup,) = plan(ON_CENTRE).setups
    front = [p for p in setup.part[0] if p.z > -4.6 - 1e-9 and p.r < 2.7]
    assert {(round(p.z, 3), round(p.r, 3)) for p in front} >= {(0.0, 2.65), (-4.6, 0.0)}


def test_an_obstacle_put_in_later_is_not_hit_before() -> None:
    """Without its first pass the drill would run through the centre."""
    made = plan(ON_CENTRE)
    (setup,) = made.setups
    early = tuple(msgspec.structs.replace(o, from_pass=None) for o in setup.obstacles)
    changed = msgspec.structs.replace(setup, obstacles=early)
    events = replay(msgspec.structs.replace(made, setups=(changed,))).events
    assert {(e.kind, e.pass_number) for e in events} >= {("hits obstacle", 2)}
    assert all(e.pass_number <= 2 for e in events)


def test_no_tool_comes_nearer_to_the_centre_than_it_may() -> None:
    (setup,) = plan(ON_CENTRE).setups
    played = replay(plan(ON_CENTRE)).setups[0].passes
    assert all(
        p.obstacle_clearance is None or p.obstacle_clearance.distance_mm > 1.9 for p in played
    )
    assert setup.change_point.r >= 20.0


def test_before_a_centre_the_tool_goes_out_in_x_for_the_measure_stop() -> None:
    job = load_demo("slender_pin")
    made = plan(job)
    clean(made)
    two = [p for p in made.setups[0].passes if p.notes == ("first of two equal cuts",)]
    assert len(two) == 2
    assert not any(p.keep_x for p in two)


def test_the_slender_pin_grows_when_it_is_warm() -> None:
    setup = plan(load_demo("slender_pin")).setups[0]
    length = next(w for w in setup.warm if w.what == "length")
    assert length.growth_mm == pytest.approx(151.0 * 30 * 16.5e-6)


def test_where_no_hole_may_stay_it_is_cut_off_with_its_length() -> None:
    """DIN 332-1: a hole A 2.5 goes with 7 mm."""
    part = msgspec.structs.replace(PIN, centre_hole="not allowed")
    grip = ON_CENTRE.setups[0].holding
    job = msgspec.structs.replace(
        ON_CENTRE,
        part=part,
        blank=Blank("20", "119", "8"),
        setups=(Setup(grip), Setup(msgspec.structs.replace(grip, centre=False))),
    )
    made = plan(job)
    clean(made)
    volumes_flow(made)
    first, second = made.setups
    assert first.centre is not None
    assert first.centre.face_z == pytest.approx(7.0)
    assert all(p.r == 0.0 or p.z < -1 or p.r > 4 for p in second.part[0])
    faced = [p for p in second.passes if p.operation == "face"]
    assert [p.readings[-3].x for p in faced][-1] == -1.6
    assert faced[0].readings[-3].x > 2.0


def test_too_short_for_the_extra_length_is_a_stop_with_the_figure() -> None:
    """Common practice: 5 mm longer for a 1.6 hole."""
    part = PartRecord(
        "thin pin", (cylinder("10", "60"),), material="mild steel", centre_hole="not allowed"
    )
    holding = Holding("Three-jaw 125", "20", centre=True)
    made = plan(Job(part, Blank("12", "100", "1"), "Slipway 1", (Setup(holding),)))
    found = next(f for f in made.findings if f.code == "centre-hole-not-allowed")
    assert found.severity == "stop"
    assert "5.00 mm more length" in found.message
    assert "4.00 mm longer" in found.remedy


def test_the_face_is_left_alone_where_the_centre_stands() -> None:
    """A centred blank that is 1 mm long yet: facing stops at the centre, not in it."""
    job = msgspec.structs.replace(
        ON_CENTRE,
        setups=(Setup(msgspec.structs.replace(ON_CENTRE.setups[0].holding, centred_blank=True)),),
    )
    made = plan(job)
    assert [e.what for e in replay(made).events] == []
    face = next(p for p in made.setups[0].passes if p.operation == "face")
    assert 5.3 < face.readings[-3].x < 20.0


# --- between centres --------------------------------------------------------------------------


def between(operations: tuple[Operation, ...] | None = None) -> SetupPlan:
    part = PartRecord(
        "taper pin",
        (
            cylinder("16", "20"),
            Section("taper", front_diameter="16", back_diameter="18", length="60"),
            cylinder("18", "15"),
        ),
        material="mild steel",
        inside_corners="R0.8",
    )
    job = Job(part, Blank("20", "120", "0"), "Slipway 1", (Setup(DRIVEN, operations=operations),))
    made = plan(job)
    clean(made)
    volumes_flow(made)
    return made.setups[0]


def test_between_centres_dog_plate_and_both_centres_are_there() -> None:
    setup = between()
    assert [o.name for o in setup.obstacles] == [
        "dog",
        "driver plate",
        "headstock centre",
        "headstock centre body",
        "centre",
        "centre nose",
        "centre body",
        "quill",
    ]
    assert setup.centre is not None
    assert setup.centre.from_pass is None
    assert setup.centre.between_centres_mm == 120.0
    assert "centre hole" not in [o.kind for o in setup.operations]
    under = [p for ring in setup.remaining for p in ring if p.z < setup.jaw_face_z]
    assert max(p.r for p in under) == 10.0


def test_between_centres_the_tailstock_can_be_set_over() -> None:
    setup = between((Operation("rough", 1), Operation("finish", 2, means="set-over")))
    taper = next(p.taper for p in setup.passes if p.taper is not None)
    assert taper.means == "set-over"
    assert taper.set_over == pytest.approx(120.0 * math.sin(math.atan(1 / 60)))


def test_a_chuck_offers_no_set_over() -> None:
    part = PartRecord(
        "taper pin",
        (Section("taper", front_diameter="16", back_diameter="18", length="60"),),
        material="mild steel",
    )
    held = Setup(
        Holding("Three-jaw 125", "25"),
        operations=(Operation("rough", 1), Operation("finish", 2, means="set-over")),
    )
    made = plan(Job(part, Blank("20", "110", "0"), "Slipway 1", (held,)))
    assert {p.taper.means for p in made.setups[0].passes if p.taper} == {"top slide"}


def test_setups_are_planned_alike_twice() -> None:
    assert plan(PULLED) == plan(msgspec.structs.replace(PULLED))


def test_no_hole_is_drilled_through_the_outside() -> None:
    """A head 0.5 thick before a neck Ø4: the countersink would come out beside the neck."""
    part = PartRecord(
        "thin",
        (cylinder("17.1", "0.5"), cylinder("4", "0.7")),
        material="mild steel",
        centre_hole="allowed",
    )
    holding = Holding("Three-jaw 125", "20", centre=True)
    made = plan(Job(part, Blank("19", "35", "1"), "Slipway 1", (Setup(holding),)))
    assert not [p for p in made.setups[0].passes if p.operation == "centre hole"]
    assert not [e for e in replay(made).events if e.kind == "gouge"]
