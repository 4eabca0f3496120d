"""What the chains of a part are called wherever one of them is chosen: in the table, on the board.

The board draws one of them; the tables show one, or the grooves.
"""

from __future__ import annotations

from typing import Final

from turnsketch.desk.text import tr
from turnsketch.document.bores import CHAINS, Chain, chain_sections
from turnsketch.part.records import PartRecord

__all__ = ["GROOVES", "as_chain", "chain_entries", "chain_words", "table_entries"]

GROOVES: Final = "grooves"
"""The table that shows no chain."""


def chain_words(chain: Chain) -> str:
    """Return what a chain is called."""
    return {
        "outside": tr("Outside"),
        "bore": tr("Bore from the front"),
        "bore_back": tr("Bore from the back"),
    }[chain]


def chain_entries(part: PartRecord) -> list[tuple[str, str]]:
    """Return the chains with their words, and how many sections a bore has."""
    return [(chain, _counted(part, chain)) for chain in CHAINS]


def table_entries(part: PartRecord) -> list[tuple[str, str]]:
    """Return all tables of the print with their words: the chains, then the grooves."""
    count, words = len(part.grooves), tr("Grooves")
    return [*chain_entries(part), (GROOVES, f"{words} ({count})" if count else words)]


def _counted(part: PartRecord, chain: Chain) -> str:
    count, words = len(chain_sections(part, chain)), chain_words(chain)
    return f"{words} ({count})" if count and chain != "outside" else words


def as_chain(table: str) -> Chain | None:
    """Return the chain that a table shows; None: it shows the grooves."""
    return next((chain for chain in CHAINS if chain == table), None)
