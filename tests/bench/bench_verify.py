"""How long it takes to verify a paper without a project, recomputed and laid out anew; not collected.

Run ``python -m tests.bench.bench_verify`` from the top of the project, with ``OPENBLAS_NUM_THREADS=1``.
Goal: under 1 s of processor time for a paper of 20 pages.  What is told is processor time of this process,
so that a busy machine says nearly the same; each run is the first of its paper, nothing is remembered.
``--profile`` prints where the time goes.
"""

from __future__ import annotations

import cProfile
import os
import pstats
import statistics
import sys
import time
from collections.abc import Callable
from datetime import timedelta
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

from fieldapp.desk.office import begin_project, shaft_now
from fieldapp.desk.papers import anew
from fieldapp.desk.papers.enclosed import enclosed
from fieldapp.desk.papers.forms import FORMS
from fieldapp.desk.papers.record_fact import FROM_ITS_JOURNAL
from fieldapp.desk.papers.signing import countersign
from fieldapp.desk.papers.verifying import verify_file
from fieldapp.desk.papers.writing import Wanted, write_paper
from fieldapp.desk.typed_logs import add_logs, read_logs
from fieldapp.desk.workplace import Workplace, open_project
from fieldapp.identity.page_digests import digests_on_pages
from fieldapp.identity.pages_compared import compare_pages
from fieldapp.identity.policy import Policy
from fieldapp.identity.sign_request import FieldPlace
from fieldapp.identity.verification import Answer
from fieldapp.identity.verifying import verify_pdf
from fieldapp.record.entry import Draft
from fieldapp.record.hole import Note
from fieldapp.record.words import PaperKind, Role
from tests.desk.signed_papers import pin_all

RUNS = 5
WANTED_PAGES = 20


def measured(what: str, job: Callable[[], Any]) -> None:
    """Print the median and the slowest of some runs, in milliseconds of processor time."""
    times_ms = []
    for _ in range(RUNS):
        anew.facts_anew.cache_clear()
        anew.pages_anew.cache_clear()
        start = time.process_time()
        job()
        times_ms.append(1000 * (time.process_time() - start))
    sys.stdout.write(
        f"  {what:<46} median {statistics.median(times_ms):7.1f} ms, slowest {max(times_ms):7.1f} ms\n"
    )


def with_notes(place: Workplace, count: int) -> None:
    """Notes upon P1-1, so that its log gets longer: a busy shaft with some hundred entries."""
    start = place.now()
    drafts = []
    for number in range(count):
        at = start + timedelta(microseconds=number)  # not after now: that would be asked about
        says = f"Waited for the crane, note {number}: nothing was moved, the head was kept, the pump ran."
        drafts.append(
            Draft(place.clock.new_id(), place.project_id, "P1-1", Note(says), at, at, "Inspector A")
        )
    place.append(drafts)


def signed_log(place: Workplace) -> bytes:
    """The log of P1-1 as it is now, signed by all three."""
    pens = pin_all(place)
    at = shaft_now(place, "P1-1").at
    path = write_paper(
        place, Wanted(FORMS[PaperKind.SHAFT_LOG], "P1-1", at, "Inspector A"), pens[Role.INSPECTOR]
    ).path
    for role in (Role.RESIDENT_ENGINEER, Role.DESIGNER):
        path = countersign(place, path, pens[role]).path
    return path.read_bytes()


def parts(pdf: bytes) -> None:
    """Measure the whole and its parts."""
    inside = enclosed(pdf, {})
    if inside.journal is None or inside.printed is None:
        raise SystemExit("the paper encloses nothing, so its times mean nothing")
    found = verify_file(pdf)
    if {found.answer(each) for each in FROM_ITS_JOURNAL} != {Answer.YES}:
        raise SystemExit("the paper is not what its journal gives, so its times mean nothing")
    held = anew.Held(inside.digest, inside.journal, inside.printed)
    report = anew.pages_anew(held)
    fields = tuple(FieldPlace(each.name, each.page_index, each.box_pt) for each in report.fields)
    pages = len(digests_on_pages(pdf))
    sys.stdout.write(f"{pages} pages, {len(pdf)} bytes, {len(inside.journal.everything)} entries\n")
    measured("verify the paper alone", lambda: verify_file(pdf))
    measured("  of it: signatures", lambda: verify_pdf(pdf, Policy()))
    measured("  of it: attached files read", lambda: enclosed(pdf, {}))
    measured("  of it: facts worked out anew", lambda: anew.facts_anew(held))
    measured("  of it: facts and pages laid out anew", lambda: anew.pages_anew(held))
    measured("  of it: pages compared", lambda: compare_pages(pdf, report.pdf, fields))


def main() -> None:
    """Measure on the log of the sample shaft P1-1 as it is, and with so many notes that it has 20 pages."""
    with TemporaryDirectory() as folder:
        os.environ["XDG_CONFIG_HOME"] = str(Path(folder) / "home")
        begin_project(Path(folder) / "larkwater")
        with open_project(Path(folder) / "larkwater") as place:
            logs = [Path("sample_logs/larkwater") / f"{each}.log" for each in ("project", "P1-1")]
            add_logs(place, read_logs(logs))
            parts(signed_log(place))
            pdf = b""
            while not pdf or len(digests_on_pages(pdf)) < WANTED_PAGES:
                with_notes(place, 60)
                at = shaft_now(place, "P1-1").at
                pdf = write_paper(
                    place, Wanted(FORMS[PaperKind.SHAFT_LOG], "P1-1", at, "command line")
                ).path.read_bytes()
            parts(signed_log(place))
            if "--profile" in sys.argv:
                anew.facts_anew.cache_clear()
                anew.pages_anew.cache_clear()
                profile = cProfile.Profile()
                profile.runcall(verify_file, pdf)
                pstats.Stats(profile).sort_stats("cumulative").print_stats(45)


if __name__ == "__main__":
    main()
