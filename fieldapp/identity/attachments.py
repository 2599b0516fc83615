"""The files inside a PDF: put in before anybody signs, taken out in bounded memory.

Only what our papers use is read: plain or once-compressed files in the catalogue of embedded files.  A
file with stacked filters, or one that unpacks to more than its limit, is refused before it fills the memory.
"""

from __future__ import annotations

import io
import zlib
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import islice
from typing import Any

from pyhanko.pdf_utils.embed import EmbeddedFileObject, EmbeddedFileParams, FileSpec, embed_file
from pyhanko.pdf_utils.generic import ArrayObject, pdf_name
from pyhanko.pdf_utils.misc import PdfError
from pyhanko.pdf_utils.reader import PdfFileReader
from pyhanko.sign.fields import enumerate_sig_fields

from fieldapp.identity.errors import FieldProblem, UnreadableAttachment
from fieldapp.identity.pdf_layout import entry, read_layout, unreadable
from fieldapp.identity.pdf_writing import repeatable_writer, written
from fieldapp.record.said import said

LARGEST_BYTES = 64 * 2**20
MOST_FILES = 100


@dataclass(frozen=True, slots=True)
class AttachedFile:
    """A file inside a PDF: its name, and its bytes."""

    name: str
    data: bytes


def attach_file(pdf: bytes, file: AttachedFile, mime_type: str) -> bytes:
    """Put a file into a document that nobody has signed yet.

    Parameters
    ----------
    pdf
        The finished document, without signatures.
    file
        What to put in; its name should be plain letters.
    mime_type
        What it is, such as ``application/json``.

    Returns
    -------
    bytes
        The document with one added revision; `pdf` is its beginning.  The same input gives the same bytes.

    Raises
    ------
    UnreadablePdf
        The bytes are not a whole PDF.
    FieldProblem
        Somebody has signed the document already.
    UnreadableAttachment
        The document has a file of that name already.
    """
    writer = repeatable_writer(pdf, file.name.encode() + b"\0" + file.data)
    if next(enumerate_sig_fields(writer.prev, filled_status=True), None) is not None:
        raise FieldProblem(
            said("This document is signed already, so no file can be added. It was left as it was.")
        )
    if any(each.name == file.name for each in attached_files(pdf)):
        raise _refused(said("has an attached file {name!r} already", name=file.name))
    held = EmbeddedFileObject.from_file_data(
        writer, data=file.data, mime_type=mime_type, params=EmbeddedFileParams(embed_checksum=False)
    )
    embed_file(writer, FileSpec(file_spec_string=file.name, file_name=file.name, embedded_data=held))
    # pyHanko marks the file as the data of the document only in PDF 2.0, which our papers are not
    reference = writer.root["/Names"]["/EmbeddedFiles"]["/Names"].raw_get(-1)
    reference.get_object()["/AFRelationship"] = pdf_name("/Data")
    writer.root["/AF"] = ArrayObject([*entry(writer.root, "/AF", ()), reference])
    writer.update_root()  # type: ignore[no-untyped-call]  # pyHanko leaves this one untyped
    return written(writer)


def attached_files(pdf: bytes, largest_bytes: int = LARGEST_BYTES) -> tuple[AttachedFile, ...]:
    """Take the attached files out of a PDF.

    Parameters
    ----------
    pdf
        The whole file; whether anybody signed it is `verify_pdf`'s question.
    largest_bytes
        How much all of them together may unpack to.

    Raises
    ------
    UnreadablePdf
        The bytes are not a whole PDF.
    UnreadableAttachment
        A file is too large, too many, or packed in another way than ours.
    """
    read_layout(pdf)
    try:
        root = PdfFileReader(io.BytesIO(pdf), strict=True).root
        tree = entry(entry(root, "/Names", {}), "/EmbeddedFiles", {})
        found = list(islice(_leaves(tree), MOST_FILES + 1))
        if len(found) > MOST_FILES:
            raise _refused(said("holds more attached files than our papers do"))
        left, files = largest_bytes, []
        for name, spec in found:
            data = _unpacked(spec["/EF"]["/F"], left)
            left -= len(data)
            files.append(AttachedFile(name, data))
    except UnreadableAttachment:
        raise
    except (PdfError, ValueError, KeyError, IndexError, TypeError, AttributeError, RecursionError):
        raise unreadable() from None
    return tuple(files)


def _leaves(tree: Any) -> Iterator[tuple[str, Any]]:
    nodes = [tree]
    for _ in range(MOST_FILES):
        if not nodes:
            return
        node = nodes.pop()
        nodes.extend(each.get_object() for each in entry(node, "/Kids", ()))
        names = entry(node, "/Names", ())
        for index in range(0, len(names) - 1, 2):
            yield str(names[index]), names[index + 1]
    raise _refused(said("holds more attached files than our papers do"))


def _unpacked(stream: Any, limit: int) -> bytes:
    filters = entry(stream, "/Filter", None)
    packed: bytes = stream.encoded_data
    if filters is None:
        data = packed
    elif filters == "/FlateDecode" or list(filters) == ["/FlateDecode"]:
        try:
            unpacking = zlib.decompressobj()
            data = unpacking.decompress(packed, limit + 1)
        except zlib.error:
            raise _refused(said("has an attached file that is damaged")) from None
        if len(data) <= limit and not unpacking.eof:
            raise _refused(said("has an attached file that is cut"))
    else:
        raise _refused(said("has an attached file that is packed more than once"))
    if len(data) > limit:
        raise _refused(said("has attached files of more than {limit} bytes", limit=limit))
    return data


def _refused(what: str) -> UnreadableAttachment:
    return UnreadableAttachment(
        said("This PDF {what}. Nothing was taken out of it; ask for the paper as it was written.", what=what)
    )
