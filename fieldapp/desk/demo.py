"""The whole main job once, on the sample projects: begin, add, hold against limits, write, sign.

One log of the samples is countersigned by the resident engineer and closed by the designer.

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
from fieldapp.desk.papers.logs import Paper, Pen, write_shaft_log
from fieldapp.desk.trust.people import key_file, make_key, unlock_key
from fieldapp.desk.typed_logs import add_logs, read_logs
from fieldapp.desk.workplace import Workplace, open_project
from fieldapp.desk.worth.text import credit_cell
from fieldapp.desk.worth.worth import base_worth
from fieldapp.record.words import Role

PASSPHRASE: Final = "six plain words for the demo"
SAMPLES: Final = ("larkwater", "vesker")
SIGNED_BY_ALL: Final = "P1-1"
DRAWN: Final = (((0.0, 0.2), (0.15, 0.8), (0.3, 0.2), (0.5, 0.6), (0.6, 0.3)), ((0.1, 0.1), (1.0, 0.15)))


@dataclass(frozen=True, slots=True)
class DemoProject:
    """One sample project as it came out."""

    name: str
    folder: Path
    shafts: tuple[ShaftNow, ...]
    estimates: dict[str, str]
    papers: tuple[Paper, ...]
    signed_further: tuple[Paper, ...] = ()


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

        def say(text: str) -> None:
            progress(f"{name}: {text}")

        further = (Role.RESIDENT_ENGINEER, Role.DESIGNER) if SIGNED_BY_ALL in place.record().shafts else ()
        pens = tuple(_pen(place, role, say) for role in (Role.INSPECTOR, *further))
        shafts = all_shafts(place)
        papers = _papers(place, pens[0], shafts, say)
        last = _signed_further(place, papers[_number_of(shafts)], pens[1:], say) if further else ()
        progress(f"{name}: estimating what each base is worth")
        estimates = {each.shaft.id: credit_cell(base_worth(place, each.shaft.id, each.at)) for each in shafts}
        return DemoProject(place.setup().name, folder, shafts, estimates, papers, last)


def _pen(place: Workplace, role: Role, progress: Callable[[str], None]) -> Pen:
    """The key of the first person on the roster with a role, made when it is not there."""
    name = next(each.name for each in place.setup().people if role in each.roles)
    if not key_file(place, name).exists():
        progress(f"making the key of {name}")
        make_key(place, name, PASSPHRASE)
    return Pen(unlock_key(place, name, PASSPHRASE), role, DRAWN)


def _papers(
    place: Workplace, pen: Pen, shafts: tuple[ShaftNow, ...], progress: Callable[[str], None]
) -> tuple[Paper, ...]:
    papers = []
    for number, each in enumerate(shafts, start=1):
        progress(f"shaft log {number} of {len(shafts)}, {each.shaft.id}")
        papers.append(write_shaft_log(place, each.shaft.id, each.at, pen.key.certificate.name, pen))
    return tuple(papers)


def _number_of(shafts: tuple[ShaftNow, ...]) -> int:
    return [each.shaft.id for each in shafts].index(SIGNED_BY_ALL)


def _signed_further(
    place: Workplace, paper: Paper, pens: tuple[Pen, ...], progress: Callable[[str], None]
) -> tuple[Paper, ...]:
    from fieldapp.desk.papers.signing import countersign  # noqa: PLC0415 - slow to import

    found = []
    for pen in pens:
        progress(f"signing the log of {SIGNED_BY_ALL} as {pen.role}")
        paper = countersign(place, paper.path, pen)
        found.append(paper)
    return tuple(found)
