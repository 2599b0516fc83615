"""Programs that are not ours on every kind of paper, signed and not: of poppler, and qpdf.

They read the file each in its own way, and find the same pages, letters, fonts, attached files and signers.
"""

from __future__ import annotations

import os
import re
import subprocess
from dataclasses import dataclass
from pathlib import Path

import pytest

from fieldapp.desk.office import moment_of
from fieldapp.desk.papers.forms import FORMS
from fieldapp.desk.papers.paper import Pen
from fieldapp.desk.papers.summary import latest_moment, write_summary
from fieldapp.desk.papers.writing import Wanted, write_paper
from fieldapp.desk.workplace import Workplace
from fieldapp.identity.signing_order import ORDERS
from fieldapp.record.words import PaperKind
from tests.desk.papers.samples import SHAFTS, sample_project
from tests.desk.signed_papers import PEOPLE, pin_all
from tests.reports.reading_pdf import reader
from tests.support.outside import VALID, WHOLE, needed

STAMP_FONT = "Courier"
"""One of those that every reader has; in it the box of a signature is written when somebody signs."""


@dataclass(frozen=True)
class Outside:
    """One paper, asked of outside programs."""

    path: Path

    def says(self, program: str, *asked: str) -> str:
        command = [needed(program), *asked, str(self.path)]
        command += ["-"] if program == "pdftotext" else []
        done = subprocess.run(command, capture_output=True, check=False, env={**os.environ, "LC_ALL": "C"})
        assert done.returncode == 0, (program, done.stderr)
        return done.stdout.decode("utf-8", "replace")

    @property
    def fonts(self) -> list[tuple[str, bool]]:
        """Every font by name, and whether it is in the file."""
        rows = self.says("pdffonts").splitlines()[2:]
        found = [re.search(r"^(\S+).* (yes|no ) (?:yes|no ) (?:yes|no ) ", row) for row in rows]
        return [(each[1], each[2] == "yes") for each in found if each is not None]

    @property
    def pages(self) -> list[str]:
        """The letters of each page without white space, which every program sets otherwise."""
        return ["".join(page.split()) for page in self.says("pdftotext", "-raw").split("\f")[:-1]]


def digest_of(place: Workplace, kind: PaperKind, shaft: str) -> str:

    of_all = kind is PaperKind.PROJECT_SUMMARY
    return place.digest() if of_all else place.shaft(shaft).digest


def paper(place: Workplace, kind: PaperKind, shaft: str, pen: Pen | None = None) -> Outside:
    if kind is PaperKind.PROJECT_SUMMARY:
        return Outside(write_summary(place, latest_moment(place), "Designer", pen=pen).path)
    return Outside(
        write_paper(place, Wanted(FORMS[kind], shaft, moment_of(place, shaft), "Designer"), pen).path
    )


def files_inside(kind: PaperKind) -> set[str]:
    return {"printed.json"} if kind is PaperKind.PROJECT_SUMMARY else {"printed.json", "journal.json"}


@pytest.mark.parametrize("kind", list(PaperKind))
def test_they_call_a_signed_paper_good_and_name_its_signer(place: Workplace, kind: PaperKind) -> None:
    role = ORDERS[kind].steps[0].role
    found = paper(place, kind, "P1-1", pin_all(place)[role])
    told = found.says("pdfsig", "-nocert")
    assert (told.count(VALID), told.count(WHOLE)) == (1, 1)
    assert PEOPLE[role] in told
    assert "No syntax or stream encoding errors found" in found.says("qpdf", "--check")
    assert {name for name, inside in found.fonts if not inside} == {STAMP_FONT}
    listed = found.says("pdfdetach", "-list")
    assert set(re.findall(r"\d+: (\S+)", listed)) == files_inside(kind)
    shown = "".join(found.pages)
    digest = digest_of(place, kind, "P1-1")
    assert shown.count(digest) >= len(found.pages), "on every page"
    assert f"Record{digest[:16]}" in shown, "in the box of the signature"


@pytest.fixture(scope="module", params=sorted(SHAFTS))
def sample(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory):
    with sample_project(tmp_path_factory.mktemp("outside"), request.param) as made:
        yield made


@pytest.mark.parametrize("kind", list(PaperKind))
def test_they_find_what_we_find_in_the_papers_of_the_samples(sample: Workplace, kind: PaperKind) -> None:
    shaft = list(sample.record().shafts)[-1]
    found = paper(sample, kind, shaft)
    assert "No syntax or stream encoding errors found" in found.says("qpdf", "--check")
    assert found.fonts, "there is text"
    assert [name for name, inside in found.fonts if not inside] == []
    document = reader(found.path.read_bytes())
    theirs, digest = found.pages, digest_of(sample, kind, shaft)
    assert len(theirs) == len(document.pages)
    for number, (text, page) in enumerate(zip(theirs, document.pages, strict=True), 1):
        assert f"page{number}of{len(theirs)}" in text
        assert digest in text
        assert sorted("".join(page.extract_text().split())) == sorted(text), f"page {number}"
