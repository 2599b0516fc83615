"""The summary of a project: its facts as of a moment, and the paper in the project's reports.

It goes through all shafts one after the other, tells how far it is, and can be stopped between two; what
was stopped leaves no file.  The file's name carries the moment that it is of and the first letters of the
digest of the whole journal, so that it is written once for each state of the record.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from datetime import datetime
from pathlib import Path
from typing import Final

from fieldapp.desk.office import moment_of
from fieldapp.desk.papers.attached import moment_in_zone
from fieldapp.desk.papers.paper import Paper
from fieldapp.desk.papers.summary_shaft import summary_shaft
from fieldapp.desk.projects.presets import cautions
from fieldapp.desk.workplace import Workplace
from fieldapp.record.chain import heads_of
from fieldapp.record.shaft import digest_of
from fieldapp.store.atomic_file import save_bytes
from reports.summary_facts import SummaryFacts, SummaryShaft

WHERE: Final = "project summary"
_NUMBER: Final = re.compile(r"([0-9]+)|([^0-9]+)")
Tell = Callable[[int, int], None]
"""Gets how many shafts were gone through, and of how many."""


class SummaryStopped(Exception):
    """Somebody stopped a summary in the making; nothing was written."""


def summary_facts(
    place: Workplace,
    at: datetime,
    printed_by: str,
    tell: Tell | None = None,
    stopped: Callable[[], bool] | None = None,
) -> SummaryFacts:
    """Everything that the summary shows, as of a moment.

    ``stopped`` is asked between two shafts.  Raises Impossible for a project without a set-up,
    SummaryStopped.
    """
    project, setup = place.record(), place.setup()
    moment = moment_in_zone(place, at)
    shafts: list[SummaryShaft] = []
    for number, each in enumerate(project.shafts.values()):
        _go_on(stopped)
        if tell is not None:
            tell(number, len(project.shafts))
        shafts.append(summary_shaft(project, each, moment))
    _go_on(stopped)
    entries = place.entries()
    return SummaryFacts(
        project_id=project.id,
        setup=setup,
        shafts=tuple(sorted(shafts, key=lambda each: _by_number(each.id))),
        journal_digest=digest_of(entries),
        heads=tuple(heads_of(entries).values()),
        instruments=tuple(each for each in project.instruments if each.observed_at <= moment),
        at=moment,
        printed_at=place.now(),
        printed_by=printed_by,
        cautions=cautions(WHERE, frozenset()),
    )


def write_summary(
    place: Workplace,
    at: datetime,
    printed_by: str,
    tell: Tell | None = None,
    stopped: Callable[[], bool] | None = None,
) -> Paper:
    """Write the summary into the project's reports; one that is there for this state is kept as it is.

    Raises Impossible for a project without a set-up, StoreProblem, SummaryStopped: nothing was written.
    """
    at = moment_in_zone(place, at)
    path = summary_path(place, at)
    if path.exists():
        return Paper(path, signed=False, new=False)
    from reports.project_summary import project_summary  # noqa: PLC0415 - paper is slow to import

    facts = summary_facts(place, at, printed_by, tell, stopped)
    pdf = project_summary(facts)
    _go_on(stopped)
    path.parent.mkdir(exist_ok=True)
    save_bytes(path, pdf)
    return Paper(path, signed=False, new=True)


def summary_path(place: Workplace, at: datetime) -> Path:
    """Where the summary of the record as it is, as of a moment, belongs."""
    digest = digest_of(place.entries())
    return place.folder / "reports" / f"project-summary-{at:%Y%m%d-%H%M}-{digest[:12]}.pdf"


def latest_moment(place: Workplace) -> datetime:
    """The moment of the latest entry of any shaft; the present one before there is a shaft."""
    moments = [moment_of(place, each) for each in place.record().shafts]
    return max(moments) if moments else place.now()


def _by_number(name: str) -> tuple[tuple[int, str], ...]:
    """A key that puts P1-2 before P1-10."""
    parts = _NUMBER.findall(name)
    return tuple((int(number) if number else -1, text) for number, text in parts)


def _go_on(stopped: Callable[[], bool] | None) -> None:
    if stopped is not None and stopped():
        raise SummaryStopped
