"""Findings about cuts that are too deep or too thin."""

from __future__ import annotations

from tests.findings.cases import (
    PIN,
    ROLLER,
    SHOP,
    but,
    codes,
    one,
    planned,
    view_of,
    with_operation,
    with_pass,
    with_tool,
)
from turnsketch.findings.cuts import chamfer_too_wide, thin_finish, too_deep

FREE = but(SHOP, limits=but(SHOP.limits, greatest_depth_mm=None))


def test_deeper_than_the_tool_is_used_for_is_one_caution_for_all_passes() -> None:
    deep = with_operation(PIN, "rough", depth="4")
    found = one("too-deep", deep, FREE)
    assert found.severity == "caution"
    assert found.message.startswith("passes ")
    assert "T1 is used for at most 2.00 mm" in found.message
    assert found.pass_number is not None
    assert "too-deep" not in codes(PIN)


def test_deeper_than_the_edge_can_take_names_the_edge() -> None:
    short_edge = with_tool(1, usable_edge_mm=0.5)
    assert "T1's edge can take 0.50 mm" in one("too-deep", PIN, short_edge).message


def test_a_finish_over_too_much_metal_is_too_deep() -> None:
    made = planned(PIN)
    finish = next(p for p in made.setups[0].passes if p.operation == "finish")
    (found,) = too_deep(view_of(PIN, with_pass(made, but(finish, depth=1.5))))
    assert found.severity == "caution"
    assert "T2 is used for at most 1.00 mm" in found.message
    assert "rough closer first" in found.remedy


def test_a_pass_deeper_than_its_setting_is_told() -> None:
    job = with_operation(PIN, "rough", depth="1")
    made = planned(job)
    rough = next(p for p in made.setups[0].passes if p.operation == "rough")
    (found,) = too_deep(view_of(job, with_pass(made, but(rough, depth=1.2))))
    assert "the operation is set to 1.00 mm" in found.message
    assert found.pass_number == rough.number


def test_a_setting_over_the_trainees_limit_is_a_note() -> None:
    deep = with_operation(PIN, "rough", depth="4")
    found = one("depth-held-back", deep)
    assert found.severity == "note"
    assert "4.00 mm" in found.message
    assert "2.00 mm" in found.message
    assert "depth-held-back" not in codes(deep, FREE)
    assert "depth-held-back" not in codes(PIN)


def test_a_chamfer_wider_than_the_edge_is_a_caution() -> None:
    # 1 / cos 45° = 1.41 is cut along the edge; the planner's own tool takes 4.
    short = with_tool(6, usable_edge_mm=1.0)
    (found,) = chamfer_too_wide(view_of(PIN, planned(PIN), short))
    assert (found.code, found.severity) == ("too-deep", "caution")
    assert "1x45°" in found.message
    assert "1.41 mm" in found.message
    assert found.pass_number is not None
    assert not list(chamfer_too_wide(view_of(PIN)))


def test_a_finishing_cut_thinner_than_the_edge_cuts_is_one_caution() -> None:
    # 0.05 is left on radius, rounded up to easy figures; a carbide edge wants 0.10
    found = one("thin-finish", with_operation(PIN, "rough", x_allowance="0.02"))
    assert found.severity == "caution"
    assert "0.050 mm" in found.message
    assert "T2 rubs below 0.100 mm" in found.message
    assert "thin-finish" not in codes(PIN)


def test_a_keen_tool_takes_the_same_cut() -> None:
    keen = with_tool(2, thinnest_cut_mm=0.03)
    assert "thin-finish" not in codes(with_operation(PIN, "rough", x_allowance="0.02"), keen)


def test_the_readings_count_and_not_the_exact_moves() -> None:
    made = planned(PIN)
    seat = next(
        p
        for p in made.setups[0].passes
        if p.operation == "finish" and p.surface.startswith("seat") and p.last_on_surface
    )
    # The sheet's X stands so far out that 0.05 is left of the cut.
    out = round(24.99 + 2 * seat.depth - 0.1, 2)
    readings = tuple(but(r, x=out if abs(r.x - 24.99) < 1e-6 else r.x) for r in seat.readings)
    assert readings != seat.readings
    (found,) = thin_finish(view_of(PIN, with_pass(made, but(seat, readings=readings))))
    assert found.pass_number == seat.number


def test_inch_jobs_are_told_in_inches() -> None:
    found = one("thin-finish", with_operation(ROLLER, "rough", x_allowance=".001"))
    assert " in" in found.message
    assert "mm" not in found.message
    assert found.pass_number is not None
