from __future__ import annotations

import math

import msgspec
import pytest

from turnsketch.document.demo import load_demo
from turnsketch.document.sheets import plan as planned
from turnsketch.geometry.elements import Point
from turnsketch.picture.details import path_picture, tool_picture
from turnsketch.picture.display_list import Arrow, DisplayList, Fill, Label, Stroke, text_width_mm
from turnsketch.picture.figures import operation_picture, part_in_blank
from turnsketch.picture.layers import Layer, plan_layers
from turnsketch.picture.recorder import record
from turnsketch.picture.setup_figure import setup_picture
from turnsketch.picture.shapes import area_of, clipped, hatching, kinks, mirrored, profile
from turnsketch.plan_records import Plan


def labels(picture: DisplayList) -> list[Label]:
    return [item for item in picture.items if isinstance(item, Label)]


def setup_figure(plan: Plan) -> DisplayList:
    return setup_picture(plan.setups[0], 170.0, 96.0, lambda mm: f"{mm:g}", lambda mm: f"{mm:+g}")


def test_layers_are_what_the_passes_took(plan: Plan, cuts: tuple[Layer, ...]) -> None:
    assert [layer.pass_number for layer in cuts] == [p.number for p in plan.setups[0].passes]
    face = cuts[0].removed[0]
    # CALC: facing takes the full section 1 mm thick, 16 mm high.
    assert area_of(face) == pytest.approx(16.0, rel=2e-2)
    total = sum(area_of(ring) for layer in cuts for ring in layer.removed)
    blank = area_of(plan.setups[0].blank[0])
    left = sum(area_of(ring) for ring in cuts[-1].remaining)
    assert total + left == pytest.approx(blank, rel=1e-3)


def test_part_in_blank_has_every_kind_of_line(plan: Plan, cuts: tuple[Layer, ...]) -> None:
    picture = part_in_blank(plan.setups[0], cuts, 240.0, 130.0)
    seen = record(picture)
    for kind, role in (("stroke", "outline"), ("stroke", "axis"), ("stroke", "blank"),
                       ("stroke", "hatch"), ("fill", "layer"), ("fill", "jaws"),
                       ("fill", "shade"), ("fill", "part")):  # fmt: skip
        assert seen.of_role(kind, role), (kind, role)
    assert "jaws" in picture.texts()
    tints = [item.level for item in seen.of_role("fill", "layer") if isinstance(item, Fill)]
    assert tints == sorted(tints)
    assert (tints[0], tints[-1]) == (0.0, 1.0)


def test_axis_is_never_drawn_as_an_outline(plan: Plan, cuts: tuple[Layer, ...]) -> None:
    picture = part_in_blank(plan.setups[0], cuts, 240.0, 130.0)
    for item in record(picture).of_role("stroke", "outline"):
        assert isinstance(item, Stroke)
        for a, b in zip(item.points, item.points[1:], strict=False):
            assert not (a.r == 0.0 and b.r == 0.0)


def test_pictures_fit_their_room(plan: Plan, cuts: tuple[Layer, ...]) -> None:
    setup = plan.setups[0]
    for picture, wide, high in (
        (part_in_blank(setup, cuts, 240.0, 130.0), 240.0, 130.0),
        (operation_picture(setup, cuts, 2, 64.0, 32.0), 64.0, 32.0),
        (setup_figure(plan), 170.0, 96.0),
        (tool_picture(setup.tools[0], 34.0, 19.0), 34.0, 19.0),
        (path_picture(setup, setup.passes[9], 100.0, 62.0), 100.0, 62.0),
    ):
        assert picture.width_mm <= wide + 1e-9
        assert picture.height_mm <= high + 1e-9
        assert math.isclose(picture.width_mm, wide) or math.isclose(picture.height_mm, high)


def test_labels_of_the_setup_figure_stay_on_paper_and_apart(plan: Plan) -> None:
    picture = setup_figure(plan)
    boxes = []
    for item in labels(picture):
        wide = text_width_mm(item.text, item.size_mm, item.bold)
        x = (item.at.z - picture.box.low.z) * picture.scale + item.offset_mm.z
        y = (item.at.r - picture.box.low.r) * picture.scale + item.offset_mm.r
        x -= {"start": 0.0, "middle": wide / 2, "end": wide}[item.anchor]
        assert x >= -6.0
        assert x + wide <= picture.width_mm + 1.0
        assert 0 <= y <= picture.height_mm
        boxes.append((x, x + wide, y - 1.6, y + 1.6, item.text))
    for i, a in enumerate(boxes):
        for b in boxes[:i]:
            apart = a[1] <= b[0] or b[1] <= a[0] or a[3] <= b[2] or b[3] <= a[2]
            assert apart, (a[4], b[4])


def test_setup_figure_says_the_places(plan: Plan) -> None:
    words = " | ".join(setup_figure(plan).texts())
    for part in ("grip 13", "stick-out 82 = 2.6 × Ø", "jaw face to Z 0: 81", "never beyond Z -76",
                 "raw face Z +1", "Z 0", "you stand at this side"):  # fmt: skip
        assert part in words, part
    arrows = record(setup_figure(plan)).of_role("arrow", "chosen")
    ends = [a for a in arrows if isinstance(a, Arrow)]
    assert ends[0].end.z > ends[0].start.z
    assert ends[1].end.r < ends[1].start.r


def test_danger_colour_is_for_the_never_beyond_line_alone(
    plan: Plan, cuts: tuple[Layer, ...]
) -> None:
    seen = record(setup_figure(plan))
    (line,) = seen.of_role("stroke", "danger")
    assert isinstance(line, Stroke)
    assert {p.z for p in line.points} == {-76.0}
    assert not record(part_in_blank(plan.setups[0], cuts, 240, 130)).of_role("stroke", "danger")


def test_operation_picture_shows_its_own_layers_only(plan: Plan, cuts: tuple[Layer, ...]) -> None:
    picture = operation_picture(plan.setups[0], cuts, 1, 64.0, 32.0)
    layers = record(picture).of_role("fill", "layer")
    assert len(layers) == 2
    for item in layers:
        assert isinstance(item, Fill)
        assert all(p.z >= -0.5 for ring in item.rings for p in ring)
    other = operation_picture(plan.setups[0], cuts, 99, 64.0, 32.0)
    assert not record(other).of_role("fill", "layer")


def test_tool_picture_marks_the_reference_corner(plan: Plan) -> None:
    for tool in plan.setups[0].tools:
        picture = tool_picture(tool, 34.0, 19.0)
        (spot,) = record(picture).of_role("spot", "chosen")
        assert spot.at == Point(0.0, 0.0)  # type: ignore[union-attr]
        assert set(picture.texts()) == {"X =", "Z ="}
        # The work is above: the cutting end lies at or below the X line.
        for item in record(picture).of_role("fill", "tool"):
            assert isinstance(item, Fill)
            assert all(p.r <= 1e-9 for ring in item.rings for p in ring)


def test_path_picture_follows_the_cut(plan: Plan) -> None:
    setup = plan.setups[0]
    step = setup.passes[9]
    picture = path_picture(setup, step, 100.0, 62.0, ((Point(-57.8, 12.5), "Start"),))
    (way,) = record(picture).of_role("stroke", "chosen")
    assert isinstance(way, Stroke)
    assert (way.points[0].z, way.points[-1].z) == (-57.8, -65.8)
    assert "Start" in picture.texts()


def test_setup_without_obstacles_or_part_can_be_drawn(plan: Plan) -> None:
    bare = msgspec.structs.replace(plan.setups[0], obstacles=(), part=())
    assert part_in_blank(bare, (), 100.0, 60.0).items
    assert operation_picture(bare, (), 1, 60.0, 30.0).items


SQUARE = (Point(0.0, 0.0), Point(0.0, 4.0), Point(-6.0, 4.0), Point(-6.0, 0.0))


def test_profile_leaves_the_axis_out() -> None:
    (line,) = profile(SQUARE)
    assert line == (Point(0.0, 0.0), Point(0.0, 4.0), Point(-6.0, 4.0), Point(-6.0, 0.0))
    tube = tuple(Point(p.z, p.r + 2) for p in SQUARE)
    assert profile(tube) == [(*tube, tube[0])]


def test_clipping_keeps_the_area_inside() -> None:
    from turnsketch.picture.display_list import Box

    inside = clipped(SQUARE, Box(Point(-3.0, 1.0), Point(5.0, 2.0)))
    assert area_of(inside) == pytest.approx(3.0)
    assert clipped(SQUARE, Box(Point(10.0, 0.0), Point(11.0, 1.0))) == ()


def test_hatching_stays_inside_and_respects_holes() -> None:
    hole = (Point(-1.0, 1.0), Point(-1.0, 3.0), Point(-5.0, 3.0), Point(-5.0, 1.0))
    strokes = hatching([SQUARE, hole], 0.5)
    assert strokes
    for stroke in strokes:
        middle_z = sum(p.z for p in stroke.points) / 2
        middle_r = sum(p.r for p in stroke.points) / 2
        assert -6 <= middle_z <= 0
        assert 0 <= middle_r <= 4
        assert not (-5 < middle_z < -1 and 1 < middle_r < 3)
    length = sum(s.points[0].distance(s.points[1]) for s in strokes)
    assert length * 0.5 == pytest.approx(24 - 8, rel=0.1)


def test_kinks_and_mirror() -> None:
    assert kinks(SQUARE) == [Point(0.0, 4.0), Point(-6.0, 4.0)]
    assert area_of(mirrored(SQUARE)) == pytest.approx(24.0)


def test_a_centre_is_drawn_once_it_is_in() -> None:
    arbor = planned(load_demo("drill_arbor"))
    setup, cuts = arbor.setups[1], plan_layers(arbor)[1]
    assert setup.centre is not None
    assert setup.centre.from_pass is not None
    for operation in setup.operations:
        picture = operation_picture(setup, cuts, operation.number, 120.0, 60.0)
        fills = [i for i in record(picture).of_role("fill", "jaws") if isinstance(i, Fill)]
        # In front of the face there is nothing but the centre.
        ahead = any(p.z > 4.0 for fill in fills for ring in fill.rings for p in ring)
        assert operation.last_pass is not None
        assert ahead == (operation.last_pass >= setup.centre.from_pass)
