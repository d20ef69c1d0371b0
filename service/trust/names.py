"""The names that a certificate of ours may speak for: this machine's own in the home, no others."""

from __future__ import annotations

import ipaddress
from collections.abc import Iterable
from dataclasses import dataclass

from service.doors.network import EVERY_ADDRESS, home_address, machine_names
from service.errors import BadInput
from solver.domain.faults import Fault

Address = ipaddress.IPv4Address | ipaddress.IPv6Address
HOME_ENDINGS = (".local", ".home.arpa", ".internal")
"""Names that no public authority gives away: multicast DNS (RFC 6762), the home (RFC 8375), private use."""


@dataclass(frozen=True)
class HomeNames:
    """What this machine is called in the home."""

    names: tuple[str, ...]
    addresses: tuple[Address, ...]


def home_names(more: Iterable[str] = ()) -> HomeNames:
    """This machine's names and address in the home network, and those that the family adds.

    Raises
    ------
    BadInput
        When one of them lies outside the home.
    """
    found = {*machine_names(), home_address(EVERY_ADDRESS[0]), *(one.strip().lower() for one in more)}
    addresses = {one for one in map(_address, found) if one is not None}
    names = {one for one in found if _address(one) is None}
    wrong = [one for one in sorted(names) if not _is_home_name(one)]
    wrong += [str(one) for one in sorted(addresses, key=str) if not _is_home_address(one)]
    if wrong:
        message = f"{', '.join(wrong)} lies outside the home network; name what lies inside it"
        raise BadInput(message, [Fault(path="--name", message=message)])
    return HomeNames(tuple(sorted(names)), tuple(sorted(addresses, key=str)))


def _address(text: str) -> Address | None:
    try:
        return ipaddress.ip_address(text)
    except ValueError:
        return None


def _is_home_address(address: Address) -> bool:
    return address.is_private and not address.is_unspecified and not address.is_loopback


def _is_home_name(name: str) -> bool:
    plain = name.replace("-", "").replace(".", "")
    bare = "." not in name
    return plain.isascii() and plain.isalnum() and (bare or name.endswith(HOME_ENDINGS))
