"""How times spread, as one line a measurement.  Needs no window."""

from __future__ import annotations

from collections.abc import Sequence


def spread(name: str, seconds: Sequence[float], limit_ms: float | None = None) -> str:
    """A line: how many, median, 99 %, worst in milliseconds, and how many are over a limit."""
    times = sorted(1000 * each for each in seconds)
    at = [times[min(len(times) - 1, int(len(times) * part))] for part in (0.5, 0.99)]
    over = "" if limit_ms is None else f"   over {limit_ms:g} ms: {sum(each > limit_ms for each in times)}"
    return (
        f"  {name:<28} {len(times):5} frames   median {at[0]:6.1f}   99 % {at[1]:6.1f}   "
        f"worst {times[-1]:6.1f} ms{over}\n"
    )
