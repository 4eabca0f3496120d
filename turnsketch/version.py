"""The program's version, in one place."""

from __future__ import annotations

from typing import Final

__all__ = ["VERSION"]

VERSION: Final = "0.1.0"
