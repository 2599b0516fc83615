"""Change every byte of a small signed PDF, once each, and count how many changes `verify_pdf` rejects.

Run ``python -m tests.identity.every_byte`` from the top of the project; it takes some minutes on two cores.
"""

from __future__ import annotations

import sys
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass

from fieldapp.identity.pdf_signing import sign_pdf
from fieldapp.identity.policy import Policy
from fieldapp.identity.verification import Verdict
from fieldapp.identity.verifying import verify_pdf
from tests.identity.papers import key_of, policy_for, prepared_paper
from tests.identity.signers import ENGINEER, INSPECTOR, RELEASED, SEEN


@dataclass(frozen=True, slots=True)
class Stretch:
    pdf: bytes
    policy: Policy
    start: int
    stop: int


def changed(pdf: bytes, position: int) -> bytes:
    """The file with one bit of one byte changed; which bit depends on the position."""
    other = bytearray(pdf)
    other[position] ^= 1 << position % 8
    return bytes(other)


def not_rejected(stretch: Stretch) -> list[int]:
    """The positions at which a change was not noticed."""
    return [
        position
        for position in range(stretch.start, stretch.stop)
        if verify_pdf(changed(stretch.pdf, position), stretch.policy).verdict is not Verdict.REJECTED
    ]


def main() -> int:
    inspector, engineer = key_of(INSPECTOR), key_of(ENGINEER)
    certified = sign_pdf(prepared_paper(), SEEN, inspector)
    released = sign_pdf(certified, RELEASED, engineer)
    missed = 0
    for pdf, signed in ((certified, 1), (released, 2)):
        policy = policy_for(inspector, engineer, signed=signed)
        if verify_pdf(pdf, policy).verdict is not Verdict.VALID:
            raise SystemExit("the unchanged file is not valid, so nothing was shown")
        steps = range(0, len(pdf), 250)
        parts = [Stretch(pdf, policy, start, min(start + 250, len(pdf))) for start in steps]
        with ProcessPoolExecutor(2) as pool:
            found = [position for part in pool.map(not_rejected, parts) for position in part]
        missed += len(found)
        sys.stdout.write(f"{signed} signature(s): {len(pdf) - len(found)} of {len(pdf)} positions rejected\n")
        if found:
            sys.stdout.write(f"not rejected at {found}\n")
    return 1 if missed else 0


if __name__ == "__main__":
    raise SystemExit(main())
