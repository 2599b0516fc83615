"""What somebody does with papers on the tablet: looks where they lie, and opens one."""

from __future__ import annotations

from pathlib import Path

from tests.screens.decision_journey import CLEAN
from tests.screens.journey import Journey

SHAFT = CLEAN[0]


def files_in(folder: Path) -> list[str]:
    return sorted(each.name for each in (folder / "reports").iterdir())


def shown(on: Journey, path: Path) -> None:
    """Open a paper and wait for its verdict."""
    on.walk.go("paper", path=path)
    on.hand.until(lambda: not on.screen.busy, 60)
    on.wait()
