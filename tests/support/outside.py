"""Programs that are not ours and judge a signed PDF: pdfsig (poppler-utils) and openssl."""

from __future__ import annotations

import os
import re
import shutil
import subprocess
from datetime import datetime
from pathlib import Path

import pytest

VALID = "Signature Validation: Signature is Valid."
WHOLE = "  - Total document signed"


def needed(binary: str) -> str:
    """The path of an outside program; without it a test is skipped, but never in the build."""
    found = shutil.which(binary)
    if found is None and os.environ.get("CI"):
        pytest.fail(f"{binary} must be installed where CI is set")
    if found is None:
        pytest.skip(f"{binary} is not installed")
    return found


def pdfsig_says(pdfsig: str, folder: Path, pdf: bytes) -> str:
    """What pdfsig prints of the signatures of a file, in English."""
    file = folder / "paper.pdf"
    file.write_bytes(pdf)
    command = [pdfsig, "-nocert", str(file)]
    done = subprocess.run(command, capture_output=True, check=False, env={**os.environ, "LC_ALL": "C"})
    return done.stdout.decode("utf-8", "replace")


def openssl_accepts(openssl: str, folder: Path, pdf: bytes, pem: str, when: datetime) -> bool:
    """Whether openssl takes the last signature of a file for good, with one certificate trusted."""
    start, end = container(pdf)
    (folder / "container.der").write_bytes(bytes.fromhex(pdf[start:end].decode("ascii")))
    (folder / "content.bin").write_bytes(pdf[: start - 1] + pdf[end + 1 :])
    (folder / "root.pem").write_text(pem)
    command = [openssl, "cms", "-verify", "-cades", "-binary", "-inform", "DER", "-purpose", "any"]
    command += ["-in", "container.der", "-content", "content.bin", "-CAfile", "root.pem"]
    command += ["-attime", str(int(when.timestamp())), "-out", "out.bin"]
    return subprocess.run(command, cwd=folder, capture_output=True, check=False).returncode == 0


def container(pdf: bytes) -> tuple[int, int]:
    """Where the hex digits of the last signature's container begin and end."""
    first, length, second, _ = re.findall(rb"/ByteRange \[\s*(\d+) (\d+) (\d+) (\d+)", pdf)[-1]
    return int(first) + int(length) + 1, int(second) - 1
