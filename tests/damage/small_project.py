"""A small project that holds one of everything: two devices, a decision, a picture, a signed paper."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from io import BytesIO
from pathlib import Path
from zoneinfo import ZoneInfo

from PIL import Image

from fieldapp.desk.inspector import Saying, record_entry
from fieldapp.desk.office import begin_project
from fieldapp.desk.travel.sending import Asked, make_bundle
from fieldapp.desk.travel.tables import JOURNAL_FILE, write_tables
from fieldapp.desk.typed_logs import add_logs, read_logs
from fieldapp.desk.workplace import Workplace, open_project
from fieldapp.record.chain import heads_of
from fieldapp.record.column import HeadReading
from fieldapp.record.decisions import Basis, Hold, Position
from fieldapp.record.entry import Draft
from fieldapp.record.hole import Note, Photo
from fieldapp.record.reading import Reading
from fieldapp.store.pictures import save_picture
from tests.desk.conftest import HOLE, SETUP, SiteClock
from tests.support.papers import inspectors_signature

PAPER = b"%PDF-1.7\n" + b"as it was signed\n" * 20
SOUTH = "tablet south"
INSPECTOR, ENGINEER = "Inspector A", "Resident engineer"


@dataclass(frozen=True, slots=True)
class Made:
    """The project, with what was sent out of it."""

    folder: Path
    picture: Path
    paper: Path
    journal_file: Path
    bundle: Path


def small_picture() -> bytes:
    """A picture of few bytes, as a camera writes it."""
    out = BytesIO()
    Image.linear_gradient("L").resize((24, 16)).save(out, "JPEG", quality=40)
    return out.getvalue()


def make(where: Path) -> Made:
    """Make it in a folder, by the desk's own doors; the folders of this device must be a test's."""
    logs = where / "logs"
    logs.mkdir(parents=True)
    (logs / "project.log").write_text(SETUP, "utf-8")
    (logs / "P1-1.log").write_text(HOLE, "utf-8")
    folder = where / "larkwater"
    begin_project(folder)
    clock = SiteClock(datetime(2026, 5, 12, 9, 0, tzinfo=ZoneInfo("America/Denver")))
    with open_project(folder, clock, device=SOUTH) as place:
        add_logs(place, read_logs(sorted(logs.glob("*.log"))))
        digest = save_picture(folder, small_picture(), ".jpg")
        for each in (HeadReading(fluid_level=Reading("2.0", "ft")), Photo(digest, "the base"), Note("rain")):
            record_entry(place, Saying("P1-1", each, INSPECTOR, confirmed=("level-jump",)))
            clock.move(minutes=3)
        _hold(place)
        (folder / "reports" / "p1-1.pdf").write_bytes(PAPER)
        record_entry(place, Saying(None, inspectors_signature(PAPER), INSPECTOR))
        record_entry(place, Saying("P1-1", Note("rig off the hole"), INSPECTOR))
        bundle = make_bundle(place, where / "larkwater.bundle", Asked(INSPECTOR)).path
        tables = write_tables(place, where / "tables").folder
    return Made(
        folder, folder / "pictures" / f"{digest}.jpg", folder / "reports" / "p1-1.pdf",
        tables / JOURNAL_FILE, bundle,
    )  # fmt: skip


def _hold(place: Workplace) -> None:
    heads = heads_of(place.entries()).values()
    basis = Basis(tuple(Position(each.device, each.seq) for each in heads), place.shaft("P1-1").digest)
    now = place.now()
    held = Hold(basis, "tremie late")
    place.append([Draft(place.clock.new_id(), place.project_id, "P1-1", held, now, now, ENGINEER)])
