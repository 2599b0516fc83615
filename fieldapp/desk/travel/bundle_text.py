"""The verdict on a bundle as text for people and as plain data for programs."""

from __future__ import annotations

from collections.abc import Iterator

from fieldapp.desk.papers.verify_text import block, fact_json, wrapped
from fieldapp.desk.travel.bundle_fact import BundleInside, BundleVerdict
from fieldapp.record.words import PaperKind


def bundle_text(found: BundleVerdict) -> str:
    """One line with the verdict, what is in it, the facts, and a line for each paper inside."""
    lines = [f"{found.verdict}: {found.says}"]
    if found.inside is not None:
        lines += ["", "inside", *_inside(found.inside)]
    lines += block("bundle", found.facts)
    if found.papers:
        lines += ["", "papers inside, each judged for itself"]
        for each in found.papers:
            about = f"{each.paper} of {each.shaft}" if each.shaft else each.name
            if each.paper == PaperKind.PROJECT_SUMMARY:
                about = each.paper
            lines += wrapped(str(each.verdict), f"{about}: {each.says}")
    return "\n".join(lines)


def _inside(inside: BundleInside) -> Iterator[str]:
    by = f"{inside.person}, {inside.device}" if inside.person else inside.device
    carried = "all shafts" if inside.chosen is None else ", ".join(inside.chosen)
    rows = [
        ("project", inside.project),
        ("sent by", by),
        ("made at", inside.made_at.isoformat()),
        ("files of", carried),
    ]
    if inside.entries:
        rows += [
            ("entries", f"{inside.entries}, of shafts: {', '.join(inside.shafts)}"),
            ("files", f"pictures and attached files: {inside.pictures}; papers: {inside.papers}"),
            ("not in it", f"files that its entries name: {inside.missing}"),
        ]
    if inside.new_entries is not None:
        rows.append(("new", f"{inside.new_entries} entries that the project has not"))
    for name, says in rows:
        yield from wrapped(name, says)


def bundle_json(found: BundleVerdict) -> dict[str, object]:
    """The same for a program; times are ISO 8601 with offset."""
    return {
        "verdict": str(found.verdict),
        "says": found.says,
        "file": found.file,
        "inside": None if found.inside is None else _inside_json(found.inside),
        "bundle": [fact_json(each) for each in found.facts],
        "papers": [
            {
                "name": each.name,
                "paper": each.paper,
                "shaft": each.shaft or None,
                "verdict": str(each.verdict),
                "says": each.says,
            }
            for each in found.papers
        ],
    }


def _inside_json(inside: BundleInside) -> dict[str, object]:
    return {
        "project": inside.project,
        "device": inside.device,
        "person": inside.person or None,
        "made_at": inside.made_at.isoformat(),
        "files_of": None if inside.chosen is None else list(inside.chosen),
        "shafts": list(inside.shafts),
        "entries": inside.entries,
        "pictures": inside.pictures,
        "papers": inside.papers,
        "missing": inside.missing,
        "new_entries": inside.new_entries,
    }
