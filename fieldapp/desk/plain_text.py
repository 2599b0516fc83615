"""What the command line shows: tables for people, JSON for programs.  Nothing is printed here."""

from __future__ import annotations

import json
import shutil
from collections.abc import Callable, Mapping, Sequence
from typing import TYPE_CHECKING, Final, TextIO

from tabulate import tabulate

from fieldapp.criteria.finding import Finding, Outcome, ReleaseStatus
from fieldapp.criteria.phrasing import clock
from fieldapp.desk.office import ShaftNow
from fieldapp.record.questions import Objection
from fieldapp.store.checking import StoreFinding

if TYPE_CHECKING:
    from fieldapp.desk.decisions.engineer import ReleaseUntil

_REASONS_SHOWN: Final = 4
_LEAST_WIDTH: Final = 100
_ORDER: Final = (Outcome.NOT_MET, Outcome.NOT_SHOWN, Outcome.MET)


def to_json(content: object) -> str:
    """JSON text for another program."""
    return json.dumps(content, indent=2, ensure_ascii=False)


def board_table(shafts: Sequence[ShaftNow], estimates: Mapping[str, str] | None = None) -> str:
    """One row a shaft: standing, what is not met or not shown, base credit, release.

    The credit is the designer's where it is stated, else the estimate in ``estimates``, by shaft.
    """
    width = max(shutil.get_terminal_size((_LEAST_WIDTH, 24)).columns, _LEAST_WIDTH)
    rows = [
        [
            each.shaft.id,
            str(each.standing.standing),
            _reasons(each),
            each.credit or (estimates or {}).get(each.shaft.id, "-"),
            _release(each),
            clock(each.at),
        ]
        for each in shafts
    ]
    head = ["shaft", "base standing", "not met, not shown", "base credit", "release", "as of"]
    widths = [8, 14, max(width - 84, 30), 26, 20, 12]
    return str(tabulate(rows, head, tablefmt="simple", maxcolwidths=widths))


def _reasons(each: ShaftNow) -> str:
    wrong = [f"{found.outcome}: {found.says}" for found in each.standing.reasons if _is_wrong(found)]
    more = len(wrong) - _REASONS_SHOWN
    return "\n".join([*wrong[:_REASONS_SHOWN], *([f"and {more} more"] if more > 0 else [])]) or "nothing"


def _is_wrong(found: Finding) -> bool:
    return found.outcome in {Outcome.NOT_MET, Outcome.NOT_SHOWN}


def _release(now: ShaftNow) -> str:
    release, started = now.release, now.shaft.concrete_started_at
    if release.status is ReleaseStatus.NONE:
        said = "none"
    elif release.status is ReleaseStatus.RELEASED and started is None and release.until is not None:
        said = f"released until {clock(release.until)}"
    elif release.status is ReleaseStatus.RELEASED:
        said = "released"
    else:
        said = f"{release.status}: {release.reason}" if release.reason else str(release.status)
    return said if started is None else f"{said}\nconcrete in {clock(started)}"


def findings_text(now: ShaftNow) -> str:
    """Everything about one shaft: standing, next step, then every finding with its limit and source."""
    lines = [
        f"{now.shaft.id}, as of {clock(now.at)}",
        f"base standing: {now.standing.standing}",
        f"next: {now.standing.next_step.says}",
        f"release: {_release(now)}",
        *(f"* {each}" for each in now.release.remarks),
        f"record digest: {now.shaft.digest}",
        "",
    ]
    rows = [
        [str(each.outcome), each.requirement, each.says, each.limit, each.source]
        for outcome in _ORDER
        for each in now.with_outcome(outcome)
    ]
    head = ["outcome", "requirement", "shown", "asked", "source"]
    table = tabulate(rows, head, tablefmt="simple", maxcolwidths=[10, 20, 44, 24, 36])
    unasked = ", ".join(each.requirement for each in now.with_outcome(Outcome.NOT_ASKED))
    return "\n".join([*lines, table, *(["", f"not asked: {unasked}"] if unasked else [])])


def shaft_json(now: ShaftNow) -> dict[str, object]:
    """Everything about one shaft for another program."""
    return {
        "shaft": now.shaft.id,
        "as_of": now.at.isoformat(),
        "base_standing": now.standing.standing,
        "next_step": now.standing.next_step.says,
        "release": now.release.status,
        "release_until": now.release.until.isoformat() if now.release.until else None,
        "release_reason": now.release.reason,
        "release_remarks": list(now.release.remarks),
        "base_credit": now.credit or None,
        "record_digest": now.shaft.digest,
        "reasons": [each.requirement for each in now.standing.reasons],
        "findings": [_finding_json(each) for each in now.findings],
    }


def _finding_json(each: Finding) -> dict[str, object]:
    return {
        "requirement": each.requirement,
        "group": each.group,
        "outcome": each.outcome,
        "says": each.says,
        "measured": each.measured,
        "limit": each.limit,
        "where": each.where,
        "when": each.when.isoformat() if each.when else None,
        "source": each.source,
        "work": each.work,
        "entries": list(each.entries),
    }


def limits_text(bounds: ReleaseUntil) -> str:
    """Until when a release could hold: each limit with its moment, earliest first, and what is not told."""
    rows = [[f"{each.until:%Y-%m-%d %H:%M:%S%z}", each.says] for each in bounds.limits]
    lines = [str(tabulate(rows, tablefmt="plain", maxcolwidths=[26, 74]))] if rows else []
    if not rows:
        lines.append("Nothing in the acceptance set or the forecast limits a release in time.")
    return "\n".join([*lines, *bounds.not_told])


def limits_json(bounds: ReleaseUntil) -> dict[str, object]:
    """The same for another program."""
    limits = [
        {"until": each.until.isoformat(), "requirement": each.requirement, "says": each.says}
        for each in bounds.limits
    ]
    return {"limits": limits, "not_told": list(bounds.not_told)}


def questions_text(found: Sequence[Objection]) -> str:
    """What has to be confirmed before something is recorded, with the code to give for each."""
    lines = [f"{each.says}\n  If it is meant, say it again with: --confirm {each.code}" for each in found]
    return "\n".join([*lines, "Nothing was recorded."])


def audit_text(found: Sequence[StoreFinding]) -> str:
    """What an audit of a project folder found."""
    rows = [["holds" if each.ok else "DOES NOT HOLD", each.what, each.detail] for each in found]
    return str(tabulate(rows, tablefmt="plain", maxcolwidths=[14, 40, 60]))


def progress_line(stream: TextIO) -> Callable[[str], None]:
    """Shows progress: one line that is written over on a terminal, plain lines elsewhere."""
    if not stream.isatty():
        return lambda text: print(text, file=stream, flush=True)
    return lambda text: print(f"\r\x1b[2K{text}", end="", file=stream, flush=True)
