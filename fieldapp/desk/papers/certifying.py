"""The first signature on an unsigned paper that somebody has before him: what he signs is what he has read.

The paper is held against the record first, then laid out once more with the places of its signatures, of the
same moment and record.  A record that has changed since is another paper: it is made anew and read again.
"""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Final

from fieldapp.criteria.phrasing import clock_of_year
from fieldapp.desk.inspector import AskFirst
from fieldapp.desk.office import ShaftNow, shaft_now
from fieldapp.desk.papers.attached import moment_in_zone
from fieldapp.desk.papers.forms import FORMS
from fieldapp.desk.papers.paper import Paper, PaperRefused, Pen
from fieldapp.desk.papers.printed import PrintedFacts
from fieldapp.desk.papers.record_fact import FROM_ITS_JOURNAL, OF_A_SUMMARY, RecordFactName
from fieldapp.desk.papers.signing import check_pen, step_of
from fieldapp.desk.papers.since import shafts_since_said, since_said
from fieldapp.desk.papers.summary import Watch, write_summary
from fieldapp.desk.papers.verifying import PaperVerdict, read_paper, verify_file
from fieldapp.desk.papers.writing import Wanted, write_paper
from fieldapp.desk.turning_point import TurningPoint
from fieldapp.desk.workplace import Workplace
from fieldapp.identity.signing_order import ORDERS
from fieldapp.identity.verification import Answer
from fieldapp.record.questions import Objection
from fieldapp.record.said import said
from fieldapp.record.said_lists import listed, sentences, word
from fieldapp.record.words import PaperKind, Role

OLDER_MOMENT: Final = "older-moment"
MOST_NAMED: Final = 3
_HOLDS: Final = (
    FROM_ITS_JOURNAL
    | OF_A_SUMMARY - {RecordFactName.STILL_SO}
    | {RecordFactName.ATTACHED, RecordFactName.SAME_DIGEST, RecordFactName.IN_PROJECT}
)
"""What must be shown of an unsigned paper before anybody signs it, where it is asked at all."""


def first_role(found: PaperVerdict) -> Role | None:
    """Who may put the first signature on what was found, or None where nobody can.

    The log of a shaft gets its first signature where its record is signed off.
    """
    stated = found.printed is not None or found.summary is not None
    if not stated or found.signed.signatures or found.kind is PaperKind.SHAFT_LOG or _wrong(found):
        return None
    return ORDERS[found.kind].steps[0].role


def certify(
    place: Workplace,
    path: Path,
    pen: Pen,
    confirmed: tuple[str, ...] = (),
    turning: TurningPoint | None = None,
) -> Paper:
    """Sign an unsigned paper for the first time: a signed one of the same moment, beside it.

    Parameters
    ----------
    path
        The unsigned paper; it is kept as it is.
    pen
        An unlocked key, and the role in which its owner signs.
    confirmed
        Codes of the questions that were answered with yes.
    turning
        Lets somebody stop it until the signature is made.

    Raises
    ------
    AskFirst
        ``older-moment``: by time alone something is otherwise now than on the paper; nothing was signed.
    Stopped, SummaryStopped
        Somebody stopped it in time; no file was made.
    PaperRefused
        It is signed already, not as the project's record has it, not signed by that role, or the record has
        changed since.
    NotThisPerson, RevokedKey, OutsideValidity
        The key may not sign.
    WrongOrder, ClockProblem, UnreadablePdf, FieldProblem, UnfitText, UnreadableAttachment
        The paper that was laid out anew cannot take the signature or what is attached.
    OnlyReading
        The project was opened for looking only.
    UnknownShaft, Impossible, Refused, StoreProblem
        The shaft, the file, the settings or the journal cannot be used.
    """
    turning = turning or TurningPoint()
    place.writer()
    check_pen(place, pen)
    found = verify_file(read_paper(path), place)
    _refuse_bad(found, pen.role)
    turning.look()
    if found.summary is not None:
        return _summary(place, found, pen, turning)
    assert found.printed is not None
    shaft = place.shaft(found.printed.shaft)
    if found.printed.record_digest != shaft.digest:
        raise _older(since_said(found.journal, shaft))
    _ask_if_time_changed_it(place, found.printed, confirmed)
    turning.go_through()
    at = moment_in_zone(place, found.printed.moment)
    wanted = Wanted(FORMS[found.kind], found.printed.shaft, at, pen.key.certificate.name)
    return write_paper(place, wanted, pen)


def _summary(place: Workplace, found: PaperVerdict, pen: Pen, turning: TurningPoint) -> Paper:
    assert found.summary is not None
    if found.summary.journal_digest != place.digest():
        raise _older(shafts_since_said(found.summary, place.record()))
    watch = Watch(lambda _number, _count: turning.look(), before_writing=turning.go_through)
    return write_summary(place, found.summary.moment, pen.key.certificate.name, watch, pen)


def _wrong(found: PaperVerdict) -> list[str]:
    """What is not shown of the paper and has to be."""
    return [each.says for each in found.record if each.name in _HOLDS and each.answer is not Answer.YES]


def _refuse_bad(found: PaperVerdict, role: Role) -> None:
    if found.signed.signatures:
        raise PaperRefused(said("This paper is signed already. Nothing was signed; sign it further instead."))
    step_of(found.kind, role)
    if found.kind is PaperKind.SHAFT_LOG:
        raise PaperRefused(
            said("The log of a shaft is signed first where its record is signed off. Nothing was signed.")
        )
    wrong = _wrong(found)
    if wrong or first_role(found) is None:
        raise PaperRefused(
            said(
                "This paper is not as the project's record has it: {reasons} Nothing was signed.",
                reasons=sentences(wrong),
            )
        )


def _older(since: str) -> PaperRefused:
    changed = said("The record has changed since this paper was made.")
    done = said("Nothing was signed; make the paper anew and read it.")
    return PaperRefused(sentences(each for each in (changed, since, done) if each))


def _ask_if_time_changed_it(place: Workplace, printed: PrintedFacts, confirmed: tuple[str, ...]) -> None:
    """Ask where the same record says something else by now: evidence gets old, a release ends."""
    changed = list(_changed(printed, shaft_now(place, printed.shaft, place.now())))
    if OLDER_MOMENT in confirmed or not changed:
        return
    if len(changed) > MOST_NAMED:
        changed = [*changed[:MOST_NAMED], said("{count} more", count=len(changed) - MOST_NAMED)]
    says = said(
        "This paper is of {moment}, and by time alone it is otherwise now: {changed}. Sign "
        "the {kind} as of then all the same?",
        moment=clock_of_year(moment_in_zone(place, printed.moment)),
        changed=listed(changed),
        kind=word(printed.paper),
    )
    expected = said("a paper as of now, or your word that the earlier moment is meant")
    raise AskFirst((Objection(OLDER_MOMENT, "record", says, printed.moment.isoformat(), expected),))


def _changed(printed: PrintedFacts, now: ShaftNow) -> Iterator[str]:
    """What stands otherwise now than on the paper, the standing first."""
    then = {each.requirement: each.outcome for each in printed.findings}
    stands = {each.requirement: str(each.outcome) for each in now.findings}
    pairs = [
        (said("standing"), printed.standing.standing, str(now.standing.standing)),
        (said("release"), printed.release.status, str(now.release.status)),
        *((word(name), then.get(name, ""), outcome) for name, outcome in stands.items()),
    ]
    for what, before, after in pairs:
        if before != after:
            yield said("{what} {outcome}", what=what, outcome=word(after))
