"""Tapers too long for the top slide, between centres: the tailstock is set over."""

from __future__ import annotations

from turnsketch.job import Blank, Holding, Job, Setup
from turnsketch.part.records import PartRecord, Section

__all__ = ["TAPER", "between_centres"]

TAPER = Section("taper", angle="1:50", front_diameter="20", length="150")
COLLAR = Section("cylinder", diameter="28", length="30")


def between_centres(*sections: Section, taper: bool = True) -> Job:
    """Return a job of 205 mm between centres; without sections a taper in front of a collar."""
    chosen = sections or ((TAPER, COLLAR) if taper else (COLLAR,))
    part = PartRecord("spar foot", chosen, material="mild steel", centre_hole="allowed")
    holding = Holding(
        "Driver plate 160", "18", kind="between centres", centre=True, centred_blank=True
    )
    return Job(part, Blank("30", "205", "0"), "Slipway 1", (Setup(holding),))
