"""The summary of a project: its facts as of a moment, and the paper in the project's reports.

It goes through all shafts one after the other, tells how far it is, and can be stopped between two; what
was stopped leaves no file.  The file's name carries the moment that it is of and the first letters of the
digest of the whole journal, so that it is written once for each state of the record.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING, Final

from fieldapp.desk.office import moment_of
from fieldapp.desk.papers.attached import moment_in_zone
from fieldapp.desk.papers.journal import MIME_TYPE
from fieldapp.desk.papers.paper import Paper, Pen
from fieldapp.desk.papers.printed import PRINTED_NAME
from fieldapp.desk.papers.printed_summary import printed_summary, written_summary
from fieldapp.desk.papers.summary_shaft import summary_shaft
from fieldapp.desk.papers.writing import certified
from fieldapp.desk.projects.presets import cautions
from fieldapp.desk.workplace import Workplace
from fieldapp.record.words import PaperKind
from fieldapp.store.papers import save_paper
from reports.summary_facts import SummaryFacts, SummaryShaft

if TYPE_CHECKING:
    from reports.facts import Report

WHERE: Final = "project summary"
_NUMBER: Final = re.compile(r"([0-9]+)|([^0-9]+)")
Tell = Callable[[int, int], None]
"""Gets how many shafts were gone through, and of how many."""


class SummaryStopped(Exception):
    """Somebody stopped a summary in the making; nothing was written."""


@dataclass(frozen=True, slots=True)
class Watch:
    """Who watches a summary in the making.

    ``tell`` gets how far it is, ``stopped`` is asked between two shafts, ``before_writing`` is called once,
    when the pages are there and nothing is written yet.
    """

    tell: Tell = lambda _number, _count: None
    stopped: Callable[[], bool] = lambda: False
    before_writing: Callable[[], None] = lambda: None


def summary_facts(
    place: Workplace, at: datetime, printed_by: str, watch: Watch | None = None
) -> SummaryFacts:
    """Everything that the summary shows, as of a moment.

    Raises Impossible for a project without a set-up, SummaryStopped.
    """
    watch = watch or Watch()
    project, setup = place.record(), place.setup()
    moment = moment_in_zone(place, at)
    shafts: list[SummaryShaft] = []
    for number, each in enumerate(project.shafts.values()):
        _go_on(watch)
        watch.tell(number, len(project.shafts))
        shafts.append(summary_shaft(project, each, moment))
    _go_on(watch)
    return SummaryFacts(
        project_id=project.id,
        setup=setup,
        shafts=tuple(sorted(shafts, key=lambda each: _by_number(each.id))),
        journal_digest=place.digest(),
        heads=tuple(place.heads().values()),
        instruments=tuple(each for each in project.instruments if each.observed_at <= moment),
        at=moment,
        printed_at=place.now(),
        printed_by=printed_by,
        cautions=cautions(WHERE, frozenset()),
    )


def write_summary(
    place: Workplace, at: datetime, printed_by: str, watch: Watch | None = None, pen: Pen | None = None
) -> Paper:
    """Write the summary into the project's reports; one that is there for this state is kept as it is.

    With a pen it is certified by the designer who holds it, and the journal says so; that takes a project
    that is open for work.  A signed one that the journal does not name yet is taken up.

    Raises
    ------
    SummaryStopped, Stopped
        Somebody stopped it in time.
    Impossible
        The project has no set-up.
    UnreadableAttachment, StoreProblem
        What it states cannot be attached, or the file cannot be written; nothing was.
    What `certified` raises
        With a pen: it may not sign this, or the journal cannot say so.
    """
    watch = watch or Watch()
    at = moment_in_zone(place, at)
    path = summary_path(place, at, "signed" if pen is not None else "unsigned")
    if pen is not None:
        return _certified(place, at, path, pen, watch)
    if path.exists():
        return Paper(path, signed=False, new=False)
    pdf, _ = _laid_out(place, at, printed_by, watch)
    save_paper(path, pdf)
    return Paper(path, signed=False, new=True)


def _certified(place: Workplace, at: datetime, path: Path, pen: Pen, watch: Watch) -> Paper:
    from fieldapp.desk.papers.signing import Turn  # noqa: PLC0415 - slow to import, and only signing needs it
    from fieldapp.identity.signing_order import PROJECT_SUMMARY_ORDER  # noqa: PLC0415

    digest, step = place.digest(), PROJECT_SUMMARY_ORDER.steps[0]
    turn = Turn(path, PaperKind.PROJECT_SUMMARY, place.project_id, digest, step)
    return certified(place, turn, pen, lambda by: _laid_out(place, at, by, watch))


def _laid_out(place: Workplace, at: datetime, printed_by: str, watch: Watch) -> tuple[bytes, Report]:
    """The pages with what they state attached, and the pages alone with the places of their fields."""
    from fieldapp.identity.attachments import AttachedFile, attach_file  # noqa: PLC0415 - slow to import
    from reports.project_summary import project_summary  # noqa: PLC0415 - paper is slow to import

    facts = summary_facts(place, at, printed_by, watch)
    report = project_summary(facts)
    _go_on(watch)
    watch.before_writing()
    stated = written_summary(printed_summary(facts, place.until))
    return attach_file(report.pdf, AttachedFile(PRINTED_NAME, stated), MIME_TYPE), report


def summary_path(place: Workplace, at: datetime, state: str = "unsigned") -> Path:
    """Where the summary of the record as it is, as of a moment, belongs; ``state`` is signed or unsigned."""
    digest = place.digest()
    return place.folder / "reports" / f"project-summary-{at:%Y%m%d-%H%M}-{digest[:12]}-{state}.pdf"


def latest_moment(place: Workplace) -> datetime:
    """The moment of the latest entry of any shaft; the present one before there is a shaft."""
    moments = [moment_of(place, each) for each in place.record().shafts]
    return max(moments) if moments else place.now()


def _by_number(name: str) -> tuple[tuple[int, str], ...]:
    """A key that puts P1-2 before P1-10."""
    parts = _NUMBER.findall(name)
    return tuple((int(number) if number else -1, text) for number, text in parts)


def _go_on(watch: Watch) -> None:
    if watch.stopped():
        raise SummaryStopped
