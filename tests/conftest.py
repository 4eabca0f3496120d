"""Settings that all tests share."""

from __future__ import annotations

import os

import matplotlib as mpl
from hypothesis import Phase, settings

# Qt draws on no screen, wherever the tests run.
os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
mpl.use("Agg")  # no test opens a window

# Run the long profile by hand: HYPOTHESIS_PROFILE=long pytest
settings.register_profile("short", max_examples=30, deadline=None, derandomize=True)
settings.register_profile("long", max_examples=1000, deadline=None)
# Short without shrinking, which can take minutes where a whole plan is made for every try.
settings.register_profile(
    "quick",
    max_examples=30,
    deadline=None,
    derandomize=True,
    phases=(Phase.explicit, Phase.generate),
)
settings.load_profile(os.environ.get("HYPOTHESIS_PROFILE", "short"))
