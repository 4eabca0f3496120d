"""Each event by a plan that provokes it alone, beside a neighbour that does not."""

from __future__ import annotations

from typing import TYPE_CHECKING

import msgspec
import pytest

from turnsketch.checking.replay import replay
from turnsketch.errors import InputError
from turnsketch.geometry.elements import Point
from turnsketch.plan_records import Obstacle, Plan

if TYPE_CHECKING:
    from tests.checking.conftest import Bench

LOW_HOLDER = tuple(Point(z, r) for z, r in [(-2.0, 4.5), (30.0, 4.5), (30.0, 60.0), (-2.0, 60.0)])


def kinds(plan: Plan) -> list[str]:
    return [event.kind for event in replay(plan).events]


def test_a_clean_pass_has_no_event(bench: Bench) -> None:
    assert kinds(bench.plan([bench.turn_to(14, -40), bench.turn_to(10, -40)])) == []


def test_gouge(bench: Bench) -> None:
    (event,) = replay(bench.plan([bench.turn_to(9.9, -39.8)])).events
    assert (event.kind, event.setup, event.pass_number, event.move) == ("gouge", 1, 1, 3)
    assert event.depth_mm == pytest.approx(0.1, abs=1e-9)
    assert event.place.r == pytest.approx(9.9, abs=1e-9)
    assert "0.100 mm into the part" in event.what


@pytest.mark.parametrize(("below", "expected"), [(0.00019, []), (0.00021, ["gouge"])])
def test_gouge_counts_above_twice_the_chord(bench: Bench, below: float, expected: object) -> None:
    assert kinds(bench.plan([bench.turn_to(10 - below, -30)])) == expected


def test_gouge_from_beyond_the_axis(bench: Bench) -> None:
    """A tool at -r takes from the part at +r: facing must stop where the tool's corner is done."""
    part = bench.ring((0, 0), (0, 1), (-1, 10), (-40, 10), (-40, 0))

    def face(to: float) -> Plan:
        steps = (
            ("position", -0.5, 60),
            ("position", -0.5, 17),
            ("cut", -0.5, 9.6),
            ("position", 5, 9.6),
            ("position", 5, to),
            ("cut", -0.5, to),
        )
        return bench.plan([bench.cut(steps)], part=part, tools=[bench.tool(bench.disc(0.4))])

    assert "gouge" not in kinds(face(9.6))
    assert "gouge" in kinds(face(-2.0))


@pytest.mark.parametrize(("radius", "expected"), [(14.99, True), (15.0, False)])
def test_positioning_through_metal(bench: Bench, radius: float, expected: bool) -> None:
    cut = bench.cut((("position", 3, radius), ("position", -20, radius), ("position", -20, 60)))
    events = replay(bench.plan([cut])).events
    assert {event.kind for event in events} == (
        {"positioning through metal"} if expected else set()
    )
    if expected:
        assert events[0].move == 2
        assert events[0].depth_mm == pytest.approx(0.01, abs=1e-9)


def test_withdrawing_along_the_fresh_wall_is_no_event(bench: Bench) -> None:
    steps = (("position", -20, 60), ("cut", -20, 12), ("position", -20, 60))
    blade = bench.ring((0, 0), (3, 0), (3, 30), (0, 30))
    assert kinds(bench.plan([bench.cut(steps)], tools=[bench.tool(blade)])) == []


@pytest.mark.parametrize(("radius", "expected"), [(10.4, True), (10.5, False)])
def test_holder_touches_metal(bench: Bench, radius: float, expected: bool) -> None:
    """A holder that reaches 2 mm beyond the tip, 4.5 above it, over the bar's 15."""
    tool = bench.tool(holder=LOW_HOLDER)
    steps = (("position", 3, 60), ("position", 3, radius), ("cut", -40, radius))
    events = replay(bench.plan([bench.cut(steps)], tools=[tool])).events
    assert [event.kind for event in events] == (["holder touches metal"] if expected else [])
    if expected:
        assert events[0].depth_mm == pytest.approx(0.1, abs=1e-9)
        assert "holder" in events[0].what


def test_the_holder_may_go_where_its_own_pass_takes_metal_away(bench: Bench) -> None:
    """Against the metal before the pass this would be a hit: the holder follows over the cut."""
    tool = bench.tool(holder=bench.ring((1, 2), (30, 2), (30, 60), (1, 60)))
    assert kinds(bench.plan([bench.turn_to(10, -40)], tools=[tool])) == []


def test_holder_in_metal_while_positioning(bench: Bench) -> None:
    tool = bench.tool(holder=LOW_HOLDER)
    steps = (("position", 3, 60), ("position", 3, 10.4), ("position", 2, 10.4))
    assert kinds(bench.plan([bench.cut(steps)], tools=[tool])) == ["holder touches metal"]


@pytest.mark.parametrize(("to_z", "expected"), [(-60.01, True), (-60.0, False)])
def test_hits_obstacle(bench: Bench, to_z: float, expected: bool) -> None:
    steps = (("position", 3, 14), ("cut", to_z, 14))
    events = replay(bench.plan([bench.cut(steps)])).events
    assert [event.kind for event in events] == (["hits obstacle"] if expected else [])
    if expected:
        assert events[0].what == "insert of tool 1 moves 0.010 mm into the jaws"


def test_obstacles_count_below_the_axis(bench: Bench) -> None:
    centre = Obstacle("centre", bench.ring((1, 0), (40, 9), (60, 9), (60, 0)))
    steps = (("position", 20, -1),)
    tool = bench.tool(bench.disc(0.4))
    events = kinds(bench.plan([bench.cut(steps)], tools=[tool], obstacles=[centre]))
    assert events == ["hits obstacle"]


def parting(bench: Bench, z: float, operation: str) -> Plan:
    blade = bench.ring((0, 0), (3, 0), (3, 30), (0, 30))
    steps = (("position", z - 3, 60), ("cut", z - 3, 0), ("position", z - 3, 60))
    return bench.plan([bench.cut(steps, operation)], tools=[bench.tool(blade)])


def test_the_part_comes_off_by_parting_alone(bench: Bench) -> None:
    parted = replay(parting(bench, -40, "part off"))
    assert parted.events == ()
    assert parted.setups[0].parted
    assert len(parted.setups[0].remaining) == 2
    (event,) = replay(parting(bench, -40, "groove")).events
    assert event.kind == "loose piece"
    assert event.depth_mm == 15.0


def test_a_loose_piece_that_is_not_the_part(bench: Bench) -> None:
    """A disc is cut off in front of the part; parted off or not, it falls."""
    plan = bench.plan(
        [bench.cut((("position", 0, 60), ("cut", 0, 0)), "part off")],
        blank=bench.bar(5, -80, 15),
        tools=[bench.tool(bench.ring((0, 0), (3, 0), (3, 30), (0, 30)))],
    )
    result = replay(plan)
    assert [event.kind for event in result.events] == ["loose piece"]
    assert not result.setups[0].parted
    (first,) = result.setups[0].passes
    assert first.loose_mm3 == pytest.approx(2 * 706.8583470577, abs=1e-6)  # pi 15^2 on 2 mm


@pytest.mark.parametrize(("thick", "expected"), [(0.09, []), (0.11, ["loose piece"])])
def test_a_thin_curl_is_swarf(bench: Bench, thick: float, expected: list[str]) -> None:
    """A blade plunges just behind the raw front: what it cuts off in front is that thick."""
    plan = bench.plan(
        [bench.cut((("position", -2, 60), ("cut", -2, 0)))],
        part=bench.bar(-3, -40, 10),
        tools=[bench.tool(bench.ring((0, 0), (3 - thick, 0), (3 - thick, 30), (0, 30)))],
    )
    result = replay(plan)
    assert [event.kind for event in result.events] == expected
    cut = result.setups[0].passes[0]
    assert cut.loose_mm3 == pytest.approx(706.8583470577 * thick, rel=1e-9)


def test_without_jaws_the_back_end_holds(bench: Bench) -> None:
    plan = parting(bench, -40, "part off")
    setup = msgspec.structs.replace(plan.setups[0], obstacles=())
    result = replay(msgspec.structs.replace(plan, setups=(setup,)))
    assert result.events == ()
    assert result.setups[0].parted


def test_start_mismatch(bench: Bench) -> None:
    first, second = bench.turn_to(14, -40), bench.turn_to(12, -40)
    away = bench.shifted(second, start=Point(3.1, 60.0))
    (event,) = replay(bench.plan([first, away])).events
    assert (event.kind, event.pass_number, event.move) == ("start mismatch", 2, 0)
    assert event.depth_mm == pytest.approx(0.1)
    assert kinds(bench.plan([first, second])) == []


def test_another_tool_starts_at_the_change_point(bench: Bench) -> None:
    tools = [bench.tool(), bench.tool(number=2)]
    first, second = bench.turn_to(14, -40), bench.turn_to(12, -40, tool=2)
    assert kinds(bench.plan([first, second], tools=tools)) == []
    stays = bench.shifted(second, start=Point(3.0, 60.0))
    assert kinds(bench.plan([first, stays], tools=tools)) == ["start mismatch"]


def test_a_thread_is_not_swept(bench: Bench) -> None:
    """Swept, it would gouge; its collisions still count."""
    thread = bench.cut((("position", 3, 9), ("thread", -30, 9), ("position", -30, 60)))
    result = replay(bench.plan([bench.turn_to(10, -40), thread]))
    assert "gouge" not in [event.kind for event in result.events]
    assert result.setups[0].passes[1].removed_mm3 == 0.0
    far = bench.cut((("position", 3, 9), ("thread", -61, 9)))
    assert "hits obstacle" in kinds(bench.plan([bench.turn_to(10, -40), far]))


def test_clearances_name_the_closest_approach(bench: Bench) -> None:
    tool = bench.tool(holder=bench.ring((1, 6), (30, 6), (30, 60), (1, 60)))
    (result,) = replay(bench.plan([bench.turn_to(10, -40)], tools=[tool])).setups[0].passes
    jaws, metal = result.obstacle_clearance, result.holder_clearance
    assert jaws is not None
    assert (jaws.name, jaws.place.z) == ("jaws", -60.0)
    assert jaws.distance_mm == pytest.approx(20.0)
    assert metal is not None
    assert metal.distance_mm == pytest.approx(2**0.5)  # holder (-39, 16) over the corner (-40, 15)


def test_the_closest_of_several_moves_counts(bench: Bench) -> None:
    """A slanted obstacle, so that boxes alone cannot tell: 3-4-5 triangle, moves below it."""
    slant = Obstacle("jaws", bench.ring((-80, 20), (-40, 50), (-80, 50)))
    blade = bench.tool(bench.ring((0, 0), (1, 0), (1, 1), (0, 1)))
    steps = (("position", -40, 30), ("position", -50, 30), ("position", -40, 25))
    plan = bench.plan([bench.cut(steps)], tools=[blade], obstacles=[slant])
    near = replay(plan).setups[0].passes[0].obstacle_clearance
    assert near is not None
    # The corner (-50, 31) to the line through (-80, 20) and (-40, 50): 0.8 of its height below.
    assert near.distance_mm == pytest.approx(0.8 * (42.5 - 31))
    assert near.move in (2, 3)


def test_a_missing_tool_is_named(bench: Bench) -> None:
    with pytest.raises(InputError, match="setup 1: pass 1: tool 7"):
        replay(bench.plan([bench.turn_to(14, -40, tool=7)]))


def test_a_ring_without_area_is_named(bench: Bench) -> None:
    with pytest.raises(InputError, match="setup 1: part"):
        replay(bench.plan([], part=bench.ring((0, 0), (1, 0))))


def test_a_missing_reading_is_named(bench: Bench) -> None:
    plan = bench.plan([bench.turn_to(14, -40)])
    (cut,) = plan.setups[0].passes
    assert len(cut.readings) == len(cut.moves)
    short = msgspec.structs.replace(cut, readings=cut.readings[:-1])
    setup = msgspec.structs.replace(plan.setups[0], passes=(short,))
    broken = msgspec.structs.replace(plan, setups=(setup,))
    assert replay(broken).events == ()
    with pytest.raises(InputError, match="every move needs one reading"):
        replay(broken, as_read=True)
