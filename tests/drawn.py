"""How many examples a test draws that plans a job for each of them."""

from __future__ import annotations

from collections.abc import Collection

from hypothesis import HealthCheck, Phase, settings

__all__ = ["drawn"]


def drawn(share: int, phases: Collection[Phase] | None = None) -> settings:
    """Return settings for one of `share` examples of the profile in use, and any time for each."""
    return settings(
        max_examples=max(1, settings().max_examples // share),
        deadline=None,
        phases=settings().phases if phases is None else phases,
        suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large],
    )
