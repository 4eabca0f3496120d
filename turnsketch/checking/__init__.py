"""The independent replay of a plan: what happens when it is played, what size comes of it."""

__all__: list[str] = []
