"""The authority and the server's certificate, as RFC 5280 describes them.

The authority may speak for this machine's names in the home alone (name constraints, 4.2.1.10, marked
critical), for servers alone, and for no other authority (a path of length 0). Whoever steals its key can
pretend to be this machine, and nobody else.
"""

from __future__ import annotations

import datetime
from dataclasses import dataclass
from ipaddress import IPv4Network, ip_network

from cryptography import x509
from cryptography.hazmat.primitives import hashes
from cryptography.hazmat.primitives.asymmetric import ec
from cryptography.x509.oid import ExtendedKeyUsageOID, NameOID

from service.trust.names import HomeNames

AUTHORITY_LIFE = datetime.timedelta(days=365)
SERVER_LIFE = datetime.timedelta(days=60)
_CLOCKS_APART = datetime.timedelta(hours=1)
"""A tablet whose clock is a little slow takes a new certificate too."""
NO_MAIL = ".invalid"
"""No mailbox is there (RFC 6761): so the authority speaks for none."""

Key = ec.EllipticCurvePrivateKey


@dataclass(frozen=True)
class Signed:
    """A certificate with its key."""

    certificate: x509.Certificate
    key: Key

    @property
    def until(self) -> datetime.datetime:
        """The last moment at which it counts."""
        return self.certificate.not_valid_after_utc

    @property
    def fingerprint(self) -> str:
        """Its SHA-256, as devices show it, to compare by eye."""
        return self.certificate.fingerprint(hashes.SHA256()).hex(" ", 2).upper()


def make_authority(home: HomeNames, now: datetime.datetime) -> Signed:
    """A new authority for these names."""
    key = ec.generate_private_key(ec.SECP256R1())
    called = home.names[0] if home.names else str(home.addresses[0])
    name = x509.Name([x509.NameAttribute(NameOID.COMMON_NAME, f"Lapful at home on {called}"[:64])])
    builder = _begun(name, name, key.public_key(), now, AUTHORITY_LIFE)
    builder = builder.add_extension(x509.BasicConstraints(ca=True, path_length=0), critical=True)
    builder = builder.add_extension(_usage(signs_certificates=True), critical=True)
    builder = builder.add_extension(_constraints(home), critical=True)
    builder = builder.add_extension(_for_servers(), critical=False)
    builder = builder.add_extension(
        x509.SubjectKeyIdentifier.from_public_key(key.public_key()), critical=False
    )
    return Signed(builder.sign(key, hashes.SHA256()), key)


def make_server(authority: Signed, home: HomeNames, now: datetime.datetime) -> Signed:
    """A certificate for this machine, signed by the authority; it never outlives it."""
    key = ec.generate_private_key(ec.SECP256R1())
    called = home.names[0] if home.names else str(home.addresses[0])
    subject = x509.Name([x509.NameAttribute(NameOID.COMMON_NAME, called[:64])])
    life = min(SERVER_LIFE, authority.until - now)
    builder = _begun(subject, authority.certificate.subject, key.public_key(), now, life)
    builder = builder.add_extension(x509.BasicConstraints(ca=False, path_length=None), critical=True)
    builder = builder.add_extension(_usage(signs_certificates=False), critical=True)
    builder = builder.add_extension(x509.SubjectAlternativeName(_general(home)), critical=False)
    builder = builder.add_extension(_for_servers(), critical=False)
    signer = x509.AuthorityKeyIdentifier.from_issuer_public_key(authority.key.public_key())
    return Signed(builder.add_extension(signer, critical=False).sign(authority.key, hashes.SHA256()), key)


def covers(signed: Signed, home: HomeNames) -> bool:
    """Whether an authority may speak for all these names."""
    found = signed.certificate.extensions.get_extension_for_class(x509.NameConstraints).value
    return set(_permitted(home)) <= set(found.permitted_subtrees or ())


def _begun(
    subject: x509.Name,
    issuer: x509.Name,
    public: ec.EllipticCurvePublicKey,
    now: datetime.datetime,
    life: datetime.timedelta,
) -> x509.CertificateBuilder:
    return (
        x509.CertificateBuilder()
        .subject_name(subject)
        .issuer_name(issuer)
        .public_key(public)
        .serial_number(x509.random_serial_number())
        .not_valid_before(now - _CLOCKS_APART)
        .not_valid_after(now + life)
    )


def _general(home: HomeNames) -> list[x509.GeneralName]:
    names: list[x509.GeneralName] = [x509.DNSName(one) for one in home.names]
    return names + [x509.IPAddress(one) for one in home.addresses]


def _permitted(home: HomeNames) -> list[x509.GeneralName]:
    names: list[x509.GeneralName] = [x509.DNSName(one) for one in home.names or (NO_MAIL[1:],)]
    return names + [x509.IPAddress(ip_network(str(one))) for one in home.addresses]


def _constraints(home: HomeNames) -> x509.NameConstraints:
    """A kind of name that is not mentioned would be free, so each kind that a server or a mailbox has is."""
    permitted = [*_permitted(home), x509.RFC822Name(NO_MAIL)]
    if not home.addresses:
        permitted.append(x509.IPAddress(IPv4Network("192.0.2.1/32")))
    return x509.NameConstraints(permitted_subtrees=permitted, excluded_subtrees=None)


def _for_servers() -> x509.ExtendedKeyUsage:
    return x509.ExtendedKeyUsage([ExtendedKeyUsageOID.SERVER_AUTH])


def _usage(*, signs_certificates: bool) -> x509.KeyUsage:
    return x509.KeyUsage(
        digital_signature=not signs_certificates,
        key_cert_sign=signs_certificates,
        crl_sign=signs_certificates,
        content_commitment=False,
        key_encipherment=False,
        data_encipherment=False,
        key_agreement=False,
        encipher_only=False,
        decipher_only=False,
    )
