"""``python -m turnsketch``: the same as the command ``turnsketch``."""

from __future__ import annotations

import sys

from turnsketch.cli import main

__all__: list[str] = []

if __name__ == "__main__":
    sys.exit(main())
