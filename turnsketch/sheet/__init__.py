"""The pass sheet: what stands on it, as PDF and as CSV."""

from __future__ import annotations

__all__: list[str] = []
