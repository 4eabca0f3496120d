"""Plans made dangerous (or hopeless) on purpose: each is named by a finding of its own.

Thirty and more ways in which a part is spoilt, a tool broken or somebody hurt (common practice).
"""

from __future__ import annotations

import pytest

from tests.findings.cases import (
    KNOB,
    PIN,
    ROLLER,
    SHAFT,
    SHOP,
    but,
    codes,
    planned,
    with_blank,
    with_holding,
    with_lathe,
    with_list,
    with_operation,
    with_part,
    with_section,
    with_tool,
    without,
)
from turnsketch.job import Job, Operation
from turnsketch.shop.records import Shop

Case = tuple[str, Job, Shop, str]

SLOW = but(SHOP, chucks=tuple(but(c, greatest_rpm=300.0) for c in SHOP.chucks))
UNLIMITED = but(SHOP, limits=but(SHOP.limits, greatest_depth_mm=None))
LONG_GRIP = but(SHOP, chucks=tuple(but(c, least_grip_mm=40.0) for c in SHOP.chucks))

CASES: tuple[Case, ...] = (
    ("the bar is thinner than the part", with_blank(PIN, diameter="28"), SHOP, "blank-too-small"),
    ("the bar is shorter than the part", with_blank(PIN, length="60"), SHOP, "blank-too-short"),
    ("the part reaches into the jaws", with_blank(PIN, length="88"), SHOP, "jaws-in-the-cut"),
    ("the last cut ends beside the jaws", with_blank(PIN, length="97"), SHOP, "near-the-jaws"),
    ("a long bar whips", with_blank(PIN, length="145"), SHOP, "stick-out"),
    ("it is parted off far from the jaws", with_blank(PIN, length="145"), SHOP, "parting-far-out"),
    ("two fingers' width is gripped", with_holding(PIN, grip="9"), SHOP, "grip-short"),
    ("the shop asks for more grip", PIN, LONG_GRIP, "grip-short"),
    ("the bar does not turn over the bed", PIN, with_lathe("Slipway 1", swing_mm=30.0), "swing"),
    (
        "a bar is faced away with its scale",
        with_blank(PIN, skin="black", diameter="30.8"),
        SHOP,
        "black-skin",
    ),
    ("the blade ends before the axis", PIN, with_tool(7, reach_mm=9.0), "blade-too-short"),
    ("a turning tool parts off", with_operation(PIN, "part off", tool=1), SHOP, "no-pass"),
    ("a blade roughs sideways", with_operation(PIN, "rough", tool=7), SHOP, "no-pass"),
    ("it is finished without roughing", without(PIN, "rough"), SHOP, "left-over-not-planned"),
    ("too deep for the tool", with_operation(PIN, "rough", depth="5"), UNLIMITED, "too-deep"),
    (
        "too much for the motor",
        with_operation(PIN, "rough", depth="2"),
        with_lathe("Slipway 1", power_kw=0.4),
        "power",
    ),
    (
        "the finish only rubs",
        with_operation(PIN, "rough", x_allowance="0.02"),
        SHOP,
        "thin-finish",
    ),
    ("a feed that the lathe has not", with_operation(PIN, "rough", feed="2"), SHOP, "feed-range"),
    (
        "a feed too coarse for the print",
        with_operation(PIN, "finish", feed="0.4"),
        SHOP,
        "roughness",
    ),
    (
        "no surface speed for the tool",
        PIN,
        but(SHOP, materials=tuple(but(m, speeds=()) for m in SHOP.materials)),
        "no-surface-speed",
    ),
    ("no material", with_part(PIN, material=""), SHOP, "no-material"),
    (
        "faster than the edge stands",
        with_operation(PIN, "rough", rpm=1400.0),
        SHOP,
        "speed-high",
    ),
    ("the chuck's mark holds it back", PIN, SLOW, "speed-limited"),
    (
        "a nose larger than the corner",
        with_part(PIN, inside_corners="R0.2"),
        SHOP,
        "left-over-nose",
    ),
    (
        "the waist is left to a tool that cannot enter",
        with_list(
            ROLLER,
            *(o for o in ROLLER.setups[0].operations or () if o.tool != 5),
        ),
        SHOP,
        "left-over-not-planned",
    ),
    ("nothing makes the surfaces", without(PIN, "finish"), SHOP, "left-over-not-planned"),
    ("a section is open", with_section(PIN, 2, length=None), SHOP, "print-open"),
    (
        "one readout step in the tolerance",
        with_section(PIN, 2, diameter="25 h5"),
        SHOP,
        "few-readout-steps",
    ),
    (
        "a tolerance finer than the readout",
        with_section(PIN, 2, diameter="25 +0.006/+0.001"),
        SHOP,
        "no-readout-step",
    ),
    (
        "parted before it is turned",
        with_list(PIN, Operation("part off", 7), Operation("rough", 1), Operation("finish", 2)),
        SHOP,
        "no-pass",
    ),
    (
        "turned with the wrong hand",
        with_operation(PIN, "rough", tool=3),
        SHOP,
        "no-pass",
    ),
    (
        "a step table of a thousand steps",
        with_operation(ROLLER, "finish", cusp=".0001"),
        SHOP,
        "many-steps",
    ),
    (
        "the neck is cut before its ball is finished, by a tool that cannot leave it",
        with_list(KNOB, Operation("face", 1), Operation("finish", 4), Operation("part off", 7)),
        SHOP,
        "left-over-not-planned",
    ),
)


def test_there_are_thirty_of_them() -> None:
    assert len({name for name, *_ in CASES}) >= 30


@pytest.mark.parametrize("case", CASES, ids=[case[0] for case in CASES])
def test_it_is_named(case: Case) -> None:
    _, job, shop, code = case
    assert code in codes(job, shop)


@pytest.mark.parametrize("case", CASES, ids=[case[0] for case in CASES])
def test_every_finding_says_what_to_do(case: Case) -> None:
    _, job, shop, _ = case
    for finding in planned(job, shop).findings:
        assert finding.message
        assert finding.remedy


def test_the_parts_beside_them_have_none_of_the_serious_ones() -> None:
    for job in (PIN, SHAFT, KNOB, ROLLER):
        assert not [f for f in planned(job).findings if f.severity == "stop"]
