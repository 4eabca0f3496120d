"""What a shop has, as the command line prints it: the names that a job may ask for."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from typing import Final

from turnsketch.shop.records import Chuck, Driver, Lathe, Material, Shop, Tool

__all__ = ["shop_lines"]

Fit = Callable[[str], str]
_Row = tuple[str, ...]
_GAP: Final = "  "


def shop_lines(shop: Shop, fit: Fit) -> Iterator[str]:
    """Return the lists of a shop, each an aligned table: lathes, holdings, tools, stock."""
    yield fit(f"{shop.name or 'shop without a name'}; sizes in mm")
    for name, headings, rows in _tables(shop):
        yield ""
        yield from _table((name, *headings), rows, fit)


def _tables(shop: Shop) -> Iterator[tuple[str, _Row, list[_Row]]]:
    yield (
        "LATHES",
        ("swing", "centres", "rpm", "kW", "tapers and arcs"),
        [_lathe(one) for one in shop.lathes],
    )
    yield (
        "HOLDINGS",
        ("kind", "grips", "least grip", "top rpm"),
        [*(_chuck(one) for one in shop.chucks), *(_driver(one) for one in shop.drivers)],
    )
    yield (
        "TOOLS",
        ("name", "kind", "hand", "material", "size"),
        [_tool(one) for one in shop.tools],
    )
    yield (
        "MATERIALS",
        ("group", "rough, finish, part off in m/min"),
        [_material(one) for one in shop.materials],
    )
    yield (
        "BARS",
        ("skin", "in"),
        [(bar.size, bar.skin, ", ".join(bar.materials) or "all") for bar in shop.bars],
    )


def _lathe(lathe: Lathe) -> _Row:
    low, high = lathe.speed_range_rpm or (
        min(lathe.speeds_rpm, default=0.0),
        max(lathe.speeds_rpm, default=0.0),
    )
    return (
        lathe.name,
        f"Ø{lathe.swing_mm:g}",
        f"{lathe.between_centres_mm:g}",
        f"{low:g} to {high:g}",
        f"{lathe.power_kw:g}",
        ", ".join(_means(lathe)) or "by steps",
    )


def _means(lathe: Lathe) -> Iterator[str]:
    if lathe.guided_moves != "none":
        yield f"guided ({lathe.guided_moves})"
    if lathe.top_slide is not None:
        yield "top slide"
    if lathe.set_over_mm > 0:
        yield "set-over"
    if lathe.taper_attachment_deg > 0:
        yield "taper attachment"


def _chuck(chuck: Chuck) -> _Row:
    return (
        chuck.name,
        chuck.kind,
        _grips(chuck),
        f"{chuck.least_grip_mm:g}",
        f"{chuck.greatest_rpm:g}",
    )


def _grips(chuck: Chuck) -> str:
    """Say what a chuck takes: from outside, in a bore, in soft jaws."""
    ways = [f"Ø{chuck.smallest_mm:g} to {chuck.largest_mm:g}"] if chuck.largest_mm > 0 else []
    if chuck.inside_largest_mm > 0:
        ways.append(f"bores {chuck.inside_smallest_mm:g} to {chuck.inside_largest_mm:g}")
    return ", ".join([*ways, *(["soft jaws"] if chuck.soft_jaws else [])])


def _driver(driver: Driver) -> _Row:
    return (
        driver.name,
        "driver",
        f"Ø{driver.smallest_mm:g} to {driver.largest_mm:g}",
        f"{driver.dog_width_mm:g}",
        f"{driver.greatest_rpm:g}",
    )


def _tool(tool: Tool) -> _Row:
    return (f"T{tool.number}", tool.name, tool.kind, tool.hand, tool.material, _size(tool))


def _size(tool: Tool) -> str:
    """Return the size that tells one tool of its kind from another."""
    sizes = {
        "parting": f"{tool.width_mm:g} wide, {tool.reach_mm:g} deep",
        "chamfer": f"{tool.chamfer_angle_deg:g}°",
        "form": f"R{tool.form_radius_mm:g}",
        "centre drill": f"A {tool.centre_size_mm:g}",
    }
    return sizes.get(tool.kind, f"R{tool.nose_radius_mm:g}")


def _material(material: Material) -> _Row:
    speeds = (
        f"{s.tool_material} {s.rough_m_min:g}, {s.finish_m_min:g}, {s.part_off_m_min:g}"
        for s in material.speeds
    )
    return material.name, material.group, "; ".join(speeds)


def _table(headings: _Row, rows: Sequence[_Row], fit: Fit) -> Iterator[str]:
    shown = [tuple(fit(cell) for cell in row) for row in (headings, *rows)]
    widths = [max(len(cell) for cell in column) for column in zip(*shown, strict=True)]
    for row in shown:
        pairs = zip(row, widths, strict=True)
        yield _GAP.join(cell.ljust(width) for cell, width in pairs).rstrip()
    if not rows:
        yield "none"
