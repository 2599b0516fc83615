"""Ours beside a peer: what is compared, both times, and how often the peer's time ours may be."""

from __future__ import annotations

import statistics
import time
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any, Final


@dataclass(frozen=True, slots=True)
class Beside:
    """Milliseconds of both, ours first; ``most`` is the ratio asked for, None where none is."""

    what: str
    peer: str
    times_ms: tuple[float, float]
    most: float | None = None

    @property
    def ratio(self) -> float:
        return self.times_ms[0] / self.times_ms[1]

    def __str__(self) -> str:
        ours_ms, peer_ms = self.times_ms
        asked = "" if self.most is None else f"  asked {self.most:g}"
        return f"{self.what:<46}{ours_ms:10.2f}  {self.peer:<38}{peer_ms:10.3f}{self.ratio:9.3g}{asked}"


HEAD: Final = f"{'':46}{'ours, ms':>10}  {'peer':<38}{'peer, ms':>10}{'ratio':>9}"


def in_turn(
    ours: Callable[[], Any],
    peer: Callable[[], Any],
    runs: int,
    clock: Callable[[], float] = time.process_time,
) -> tuple[float, float]:
    """Median milliseconds of both, taking turns, so that a busy machine is busy for both."""
    took: tuple[list[float], list[float]] = ([], [])
    for _ in range(runs):
        for job, times in zip((ours, peer), took, strict=True):
            began = clock()
            job()
            times.append(1000 * (clock() - began))
    return statistics.median(took[0]), statistics.median(took[1])
