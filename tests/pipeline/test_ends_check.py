"""Where a bar on a centre is measured to prove that the tailstock is in line."""

from __future__ import annotations

import pytest

from tests.pipeline.set_over_jobs import between_centres
from turnsketch.document.demo import load_demo
from turnsketch.job import Job
from turnsketch.part.records import Section
from turnsketch.pipeline import plan
from turnsketch.plan_records import SetupPlan


def planned(job: Job) -> SetupPlan:
    return plan(job).setups[0]


@pytest.mark.parametrize("name", ["slender_pin"])
def test_it_stands_behind_the_first_long_cut(name: str) -> None:
    setup = planned(load_demo(name))
    check = setup.ends_check
    assert check is not None
    first = next(p for p in setup.passes if p.operation == "rough")
    assert check.before_pass == first.number + 1
    assert check.expected_diameters[0] == check.expected_diameters[1], "one setting of X"
    near, far = check.at_z
    low = min(m.to.z for m in first.moves if m.kind == "cut")
    assert near == pytest.approx(-4.0)
    assert far == pytest.approx(low + 4.0)


def test_the_difference_is_scaled_by_how_far_the_places_lie_apart() -> None:
    """A centre off by e tilts the axis by e / L; places s apart differ by 2 e s / L (CALC)."""
    setup = planned(between_centres())
    check = setup.ends_check
    assert check is not None
    assert check.before_pass == 2
    near, far = check.at_z
    assert near - far > 170, "not the short cylinder alone"
    e, length = 0.05, 205.0
    radii = [e * (length + z) / length for z in (near, far)]
    differ = 2 * (radii[0] - radii[1])
    assert check.move_per_difference * differ == pytest.approx(e)


def test_no_two_places_no_proof() -> None:
    short = Section("cylinder", diameter="29", length="10")
    job = between_centres(short, taper=False)
    assert planned(job).ends_check is None
