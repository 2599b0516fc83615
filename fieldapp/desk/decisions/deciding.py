"""What every decision goes through: the role, then the key, then the questions; then the chain is signed.

Nothing is written until all of them are answered.  The decision is durable before the chain is signed; one
whose signature failed stands in the journal, unsigned, and the error says so.
"""

from __future__ import annotations

from dataclasses import replace

from fieldapp.criteria.basis import basis_on
from fieldapp.criteria.finding import Finding
from fieldapp.desk.inspector import Refused, refuse_or_ask
from fieldapp.desk.own_clock import clock_question
from fieldapp.desk.trust.stretches import check_can_sign, sign_stretch
from fieldapp.desk.workplace import Workplace
from fieldapp.identity.errors import NotThisPerson
from fieldapp.identity.keys import UnlockedKey
from fieldapp.record.decisions import Basis, Hold, Withdrawal
from fieldapp.record.entry import Draft, Entry
from fieldapp.record.kinds import Values
from fieldapp.record.objections import objections
from fieldapp.record.questions import Objection
from fieldapp.record.said import said
from fieldapp.record.said_lists import sentences


def basis_now(place: Workplace, shaft_id: str) -> Basis:
    """What a decision made now rests on: every chain as it is here, and the shaft's record digest.

    Raises UnknownShaft.
    """
    return basis_on(place.heads(), place.shaft(shaft_id).entries)


def checked_draft(place: Workplace, shaft_id: str, values: Values, author: str, key: UnlockedKey) -> Draft:
    """A decision that its author may make, with a key that is the author's.

    Raises Refused for what the record rules out, the role before anything else; then NotThisPerson and what
    `check_can_sign` raises about the key.
    """
    now = place.now()
    parents = (values.release,) if isinstance(values, Withdrawal) and values.release else ()
    draft = Draft(place.clock.new_id(), place.project_id, shaft_id, values, now, now, author, parents)
    against = tuple(each for each in objections(place.record(), draft) if each.impossible)
    if against:
        raise Refused(against)
    if key.certificate.name != author:
        raise NotThisPerson(
            said(
                "The unlocked key is {name}'s, and the decision is to be {author}'s. Nothing "
                "was recorded; unlock the key of {author}.",
                name=key.certificate.name,
                author=author,
            )
        )
    check_can_sign(place, author, key)
    return draft


def decide(
    place: Workplace,
    draft: Draft,
    key: UnlockedKey,
    found: tuple[Objection, ...] = (),
    confirmed: tuple[str, ...] = (),
) -> Entry:
    """Record a decision once every question about it is answered, and sign the chain.

    The entry keeps the codes of those questions that were really asked.  A clock that is behind is a question
    too; concrete is held, and a release taken back, without one.  Raises Refused, AskFirst,
    StoreProblem with nothing written, and what `sign_stretch` raises with the decision recorded.
    """
    behind = clock_question(place, draft)
    at_once = isinstance(draft.values, Hold | Withdrawal)
    questions = found if at_once else (*found, *behind)
    refuse_or_ask(questions, confirmed)
    asked = {each.code for each in questions}
    said_yes = (*(each for each in confirmed if each in asked), *(each.code for each in behind))
    answered = tuple(dict.fromkeys(said_yes))
    (entry,) = place.append([replace(draft, confirmed=answered)])
    sign_stretch(place, draft.author, key)
    return entry


def listed(against: tuple[Finding, ...]) -> str:
    """What is not met and not shown, each with its sentence."""
    return sentences(said("{outcome}: {says}", outcome=each.outcome, says=each.says) for each in against)


def refused(code: str, field: str, says: str, read: str, expected: str) -> Objection:
    """An objection that rules a decision out."""
    return Objection(code, field, says, read, expected, impossible=True)
