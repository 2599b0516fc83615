"""What a forger with free tools can do to a signed paper: each attack gives the changed file."""

from __future__ import annotations

import asyncio
import io
import zlib
from collections.abc import Callable
from datetime import datetime
from typing import Any

from asn1crypto.keys import PrivateKeyInfo
from asn1crypto.x509 import Certificate
from cryptography.hazmat.primitives.serialization import Encoding, NoEncryption, PrivateFormat
from pyhanko.pdf_utils import generic
from pyhanko.pdf_utils.generic import pdf_name
from pyhanko.pdf_utils.incremental_writer import IncrementalPdfFileWriter
from pyhanko.sign.fields import SigFieldSpec, SigSeedSubFilter, append_signature_field
from pyhanko.sign.signers import PdfSignatureMetadata, PdfSigner, SimpleSigner
from pyhanko_certvalidator.registry import SimpleCertificateStore

from fieldapp.identity.keys import UnlockedKey
from tests.support.outside import container


def added(pdf: bytes, change: Callable[[IncrementalPdfFileWriter], None]) -> bytes:
    """The file with one more revision, as any PDF program adds one."""
    writer = IncrementalPdfFileWriter(io.BytesIO(pdf))
    change(writer)
    out = io.BytesIO()
    writer.write(out)
    return out.getvalue()


def _first_page(writer: IncrementalPdfFileWriter) -> Any:
    return writer.root["/Pages"]["/Kids"][0].get_object()


def replaced_page(pdf: bytes) -> bytes:
    def change(writer: IncrementalPdfFileWriter) -> None:
        page = _first_page(writer)
        content = generic.StreamObject(stream_data=b"BT /F1 12 Tf 60 740 Td (All clean) Tj ET")
        page["/Contents"] = writer.add_object(content)
        writer.update_container(page)

    return added(pdf, change)


def overlay(pdf: bytes) -> bytes:
    def change(writer: IncrementalPdfFileWriter) -> None:
        page = _first_page(writer)
        note = generic.DictionaryObject(
            {
                pdf_name("/Type"): pdf_name("/Annot"),
                pdf_name("/Subtype"): pdf_name("/FreeText"),
                pdf_name("/Rect"): generic.ArrayObject(
                    [generic.NumberObject(n) for n in (50, 700, 300, 760)]
                ),
                pdf_name("/Contents"): generic.TextStringObject("All clean"),
                pdf_name("/DA"): generic.TextStringObject("/Helv 12 Tf 0 g"),
            }
        )
        page["/Annots"].append(writer.add_object(note))
        writer.update_container(page["/Annots"])
        writer.update_container(page)

    return added(pdf, change)


def swapped_file(pdf: bytes, data: bytes) -> bytes:
    def change(writer: IncrementalPdfFileWriter) -> None:
        spec = writer.root["/Names"]["/EmbeddedFiles"]["/Names"][1]
        held = generic.StreamObject(stream_data=data)
        spec["/EF"]["/F"] = writer.add_object(held)
        writer.update_container(spec["/EF"])

    return added(pdf, change)


def stacked_bomb(pdf: bytes) -> bytes:
    """An attached file of 64 MiB of zeros behind two filters, in a few hundred bytes."""
    packed = zlib.compress(zlib.compress(bytes(64 * 2**20), 9), 9)

    def change(writer: IncrementalPdfFileWriter) -> None:
        held = generic.StreamObject(encoded_data=packed)
        held["/Filter"] = generic.ArrayObject([pdf_name("/FlateDecode"), pdf_name("/FlateDecode")])
        spec = generic.DictionaryObject(
            {pdf_name("/EF"): generic.DictionaryObject({pdf_name("/F"): writer.add_object(held)})}
        )
        files = generic.ArrayObject([generic.TextStringObject("record.json"), writer.add_object(spec)])
        writer.root["/Names"] = generic.DictionaryObject(
            {pdf_name("/EmbeddedFiles"): generic.DictionaryObject({pdf_name("/Names"): files})}
        )
        writer.update_root()

    return added(pdf, change)


def table_bomb(pdf: bytes) -> bytes:
    """A last revision whose cross-reference table is a stream behind two filters."""
    packed = zlib.compress(zlib.compress(bytes(64 * 2**20), 9), 9)
    head = b"900 0 obj\n<< /Type /XRef /Size 901 /W [1 2 1] /Root 1 0 R "
    head += b"/Filter [/FlateDecode /FlateDecode] /Length %d >>\nstream\n" % len(packed)
    tail = b"\nendstream\nendobj\nstartxref\n%d\n%%%%EOF\n" % len(pdf)
    return pdf + head + packed + tail


def empty_field(pdf: bytes, box: tuple[int, int, int, int]) -> bytes:
    return added(
        pdf, lambda writer: append_signature_field(writer, SigFieldSpec("Owner", on_page=0, box=box))
    )


def changed_title(pdf: bytes) -> bytes:
    """A harmless looking revision: only the title of the document."""

    def change(writer: IncrementalPdfFileWriter) -> None:
        info = writer.trailer["/Info"]
        info["/Title"] = generic.TextStringObject("Another title")
        writer.update_container(info)

    return added(pdf, change)


def uncertified(pdf: bytes) -> bytes:
    def change(writer: IncrementalPdfFileWriter) -> None:
        del writer.root["/Perms"]
        writer.update_root()

    return added(pdf, change)


def foreign_signature(
    pdf: bytes, key: UnlockedKey, field: str, box: tuple[int, int, int, int] | None = None, **said: Any
) -> bytes:
    """A signature made with another program: in a new field, or in a prepared one."""
    secret = key.private_key.private_bytes(Encoding.DER, PrivateFormat.PKCS8, NoEncryption())
    signer = SimpleSigner(
        signing_cert=Certificate.load(key.x509_certificate.public_bytes(Encoding.DER)),
        signing_key=PrivateKeyInfo.load(secret),
        cert_registry=SimpleCertificateStore(),
    )
    meta = PdfSignatureMetadata(
        field_name=field, md_algorithm="sha256", **{"subfilter": SigSeedSubFilter.PADES, **said}
    )
    spec = SigFieldSpec(field, on_page=0, box=box) if box else None
    writer = IncrementalPdfFileWriter(io.BytesIO(pdf))
    made = PdfSigner(meta, signer=signer, new_field_spec=spec)
    return asyncio.run(made.async_sign_pdf(writer, existing_fields_only=False)).getvalue()


def claimed(pdf: bytes, old: datetime, new: datetime) -> bytes:
    """The time in the file written over, as an editor would."""
    return pdf.replace(f"{old:%Y%m%d%H%M%S}".encode(), f"{new:%Y%m%d%H%M%S}".encode())


def cut_container(pdf: bytes) -> bytes:
    """The last container cut in half: zeros from its middle on."""
    start, end = container(pdf)
    used = len(pdf[start:end].rstrip(b"0"))
    middle = start + used // 2
    return pdf[:middle] + b"0" * (end - middle) + pdf[end:]
