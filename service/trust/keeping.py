"""Where authority and certificate lie: in the data folder, the keys for its owner's eyes alone."""

from __future__ import annotations

import datetime
import os
import shutil
import ssl
from collections.abc import Iterable
from dataclasses import dataclass
from pathlib import Path

from cryptography import x509
from cryptography.hazmat.primitives import serialization
from cryptography.hazmat.primitives.asymmetric import ec

from service.errors import BadInput, FolderError
from service.trust.authority import Signed, covers, make_authority, make_server
from service.trust.names import Address, HomeNames, home_names
from solver.domain.faults import Fault

FOLDER = "trust"
_OWNER_ALONE, _OWNERS_FOLDER = 0o600, 0o700
RENEW_BEFORE = datetime.timedelta(days=30)


@dataclass(frozen=True)
class Trust:
    """The files of one data folder."""

    data: Path

    @property
    def folder(self) -> Path:
        """Beside the data, and in no copy of it."""
        return self.data / FOLDER

    @property
    def authority_file(self) -> Path:
        """What a device is asked to trust; it holds no secret."""
        return self.folder / "authority.crt"

    @property
    def server_files(self) -> tuple[Path, Path]:
        """Certificate and key of the server."""
        return self.folder / "server.crt", self.folder / "server.key"

    def authority(self) -> Signed | None:
        """The authority, or None when none was made."""
        if not self.authority_file.is_file():
            return None
        return _read(self.authority_file, self.folder / "authority.key")

    def make(self, more: Iterable[str] = (), now: datetime.datetime | None = None) -> Signed:
        """A new authority for this machine's names in the home, in place of any older one."""
        at = now or _now()
        home = home_names(more)
        made = make_authority(home, at)
        try:
            self.folder.mkdir(mode=_OWNERS_FOLDER, exist_ok=True)
            os.chmod(self.folder, _OWNERS_FOLDER)
        except OSError as error:
            raise FolderError(f"{self.folder}: {error.strerror}; let this user write there") from error
        _write(made, self.authority_file, self.folder / "authority.key")
        _write(make_server(made, home, at), *self.server_files)
        return made

    def forget(self) -> bool:
        """Throw keys and certificates away; whether there were any."""
        if not self.folder.is_dir():
            return False
        shutil.rmtree(self.folder)
        return True

    def ready(self, now: datetime.datetime | None = None) -> None:
        """See to it that the server's certificate is good for a while, and for where this machine is now.

        Raises
        ------
        BadInput
            When a new authority is needed first.
        """
        at = now or _now()
        authority = self.authority()
        if authority is None:
            raise _needs("there is no certificate yet; make one first: lapful certificate")
        if authority.until <= at:
            raise _needs("the certificate's authority is over; make a new one: lapful certificate --anew")
        home = self._certified(authority)
        if not covers(authority, home_names()):
            raise _needs(
                "this machine has another name or address in the home network than its certificate says; "
                "give it a fixed address in the router, or make a new one: lapful certificate --anew"
            )
        if _read(*self.server_files).until - at < RENEW_BEFORE:
            _write(make_server(authority, home, at), *self.server_files)

    def _certified(self, authority: Signed) -> HomeNames:
        """All that the server's certificate says, names that the family added too."""
        said = _read(*self.server_files).certificate.extensions
        names = said.get_extension_for_class(x509.SubjectAlternativeName).value
        addresses = (one for one in names.get_values_for_type(x509.IPAddress) if isinstance(one, Address))
        return HomeNames(tuple(names.get_values_for_type(x509.DNSName)), tuple(addresses))

    def context(self) -> ssl.SSLContext:
        """What a server needs to speak https."""
        made = ssl.SSLContext(ssl.PROTOCOL_TLS_SERVER)
        made.minimum_version = ssl.TLSVersion.TLSv1_2
        made.load_cert_chain(*self.server_files)
        return made


def _needs(message: str) -> BadInput:
    return BadInput(message, [Fault(path="--https", message=message)])


def _now() -> datetime.datetime:
    return datetime.datetime.now(datetime.UTC)


def _read(certificate: Path, key: Path) -> Signed:
    try:
        found = serialization.load_pem_private_key(key.read_bytes(), password=None)
        read = x509.load_pem_x509_certificate(certificate.read_bytes())
    except (OSError, ValueError) as error:
        raise _needs(
            f"{certificate} or its key cannot be read; make new ones: lapful certificate --anew"
        ) from error
    if not isinstance(found, ec.EllipticCurvePrivateKey):
        raise _needs(f"{key} is no key of ours; make new ones: lapful certificate --anew")
    return Signed(read, found)


def _write(made: Signed, certificate: Path, key: Path) -> None:
    plain = serialization.NoEncryption()
    pem = made.key.private_bytes(serialization.Encoding.PEM, serialization.PrivateFormat.PKCS8, plain)
    try:
        _write_alone(key, pem)
        _write_alone(certificate, made.certificate.public_bytes(serialization.Encoding.PEM))
    except OSError as error:
        raise FolderError(f"{key}: {error.strerror}; let this user write there") from error


def _write_alone(file: Path, body: bytes) -> None:
    """Never readable by others, not even for a moment, and never half written."""
    part = file.with_name(f"{file.name}.part")
    part.unlink(missing_ok=True)
    with os.fdopen(os.open(part, os.O_WRONLY | os.O_CREAT | os.O_EXCL, _OWNER_ALONE), "wb") as out:
        out.write(body)
    part.replace(file)
