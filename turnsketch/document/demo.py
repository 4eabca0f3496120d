"""The demo parts that come with the program: pieces for one boatyard."""

from __future__ import annotations

from importlib.resources import files
from pathlib import Path

from turnsketch.document.files import SUFFIX, loads, write_bytes
from turnsketch.errors import InputError
from turnsketch.job import Job

__all__ = ["copy_demo", "demo_bytes", "demo_names", "load_demo"]


def demo_names() -> tuple[str, ...]:
    """Return the names of the demo parts, in order of the alphabet."""
    entries = files("turnsketch.demo_parts").iterdir()
    names = (entry.name for entry in entries if entry.name.endswith(SUFFIX))
    return tuple(sorted(name.removesuffix(SUFFIX) for name in names))


def demo_bytes(name: str) -> bytes:
    """Return the job file of the demo part called `name`.

    Raises
    ------
    InputError
        When there is no such demo part.
    """
    if name not in demo_names():
        raise InputError(f'there is no demo part "{name}": there are {", ".join(demo_names())}')
    return files("turnsketch.demo_parts").joinpath(name + SUFFIX).read_bytes()


def load_demo(name: str) -> Job:
    """Return the job of the demo part called `name`."""
    return loads(demo_bytes(name), name + SUFFIX)


def copy_demo(name: str, folder: Path) -> Path:
    """Copy the demo part called `name` into `folder` and return where it stands now.

    Raises
    ------
    InputError
        When there is no such part or folder, or a file of that name stands there already.
    """
    content = demo_bytes(name)
    target = folder / (name + SUFFIX)
    if not folder.is_dir():
        raise InputError("there is no such folder", str(folder))
    if target.exists():
        raise InputError(
            "a file of this name stands there already; it was left as it is", str(target)
        )
    write_bytes(content, target)
    return target
