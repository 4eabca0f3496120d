"""Breaking text into lines, and making a line fit: plain arithmetic on widths."""

from __future__ import annotations

from collections.abc import Callable

__all__ = ["LEAST_SIZE", "MOST_LINES", "fitted", "wrapped"]

LEAST_SIZE = 9.0
"""Smallest type on the sheet, points."""

NARROWEST = 0.82
"""A line may be narrowed to this share of its width before it gets smaller."""

MOST_LINES = 24
"""A cell longer than this would not fit a page; it ends with "…"."""


def wrapped(
    text: str, room: float, width_of: Callable[[str], float], most_lines: int = MOST_LINES
) -> list[str]:
    """Return `text` as lines that are no wider than `room`.

    Newlines are kept. A word that is wider than the room is broken where it has to be.
    """
    lines: list[str] = []
    for paragraph in text.split("\n"):
        line = ""
        for word in _glued(paragraph.split(" ")):
            trial = f"{line} {word}" if line else word
            if width_of(trial) <= room or not trial.strip():
                line = trial
                continue
            if line:
                lines.append(line)
            *full, line = _broken(word, room, width_of)
            lines += full
        lines.append(line)
    if len(lines) > most_lines:
        lines = [*lines[: most_lines - 1], f"{lines[most_lines - 1]} …"]
    return lines if text else []


def _glued(words: list[str]) -> list[str]:
    """Keep an axis letter or a diameter sign on one line with its figure."""
    glued: list[str] = []
    for word in words:
        if glued and glued[-1] in ("X", "Z", "Ø"):
            glued[-1] += f" {word}"
        else:
            glued.append(word)
    return glued


def _broken(word: str, room: float, width_of: Callable[[str], float]) -> list[str]:
    pieces = [""]
    for letter in word:
        if pieces[-1] and width_of(pieces[-1] + letter) > room:
            pieces.append("")
        pieces[-1] += letter
    return pieces


def fitted(
    text: str, room: float, size: float, width_of: Callable[[str, float], float]
) -> tuple[str, float, float]:
    """Return (text, size, narrowing) with which `text` fits on one line of `room`.

    First it is narrowed to no less than 0.82, then set smaller to no less than 9 point, and only
    then shortened, with "…" at its end.
    """
    wide = width_of(text, size)
    if wide <= room or wide == 0.0:
        return text, size, 1.0
    if room / wide >= NARROWEST:
        return text, size, room / wide
    smaller = max(min(size, LEAST_SIZE), size * room / wide / NARROWEST)
    wide = width_of(text, smaller)
    if wide * NARROWEST <= room * 1.0001:
        return text, smaller, min(room / wide, 1.0)
    while len(text) > 1 and width_of(text + "…", smaller) * NARROWEST > room:
        text = text[:-1]
    return text + "…", smaller, NARROWEST
