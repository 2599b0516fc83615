"""The whole main job once, on the sample projects: begin, add, hold against limits, sign, write.

Run again, it finds what is there and adds nothing.  The people of the samples are roles, and the
passphrase of their keys is printed: these keys are for looking only.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from importlib.resources import as_file, files
from pathlib import Path
from typing import Final

from fieldapp.desk.office import ShaftNow, all_shafts, begin_project
from fieldapp.desk.papers import Paper, write_shaft_log
from fieldapp.desk.people import key_file, make_key, unlock_key
from fieldapp.desk.typed_logs import add_logs, read_logs
from fieldapp.desk.workplace import Workplace, open_project
from fieldapp.desk.worth import base_worth
from fieldapp.desk.worth_text import credit_cell
from fieldapp.record.words import Role

PASSPHRASE: Final = "six plain words for the demo"
SAMPLES: Final = ("larkwater", "vesker")


@dataclass(frozen=True, slots=True)
class DemoProject:
    """One sample project as it came out."""

    name: str
    folder: Path
    shafts: tuple[ShaftNow, ...]
    estimates: dict[str, str]
    papers: tuple[Paper, ...]


def run_demo(folder: Path, progress: Callable[[str], None]) -> tuple[DemoProject, ...]:
    """Make the sample projects under ``folder`` and write their signed logs.

    Raises StoreProblem, PlainLogRefused; what is already there is never changed.
    """
    return tuple(_run_one(folder / name, name, progress) for name in SAMPLES)


def _run_one(folder: Path, name: str, progress: Callable[[str], None]) -> DemoProject:
    if begin_project(folder):
        progress(f"{name}: made the project folder")
    with open_project(folder) as place, as_file(files("sample_logs") / name) as samples:
        add_logs(place, read_logs(list(samples.glob("*.log"))), lambda text: progress(f"{name}: {text}"))
        inspector = next(each.name for each in place.setup().people if Role.INSPECTOR in each.roles)
        if not key_file(place, inspector).exists():
            progress(f"{name}: making the key of {inspector}")
            make_key(place, inspector, PASSPHRASE)
        shafts = all_shafts(place)
        papers = _papers(place, inspector, shafts, lambda text: progress(f"{name}: {text}"))
        progress(f"{name}: estimating what each base is worth")
        estimates = {each.shaft.id: credit_cell(base_worth(place, each.shaft.id, each.at)) for each in shafts}
        return DemoProject(place.setup().name, folder, shafts, estimates, papers)


def _papers(
    place: Workplace, inspector: str, shafts: tuple[ShaftNow, ...], progress: Callable[[str], None]
) -> tuple[Paper, ...]:
    key = unlock_key(place, inspector, PASSPHRASE)
    papers = []
    for number, each in enumerate(shafts, start=1):
        progress(f"shaft log {number} of {len(shafts)}, {each.shaft.id}")
        papers.append(write_shaft_log(place, each.shaft.id, each.at, inspector, key))
    return tuple(papers)
