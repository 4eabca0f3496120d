"""The examples in the docstrings are true."""

from __future__ import annotations

import doctest
from types import ModuleType

import pytest

from turnsketch import rounding
from turnsketch.readings import corrections, wheel


@pytest.mark.parametrize("module", [rounding, corrections, wheel])
def test_docstring_examples(module: ModuleType) -> None:
    result = doctest.testmod(module)
    assert result.attempted > 0
    assert result.failed == 0
