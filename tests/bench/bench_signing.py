"""How long signing, verifying and unlocking take on this machine; not a test, and not collected.

Run ``python -m tests.bench.bench_signing`` from the top of the project.  Goals: signing and verifying a
log of 8 pages under 150 ms each, unlocking a key between 0.2 and 1 s, for it must cost a thief.
"""

from __future__ import annotations

import statistics
import sys
import time
from collections.abc import Callable
from dataclasses import replace
from typing import Any

from fieldapp.identity import keys
from fieldapp.identity.pdf_signing import prepare_fields, sign_pdf
from fieldapp.identity.verification import Verdict
from fieldapp.identity.verifying import verify_pdf
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


if __name__ == "__main__":
    main()
