"""The stepped pin of the sheet's tests, for pictures."""

from __future__ import annotations

import importlib.util
from pathlib import Path

import pytest

from turnsketch.picture.layers import Layer, plan_layers
from turnsketch.plan_records import Plan


@pytest.fixture(scope="session")
def plan() -> Plan:
    path = Path(__file__).parents[1] / "sheet" / "sample_pin.py"
    spec = importlib.util.spec_from_file_location("sample_pin", path)
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    made: Plan = module.sample().plan
    return made


@pytest.fixture(scope="session")
def cuts(plan: Plan) -> tuple[Layer, ...]:
    return plan_layers(plan)[0]
