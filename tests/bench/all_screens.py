"""Every screen of the app, opened one after the other on the sample project as its ways lead to it."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING, Any, Final

from fieldapp.desk.papers.logs import write_shaft_log
from fieldapp.desk.trust.people import make_key
from fieldapp.desk.workplace import open_project
from tests.screens.journey import DEVICE, SteppedClock, begin

if TYPE_CHECKING:
    from fieldapp.ui.walk import Walk

SHAFT, UNREAD, DONE = "P1-4", "P2-1", "P1-1"
INSPECTOR, ENGINEER = "Inspector A", "Resident engineer"
PASSPHRASE = "six plain words for the test"
KINDS: Final = (
    *("head reading", "cleanout pass", "base sighting", "note", "standing water", "geometry survey"),
    *("excavation stage", "event", "delay", "photo", "fluid test", "instrument"),
)
STAGES: Final = ("Hole", "Fluid", "Head", "Cleaning", "Base", "Pictures and notes", "Release")


def sample_project(folder: Path) -> Path:
    """The sample project with all its logs, the keys of two people and one paper."""
    made = begin(folder / "larkwater", "larkwater")
    with open_project(made, SteppedClock(), DEVICE) as place:
        make_key(place, ENGINEER, PASSPHRASE)
        write_shaft_log(place, DONE, place.now(), INSPECTOR)
    return made


def every_screen(folder: Path) -> Iterator[tuple[str, dict[str, Any]]]:
    """Name and arguments of each visit.  Raises SystemExit when a screen of the app is left out."""
    from fieldapp.ui.walk import SCREENS

    paper = next((folder / "reports").glob("*.pdf"))
    visits: list[tuple[str, dict[str, Any]]] = [
        *(
            (name, {})
            for name in ("projects", "new project", "board", "person", "setup", "people", "settings")
        ),
        *((name, {}) for name in ("acceptance", "acceptance set", "acceptance changes", "person roles")),
        ("folder", {"wants": "project", "chosen": print, "start": folder.parent}),
        ("acceptance number", {"key": "max_thickness_anywhere"}),
        ("person page", {"person": ENGINEER}),
        ("person key", {"person": "Designer", "does": "make"}),
        ("revoke key", {"person": ENGINEER}),
        *(("shaft", {"shaft": SHAFT, "stage": stage}) for stage in STAGES),
        ("shaft", {"shaft": UNREAD}),
        ("timeline", {"shaft": SHAFT}),
        ("round", {"shaft": UNREAD}),
        ("fluid", {"shaft": SHAFT}),
        *(("entry", {"shaft": SHAFT, "kind": kind}) for kind in KINDS),
        ("picture", {"chosen": None, "start": folder.parent}),
        ("signoff", {"shaft": SHAFT}),
        ("release", {"shaft": SHAFT}),
        ("credit", {"shaft": SHAFT}),
        ("papers", {"shaft": DONE}),
        ("papers", {}),
        ("paper", {"path": paper}),
        ("paper folder", {"start": folder / "reports", "chosen": print}),
        *(("bundle out", {}), ("bundle in", {})),
        ("bundle folder", {"wants": "bundle", "start": folder.parent, "chosen": print}),
        ("unlock", {}),
        ("stopped", {"file": "basenote-stopped-20260522-180200.txt"}),
    ]
    left_out = set(SCREENS) - {name for name, _ in visits}
    if left_out:
        raise SystemExit(f"screens that are not measured: {', '.join(sorted(left_out))}")
    yield from visits


def visit(walk: Walk, name: str, given: dict[str, Any]) -> None:
    """Go to a screen; from the calm sentence no way leads on, so the way is kept beside it."""
    if name == "stopped":
        way = list(walk.trail)
        walk.stop_here(**given)
        walk.trail = [*way, "stopped"]
    else:
        walk.go(name, **given)
