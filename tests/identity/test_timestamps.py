"""A trusted timestamp: good, of another signature, of a stranger, refused, not reachable.  No network."""

from __future__ import annotations

import threading
from dataclasses import dataclass, replace
from datetime import UTC, datetime, timedelta
from http.server import BaseHTTPRequestHandler, HTTPServer

import pytest
from asn1crypto import tsp
from asn1crypto.keys import PrivateKeyInfo
from asn1crypto.x509 import Certificate
from cryptography import x509
from cryptography.hazmat.primitives import hashes
from cryptography.hazmat.primitives.asymmetric import rsa
from cryptography.hazmat.primitives.serialization import Encoding, NoEncryption, PrivateFormat
from cryptography.x509.oid import ExtendedKeyUsageOID, NameOID
from pyhanko.sign.timestamps.dummy_client import DummyTimeStamper

from fieldapp.identity.errors import NoTimestamp
from fieldapp.identity.pdf_signing import sign_pdf
from fieldapp.identity.timestamps import WebTimestamper
from fieldapp.identity.verification import Answer, FactName, Verdict
from fieldapp.identity.verifying import verify_pdf
from tests.identity.papers import key_of, pinned, policy_for, prepared_paper
from tests.identity.signers import INSPECTOR, SEEN, TERM

STAMPED = SEEN.signed_at.astimezone(UTC) + timedelta(minutes=3)


@dataclass(frozen=True)
class Authority:
    """An RFC 3161 authority in this process: its certificate, and its replies at one fixed time."""

    pem: str
    server: DummyTimeStamper

    def reply_to(self, request_der: bytes) -> bytes:
        return self.server.request_tsa_response(tsp.TimeStampReq.load(request_der)).dump()


def authority(at: datetime = STAMPED) -> Authority:
    key = rsa.generate_private_key(65537, 2048)
    name = x509.Name([x509.NameAttribute(NameOID.COMMON_NAME, "Sample time authority")])
    usage = x509.ExtendedKeyUsage([ExtendedKeyUsageOID.TIME_STAMPING])
    certificate = (
        x509.CertificateBuilder()
        .subject_name(name)
        .issuer_name(name)
        .public_key(key.public_key())
        .serial_number(77)
        .not_valid_before(TERM.valid_from)
        .not_valid_after(TERM.valid_until)
        .add_extension(usage, critical=True)
        .sign(key, hashes.SHA256())
    )
    secret = key.private_bytes(Encoding.DER, PrivateFormat.PKCS8, NoEncryption())
    server = DummyTimeStamper(
        Certificate.load(certificate.public_bytes(Encoding.DER)), PrivateKeyInfo.load(secret), fixed_dt=at
    )
    return Authority(certificate.public_bytes(Encoding.PEM).decode("ascii"), server)


@pytest.fixture(scope="module")
def tsa() -> Authority:
    return authority()


@pytest.fixture(scope="module")
def key():
    return key_of(INSPECTOR)


@pytest.fixture(scope="module")
def stamped(key, tsa) -> bytes:
    return sign_pdf(prepared_paper(), SEEN, key, timestamper=tsa)


def test_a_timestamp_of_an_authority_that_counts_confirms_the_time(stamped, key, tsa):
    found = verify_pdf(stamped, replace(policy_for(key), timestamp_authorities=(tsa.pem,)))
    assert found.verdict is Verdict.VALID
    assert found.answer(FactName.TIMESTAMP) is Answer.YES
    assert found.signatures[0].stamped_at == STAMPED
    assert (
        "a trusted timestamp shows that it was there at 2026-05-04 19:35:05" in found.signatures[0].time_says
    )


def test_without_known_authorities_the_time_stays_a_claim_and_the_paper_stays_valid(stamped, key):
    found = verify_pdf(stamped, policy_for(key))
    assert found.verdict is Verdict.VALID
    assert found.signatures[0].stamped_at is None
    assert "no trusted timestamp confirms" in found.signatures[0].time_says


def test_a_timestamp_of_a_stranger_does_not_count(stamped, key):
    found = verify_pdf(stamped, replace(policy_for(key), timestamp_authorities=(authority().pem,)))
    assert {each.name for each in found.failed} == {FactName.TIMESTAMP}
    assert found.signatures[0].stamped_at is None


def test_a_time_claimed_later_than_its_timestamp_is_noticed(key):
    early = authority(STAMPED - timedelta(hours=1))
    pdf = sign_pdf(prepared_paper(), SEEN, key, timestamper=early)
    found = verify_pdf(pdf, replace(policy_for(key), timestamp_authorities=(early.pem,)))
    assert {each.name for each in found.failed} == {FactName.TIME_ORDER}


def test_a_revoked_signer_who_sets_the_clock_back_is_caught_by_the_timestamp(key, tsa):
    # the lost tablet: signed on a clock of yesterday, stamped today
    revoked = SEEN.signed_at - timedelta(hours=1)
    pdf = sign_pdf(
        prepared_paper(), replace(SEEN, signed_at=SEEN.signed_at - timedelta(days=1)), key, timestamper=tsa
    )
    roster = tuple(replace(each, revoked_from=revoked) for each in pinned(key))
    policy = replace(policy_for(key), roster=roster)
    assert verify_pdf(pdf, policy).verdict is Verdict.VALID, "by the claim alone it is before the revocation"
    found = verify_pdf(pdf, replace(policy, timestamp_authorities=(tsa.pem,)))
    assert {each.name for each in found.failed} == {FactName.NOT_REVOKED}


def test_a_timestamp_moved_from_another_signature_is_noticed(key, tsa):
    class Replay:
        """Answers every question with the reply to the first one."""

        def __init__(self) -> None:
            self.kept = b""

        def reply_to(self, request_der: bytes) -> bytes:
            self.kept = self.kept or tsa.reply_to(request_der)
            return self.kept

    with pytest.raises(NoTimestamp):
        sign_pdf(prepared_paper(), SEEN, key, timestamper=Replay())


class Silent:
    def reply_to(self, request_der: bytes) -> bytes:
        raise OSError("no network")


class Babbling:
    def reply_to(self, request_der: bytes) -> bytes:
        return b"not a reply"


class Refusing:
    def reply_to(self, request_der: bytes) -> bytes:
        return tsp.TimeStampResp({"status": {"status": "rejection"}}).dump()


@pytest.mark.parametrize("source", [Silent(), Babbling(), Refusing()], ids=lambda each: type(each).__name__)
def test_without_a_usable_reply_nothing_is_signed_and_signing_without_is_open(key, source):
    paper = prepared_paper()
    with pytest.raises(NoTimestamp, match="Nothing was signed; try again"):
        sign_pdf(paper, SEEN, key, timestamper=source)
    assert verify_pdf(sign_pdf(paper, SEEN, key), policy_for(key)).verdict is Verdict.VALID


def test_a_changed_byte_in_the_signed_part_of_the_timestamp_is_noticed(stamped, key, tsa):
    policy = replace(policy_for(key), timestamp_authorities=(tsa.pem,))
    time = STAMPED.strftime("%Y%m%d%H%M%SZ").encode().hex().upper().encode()
    assert stamped.count(time) == 1
    other = STAMPED.replace(year=2025).strftime("%Y%m%d%H%M%SZ").encode().hex().upper().encode()
    for each in (policy, policy_for(key)):
        found = verify_pdf(stamped.replace(time, other), each)
        assert FactName.TIMESTAMP in {fact.name for fact in found.failed}


def test_a_server_on_this_machine_is_asked_in_the_way_of_the_standard(key, tsa):
    asked = []

    class Desk(BaseHTTPRequestHandler):
        def do_POST(self) -> None:
            asked.append(self.headers["Content-Type"])
            reply = tsa.reply_to(self.rfile.read(int(self.headers["Content-Length"])))
            self.send_response(200)
            self.send_header("Content-Type", "application/timestamp-reply")
            self.end_headers()
            self.wfile.write(reply)

        def log_message(self, *_: object) -> None:
            pass

    with HTTPServer(("127.0.0.1", 0), Desk) as server:
        threading.Thread(target=server.serve_forever, daemon=True).start()
        source = WebTimestamper(f"http://127.0.0.1:{server.server_address[1]}/")
        pdf = sign_pdf(prepared_paper(), SEEN, key, timestamper=source)
        server.shutdown()
    # RFC 3161, section 3.4
    assert set(asked) == {"application/timestamp-query"}
    found = verify_pdf(pdf, replace(policy_for(key), timestamp_authorities=(tsa.pem,)))
    assert found.signatures[0].stamped_at == STAMPED
    with pytest.raises(NoTimestamp, match="Nothing was signed; try again"):
        sign_pdf(prepared_paper(), SEEN, key, timestamper=source)


def test_an_address_that_is_not_of_a_web_server_is_refused():
    for address in ("file:///etc/hostname", "time.example.org", ""):
        with pytest.raises(NoTimestamp, match="must begin with https://"):
            WebTimestamper(address)
