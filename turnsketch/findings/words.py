"""Words that findings share: lists, and passes by their numbers."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

__all__ = ["listed", "passes_text", "them"]


def listed(words: Iterable[str]) -> str:
    """Return "a", "a and b" or "a, b and c", each once."""
    once = list(dict.fromkeys(words))
    return " and ".join([", ".join(once[:-1]), once[-1]]) if len(once) > 1 else "".join(once)


def passes_text(numbers: Iterable[int]) -> str:
    """Return "pass 3" or "passes 3, 5 and 7 to 9".

    Examples
    --------
    >>> passes_text([9, 3, 5, 8, 7])
    'passes 3, 5 and 7 to 9'
    """
    ordered = sorted(set(numbers))
    if len(ordered) == 1:
        return f"pass {ordered[0]}"
    return "passes " + listed(_run_text(run) for run in _runs(ordered))


def them(numbers: Sequence[int], one: str, many: str) -> str:
    """Return `one` for a single pass, else `many`: "pass 3 cuts", "passes 3 and 4 cut"."""
    return f"{passes_text(numbers)} {one if len(set(numbers)) == 1 else many}"


def _runs(ordered: Sequence[int]) -> list[list[int]]:
    """Return stretches of following numbers, those of two taken apart."""
    runs: list[list[int]] = []
    for number in ordered:
        if runs and number == runs[-1][-1] + 1:
            runs[-1].append(number)
        else:
            runs.append([number])
    return [part for run in runs for part in ([run] if len(run) > 2 else [[n] for n in run])]


def _run_text(run: Sequence[int]) -> str:
    return str(run[0]) if len(run) == 1 else f"{run[0]} to {run[-1]}"
