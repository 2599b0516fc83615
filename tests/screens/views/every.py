"""Every view there is, gathered from the modules beside this one, so that none is forgotten in a list."""

from __future__ import annotations

from collections.abc import Callable
from importlib import import_module
from pathlib import Path
from typing import TYPE_CHECKING, Final

if TYPE_CHECKING:
    from tests.screens.journey import Journey

View = Callable[["Journey"], None]

SAMPLE: Final = "larkwater"
METRES: Final = "vesker"

FIRST: Final = {
    "board": "board",
    "person": "person",
    "shaft": "shaft",
    "round": "round_begun",
    "fluid": "fluid_begun",
    "entry": "entry_head",
    "picture": "picture_seen",
    "timeline": "entries",
    "projects": "projects",
    "folder": "project_folder",
    "new project": "new_project",
    "setup": "setup",
    "acceptance": "acceptance",
    "acceptance set": "acceptance_numbers",
    "acceptance number": "acceptance_number",
    "acceptance changes": "acceptance_changes",
    "people": "people",
    "person page": "person_new",
    "person roles": "person_roles",
    "person key": "key_make",
    "revoke key": "key_revoke",
    "settings": "settings",
    "signoff": "signoff",
    "release": "release",
    "credit": "credit",
    "papers": "papers",
    "paper": "paper",
    "paper folder": "paper_folder",
    "bundle out": "bundle_out",
    "bundle in": "bundle_in_seen",
    "bundle folder": "bundle_folder",
    "unlock": "unlock",
    "stopped": "stopped",
}
"""A view that ends on each screen of the walk; the run of pictures holds it to that."""


def every_view() -> dict[str, dict[str, View]]:
    """The views by name, for each sample project that they begin on.

    They stand in modules called ``..._views``, in dicts called ``..._VIEWS``, or ``..._VIEWS_METRES`` for
    those of the metric project.

    Raises
    ------
    ValueError
        When two views have one name: one of the pictures would be written over.
    """
    found: dict[str, dict[str, View]] = {SAMPLE: {}, METRES: {}}
    for module in sorted(Path(__file__).parents[1].rglob("*_views.py")):
        path = module.relative_to(Path(__file__).parents[3]).with_suffix("")
        for name, views in vars(import_module(".".join(path.parts))).items():
            if name.endswith(("_VIEWS", "_VIEWS_METRES")):
                _add(found[METRES if name.endswith("METRES") else SAMPLE], views)
    return found


def _add(to: dict[str, View], views: dict[str, View]) -> None:
    for name, view in views.items():
        if to.setdefault(name, view) is not view:
            raise ValueError(f"two views are called {name}")
