"""Pictures: one display list for paper, plot and screen, and its painters."""

from __future__ import annotations

__all__: list[str] = []
