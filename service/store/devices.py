"""The devices of the home network that are let in, and the secrets that let the next one in."""

from __future__ import annotations

import hashlib
import hmac
import secrets
import time
from typing import NamedTuple

from sqlalchemy import Connection, delete, func, insert, select, update

from service.errors import NotFound
from service.store.kept import Store
from service.store.moments import now
from service.store.tables import devices, pairings
from service.views import Device

PAIRING_S = 5 * 60
DEVICES_MOST = 50
_BYTES = 32


class Paired(NamedTuple):
    """A device that was let in, with its token, which nobody can read again."""

    device: Device
    token: str


class Devices:
    """Who is let into one store."""

    def __init__(self, store: Store) -> None:
        self._store = store

    def offer(self) -> str:
        """A new secret that lets one device in within five minutes; earlier ones end."""
        secret = secrets.token_urlsafe(_BYTES)
        with self._store._write() as connection:
            connection.execute(delete(pairings))
            connection.execute(insert(pairings).values(secret_hash=hash_of(secret), made_at=_seconds()))
        return secret

    def pair(self, secret: str, name: str) -> Paired | None:
        """A new device with its token, or None when the secret is not, or no longer, good."""
        with self._store._write() as connection:
            return _let_in(connection, name) if _use_up(connection, secret) else None

    def known(self, token: str) -> Device | None:
        """The device with this token; the day is noted. Every stored hash is compared in constant time."""
        wanted = hash_of(token)
        with self._store._read() as connection:
            rows = connection.execute(select(devices)).all()
        found = [row for row in rows if hmac.compare_digest(row.token_hash, wanted)]
        if not found:
            return None
        device = _device(found[0])
        if device.seen_on != now().date():
            self._note_day(device)
        return device

    def _note_day(self, device: Device) -> None:
        with self._store._write() as connection:
            today = f"{now():%Y-%m-%d}"
            connection.execute(update(devices).where(devices.c.id == device.id).values(seen_on=today))

    def all(self) -> list[Device]:
        """Every device that is let in, in the order of pairing."""
        with self._store._read() as connection:
            rows = connection.execute(select(devices).order_by(devices.c.paired_at, devices.c.id))
            return [_device(row) for row in rows]

    def shut_out(self, device_id: str) -> None:
        """Never let this device in again."""
        with self._store._write() as connection:
            found = connection.execute(delete(devices).where(devices.c.id == device_id))
        if not found.rowcount:
            raise NotFound(f"there is no device {device_id[:40]!r}; look at /api/devices or lapful devices")

    def forget_all(self) -> None:
        """Shut every device out, and end what would let one in."""
        with self._store._write() as connection:
            connection.execute(delete(devices))
            connection.execute(delete(pairings))


def _let_in(connection: Connection, name: str) -> Paired:
    token = secrets.token_urlsafe(_BYTES)
    row = {
        "id": secrets.token_hex(4),
        "name": name,
        "token_hash": hash_of(token),
        "paired_at": now().isoformat(),
        "seen_on": f"{now():%Y-%m-%d}",
    }
    connection.execute(insert(devices).values(**row))
    return Paired(Device.model_validate({name: row[name] for name in Device.model_fields}), token)


def _use_up(connection: Connection, secret: str) -> bool:
    wanted, good = hash_of(secret), False
    for row in connection.execute(select(pairings)).all():
        same = hmac.compare_digest(row.secret_hash, wanted)
        # A secret from the future was made before the clock fell back: how old it is, nobody knows.
        fresh = 0 <= _seconds() - row.made_at < PAIRING_S
        if same or not fresh:
            connection.execute(delete(pairings).where(pairings.c.secret_hash == row.secret_hash))
        good = good or (same and fresh)
    return good and _count(connection) < DEVICES_MOST


def _count(connection: Connection) -> int:
    return connection.scalar(select(func.count()).select_from(devices)) or 0


def _device(row: object) -> Device:
    return Device.model_validate(row, from_attributes=True)


def hash_of(secret: str) -> str:
    """What is kept of a secret or a token."""
    # 256 random bits need no salt and no slow hash: there is nothing to guess.
    return hashlib.sha256(secret.encode()).hexdigest()


def _seconds() -> int:
    return int(time.time())
