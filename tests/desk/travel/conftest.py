"""Two tablets that know the same project: the fixtures of ``tablets``."""

from __future__ import annotations

from tests.desk.travel.tablets import one, tablets, two

__all__ = ["one", "tablets", "two"]
