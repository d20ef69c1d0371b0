"""What a file is, told from its first bytes: what a name or a sender says about it counts for nothing."""

from __future__ import annotations

from enum import StrEnum

from service.errors import BadInput, TooLarge
from solver.domain.faults import Fault

FILE_LIMIT = 4 * 1024 * 1024


class FileKind(StrEnum):
    """Kinds that are kept: what prints, and runs nothing."""

    PDF = "application/pdf"
    PNG = "image/png"
    JPEG = "image/jpeg"
    WEBP = "image/webp"

    @property
    def ending(self) -> str:
        """How the name of such a file ends."""
        return ENDINGS[self]


ENDINGS = {FileKind.PDF: "pdf", FileKind.PNG: "png", FileKind.JPEG: "jpg", FileKind.WEBP: "webp"}
_BEGINS = {
    FileKind.PDF: b"%PDF-",  # ISO 32000-1, 7.5.2
    FileKind.PNG: b"\x89PNG\r\n\x1a\n",  # ISO/IEC 15948, 5.2
    FileKind.JPEG: b"\xff\xd8\xff",  # ISO/IEC 10918-1, B.2.1: start of image, then a marker
}


def kind_of(body: bytes) -> FileKind:
    """The kind of a file.

    Raises
    ------
    TooLarge
        When it is more than one printable needs.
    BadInput
        When it is none of the kinds that are kept.
    """
    if len(body) > FILE_LIMIT:
        raise TooLarge(f"one file may take {FILE_LIMIT // 1024 // 1024} MiB; save it smaller")
    for kind, begins in _BEGINS.items():
        if body.startswith(begins):
            return kind
    if body[:4] == b"RIFF" and body[8:12] == b"WEBP":  # RFC 9649, 2.4
        return FileKind.WEBP
    message = "it is neither a PDF nor a PNG, JPEG or WebP picture; save or print it as a PDF"
    raise BadInput(message, [Fault(path="the file", message=message)])
