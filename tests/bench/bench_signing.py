"""How long signing, verifying and unlocking take on this machine; not a test, and not collected.

Run ``python -m tests.bench.bench_signing`` from the top of the project.  Goals: signing and verifying a
log of 8 pages under 150 ms each, unlocking a key between 0.2 and 1 s, for it must cost a thief.  The log of
the sample shaft P1-1 has 8 pages or more; its times are those of the desk: record and journal included.
"""

from __future__ import annotations

import os
import statistics
import sys
import time
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

from fieldapp.desk.office import begin_project, shaft_now
from fieldapp.desk.papers.logs import write_shaft_log
from fieldapp.desk.papers.signing import countersign
from fieldapp.desk.papers.verifying import verify_file
from fieldapp.desk.typed_logs import add_logs, read_logs
from fieldapp.desk.workplace import open_project
from fieldapp.identity import keys
from fieldapp.identity.attachments import attached_files
from fieldapp.identity.page_digests import digests_on_pages
from fieldapp.identity.pdf_layout import read_layout
from fieldapp.identity.pdf_signing import prepare_fields, sign_pdf
from fieldapp.identity.people import SignerIdentity
from fieldapp.identity.policy import Policy
from fieldapp.identity.verification import Verdict
from fieldapp.identity.verifying import verify_pdf
from fieldapp.record.words import Role
from tests.desk.signed_papers import pin_all
from tests.identity.papers import PLACES, key_of, plain_paper, policy_for, with_file
from tests.identity.signers import ACCEPTED, ENGINEER, INSPECTOR, PASSPHRASE, RELEASED, SEEN, TERM

HAND = (tuple((step / 200, 0.5 + 0.4 * (-1) ** step * step / 200) for step in range(200)),)


def measured(what: str, goal: str, runs: int, job: Callable[[], Any]) -> None:
    """Print the median and the slowest of some runs, in milliseconds."""
    job()
    times_ms = []
    for _ in range(runs):
        start = time.perf_counter()
        job()
        times_ms.append(1000 * (time.perf_counter() - start))
    middle, most = statistics.median(times_ms), max(times_ms)
    line = f"{what:<42} median {middle:7.1f} ms, slowest {most:7.1f} ms   goal {goal}"
    sys.stdout.write(line + "\n")


def desk(folder: Path) -> None:
    """Measure on the sample log of P1-1 with its journal attached, in a project of its own."""
    os.environ["XDG_CONFIG_HOME"] = str(folder / "home")
    begin_project(folder / "larkwater")
    with open_project(folder / "larkwater") as place:
        add_logs(
            place, read_logs([Path("sample_logs/larkwater") / f"{each}.log" for each in ("project", "P1-1")])
        )
        pens = pin_all(place)
        at = shaft_now(place, "P1-1").at
        first = write_shaft_log(place, "P1-1", at, "Inspector A", pens[Role.INSPECTOR]).path
        second = countersign(place, first, pens[Role.RESIDENT_ENGINEER]).path
        third = countersign(place, second, pens[Role.DESIGNER]).path
        pdf = third.read_bytes()
        if verify_file(pdf, place).verdict is not Verdict.VALID:
            raise SystemExit("the log is not valid, so its times mean nothing")
        pages, size = len(digests_on_pages(pdf)), len(attached_files(pdf)[0].data)
        sys.stdout.write(f"log of P1-1: {pages} pages, {len(pdf)} bytes, journal of {size} bytes\n")
        prepared = pdf[: read_layout(pdf).ends[2] + 1]
        request = replace(
            SEEN,
            signer=SignerIdentity("Inspector A", Role.INSPECTOR),
            signed_at=place.now(),
            record_digest=place.shaft("P1-1").digest,
            drawn=HAND,
        )
        key = pens[Role.INSPECTOR].key
        measured("sign the log, drawn signature", "< 150 ms", 15, lambda: sign_pdf(prepared, request, key))
        measured("verify its three signatures alone", "< 150 ms", 15, lambda: verify_pdf(pdf, Policy()))
        measured("verify the log with its project", "< 150 ms", 15, lambda: verify_file(pdf, place))
        measured("verify the log without a project", "< 150 ms", 15, lambda: verify_file(pdf))


def main() -> None:
    """Measure on a log of 8 pages of text with an attached record of 40 kB."""
    inspector, engineer = key_of(INSPECTOR), key_of(ENGINEER)
    lines = tuple(
        f"sounding {row}: 12.34 m, 12.35 m, 12.36 m; nothing loose at the tape" for row in range(40)
    )
    paper = with_file(plain_paper(lines, 8), "record.json", bytes(range(40)) * 1000)
    prepared = prepare_fields(paper, PLACES)
    drawn = replace(SEEN, drawn=HAND)
    certified = sign_pdf(prepared, drawn, inspector)
    released = sign_pdf(certified, RELEASED, engineer)
    closed = sign_pdf(released, ACCEPTED, engineer)
    policy = policy_for(inspector, engineer, signed=3)
    if verify_pdf(closed, policy).verdict is not Verdict.VALID:
        raise SystemExit("the paper is not valid, so its times mean nothing")
    measured("make three fields", "", 15, lambda: prepare_fields(paper, PLACES))
    measured(
        "sign as inspector, drawn signature", "< 150 ms", 15, lambda: sign_pdf(prepared, drawn, inspector)
    )
    measured("sign as designer, third", "< 150 ms", 15, lambda: sign_pdf(released, ACCEPTED, engineer))
    one = policy_for(inspector, engineer)
    measured("verify one signature", "< 150 ms", 15, lambda: verify_pdf(certified, one))
    measured("verify three signatures", "< 150 ms", 15, lambda: verify_pdf(closed, policy))
    sealed = keys.make_person_key(INSPECTOR, TERM, PASSPHRASE)
    measured("unlock a key", "200 to 1000 ms", 5, lambda: keys.unlock(sealed, PASSPHRASE))
    with TemporaryDirectory() as folder:
        desk(Path(folder))


if __name__ == "__main__":
    main()
