"""No screen without a picture: every screen of the walk has a view, and every view a name of its own."""

from __future__ import annotations

import pytest

from fieldapp.ui.walk import SCREENS
from fieldapp.ui.ways import OF_KIND, OF_STAGE, OF_WORK
from tests.screens.views.every import FIRST, every_view

NOT_BUILT = {"schedule"}
"""Ways that lead to the screen of an entry in place of a screen of their own."""


def test_every_screen_of_the_walk_has_a_view():
    assert set(FIRST) == set(SCREENS)
    views = every_view()
    assert {name for name in FIRST.values() if not any(name in each for each in views.values())} == set()


def test_every_way_leads_to_a_screen_that_has_a_view():
    ways = {each.screen for table in (OF_WORK, OF_KIND, OF_STAGE) for each in table.values()}
    assert ways - NOT_BUILT <= set(FIRST)


@pytest.mark.long_walk
def test_the_view_of_a_screen_ends_on_it(tmp_path):
    """By the run of pictures itself, which is a program of its own with a larger surface."""
    import subprocess
    import sys

    only = [part for view in FIRST.values() for part in ("--only", view)]
    run = [sys.executable, "-m", "tests.screens.pictures", str(tmp_path), "--exactly", *only]
    done = subprocess.run([*run, "--size", "landscape", "--scheme", "noon"], capture_output=True, check=False)
    assert done.returncode == 0, done.stderr.decode()
    assert len(list(tmp_path.glob("*.png"))) == len(set(FIRST.values()))
