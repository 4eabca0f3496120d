"""Shop files: the built-in shop is sound, and every fault of a file is named with its place."""

from __future__ import annotations

import csv
import json
import math
from importlib.resources import files
from pathlib import Path
from typing import Any

import pytest
import shapely

from turnsketch.errors import InputError
from turnsketch.part.text import parse
from turnsketch.shop.files import demo_shop, load_shop, loads_shop
from turnsketch.shop.records import Tool
from turnsketch.shop.tool_shape import tool_shape
from turnsketch.strict_json import pretty

CHORD = 1e-4


def changed(path: str, value: object) -> bytes:
    """Return the built-in shop's file with one value put in at a path like ``tools.0.number``."""
    tree: Any = json.loads(pretty(demo_shop()))
    *way, last = path.split(".")
    node = tree
    for step in way:
        node = node[int(step) if isinstance(node, list) else step]
    node[int(last) if isinstance(node, list) else last] = value
    return json.dumps(tree).encode()


def test_the_built_in_shop_has_what_the_demo_parts_need() -> None:
    shop = demo_shop()
    assert [lathe.name for lathe in shop.lathes] == ["Slipway 1", "Slipway 2", "Boathouse"]
    kinds = {"turning", "round", "chamfer", "form", "parting", "centre drill"}
    kinds |= {"drill", "reamer", "countersink", "boring"}
    assert {tool.kind for tool in shop.tools} >= kinds
    assert all(material.source for material in shop.materials)
    assert all(lathe.top_slide for lathe in shop.lathes)
    assert {lathe.guided_moves for lathe in shop.lathes} == {"none", "taper and arc"}


def test_a_shop_is_read_back_the_same(tmp_path: Path) -> None:
    path = tmp_path / "shop.json"
    path.write_bytes(pretty(demo_shop()))
    assert load_shop(path) == demo_shop()


OUTSIDE = ("turning", "round", "chamfer", "form", "parting", "centre drill")


@pytest.mark.parametrize(
    "tool",
    [tool for tool in demo_shop().tools if tool.kind in OUTSIDE],
    ids=lambda tool: f"T{tool.number}",
)
def test_a_holder_stays_behind_its_edges(tool: Tool) -> None:
    """Nothing of a holder stands outside the edges drawn on for ever, or reaches below them."""
    shape = tool_shape(tool)
    insert = shapely.union_all([shapely.Polygon(p.ring(CHORD)) for p in shape.cutting])
    holder = shapely.union_all([shapely.Polygon(p.ring(CHORD)) for p in shape.passive])
    assert holder.area > 50
    assert insert.intersects(holder)
    assert shapely.difference(holder, _behind(tool, insert)).area < 1e-6


def _behind(tool: Tool, insert: shapely.geometry.base.BaseGeometry) -> shapely.Polygon:
    """Return what lies behind the edges of a tool, drawn on to 200 mm."""
    left, low, _, _ = insert.bounds
    if tool.kind == "parting":
        return shapely.box(left, low + tool.reach_mm, 200, 200)
    if tool.kind == "centre drill":
        return shapely.box(insert.bounds[2], -200, 200, 200)
    if tool.kind in ("round", "form"):
        return shapely.box(left, low, 200, 200)
    if tool.kind == "chamfer":
        angles = (180 - tool.chamfer_angle_deg, tool.chamfer_angle_deg)
    else:
        angles = (180 - tool.edge_angle_deg, tool.end_edge_angle_deg)
    if tool.hand == "left":
        angles = (180 - angles[0], 180 - angles[1])
    tip = _sharp_corner(tool, angles)
    far = [
        (tip[0] + 200 * math.cos(math.radians(a)), tip[1] + 200 * math.sin(math.radians(a)))
        for a in angles
    ]
    return shapely.Polygon(
        [tip, far[0], (far[0][0] + far[1][0] - tip[0], far[0][1] + far[1][1] - tip[1]), far[1]]
    )


def _sharp_corner(tool: Tool, angles: tuple[float, float]) -> tuple[float, float]:
    """Return where the two edges would meet without the nose."""
    radius = tool.nose_radius_mm
    centre = -radius if tool.hand == "left" else radius
    if tool.kind == "chamfer":
        return (0.0, 0.0)
    one, two = (math.radians(a) for a in angles)
    half = abs(one - two) / 2
    middle = (one + two) / 2
    way = radius / math.sin(half)
    return (centre - way * math.cos(middle), radius - way * math.sin(middle))


@pytest.mark.parametrize(
    ("path", "value", "where"),
    [
        ("format", "turnsketch-job", "format"),
        ("version", 2, "version"),
        ("lathes.1.name", "Slipway 1", "lathes[1]"),
        ("lathes.0.name", "", "lathes[0].name"),
        ("lathes.0.speeds_rpm", [], "lathes[0]"),
        ("lathes.0.speed_range_rpm", [40, 900], "lathes[0]"),
        ("lathes.0.speeds_rpm", [90, 45], "lathes[0].speeds_rpm"),
        ("lathes.1.speed_range_rpm", [0, 900], "lathes[1].speed_range_rpm"),
        ("lathes.0.efficiency", 1.5, "lathes[0].efficiency"),
        ("lathes.0.swing_mm", -1, "lathes[0].swing_mm"),
        ("lathes.0.readout.x_step_mm", 0, "lathes[0].readout.x_step_mm"),
        ("lathes.0.cross_dial.divisions", 0, "lathes[0].cross_dial.divisions"),
        ("lathes.0.cross_dial.fine_per_turn", 1, "lathes[0].cross_dial"),
        ("lathes.0.top_slide.dial.per_turn", 0, "lathes[0].top_slide.dial.per_turn"),
        ("lathes.0.change_point", [60, 0], "lathes[0].change_point"),
        ("lathes.0.colour", "green", "lathes[0]"),
        ("chucks.0.smallest_mm", 500, "chucks[0].smallest_mm"),
        ("chucks.0.greatest_rpm", 0, "chucks[0].greatest_rpm"),
        ("chucks.0.inside_smallest_mm", 500, "chucks[0].inside_smallest_mm"),
        ("chucks.0.soft_least_grip_mm", -1, "chucks[0].soft_least_grip_mm"),
        ("chucks.4.inside_largest_mm", 0, "chucks[4].inside_largest_mm"),
        ("lathes.0.steady_smallest_mm", 90, "lathes[0].steady_smallest_mm"),
        ("lathes.0.steady_width_mm", 0, "lathes[0].steady_width_mm"),
        ("tools.1.number", 1, "tools[1]"),
        ("tools.0.number", 0, "tools[0].number"),
        ("tools.0.edge_angle_deg", 176, "tools[0].edge_angle_deg"),
        ("tools.0.end_edge_angle_deg", 85, "tools[0]"),
        ("tools.0.nose_radius_mm", -0.4, "tools[0].nose_radius_mm"),
        ("tools.0.kind", "laser", "tools[0].kind"),
        ("tools.0.holder", [[[0, 0], [1, 1]]], "tools[0].holder[0]"),
        ("tools.0.holder", [[[0, 0], [4, 0], [1, 1], [0, 4]]], "tools[0].holder[0]"),
        ("tools.0.holder", [[[0, 0], [1, 1], [2, 2]]], "tools[0].holder[0]"),
        (
            "tools.0.holder",
            [[[10, 0], [-8, 6], [3, -9.5], [3, 9.5], [-8, -6]]],
            "tools[0].holder[0]",
        ),
        ("tools.6.reach_mm", 0, "tools[6]"),
        ("materials.0.speeds", [], "materials[0].speeds"),
        ("materials.0.speeds.1.tool_material", "HSS", "materials[0].speeds"),
        ("materials.0.speeds.1.rough_m_min", 0, "materials[0].speeds[1].rough_m_min"),
        ("materials.0.kc11_n_mm2", 0, "materials[0].kc11_n_mm2"),
        ("clearances.approach", -1, "clearances.approach"),
        ("limits.greatest_rpm", 0, "limits.greatest_rpm"),
        ("bars", [{"size": "10"}] * 2001, "bars"),
    ],
)
def test_the_fault_is_named_with_its_place(path: str, value: object, where: str) -> None:
    with pytest.raises(InputError) as caught:
        loads_shop(changed(path, value), "yard.json")
    assert caught.value.where == f"yard.json: {where}"


def test_a_shop_file_that_is_missing(tmp_path: Path) -> None:
    with pytest.raises(InputError, match="no such shop file"):
        load_shop(tmp_path / "none.json")


# Where the numbers of the built-in shop come from


def table(name: str) -> list[dict[str, str]]:
    text = files("turnsketch.resources").joinpath("tables", name).read_text("utf-8")
    return list(csv.DictReader(line for line in text.splitlines() if not line.startswith("#")))


def hss_span(*materials: str, sources: str = "ABCD") -> tuple[float, float]:
    """Return the lowest and the highest speed that the sources give, m/min."""
    rows = [
        row
        for row in table("cutting_speeds.csv")
        if row["material"] in materials and row["source"] in sources
    ]
    factors = [0.3048 if row["unit"] == "sfm" else 1.0 for row in rows]
    lows = [float(row["low"]) * f for row, f in zip(rows, factors, strict=True)]
    highs = [float(row["high"]) * f for row, f in zip(rows, factors, strict=True)]
    return min(lows), max(highs)


@pytest.mark.parametrize(
    ("material", "names"),
    [
        ("mild steel", ("mild steel", "machine steel")),
        ("free-cutting steel", ("mild steel", "machine steel")),
        ("stainless steel", ("stainless", "stainless (row label lost)")),
        ("bronze", ("brass & bronze", "bronze", "hard bronze")),
        ("brass", ("brass", "brass & bronze")),
        ("aluminium", ("aluminium",)),
    ],
)
def test_surface_speeds_lie_inside_the_span_of_the_table(
    material: str, names: tuple[str, ...]
) -> None:
    """HSS as the table has it; carbide at 2 to 6 times that (sources A and D)."""
    (record,) = (m for m in demo_shop().materials if m.name == material)
    low, high = hss_span(*names)
    for speed in record.speeds:
        least, most = (1.0, 1.0) if speed.tool_material == "HSS" else (2.0, 6.0)
        assert low * least <= speed.rough_m_min <= speed.finish_m_min <= high * most
        assert speed.part_off_m_min < speed.rough_m_min


@pytest.mark.parametrize(
    ("material", "row"),
    [
        ("mild steel", "S275JR"),
        ("brass", "brass"),
        ("stainless steel", "X5CrNi18-10"),
        ("aluminium", "Al wrought (AlMg)"),
    ],
)
def test_cutting_forces_are_those_of_the_table(material: str, row: str) -> None:
    (record,) = (m for m in demo_shop().materials if m.name == material)
    (found,) = (r for r in table("kienzle.csv") if r["material"] == row)
    assert record.kc11_n_mm2 == float(found["kc11_N_mm2"])
    assert record.mc == float(found["mc"])


@pytest.mark.parametrize(
    ("material", "row"),
    [
        ("mild steel", "steel"),
        ("stainless steel", "stainless AISI 302"),
        ("bronze", "bronze"),
        ("brass", "brass"),
        ("aluminium", "aluminium alloys"),
    ],
)
def test_moduli_lie_inside_the_span_of_the_table(material: str, row: str) -> None:
    (record,) = (m for m in demo_shop().materials if m.name == material)
    (found,) = (r for r in table("modulus.csv") if r["material"] == row)
    assert float(found["low_GPa"]) <= record.modulus_gpa <= float(found["high_GPa"])


def test_bars_have_sizes_that_read() -> None:
    for bar in demo_shop().bars:
        assert 5 < parse(bar.size, "mm", {"diameter"}).nominal < 80
