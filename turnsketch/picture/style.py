"""Lines and colours of the roles: few colours on ISO 128's kinds of line.

Widths and dashes are paper millimetres. Wide to narrow is 2 : 1 (ISO 128-2); pictures on the sheet
are small, so the pair is 0.5 and 0.25.
"""

from __future__ import annotations

from dataclasses import dataclass

from turnsketch.picture.display_list import Role

__all__ = ["COLOURS", "PENS", "Pen", "fill_colour", "mix"]

COLOURS = {
    "desk": "#E4DED1",
    "paper": "#FAF7F0",
    "ink": "#1E2B3A",
    "narrow": "#66717D",
    "layer light": "#F1E4C6",
    "layer dark": "#CFA962",
    "part": "#E3E9EC",
    "shade": "#A9B0B6",
    "hatch": "#8FA1AD",
    "chosen": "#0F6A6E",
    "danger": "#C43D2B",
    "danger light": "#F4D9D4",
    "chosen light": "#D7E6E3",
}
"""The project's colours; vermilion is for danger alone."""


@dataclass(frozen=True, slots=True)
class Pen:
    """How a role is drawn."""

    colour: str
    width_mm: float
    dash_mm: tuple[float, ...] = ()


PENS: dict[Role, Pen] = {
    "outline": Pen(COLOURS["ink"], 0.5),
    "edge": Pen(COLOURS["ink"], 0.25),
    "narrow": Pen(COLOURS["narrow"], 0.25),
    "axis": Pen(COLOURS["narrow"], 0.25, (6.0, 0.8, 0.4, 0.8)),
    "blank": Pen(COLOURS["narrow"], 0.25, (5.0, 0.8, 0.4, 0.8, 0.4, 0.8)),
    "hatch": Pen(COLOURS["hatch"], 0.18),
    "part": Pen(COLOURS["ink"], 0.25),
    "shade": Pen(COLOURS["narrow"], 0.18),
    "layer": Pen("#A88646", 0.18),
    "jaws": Pen(COLOURS["ink"], 0.35),
    "tool": Pen(COLOURS["ink"], 0.35),
    "holder": Pen(COLOURS["ink"], 0.25),
    "path": Pen(COLOURS["chosen"], 0.35, (2.0, 0.8)),
    "chosen": Pen(COLOURS["chosen"], 0.5),
    "danger": Pen(COLOURS["danger"], 0.5, (3.0, 1.0)),
    "text": Pen(COLOURS["ink"], 0.25),
    "faint": Pen(COLOURS["narrow"], 0.25),
    "paper": Pen(COLOURS["paper"], 0.25),
}

_FILLS: dict[Role, str] = {
    "part": COLOURS["part"],
    "jaws": COLOURS["desk"],
    "tool": "#FFFFFF",
    "holder": COLOURS["desk"],
    "chosen": COLOURS["chosen"],
    "danger": COLOURS["danger light"],
    "paper": "#FFFFFF",
}


def mix(first: str, second: str, share: float) -> str:
    """Return the colour `share` of the way from `first` to `second` (both "#RRGGBB")."""
    share = min(max(share, 0.0), 1.0)
    parts = (
        round(int(first[i : i + 2], 16) * (1 - share) + int(second[i : i + 2], 16) * share)
        for i in (1, 3, 5)
    )
    return "#" + "".join(f"{part:02X}" for part in parts)


def fill_colour(role: Role, level: float) -> str:
    """Return the colour that fills `role`; `level` picks the tint of layers and shades."""
    if role == "layer":
        return mix(COLOURS["layer light"], COLOURS["layer dark"], level)
    if role == "shade":
        return mix("#F6F9FA", COLOURS["shade"], level)
    return _FILLS.get(role, PENS[role].colour)
