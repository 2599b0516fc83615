"""What the first frame needs: widgets bring Kivy and nothing heavy, and a palette not even Kivy."""

from __future__ import annotations

import os
import subprocess
import sys

import pytest

HEAVY = {"numpy", "reportlab", "pyhanko", "cryptography", "sqlite_utils", "sqlite3"}
ALL = [
    *("action_row", "bar", "base_plan", "board_row", "boxed", "caution", "finding_row", "frame", "keypad"),
    *("loading", "measure", "pages", "press", "rail", "reading_field", "shapes", "strip", "text", "theme"),
]


def loaded_after(modules: list[str]) -> set[str]:
    code = "import importlib, sys\n" + "\n".join(
        f"importlib.import_module('fieldapp.ui.widgets.{module}')" for module in modules
    )
    code += "\nprint(' '.join(sorted(name for name in sys.modules)))"
    done = subprocess.run(
        [sys.executable, "-c", code], capture_output=True, text=True, check=True, env=os.environ
    )
    return set(done.stdout.split())


def test_all_widgets_together_load_nothing_heavy_and_no_other_part_but_units():
    names = loaded_after(ALL)
    assert not HEAVY & names
    ours = {name for name in names if name.startswith("fieldapp.") and not name.startswith("fieldapp.ui")}
    assert ours <= {"fieldapp.units"}


@pytest.mark.parametrize("module", ["palette", "keypad_state", "plan_geometry"])
def test_pure_modules_load_no_kivy(module):
    assert not any(name.split(".")[0] == "kivy" for name in loaded_after([module]))
