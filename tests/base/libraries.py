"""General libraries that a test holds the program against: needed where CI is set, else skipped."""

import importlib
import os
from types import ModuleType

import pytest


def library(name: str) -> ModuleType:
    """The module of this name; without it the test is skipped, or fails where CI is set."""
    if os.environ.get("CI"):
        return importlib.import_module(name)
    return pytest.importorskip(name, reason=f"{name} is not installed; the check against it did not run")
