"""The stepped pin as fixtures: mm, inch, and with a finding that stops the work."""

from __future__ import annotations

import importlib.util
from pathlib import Path
from typing import Any

import pytest

from turnsketch.sheet.records import SheetInput


def _module() -> Any:
    path = Path(__file__).with_name("sample_pin.py")
    spec = importlib.util.spec_from_file_location("sample_pin", path)
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


@pytest.fixture(scope="session")
def pin() -> SheetInput:
    made: SheetInput = _module().sample()
    return made


@pytest.fixture(scope="session")
def inch_pin() -> SheetInput:
    made: SheetInput = _module().sample("inch")
    return made


@pytest.fixture(scope="session")
def stopped_pin() -> SheetInput:
    made: SheetInput = _module().sample(stop=True)
    return made
