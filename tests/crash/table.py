"""What a campaign prints: progress beside, at the end one table, every fault, and how to have it again."""

from __future__ import annotations

import sys
from collections.abc import Iterable, Sequence

from tabulate import tabulate


def progress(*lines: str) -> None:
    """Lines for whoever waits."""
    sys.stderr.writelines(f"{each}\n" for each in lines)
    sys.stderr.flush()


def result(heads: Sequence[str], rows: Iterable[Sequence[object]], said: Iterable[str], last: str) -> None:
    """The table, the sentences under it, and the last line."""
    sys.stdout.writelines(f"{each}\n" for each in (tabulate(list(rows), heads), "", *said, last))
