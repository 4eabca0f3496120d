"""The files that the command line writes: what may be asked for, and how each gets to its place."""

from __future__ import annotations

import os
import tempfile
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import TYPE_CHECKING, Final

from turnsketch.console import Console
from turnsketch.errors import InputError

if TYPE_CHECKING:
    from turnsketch.plan_records import Plan
    from turnsketch.sheet.pdf import Paper

__all__ = ["FILES", "check_targets", "write_files"]

FILES: Final = {
    "pdf": ("a pass sheet", (".pdf",)),
    "csv": ("a table of passes", (".csv",)),
    "json": ("a plan for other programs", (".json",)),
    "picture": ("a picture file", (".svg", ".png")),
}
"""Of each file that can be asked for: its name and how its own name ends."""


def check_targets(targets: Mapping[str, str]) -> None:
    """Refuse, before the work is done, files that could not be written after it."""
    if list(targets.values()).count("-") > 1:
        raise InputError('only one of the files can go to standard output ("-")')
    for option, (what, endings) in FILES.items():
        target = targets.get(option, "-")
        if target == "-" or _device(target):
            continue
        if Path(target).suffix.lower() not in endings:
            told = " or ".join(f'"{ending}"' for ending in endings)
            raise InputError(f"the name of {what} ends in {told}", target)
    for target in targets.values():
        if target != "-" and not Path(target).parent.is_dir():
            raise InputError("there is no such folder to write into", target)
        if os.path.isdir(target):
            raise InputError("this is a folder, not a file to write", target)


def _device(target: str) -> bool:
    """Return whether a pipe or a device stands there: its name says nothing of what goes in."""
    return os.path.exists(target) and not os.path.isfile(target) and not os.path.isdir(target)


def write_files(
    plan: Plan, targets: Mapping[str, str], out: Console, paper: Paper, *, gauge: bool
) -> None:
    """Write the files asked for, each in one step.

    Parameters
    ----------
    targets : mapping
        Paths by the names in `FILES`; "-" is standard output.
    paper, gauge
        Of the pass sheet: its size, and whether a page to cut out comes with it.
    """
    makers: dict[str, Callable[[Path], None]] = {
        "pdf": lambda path: _write_pdf(plan, path, paper, gauge=gauge),
        "csv": lambda path: _write_csv(plan, path),
        "json": lambda path: _write_json(plan, path),
        "picture": lambda path: _write_picture(plan, path),
    }
    for name, target in targets.items():
        _deliver(target, makers[name], out)


def _deliver(target: str, make: Callable[[Path], None], out: Console) -> None:
    """Let `make` write a file, then put it in its place in one step, or on standard output."""
    from turnsketch.document.files import write_bytes

    ending = ".svg" if target == "-" else Path(target).suffix
    with tempfile.TemporaryDirectory(prefix="turnsketch-") as folder:
        made = Path(folder) / f"output{ending}"
        make(made)
        content = made.read_bytes()
    if target == "-":
        out.data(content)
    else:
        write_bytes(content, target)


def _write_pdf(plan: Plan, path: Path, paper: Paper, *, gauge: bool) -> None:
    from turnsketch.document.sheets import write_sheet

    write_sheet(plan, path, paper, gauge=gauge)


def _write_csv(plan: Plan, path: Path) -> None:
    from turnsketch.sheet.csv_file import write_csv

    write_csv(plan, path)


def _write_json(plan: Plan, path: Path) -> None:
    import msgspec

    path.write_bytes(msgspec.json.encode(plan) + b"\n")


def _write_picture(plan: Plan, path: Path) -> None:
    from turnsketch.picture.paint_matplotlib import write_picture

    write_picture(plan, path)
