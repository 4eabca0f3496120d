"""Numbers of tools as one reads them in a sentence."""

from __future__ import annotations

from collections.abc import Iterable

__all__ = ["tools_text"]

_A_RUN = 3
"""So many numbers in a row are told by the first and the last."""


def tools_text(numbers: Iterable[int]) -> str:
    """Return "T1 to T16, T20, T22" for tool numbers in any order."""
    runs: list[list[int]] = []
    for number in sorted(set(numbers)):
        if runs and runs[-1][-1] == number - 1:
            runs[-1].append(number)
        else:
            runs.append([number])
    return ", ".join(_told(run) for run in runs)


def _told(run: list[int]) -> str:
    if len(run) < _A_RUN:
        return ", ".join(f"T{n}" for n in run)
    return f"T{run[0]} to T{run[-1]}"
