"""Morse tapers out of whole plans: slide angle, indicator, diameters and the fit line.

Half angles, gauge diameters and tapers as in ``test_machine_tapers.py``, with its sources.
"""

from __future__ import annotations

import math

import pytest

from turnsketch.document.sheets import sheet_input
from turnsketch.job import Blank, Holding, Job, Operation, Setup
from turnsketch.part.records import PartRecord, Section
from turnsketch.pipeline import Planner
from turnsketch.plan_records import Plan
from turnsketch.sheet.content import sheet_content
from turnsketch.shop.files import demo_shop

PLANNER = Planner()


def plan_of(number: int) -> Plan:
    """Plan an arbor with a Morse cone by its name alone, finished by any means."""
    sections = (
        Section("taper", "cone", angle=f"Morse {number}"),
        Section("cylinder", "collar", diameter="70", length="10"),
    )
    part = PartRecord("arbor", sections, material="mild steel", inside_corners="R0.8")
    operations = (Operation("face", 1), Operation("rough", 1), Operation("finish", 2))
    setup = Setup(Holding("Three-jaw 160", "30"), operations=operations)
    return PLANNER.plan(Job(part, Blank("75", "250"), "Slipway 2", (setup,)))


@pytest.mark.parametrize(
    ("number", "gauge", "inch_per_foot", "half_deg"),
    [
        (0, 9.045, 0.62460, 1.4908),
        (1, 12.065, 0.59858, 1.4287),
        (2, 17.780, 0.59941, 1.4307),
        (3, 23.825, 0.60235, 1.4377),
        (4, 31.267, 0.62326, 1.4876),
        (5, 44.399, 0.63151, 1.5073),
        (6, 63.348, 0.62565, 1.4933),
    ],
)
def test_the_finished_cone(
    number: int, gauge: float, inch_per_foot: float, half_deg: float
) -> None:
    plan = plan_of(number)
    assert not [f for f in plan.findings if f.severity == "stop"]
    span = next(s for s in plan.setups[0].sections if s.section == 1)
    small, large = min(span.line, key=lambda p: p.r), max(span.line, key=lambda p: p.r)
    taper = 2 * (large.r - small.r) / abs(large.z - small.z)
    assert taper * 12 == pytest.approx(inch_per_foot, abs=3e-5)
    # the gauge diameter lies on the cone, where the plan was not told it
    assert 2 * small.r < gauge < 2 * large.r
    cuts = [p for p in plan.setups[0].passes if p.taper is not None]
    assert cuts
    assert math.degrees(cuts[-1].taper.half_angle) == pytest.approx(half_deg, abs=6e-5)  # type: ignore[union-attr]
    assert plan.finished.over_mm < 0.005
    assert plan.finished.under_mm < 1e-3


def test_morse_2_from_name_to_paper() -> None:
    sections = (
        Section("taper", "cone", angle="Morse 2", front_corner="1x45°"),
        Section("cylinder", "collar", diameter="24", length="10"),
    )
    part = PartRecord("arbor", sections, material="mild steel", inside_corners="R0.8")
    setup = Setup(Holding("Three-jaw 160", "28"))
    plan = Planner(demo_shop()).plan(Job(part, Blank("28", "122"), "Slipway 1", (setup,)))
    setting = next(p.taper for p in plan.setups[0].passes if p.taper is not None)
    assert setting.means == "top slide"
    assert setting.scale_deg == pytest.approx(1.4307, abs=6e-5)
    # 50 sin(1.4307 deg), the slide itself travels along the taper
    assert setting.rise_per_50 == pytest.approx(1.2484, abs=1e-4)
    content = sheet_content(sheet_input(plan))
    rows = [row for row in content.setups[0].rows if row.what == "finish"]
    assert rows[0].surface == "cone Morse 2"
    (detail,) = content.setups[0].details
    assert "cone Morse 2" in detail.title
    fit = next(words for words in detail.words if words.startswith("Fit:"))
    # 1 : 20.020; a gauge that stands off by 1 wants 0.050 on diameter
    assert "blue the Morse 2 ring gauge" in fit
    assert "e × 0.04995 on Ø (1.00 off: 0.050)" in fit
    assert "(Ø17.780) may stand up to 5 behind the cone's large end; planned is 2.5" in fit
    (line,) = [i for i in content.inspection if "gauge line" in i.what]
    assert (line.lower, line.upper, line.source) == ("0.000", "5.000", "ISO 296")
