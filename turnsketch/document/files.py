"""Job files: read strictly, written so that a good copy always stands on the disk."""

from __future__ import annotations

import contextlib
import os
import tempfile
from pathlib import Path

import msgspec

from turnsketch.document.validate import checked
from turnsketch.errors import InputError
from turnsketch.job import Job
from turnsketch.strict_json import FileKind, in_file, pretty, read_file, read_record

__all__ = ["JOB_FILE", "SUFFIX", "dumps", "good_copy", "load", "loads", "save", "write_bytes"]

JOB_FILE = FileKind("job file", "turnsketch-job", 1)
SUFFIX = ".job.json"


def load(path: str | os.PathLike[str]) -> Job:
    """Return the job of the file at `path`.

    Raises
    ------
    InputError
        One clear sentence; its place begins with the name of the file.
    """
    return loads(read_file(Path(path), JOB_FILE), os.fspath(path))


def loads(data: bytes, name: str = "job file") -> Job:
    """Return the job that `data`, the content of the file called `name`, holds."""
    try:
        return checked(read_record(data, JOB_FILE, Job))
    except InputError as error:
        raise in_file(error, name) from None


def dumps(job: Job) -> bytes:
    """Return `job` as the content of a job file. Defaults are left out, its heading never is."""
    heading = {"format": job.format, "version": job.version, "units": job.units}
    return pretty(heading | msgspec.to_builtins(job))


def good_copy(path: str | os.PathLike[str]) -> Path:
    """Return where `save` keeps the last good copy of the job at `path`: its name with a ``~``."""
    path = Path(path)
    return path.with_name(path.name + "~")


def save(job: Job, path: str | os.PathLike[str]) -> None:
    """Write `job` to `path`: all of it, or nothing.

    The job goes through the door first and is read back from its own bytes, so no file comes out
    that `load` would refuse. A readable job that stood at `path` is kept beside it as ``NAME~``;
    a damaged one never takes the place of that copy.

    Raises
    ------
    InputError
        When the job may not be planned, or the file cannot be written.
    """
    target = Path(os.path.realpath(path))
    data = dumps(checked(job))
    loads(data, os.fspath(path))
    before = _readable(target)
    if before is not None and before != data:
        write_bytes(before, good_copy(target))
    write_bytes(data, target)


def _readable(path: Path) -> bytes | None:
    """Return the bytes of the job that stands at `path`; None when there is none to keep."""
    try:
        data = read_file(path, JOB_FILE)
        loads(data)
    except InputError:
        return None
    return data


def write_bytes(data: bytes, path: str | os.PathLike[str]) -> None:
    """Put `data` at `path` in one step: a reader sees the old file or the new one, whole.

    Raises
    ------
    InputError
        When it cannot be written; what stood there still stands.
    """
    target = Path(path)
    try:
        _replace(data, target)
    except (OSError, ValueError) as error:
        reason = getattr(error, "strerror", None) or str(error)
        raise InputError(f"the file cannot be written ({reason})", str(path)) from None


def _replace(data: bytes, target: Path) -> None:
    if target.exists() and not target.is_file():  # a pipe or a device has no name to swap
        target.write_bytes(data)
        return
    handle, name = tempfile.mkstemp(
        prefix=f".{target.name[:80]}.", suffix=".new", dir=target.parent
    )
    try:
        with os.fdopen(handle, "wb") as file:
            file.write(data)
            file.flush()
            os.fsync(file.fileno())
        os.chmod(name, _mode(target))
        os.replace(name, target)
    except BaseException:
        with contextlib.suppress(OSError):
            os.unlink(name)
        raise
    _sync_folder(target.parent)


def _mode(target: Path) -> int:
    """Return the permissions of the file that is replaced, or those that a new file would get."""
    try:
        return target.stat().st_mode & 0o777
    except FileNotFoundError:
        mask = os.umask(0)
        os.umask(mask)
        return 0o666 & ~mask


def _sync_folder(folder: Path) -> None:
    """Make the new name itself safe, where the system lets a folder be synced."""
    with contextlib.suppress(OSError):
        handle = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)
