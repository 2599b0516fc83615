"""What the summary rests on: delays, instruments and their checks, the acceptance set, digests, cautions."""

from __future__ import annotations

from typing import Any, Final

from reportlab.platypus import CondPageBreak, Flowable, Spacer

from fieldapp.record.acceptance import Applies, Parameter
from fieldapp.record.fold import Line
from fieldapp.record.setup import Instrument
from reports.cautions import HEADS_MEAN, caution_texts
from reports.fonts import MONO, REGULAR, markup
from reports.marks import StateMark
from reports.quantities import Shown, span_text
from reports.sections import heading
from reports.style import (
    BODY,
    CAPTION,
    CELL_STRONG,
    DIGEST,
    HAIR,
    SMALL,
    Passage,
    ruled_table,
    text_width,
    words,
)
from reports.summary_cells import cell, head, marked_cell
from reports.summary_facts import SummaryFacts
from reports.summary_table import widths
from reports.summary_words import NOT_SHOWN

_TIGHT: Final = (
    ("FONT", (0, 1), (0, -1), REGULAR, 8),
    ("FONT", (1, 1), (1, -1), MONO, 7),
    ("TOPPADDING", (0, 1), (-1, -1), 1),
    ("BOTTOMPADDING", (0, 1), (-1, -1), 1),
    ("LINEBELOW", (0, 1), (-1, -1), 0.5, HAIR),
)
_DIGEST_MEANS: Final = (
    "The journal digest is the SHA-256 over the hashes of all entries of the project, but for signatures on "
    "papers, in the order of folding; the digest of a shaft, over those of its own entries. The same digest "
    "means the very same entries. They are not attached to this summary: hold it against the project."
)


def delays(facts: SummaryFacts, shown: Shown) -> list[Flowable]:
    """Every delay with its shaft, its length and its reason."""
    parts = heading("Delays", 80)
    found = sorted(
        ((each.started_at, shaft.id, each) for shaft in facts.shafts for each in shaft.delays),
        key=lambda each: each[:2],
    )
    if not found:
        return [*parts, words("No delay is in the record.", BODY)]
    rows: list[list[Any]] = [head("shaft", "began", "lasted", "reason")]
    for began, shaft_id, each in found:
        lasted = span_text(each.ended_at - began) if each.ended_at is not None else f"end {NOT_SHOWN}"
        cells = (shown.moment(began), lasted, each.why)
        rows.append([cell(shaft_id, CELL_STRONG), *(cell(text) for text in cells)])
    width = text_width(facts.setup.units)
    return [*parts, ruled_table(rows, [width * share for share in (0.1, 0.2, 0.2, 0.5)])]


def instruments(facts: SummaryFacts, shown: Shown) -> list[Flowable]:
    """Each instrument with the number of its checks, the last one, and every check that failed."""
    parts = heading("Instruments and failed checks", 90)
    by_label: dict[str, list[Line[Instrument]]] = {}
    for line in facts.instruments:
        by_label.setdefault(line.values.label, []).append(line)
    if not by_label:
        return [*parts, words("No instrument was checked in the record: none is shown to be right.", BODY)]
    failed = sum(not each.values.passed for each in facts.instruments)
    rows: list[list[Any]] = [head("instrument", "", "last check", "checks", "failed checks")]
    rows += [_instrument(label, checks, shown) for label, checks in sorted(by_label.items())]
    width = text_width(facts.setup.units)
    text = f"{len(by_label)} instruments, {len(facts.instruments)} checks, {failed} of them failed."
    return [*parts, words(text, BODY), ruled_table(rows, widths(width, (0.2, 0.4, 0.1, 0.3)))]


def _instrument(label: str, checks: list[Line[Instrument]], shown: Shown) -> list[Any]:
    last = checks[-1]
    failures = [each for each in checks if not each.values.passed]
    wrong = [cell(f"{shown.moment(each.observed_at)}: {each.values.check}") for each in failures]
    passed = last.values.passed
    text = f"{'passed' if passed else 'failed'} {shown.moment(last.observed_at)}: {last.values.check}"
    return [
        [cell(label, CELL_STRONG), cell(str(last.values.type), CAPTION)],
        StateMark("met" if passed else "not met"),
        cell(text),
        cell(str(len(checks))),
        wrong or cell("none"),
    ]


def acceptance(facts: SummaryFacts) -> list[Flowable]:
    """Every limit that the project adopted, with where it applies, its source and its confidence."""
    accepted = facts.setup.acceptance
    parts = heading("Acceptance set", 110)
    number = len(accepted.parameters)
    text = f"{accepted.title} ({accepted.standard}; {accepted.id}, {number} limits and switches)."
    parts.append(words(f"{text} {accepted.note}".strip(), BODY))
    names = ("limit", "value", "applies to", "source", "confidence")
    rows: list[list[Any]] = [head(*names)]
    rows += [_limit(each) for each in accepted.parameters]
    width = text_width(facts.setup.units)
    return [
        *parts,
        Spacer(1, 3),
        ruled_table(rows, [width * share for share in (0.22, 0.16, 0.18, 0.29, 0.15)]),
    ]


def _limit(each: Parameter) -> list[Any]:
    words_of = (each.value or "").replace("_", " ")
    value = str(each.reading) if each.reading is not None else words_of or f"{NOT_SHOWN}: still to be entered"
    strict = " (the value itself is refused)" if each.strict else ""
    source = " ".join(part for part in (each.source, each.edition, each.clause) if part)
    verified = f", verified by {each.verified_by}" if each.verified_by else ""
    return [
        cell(each.name.replace("_", " ")),
        cell(value + strict),
        cell(_applies(each.applies)),
        cell(source, SMALL),
        cell(each.confidence + verified),
    ]


def _applies(applies: Applies) -> str:
    """Where a limit applies, in the words of the record; everywhere when it asks for nothing."""
    lists = (
        applies.method, applies.fluid, applies.stage, applies.salinity, applies.design_basis,
        applies.structure_class, applies.instrument,
    )  # fmt: skip
    told = [" or ".join(map(str, each)) for each in lists if each]
    told += [f"diameter from {applies.diameter_from}"] if applies.diameter_from is not None else []
    told += [f"diameter under {applies.diameter_under}"] if applies.diameter_under is not None else []
    return ", ".join(told) or "everywhere"


def digests(facts: SummaryFacts) -> list[Flowable]:
    """The digest of the journal and of each shaft's record in full, and the heads of the chains."""
    parts = heading("Journal and record digests", 120)
    parts += [words(facts.journal_digest, DIGEST), Spacer(1, 3), words(_DIGEST_MEANS, BODY), Spacer(1, 3)]
    width = text_width(facts.setup.units)
    if facts.shafts:
        rows: list[list[Any]] = [head("shaft", "digest of its record")]
        rows += [[each.id, each.digest] for each in facts.shafts]  # letters that every font has, in one line
        parts += [ruled_table(rows, [150, width - 150], *_TIGHT), Spacer(1, 6)]
    parts += [CondPageBreak(70), words(HEADS_MEAN, BODY), Spacer(1, 3)]  # not parted from its table
    heads: list[list[Any]] = [head("device", "last entry", "hash")]
    heads += [
        [cell(each.device), cell(str(each.seq)), _hash(each.hash)]
        for each in sorted(facts.heads, key=lambda each: each.device)
    ]
    return [*parts, ruled_table(heads, [150, 60, width - 210])]


def _hash(text: str) -> Passage:
    return marked_cell(f'<font name="{MONO}" size="7">{markup(text)}</font>')


def cautions(facts: SummaryFacts) -> list[Flowable]:
    """The caution texts of the caller, then what holds for every paper."""
    return caution_texts(facts.cautions)
