"""What trusting the authority means, how a device is told to, and how it is told to stop; in plain words."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

from cryptography import x509

from service.trust.authority import Signed

ADDRESS = "/authority.crt"


def explained(made: Signed, file: Path) -> Iterator[str]:
    """Lines for whoever sets the tablets up."""
    yield f"The authority is in {file}, good until {made.until:%Y-%m-%d}. Its fingerprint (SHA-256):"
    yield from _folded(made.fingerprint)
    yield f"It can speak for {', '.join(_names(made))}, and for nothing else in the world."
    yield ""
    yield "What trusting it means: the device believes this machine, under these names alone, to be this"
    yield "machine. Nobody on the network can then read along, and the page opens while this machine sleeps."
    yield "Whoever steals the key beside it could pretend to be this machine, and no other site."
    yield ""
    yield "How: start lapful serve --home-network once without --https, and on the device open the address"
    yield f"it prints with {ADDRESS} behind it. Look whether the device shows the fingerprint above; if it"
    yield "shows another, stop. Then install it as a certificate authority (security settings, certificates,"
    yield "install; some devices ask for a second switch under certificate trust). From then on start"
    yield "lapful serve --home-network --https, and pair the device again at its new address."
    yield ""
    yield "How to end it: on the device take it out under security settings, trusted or user certificates;"
    yield "here: lapful certificate --forget. By itself it ends on the day above."


def _folded(fingerprint: str) -> Iterator[str]:
    parts = fingerprint.split()
    yield f"  {' '.join(parts[:8])}"
    yield f"  {' '.join(parts[8:])}"


def _names(made: Signed) -> list[str]:
    found = made.certificate.extensions.get_extension_for_class(x509.NameConstraints).value
    permitted = found.permitted_subtrees or []
    names = [one.value for one in permitted if isinstance(one, x509.DNSName)]
    return names + [str(one.value).partition("/")[0] for one in permitted if isinstance(one, x509.IPAddress)]
