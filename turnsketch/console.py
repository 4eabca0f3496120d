"""Words on a console of any encoding: what it cannot show is written in other letters."""

from __future__ import annotations

import contextlib
import os
import re
from typing import BinaryIO, Final, TextIO

from turnsketch.errors import InputError

__all__ = ["Console", "counted", "fitted", "one_line"]

_OTHER_LETTERS: Final = {
    "Ø": "dia ",
    "⌀": "dia ",
    "°": " deg",
    "±": "+-",
    "×": "x",
    "µ": "u",
    "μ": "u",
    "−": "-",
    "–": "-",
    "—": "-",
    "→": "->",
    "…": "...",
    "·": ".",
    "≤": "<=",
    "≥": ">=",
    "²": "2",
    "³": "3",
    "½": "1/2",
    "¼": "1/4",
    "¾": "3/4",
    "’": "'",
    "“": '"',
    "”": '"',
    "\u00a0": " ",
    "\u2009": " ",
    "\u202f": " ",
}


def fitted(text: str, encoding: str) -> str:
    """Return `text` in letters that `encoding` has; "Ø25" becomes "dia 25"."""
    try:
        text.encode(encoding)
    except UnicodeEncodeError:
        return "".join(_letter(letter, encoding) for letter in text)
    return text


def _letter(letter: str, encoding: str) -> str:
    try:
        letter.encode(encoding)
    except UnicodeEncodeError:
        other = _OTHER_LETTERS.get(letter)
        return other or letter.encode(encoding, "backslashreplace").decode(encoding)
    return letter


def one_line(text: str) -> str:
    """Return `text` on one line, without control codes (a file's name may hold both)."""
    return "".join(c if c.isprintable() or c > "\uffff" else "?" for c in " ".join(text.split()))


_COUNTED: Final = {
    "sections": "section",
    "setups": "setup",
    "operations": "operation",
    "lengths": "length",
}
_INDEX: Final = re.compile(r"(\w+)\[(\d+)\]")


def counted(where: str) -> str:
    """Return a path with its places counted from 1 behind it: "part.sections[1] (section 2)"."""
    said: list[str] = []
    for match in _INDEX.finditer(where):
        name = _COUNTED.get(match[1], "entry")
        if match[1] == "sections" and said:  # section numbers, listed in a setup
            name = "entry"
        said.append(f"{name} {int(match[2]) + 1}")
    if said and where.endswith(")"):
        return f"{where[:-1]}; {', '.join(said)})"
    return f"{where} ({', '.join(said)})" if said else where


class Console:
    """A stream that never fails because of letters, and falls silent when its reader leaves."""

    def __init__(self, stream: TextIO | None) -> None:
        self._stream = stream
        self._gone = stream is None

    @property
    def encoding(self) -> str:
        """Encoding of the stream; UTF-8 when it does not say."""
        return getattr(self._stream, "encoding", None) or "utf-8"

    def fit(self, text: str) -> str:
        """Return `text` in letters that this console can show."""
        return fitted(text, self.encoding)

    def line(self, text: str = "") -> None:
        """Write one line."""
        self._write(self.fit(text) + "\n")

    def data(self, content: bytes) -> None:
        """Write a file's content, as it is."""
        if self._stream is None:
            raise InputError("there is no standard output to write to")
        self._write(content)

    def _write(self, content: str | bytes) -> None:
        if self._gone or self._stream is None:
            return
        try:
            if isinstance(content, bytes):
                self._stream.flush()
                binary: BinaryIO = self._stream.buffer
                binary.write(content)
                binary.flush()
            else:
                self._stream.write(content)
        except BrokenPipeError:
            self._leave()

    def close(self) -> None:
        """Flush what was written; the stream itself stays open.

        Raises
        ------
        InputError
            When it cannot be written (a full disk).
        """
        if self._gone or self._stream is None:
            return
        try:
            self._stream.flush()
        except BrokenPipeError:
            self._leave()
        except OSError as error:
            self._leave()
            raise InputError(f"the output cannot be written ({error.strerror})") from None

    def _leave(self) -> None:
        """Point the stream at nothing, so that the interpreter's last flush fails on nothing."""
        self._gone = True
        with contextlib.suppress(OSError, ValueError, AttributeError):
            nothing = os.open(os.devnull, os.O_WRONLY)
            os.dup2(nothing, self._stream.fileno())  # type: ignore[union-attr]
            os.close(nothing)
