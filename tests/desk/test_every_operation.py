"""Every kind of operation can be put into the list, with a tool that is made for it."""

from __future__ import annotations

from typing import get_args

import pytest

from turnsketch.desk.operation_edits import usable_tools
from turnsketch.job import OperationKind
from turnsketch.shop.files import demo_shop
from turnsketch.shop.suited import SUITED

KINDS = get_args(OperationKind)


@pytest.mark.parametrize("kind", KINDS)
def test_each_kind_has_tools_in_the_demo_shop(kind: str) -> None:
    assert kind in SUITED
    found = usable_tools(demo_shop(), kind)
    assert found
    assert {tool.kind for tool in found} <= set(SUITED[kind])


def test_no_other_kind_is_known() -> None:
    assert set(SUITED) == set(KINDS)
    assert usable_tools(demo_shop(), "no such work") == []
