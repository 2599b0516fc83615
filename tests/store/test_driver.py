"""One SQLite for the whole process, and the first screen without the heavy libraries."""

from __future__ import annotations

import subprocess
import sys

import pytest

from fieldapp.store import driver


def test_it_is_the_module_that_others_take_for_the_same_file() -> None:
    from sqlite_utils.utils import sqlite3

    assert driver.sqlite3 is sqlite3


# Release notes of SQLite 3.51.3: fault from 3.7.0 to 3.51.2, backports in 3.44.6 and 3.50.7.
@pytest.mark.parametrize(
    ("version", "safe"),
    [
        ((3, 6, 23), True),
        ((3, 7, 0), False),
        ((3, 40, 1), False),
        ((3, 44, 5), False),
        ((3, 44, 6), True),
        ((3, 45, 0), False),
        ((3, 50, 6), False),
        ((3, 50, 7), True),
        ((3, 51, 0), False),
        ((3, 51, 2), False),
        ((3, 51, 3), True),
        ((3, 53, 4), True),
    ],
)
def test_versions_with_the_wal_reset_fault_are_known(version: tuple[int, int, int], *, safe: bool) -> None:
    assert driver.safe_to_write(version) is safe


def test_the_board_is_read_without_the_heavy_libraries() -> None:
    program = (
        "import sys, fieldapp.store.light\n"
        "heavy = ['sqlite_utils', 'click', 'numpy', 'rfc8785', 'fieldapp.record', 'fieldapp.criteria']\n"
        "print([name for name in heavy if name in sys.modules])"
    )
    told = subprocess.run([sys.executable, "-c", program], capture_output=True, text=True, check=True)
    assert told.stdout.strip() == "[]"
