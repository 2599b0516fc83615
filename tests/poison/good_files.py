"""Good files of every kind that Basenote reads, to be made wrong."""

from __future__ import annotations

import contextlib
import io
import shutil
import subprocess
from datetime import UTC, datetime, timedelta
from functools import cache
from pathlib import Path
from typing import Final

from PIL import Image

from fieldapp.cli import run
from fieldapp.identity.certificates import Term, to_pem
from fieldapp.identity.keys import new_person_key
from fieldapp.identity.people import CertifiedPerson
from fieldapp.record.words import Role
from tests.desk.travel.tablets import Tablet

SAMPLES: Final = Path(__file__).parents[2] / "sample_logs"


@cache
def pictures() -> list[bytes]:
    """Small JPEG, PNG and others, some with the tags of a camera, and some that no inspector takes."""
    picture = Image.linear_gradient("L").resize((48, 40)).convert("RGB")
    tags = Image.Exif()
    tags[0x0112] = 6
    tags[0x0132] = "2026:05:12 09:00:00"
    tags[0x010F] = "a camera"
    tags.get_ifd(0x8825)[2] = (45.0, 1.0, 2.0)
    kinds = [("JPEG", {"exif": tags.tobytes()}), ("PNG", {}), ("PNG", {"exif": tags.tobytes()})]
    kinds += [("TIFF", {}), ("GIF", {}), ("WEBP", {}), ("BMP", {}), ("MPO", {})]
    return [_written(picture, kind, more) for kind, more in kinds]


def _written(picture: Image.Image, kind: str, more: dict[str, bytes]) -> bytes:
    out = io.BytesIO()
    picture.save(out, kind, **more)
    return out.getvalue()


@cache
def certificates() -> list[bytes]:
    """A certificate as the program makes it."""
    start = datetime(2026, 5, 1, tzinfo=UTC)
    key = new_person_key(
        CertifiedPerson("Inspector A", (Role.INSPECTOR,), "Larkwater crossing"),
        Term(start, start + timedelta(days=900)),
    )
    return [to_pem(key.x509_certificate).encode()]


_PAPERS: dict[Path, list[bytes]] = {}


def small_papers(tablet: Tablet) -> list[bytes]:
    """The release sheet of a small shaft, as it is and, where qpdf is, with its streams unpacked."""
    if tablet.folder not in _PAPERS:
        tablet.is_in_hand()
        with contextlib.redirect_stdout(io.StringIO()):
            assert run(["report", str(tablet.folder), "P1-1", "--paper", "release"]) == 0
        paper = next(tablet.folder.rglob("*.pdf"))
        found = [paper.read_bytes()]
        if shutil.which("qpdf"):
            plain = tablet.root / "plain.pdf"
            subprocess.run(["qpdf", "--qdf", "--object-streams=disable", str(paper), str(plain)], check=True)
            found.append(plain.read_bytes())
        _PAPERS[tablet.folder] = found
    return _PAPERS[tablet.folder]
