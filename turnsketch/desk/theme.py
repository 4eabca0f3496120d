"""The desk's colours, light and dark, as frozen values; no Qt, so that anything may read them."""

from __future__ import annotations

from dataclasses import dataclass

__all__ = ["DARK", "LIGHT", "Theme", "mixed"]


@dataclass(frozen=True, slots=True)
class Theme:
    """Colours as "#RRGGBB". Vermilion (`danger`) is for danger alone, teal for what is chosen.

    No colour is the only carrier of a meaning: lines, words and shapes say the same.
    """

    name: str
    dark: bool
    desk: str
    """Behind the panels; also jaws and other things that are not work."""
    paper: str
    ink: str
    """Outline and text."""
    narrow: str
    """Dimension lines, axis, what is said less loudly."""
    rule: str
    """Hair lines between rows and around panels."""
    layer_light: str
    layer_dark: str
    part: str
    hatch: str
    shade_light: str
    """The turned body where the light falls."""
    shade_dark: str
    chosen: str
    chosen_light: str
    """Behind a chosen row."""
    danger: str
    danger_light: str
    tool: str
    pencil: str
    """Sections that the dimensions do not fix yet."""


LIGHT = Theme(
    name="light",
    dark=False,
    desk="#E4DED1",
    paper="#FAF7F0",
    ink="#1E2B3A",
    narrow="#66717D",
    rule="#CFC6B4",
    layer_light="#F1E4C6",
    layer_dark="#CFA962",
    part="#E3E9EC",
    hatch="#8FA1AD",
    shade_light="#F6FAFC",
    shade_dark="#98A1A9",
    chosen="#0F6A6E",
    chosen_light="#D7E7E3",
    danger="#C43D2B",
    danger_light="#F4D9D4",
    tool="#FFFFFF",
    pencil="#66717D",
)

DARK = Theme(
    name="dark",
    dark=True,
    desk="#14181C",
    paper="#1E242A",
    ink="#F2EEE4",
    narrow="#A3ABB1",
    rule="#3A444D",
    layer_light="#4A4230",
    layer_dark="#8A6C35",
    part="#2C3740",
    hatch="#71828F",
    shade_light="#6C7F8D",
    shade_dark="#252E36",
    chosen="#86C5BE",
    chosen_light="#254340",
    danger="#F28A74",
    danger_light="#4A2A25",
    tool="#3A434B",
    pencil="#A3ABB1",
)


def mixed(first: str, second: str, share: float) -> str:
    """Return the colour `share` (0 to 1) of the way from `first` to `second`."""
    share = min(max(share, 0.0), 1.0)
    parts = (
        round(int(first[i : i + 2], 16) * (1 - share) + int(second[i : i + 2], 16) * share)
        for i in (1, 3, 5)
    )
    return "#" + "".join(f"{part:02X}" for part in parts)
