"""Tables of standards, kept as CSV files under ``resources/tables`` with their source on top."""

from __future__ import annotations

import csv
from collections.abc import Mapping
from functools import cache
from importlib.resources import files
from types import MappingProxyType

__all__ = ["Row", "band", "source_of", "table"]

Row = Mapping[str, str]
"""One line of a table: column name to cell, both as text."""


@cache
def _text(name: str) -> str:
    place = files("turnsketch.resources") / "tables" / f"{name}.csv"
    return place.read_text(encoding="utf-8")


@cache
def table(name: str) -> tuple[Row, ...]:
    """Return the rows of ``resources/tables/<name>.csv`` in file order.

    The lines that begin with ``#`` are the source (`source_of`) and are left out.
    """
    lines = (line for line in _text(name).splitlines() if not line.startswith("#"))
    return tuple(MappingProxyType(row) for row in csv.DictReader(lines))


@cache
def source_of(name: str) -> str:
    """Return what the table's first lines say of its source, as one paragraph."""
    lines = (line for line in _text(name).splitlines() if line.startswith("#"))
    return " ".join(line.lstrip("# ").strip() for line in lines)


def band(rows: tuple[Row, ...], size_mm: float) -> Row | None:
    """Return the row for `size_mm`: over ``over_mm``, up to and including ``upto_mm``.

    An empty ``upto_mm`` has no end. None when no row holds the size. The edges follow ISO 286-1:
    30 mm belongs to the range "over 18 up to 30".
    """
    for row in rows:
        ends = row["upto_mm"]
        if size_mm > float(row["over_mm"]) and (not ends or size_mm <= float(ends)):
            return row
    return None
