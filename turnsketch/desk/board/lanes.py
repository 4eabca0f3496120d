"""Room for dimensions: lengths in lanes, tags with leaders in rows, no two texts over each other.

Pure arithmetic in pixels; no Qt. Lengths follow ISO 129-1's habit: the short ones stand nearest to
the part, chains share a lane, and a text that finds no room between its arrow heads stands beside
them.
"""

from __future__ import annotations

import itertools
from collections.abc import Sequence
from dataclasses import dataclass

__all__ = ["LaidSpan", "LaidTag", "Span", "Tag", "lay_spans", "lay_tags", "row_count", "spread"]


@dataclass(frozen=True, slots=True)
class Span:
    """A length to be drawn between two places across the picture."""

    low: float
    high: float
    width: float
    """How wide its text runs."""


@dataclass(frozen=True, slots=True)
class LaidSpan:
    """Where a length goes."""

    lane: int
    """0 is nearest to the part."""
    text_low: float
    """Left edge of its text."""
    outside: bool
    """The text, and the arrow heads, stand outside the two places."""


@dataclass(frozen=True, slots=True)
class Tag:
    """A text with a leader to a place."""

    x: float
    """Where its leader ends, across the picture."""
    width: float


@dataclass(frozen=True, slots=True)
class LaidTag:
    """Where a tag goes."""

    row: int
    """0 is nearest to the part."""
    left: float
    way: tuple[float, ...]
    """Where its leader passes each row, from row 0 to its own."""


@dataclass(frozen=True, slots=True)
class _Taken:
    """What one length takes of its lane."""

    line: tuple[float, float]
    text: tuple[float, float]


def lay_spans(
    spans: Sequence[Span],
    gap: float = 6.0,
    arrow: float = 12.0,
    room: tuple[float, float] | None = None,
) -> tuple[LaidSpan, ...]:
    """Return the place of every length, in the order given.

    Parameters
    ----------
    spans : sequence of Span
        ``low <= high``.
    gap : float
        Least distance between a text and anything else in its lane.
    arrow : float
        Room for one arrow head.
    room : (float, float), optional
        A text beside its arrow heads keeps inside, if it can on one of the two sides.
    """
    lanes: list[list[_Taken]] = []
    found: dict[int, LaidSpan] = {}
    order = sorted(range(len(spans)), key=lambda i: (spans[i].high - spans[i].low, spans[i].low, i))
    for index in order:
        options = _inside(_options(spans[index], arrow, gap), room)
        lane = 0
        while True:
            if lane == len(lanes):
                lanes.append([])
            fitting = next((o for o in options if _fits(o, lanes[lane], gap)), None)
            if fitting is not None:
                break
            lane += 1
        lanes[lane].append(fitting)
        inside = spans[index].low <= fitting.text[0] and fitting.text[1] <= spans[index].high
        found[index] = LaidSpan(lane, fitting.text[0], not inside)
    return tuple(found[i] for i in range(len(spans)))


def _options(span: Span, arrow: float, gap: float) -> list[_Taken]:
    """Return what a length may take: text between the arrow heads, else right or left of them."""
    if span.high - span.low >= span.width + 2 * arrow:
        left = (span.low + span.high - span.width) / 2
        return [_Taken((span.low, span.high), (left, left + span.width))]
    right, left = span.high + arrow + gap / 2, span.low - arrow - gap / 2 - span.width
    return [
        _Taken((span.low - arrow, right), (right, right + span.width)),
        _Taken((left + span.width, span.high + arrow), (left, left + span.width)),
    ]


def _inside(options: list[_Taken], room: tuple[float, float] | None) -> list[_Taken]:
    """Return the options whose text keeps inside the room, or all when none does."""
    if room is None:
        return options
    kept = [o for o in options if room[0] <= o.text[0] and o.text[1] <= room[1]]
    return kept or options


def _fits(new: _Taken, lane: Sequence[_Taken], gap: float) -> bool:
    return not any(
        _over(new.text, old.text, gap)
        or _over(new.text, old.line, gap / 2)
        or _over(new.line, old.text, gap / 2)
        or _over(new.line, old.line, -0.5)
        for old in lane
    )


def _over(a: tuple[float, float], b: tuple[float, float], gap: float) -> bool:
    """Whether two stretches come nearer than `gap` (negative: overlap by more than that)."""
    return a[0] < b[1] + gap and b[0] < a[1] + gap


def spread(
    wanted: Sequence[float], widths: Sequence[float], low: float, high: float, gap: float
) -> list[float]:
    """Return centres near the wanted ones, in their order, so that nothing overlaps.

    Least squares with the order kept (pool adjacent violators). What has room between `low` and
    `high` stays between them; what has not runs out at both ends, still without overlap.

    Parameters
    ----------
    wanted : sequence of float
        Ascending.
    widths : sequence of float
        Of each.
    low, high : float
        Ends of the room.
    gap : float
        Least distance between two.
    """
    offsets = [0.0]
    for before, after in itertools.pairwise(widths):
        offsets.append(offsets[-1] + (before + after) / 2 + gap)
    blocks: list[tuple[float, int]] = []
    for place, offset in zip(wanted, offsets, strict=False):
        mean, count = place - offset, 1
        while blocks and blocks[-1][0] > mean:
            other, number = blocks.pop()
            mean = (mean * count + other * number) / (count + number)
            count += number
        blocks.append((mean, count))
    if not blocks:
        return []
    least = low + widths[0] / 2
    most = high - widths[-1] / 2 - offsets[len(wanted) - 1]
    if most < least:
        least = most = (least + most) / 2
    flat = [min(max(mean, least), most) for mean, count in blocks for _ in range(count)]
    return [base + offset for base, offset in zip(flat, offsets, strict=False)]


_STUB = 6.0
"""Room that a leader takes where it passes a row."""


def lay_tags(
    tags: Sequence[Tag], low: float, high: float, gap: float = 10.0
) -> tuple[LaidTag, ...]:
    """Return the place of every tag, in the order given.

    Tags stand in as few rows as they need, in the order of the places that they point to, so that
    leaders do not cross; a leader to an upper row passes the lower ones between their texts.
    """
    order = sorted(range(len(tags)), key=lambda i: (tags[i].x, i))
    rows = row_count([tags[i].width for i in order], high - low, gap)
    way: dict[int, list[float]] = {i: [] for i in order}
    places = {i: tags[i].x for i in order}
    for row in range(rows):
        here = [i for n, i in enumerate(order) if n % rows >= row]
        widths = [tags[i].width if order.index(i) % rows == row else _STUB for i in here]
        centres = spread([places[i] for i in here], widths, low, high, gap)
        for i, centre in zip(here, centres, strict=True):
            places[i] = centre
            way[i].append(centre)
    return tuple(
        LaidTag(len(way[i]) - 1, places[i] - tags[i].width / 2, tuple(way[i]))
        for i in range(len(tags))
    )


def row_count(widths: Sequence[float], room: float, gap: float = 10.0) -> int:
    """Return how many rows tags of these widths take in a stretch of that length."""
    for rows in range(1, len(widths) + 1):
        taken = sum(w if n % rows == 0 else _STUB for n, w in enumerate(widths))
        if taken + gap * (len(widths) - 1) <= room:
            return rows
    return max(len(widths), 1) if widths else 0
