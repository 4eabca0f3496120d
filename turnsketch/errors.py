"""The errors that a user can cause, and how they are worded."""

from __future__ import annotations

__all__ = ["InputError", "NoStartError", "TurnSketchError"]


class TurnSketchError(Exception):
    """Base of every error that this package raises on purpose."""


class InputError(TurnSketchError):
    """Something that the user gave cannot be used.

    Parameters
    ----------
    what : str
        One clear sentence: what is wrong, and the remedy.
    where : str
        The place, as a path inside the job or shop file (``part.sections[2].diameter``) or as
        words ("section 3"); empty when there is no place.
    """

    def __init__(self, what: str, where: str = "") -> None:
        super().__init__(f"{where}: {what}" if where else what)
        self.what = what
        self.where = where

    def within(self, outer: str) -> InputError:
        """Return the same error with `outer` put in front of its place."""
        joint = "." if self.where and not self.where.startswith("[") else ""
        return InputError(self.what, f"{outer}{joint}{self.where}")


class NoStartError(InputError):
    """A tool may not be at the place from which it is to work: what must stay is there."""
