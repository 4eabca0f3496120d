"""The open document: its history of jobs with named steps, its file, what is unsaved.

Undo is the list of jobs. Nothing here knows of a screen.
"""

from __future__ import annotations

import contextlib
import os
import time
from dataclasses import dataclass
from pathlib import Path

import msgspec

from turnsketch.document.files import SUFFIX, load, save, write_bytes
from turnsketch.errors import InputError
from turnsketch.job import Job
from turnsketch.mark import mark
from turnsketch.shop.records import Shop
from turnsketch.version import VERSION

__all__ = ["OpenDocument", "Recovery", "Step", "found_recoveries"]

_MOST_STEPS = 1000
"""So many steps are kept; the oldest go first."""


@dataclass(frozen=True, slots=True)
class Step:
    """One state of the job and what was done to get there."""

    name: str
    """In words for the Edit menu ("Ø of section 2"); of the first step: empty."""
    job: Job


class Recovery(msgspec.Struct, frozen=True):
    """Unsaved work, kept aside so that a crash or a power cut does not take it."""

    job: Job
    path: str
    """File that the work belongs to; empty: it has never been saved."""
    process: int
    """Number of the process that wrote it: while that runs, the work is open elsewhere."""
    seconds: float
    """When, in seconds of the epoch."""


class OpenDocument:
    """A job that is being worked on.

    Parameters
    ----------
    job : Job
        As loaded, or new.
    path : Path, optional
        Its file; a new job has none.
    recovery_folder : Path, optional
        Where copies of unsaved work go; None: none are made.
    """

    def __init__(
        self, job: Job, path: Path | None = None, recovery_folder: Path | None = None
    ) -> None:
        self._steps = [Step("", job)]
        self._position = 0
        self._saved: Job | None = job
        self.path = path
        self._recovery = (
            None
            if recovery_folder is None
            else recovery_folder / f"{os.getpid()}-{time.time_ns()}.json"
        )

    @classmethod
    def opened(cls, path: str | os.PathLike[str], recovery_folder: Path | None) -> OpenDocument:
        """Return the document of the job file at `path`; InputError when it cannot be read."""
        return cls(load(path), Path(path), recovery_folder)

    @classmethod
    def recovered(cls, kept: Recovery, recovery_folder: Path | None) -> OpenDocument:
        """Return unsaved work that was kept aside; it counts as changed."""
        document = cls(kept.job, Path(kept.path) if kept.path else None, recovery_folder)
        document._saved = None
        return document

    @property
    def job(self) -> Job:
        """The job as it stands now."""
        return self._steps[self._position].job

    @property
    def changed(self) -> bool:
        """Whether it differs from what was last saved."""
        return self._saved is None or self.job != self._saved

    @property
    def name(self) -> str:
        """Name of its file without the ending, else of the part."""
        if self.path is not None:
            return self.path.name.removesuffix(SUFFIX)
        return self.job.title or self.job.part.name or "New job"

    @property
    def steps(self) -> tuple[Step, ...]:
        """All states, the first as it was opened."""
        return tuple(self._steps)

    @property
    def position(self) -> int:
        """Index of the present state in `steps`."""
        return self._position

    def do(self, job: Job, name: str) -> Job:
        """Make `job` the present state; what had been undone is forgotten."""
        del self._steps[self._position + 1 :]
        self._steps.append(Step(name, job))
        del self._steps[: max(0, len(self._steps) - _MOST_STEPS)]
        self._position = len(self._steps) - 1
        return job

    def undo(self) -> Job:
        """Go one step back, if there is one, and return the job."""
        self._position = max(0, self._position - 1)
        return self.job

    def redo(self) -> Job:
        """Go one step forward again, if there is one, and return the job."""
        self._position = min(len(self._steps) - 1, self._position + 1)
        return self.job

    def save(self, path: str | os.PathLike[str] | None = None) -> Path:
        """Write the job to `path` (default: its own file) and return where it stands.

        Raises
        ------
        InputError
            When it has no file yet, may not be planned, or cannot be written.
        """
        target = self.path if path is None else Path(path)
        if target is None:
            raise InputError("this job has no file yet: give it a name")
        save(self.job, target)
        self.path, self._saved = target, self.job
        self.drop_recovery()
        return target

    def mark(self, shop: Shop) -> str:
        """Return the mark of the job as it stands, planned with `shop`."""
        return mark(self.job, shop, VERSION)

    def keep_recovery(self) -> None:
        """Put a copy of unsaved work aside; a disk that refuses it does not stop the work."""
        if self._recovery is None:
            return
        if not self.changed:
            self.drop_recovery()
            return
        path = "" if self.path is None else str(self.path)
        kept = Recovery(self.job, path, os.getpid(), time.time())
        with contextlib.suppress(OSError, InputError):
            self._recovery.parent.mkdir(parents=True, exist_ok=True)
            write_bytes(msgspec.json.encode(kept), self._recovery)

    def drop_recovery(self) -> None:
        """Take the copy away: the work is saved, or given up."""
        if self._recovery is not None:
            with contextlib.suppress(OSError):
                self._recovery.unlink(missing_ok=True)


def found_recoveries(folder: Path) -> tuple[tuple[Path, Recovery], ...]:
    """Return what a process that runs no more has left in `folder`, the newest first."""
    found: list[tuple[Path, Recovery]] = []
    for file in sorted(folder.glob("*.json")) if folder.is_dir() else []:
        try:
            kept = msgspec.json.decode(file.read_bytes(), type=Recovery)
        except (OSError, msgspec.MsgspecError):
            continue
        if not _runs(kept.process):
            found.append((file, kept))
    return tuple(sorted(found, key=lambda pair: -pair[1].seconds))


def _runs(process: int) -> bool:
    """Return whether the process with this number still runs (when it cannot be told: no)."""
    if process == os.getpid():
        return True
    if os.name == "nt":  # signal 0 would end it there
        return False
    try:
        os.kill(process, 0)
    except PermissionError:
        return True
    except (OSError, OverflowError):
        return False
    return True
