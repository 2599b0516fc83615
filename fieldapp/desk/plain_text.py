"""What the command line shows: tables for people, JSON for programs.  Nothing is printed here."""

from __future__ import annotations

import json
import shutil
import textwrap
from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import contextmanager
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
_BOARD_WIDTH: Final = 120
_FINDINGS_WIDTH: Final = 142
_LEAST_WIDTH: Final = 40
_CLEARED: Final = "\r\x1b[2K"
_NO_REASON: Final = "nothing"
_ORDER: Final = (Outcome.NOT_MET, Outcome.NOT_SHOWN, Outcome.MET)


def to_json(content: object) -> str:
    """JSON text for another program."""
    return json.dumps(content, indent=2, ensure_ascii=False)


def board_table(shafts: Sequence[ShaftNow], estimates: Mapping[str, str] | None = None) -> str:
    """One row a shaft: standing, what is not met or not shown, base credit, release.

    The credit is the designer's where it is stated, else the estimate in ``estimates``, by shaft.  Where
    the terminal is too narrow for a table, it is one block of lines a shaft.
    """
    width = _columns(_BOARD_WIDTH)
    if width < _BOARD_WIDTH:
        return "\n\n".join(_shaft_block(each, estimates or {}, width) for each in shafts)
    rows = [
        [
            each.shaft.id,
            str(each.standing.standing),
            _reasons(each),
            _credit(each, estimates or {}),
            release_text(each),
            clock(each.at),
        ]
        for each in shafts
    ]
    head = ["shaft", "base standing", "not met, not shown", "base credit", "release", "as of"]
    widths = [8, 14, width - 90, 26, 20, 12]
    return str(tabulate(rows, head, tablefmt="simple", maxcolwidths=widths))


def _columns(enough: int) -> int:
    """How many letters a line of the terminal takes; enough for a table where nobody looks at one."""
    return shutil.get_terminal_size((enough, 24)).columns


def _credit(each: ShaftNow, estimates: Mapping[str, str]) -> str:
    return each.credit or estimates.get(each.shaft.id, "not decided")


def _shaft_block(each: ShaftNow, estimates: Mapping[str, str], width: int) -> str:
    lines = [f"{each.shaft.id}, as of {clock(each.at)}", f"base standing: {each.standing.standing}"]
    reasons = _reasons(each)
    lines += ["not met, not shown: nothing"] if reasons == _NO_REASON else reasons.splitlines()
    lines.append(f"base credit: {_credit(each, estimates)}".replace("\n", ", "))
    lines += f"release: {release_text(each)}".splitlines()
    return _block(lines, width)


def _block(lines: Sequence[str], width: int) -> str:
    """A first line, and the others under it set in, none longer than the terminal takes."""
    room = max(width, _LEAST_WIDTH)
    first, *others = lines
    told = [textwrap.fill(each, room, initial_indent="  ", subsequent_indent="    ") for each in others]
    return "\n".join([textwrap.fill(first, room), *told])


def _reasons(each: ShaftNow) -> str:
    wrong = [f"{found.outcome}: {found.says}" for found in each.standing.reasons if _is_wrong(found)]
    more = len(wrong) - _REASONS_SHOWN
    return "\n".join([*wrong[:_REASONS_SHOWN], *([f"and {more} more"] if more > 0 else [])]) or _NO_REASON


def _is_wrong(found: Finding) -> bool:
    return found.outcome in {Outcome.NOT_MET, Outcome.NOT_SHOWN}


def release_text(now: ShaftNow) -> str:
    """How it stands with the release of concrete, and in a second line when concrete started."""
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
        f"release: {release_text(now)}",
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
    width = _columns(_FINDINGS_WIDTH)
    if width < _FINDINGS_WIDTH:
        table = "\n".join(_finding_block(row, width) for row in rows)
    else:
        table = str(tabulate(rows, head, tablefmt="simple", maxcolwidths=[10, 20, 44, 24, 36]))
    unasked = ", ".join(each.requirement for each in now.with_outcome(Outcome.NOT_ASKED))
    told = ["", textwrap.fill(f"not asked: {unasked}", width)] if unasked else []
    return "\n".join([*lines, table, *told])


def _finding_block(row: Sequence[str], width: int) -> str:
    outcome, requirement, says, limit, source = row
    named = [f"{name}: {text}" for name, text in (("asked", limit), ("source", source)) if text]
    return _block([f"{outcome}: {requirement}", says, *named], width)


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
    """Until when a release could hold: each limit with its moment, earliest first, and what is not told.

    Moments are cut to the minute and written as the command line reads them, to be typed again.
    """
    rows = [[each.until.replace(second=0).isoformat(timespec="minutes"), each.says] for each in bounds.limits]
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


@contextmanager
def progress_line(stream: TextIO) -> Iterator[Callable[[str], None]]:
    """Shows progress: one line that is written over on a terminal and cleared at the end, lines elsewhere."""
    if not stream.isatty():
        yield lambda text: print(text, file=stream, flush=True)
        return
    try:
        yield lambda text: print(f"{_CLEARED}{text}", end="", file=stream, flush=True)
    finally:
        print(_CLEARED, end="", file=stream, flush=True)  # what is said next begins at the left
