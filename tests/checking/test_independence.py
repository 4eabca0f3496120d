"""The judge shares no code with the planner."""

from __future__ import annotations

import ast
from collections.abc import Iterator
from pathlib import Path

import pytest

import turnsketch

ROOT = Path(next(iter(turnsketch.__path__)))
FORBIDDEN = ("turnsketch.planning", "turnsketch.geometry.minkowski", "turnsketch.pipeline")


def imported(source: str) -> Iterator[str]:
    """Yield every module that a source may import, ``from a import b`` as ``a`` and ``a.b``."""
    for node in ast.walk(ast.parse(source)):
        if isinstance(node, ast.Import):
            yield from (alias.name for alias in node.names)
        elif isinstance(node, ast.ImportFrom):
            assert node.level == 0, "relative imports are not used here"
            yield node.module or ""
            yield from (f"{node.module}.{alias.name}" for alias in node.names)


def forbidden(source: str) -> list[str]:
    return [
        name
        for name in imported(source)
        if any(name == bad or name.startswith(bad + ".") for bad in FORBIDDEN)
    ]


def module_file(name: str) -> Path | None:
    base = ROOT.parent / Path(*name.split("."))
    candidates = (base.with_suffix(".py"), base / "__init__.py")
    return next((path for path in candidates if path.is_file()), None)


def reach(start: list[Path]) -> set[Path]:
    """Return all files of the package that are imported from `start`, however far away."""
    seen: set[Path] = set()
    waiting = list(start)
    while waiting:
        path = waiting.pop()
        if path in seen:
            continue
        seen.add(path)
        names = [name for name in imported(path.read_text("utf-8")) if name.startswith("turnsk")]
        waiting += [found for name in names if (found := module_file(name))]
    return seen


def test_neither_planner_nor_minkowski_is_reached() -> None:
    files = reach(sorted((ROOT / "checking").glob("*.py")))
    assert ROOT / "plan_records.py" in files
    assert {path.name: bad for path in files if (bad := forbidden(path.read_text("utf-8")))} == {}


@pytest.mark.parametrize(
    "line",
    [
        "import turnsketch.planning.fold",
        "from turnsketch import planning",
        "from turnsketch.geometry.minkowski import no_go",
        "from turnsketch.geometry import minkowski",
        "def f():\n    from turnsketch.planning import fold",
    ],
)
def test_a_planted_import_is_seen(line: str) -> None:
    assert forbidden(line)
