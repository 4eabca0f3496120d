"""Nothing of the desk imports in a ring, not even for types alone."""

from __future__ import annotations

import ast
from collections.abc import Iterator
from graphlib import CycleError, TopologicalSorter
from pathlib import Path

import pytest

import turnsketch

ROOT = Path(turnsketch.__file__).parent


def imports(source: str) -> Iterator[str]:
    """Return every name that is imported in a source, wherever it stands, and its module."""
    for node in ast.walk(ast.parse(source)):
        if isinstance(node, ast.ImportFrom) and node.module and not node.level:
            yield node.module
            yield from (f"{node.module}.{name.name}" for name in node.names)
        elif isinstance(node, ast.Import):
            yield from (name.name for name in node.names)


def order(sources: dict[str, str]) -> list[str]:
    """Return the modules in an order in which each stands behind what it imports."""
    graph = {
        module: {name for name in imports(source) if name in sources and name != module}
        for module, source in sources.items()
    }
    return list(TopologicalSorter(graph).static_order())


def test_the_package_imports_in_no_ring() -> None:
    sources = {}
    for path in ROOT.rglob("*.py"):
        parts = ("turnsketch", *path.relative_to(ROOT).with_suffix("").parts)
        sources[".".join(parts).removesuffix(".__init__")] = path.read_text("utf-8")
    del sources["turnsketch"]  # the front door: it opens on whatever is asked for
    assert len(order(sources)) == len(sources)


def test_a_ring_for_types_alone_is_seen() -> None:
    ring = {"a": "import b", "b": "if TYPE_CHECKING:\n    from a import A"}
    with pytest.raises(CycleError):
        order(ring)
