"""The family's own authority speaks for this machine in the home; OpenSSL lets it speak for nobody else.

Held to RFC 5280: name constraints (4.2.1.10, critical), basic constraints with a path of length 0 (4.2.1.9),
key usage (4.2.1.3); names are matched as the standard library's ssl does it.
"""

from __future__ import annotations

import datetime
import ipaddress
import json
import ssl
import stat
import urllib.error
import urllib.request
from pathlib import Path

import pytest
from cryptography import x509
from cryptography.hazmat.primitives import serialization

from service.doors.network import EVERY_ADDRESS, home_address
from service.errors import BadInput
from service.store import Store
from service.store.devices import Devices
from service.trust import names as naming
from service.trust.authority import AUTHORITY_LIFE, Signed, make_authority, make_server
from service.trust.keeping import RENEW_BEFORE, Trust
from service.trust.names import HomeNames, home_names
from tests.browser.served import serving
from tests.service.house import document
from tests.service.saying import Lapful

NOW = datetime.datetime.now(datetime.UTC)
HOME = HomeNames(("pantry.local",), (ipaddress.ip_address("192.168.7.2"),))
OUTSIDE = (
    HomeNames(("bank.example",), ()),
    HomeNames(("local",), ()),
    HomeNames(("other.local",), ()),
    HomeNames((), (ipaddress.ip_address("192.168.7.3"),)),
    HomeNames((), (ipaddress.ip_address("2001:db8::1"),)),
    HomeNames(("pantry.local", "bank.example"), HOME.addresses),
)


@pytest.fixture(scope="module")
def authority() -> Signed:
    """An authority for a machine called pantry."""
    return make_authority(HOME, NOW)


def pem(one: Signed) -> str:
    """As a trust store takes it."""
    return one.certificate.public_bytes(serialization.Encoding.PEM).decode()


def shake_hands(trusted: Signed, server: Signed, chain: tuple[Signed, ...], name: str, folder: Path) -> None:
    """A whole TLS handshake in memory, the client trusting nothing but the authority."""
    key = server.key.private_bytes(
        serialization.Encoding.PEM, serialization.PrivateFormat.PKCS8, serialization.NoEncryption()
    )
    (folder / "key.pem").write_bytes(key)
    (folder / "chain.pem").write_text("".join(pem(one) for one in (server, *chain)))
    ours = ssl.SSLContext(ssl.PROTOCOL_TLS_SERVER)
    ours.load_cert_chain(folder / "chain.pem", folder / "key.pem")
    theirs = ssl.SSLContext(ssl.PROTOCOL_TLS_CLIENT)
    theirs.load_verify_locations(cadata=pem(trusted))
    up, down = ssl.MemoryBIO(), ssl.MemoryBIO()
    client = theirs.wrap_bio(down, up, server_hostname=name)
    host = ours.wrap_bio(up, down, server_side=True)
    for _ in range(4):
        for side in (client, host):
            try:
                side.do_handshake()
            except ssl.SSLWantReadError:
                continue
    assert client.version() in ("TLSv1.2", "TLSv1.3")


@pytest.mark.parametrize("name", ["pantry.local", "192.168.7.2"])
def test_a_client_that_trusts_only_it_connects(authority: Signed, tmp_path: Path, name: str) -> None:
    shake_hands(authority, make_server(authority, HOME, NOW), (), name, tmp_path)


def test_under_another_name_the_same_certificate_is_refused(authority: Signed, tmp_path: Path) -> None:
    with pytest.raises(ssl.SSLCertVerificationError, match="Hostname mismatch"):
        shake_hands(authority, make_server(authority, HOME, NOW), (), "other.local", tmp_path)


@pytest.mark.parametrize("outside", OUTSIDE, ids=str)
def test_with_a_stolen_key_nobody_else_can_be_played(
    authority: Signed, tmp_path: Path, outside: HomeNames
) -> None:
    name = outside.names[-1] if outside.names else str(outside.addresses[0])
    with pytest.raises(ssl.SSLCertVerificationError, match="permitted subtree violation"):
        shake_hands(authority, make_server(authority, outside, NOW), (), name, tmp_path)


def test_nor_can_it_make_another_authority(authority: Signed, tmp_path: Path) -> None:
    wider = HomeNames(("larder.local", *HOME.names), HOME.addresses)
    other = make_authority(wider, NOW)
    was = other.certificate
    ca = x509.CertificateBuilder(
        authority.certificate.subject, was.subject, other.key.public_key(), 7,
        was.not_valid_before_utc, was.not_valid_after_utc, list(was.extensions),
    )  # fmt: skip
    below = Signed(ca.sign(authority.key, was.signature_hash_algorithm), other.key)
    with pytest.raises(ssl.SSLCertVerificationError, match="path length constraint exceeded"):
        shake_hands(authority, make_server(below, HOME, NOW), (below,), "pantry.local", tmp_path)


def test_when_it_is_over_it_is_over(tmp_path: Path) -> None:
    old = make_authority(HOME, NOW - AUTHORITY_LIFE - datetime.timedelta(days=1))
    server = make_server(old, HOME, NOW - AUTHORITY_LIFE - datetime.timedelta(hours=30))
    with pytest.raises(ssl.SSLCertVerificationError, match="expired"):
        shake_hands(old, server, (), "pantry.local", tmp_path)


def test_its_extensions_are_as_the_standard_says(authority: Signed) -> None:
    found = authority.certificate.extensions
    limits = found.get_extension_for_class(x509.NameConstraints)
    assert limits.critical
    assert limits.value.excluded_subtrees is None
    assert set(limits.value.permitted_subtrees or ()) == {
        x509.DNSName("pantry.local"),
        x509.IPAddress(ipaddress.ip_network("192.168.7.2/32")),
        x509.RFC822Name(".invalid"),
    }
    basic = found.get_extension_for_class(x509.BasicConstraints)
    assert (basic.critical, basic.value.ca, basic.value.path_length) == (True, True, 0)
    usage = found.get_extension_for_class(x509.KeyUsage)
    assert (usage.critical, usage.value.key_cert_sign, usage.value.digital_signature) == (True, True, False)
    life = authority.certificate.not_valid_after_utc - authority.certificate.not_valid_before_utc
    assert life < datetime.timedelta(days=367)


@pytest.mark.parametrize("wrong", ["bank.example", "8.8.8.8", "127.0.0.1", "*.local", "pantry.local.example"])
def test_only_names_of_the_home_are_certified(wrong: str) -> None:
    with pytest.raises(BadInput, match="outside the home network"):
        home_names([wrong])


def test_names_that_the_family_adds(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(naming, "home_address", lambda _: "192.168.7.2")
    found = home_names(["Kitchen.home.arpa", "10.0.0.4"])
    assert "kitchen.home.arpa" in found.names
    assert [str(one) for one in found.addresses] == ["10.0.0.4", "192.168.7.2"]


class TestKeeping:
    def test_keys_are_for_the_owner_alone(self, tmp_path: Path) -> None:
        Trust(tmp_path).make()
        assert stat.S_IMODE((tmp_path / "trust").stat().st_mode) == 0o700
        modes = {file.name: stat.S_IMODE(file.stat().st_mode) for file in (tmp_path / "trust").iterdir()}
        assert modes == dict.fromkeys(("authority.crt", "authority.key", "server.crt", "server.key"), 0o600)

    def test_without_one_it_says_what_to_do(self, tmp_path: Path) -> None:
        with pytest.raises(BadInput, match="lapful certificate"):
            Trust(tmp_path).ready()

    def test_the_servers_own_is_renewed_in_time_and_the_authority_stays(self, tmp_path: Path) -> None:
        trust = Trust(tmp_path)
        made = trust.make()
        before = trust.server_files[0].read_bytes()
        trust.ready(NOW)
        assert trust.server_files[0].read_bytes() == before, "there is time yet"
        trust.ready(NOW + RENEW_BEFORE + datetime.timedelta(days=1))
        assert trust.server_files[0].read_bytes() != before
        kept = trust.authority()
        assert kept is not None
        assert kept.certificate == made.certificate
        with pytest.raises(BadInput, match="over"):
            trust.ready(NOW + AUTHORITY_LIFE + datetime.timedelta(days=1))

    def test_at_another_address_a_new_one_is_asked_for(
        self, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
    ) -> None:
        trust = Trust(tmp_path)
        trust.make()
        monkeypatch.setattr(naming, "home_address", lambda _: "192.168.99.99")
        with pytest.raises(BadInput, match="another name or address"):
            trust.ready()


class TestTheCommand:
    def test_it_makes_shows_and_forgets(self, lapful: Lapful, tmp_path: Path) -> None:
        first = lapful("certificate", "--data", str(tmp_path))
        assert first.code == 0
        trust = Trust(tmp_path)
        made = trust.authority()
        assert made is not None
        assert "".join(made.fingerprint.split()) in "".join(first.out.split())
        for said in ("What trusting it means", "How to end it", home_address(EVERY_ADDRESS[0])):
            assert said in first.out
        assert lapful("certificate", "--data", str(tmp_path)).out == first.out, "made once, then shown"
        assert lapful("certificate", "--data", str(tmp_path), "--anew").out != first.out
        assert "PRIVATE" not in first.out
        assert lapful("certificate", "--data", str(tmp_path), "--forget").code == 0
        assert not trust.folder.exists()

    def test_https_is_for_the_home_network(self, lapful: Lapful, tmp_path: Path) -> None:
        said = lapful("serve", "--data", str(tmp_path), "--https")
        assert said.code == 2
        assert "--home-network" in said.err

    def test_nor_without_a_certificate(self, lapful: Lapful, tmp_path: Path) -> None:
        said = lapful("serve", "--data", str(tmp_path), "--port", "0", "--home-network", "--https")
        assert said.code == 2
        assert "lapful certificate" in said.err


def test_served_to_the_home_and_to_this_machine(tmp_path: Path) -> None:
    """The home network hears https alone and needs pairing; this machine keeps its own plain door."""
    made = Trust(tmp_path).make()
    store = Store(tmp_path)
    store.put_document(document())
    secret = Devices(store).offer()
    store.close()
    with serving(tmp_path, home=True, https=True) as site:
        port = int(site.rstrip("/").rpartition(":")[2])
        home = f"https://{home_address(EVERY_ADDRESS[0])}:{port}"
        trusting = ssl.create_default_context(cadata=pem(made))
        with urllib.request.urlopen(f"http://127.0.0.1:{port}/api/household") as answer:
            assert answer.status == 200
        with urllib.request.urlopen(f"{home}/authority.crt", context=trusting) as answer:
            assert x509.load_pem_x509_certificate(answer.read()) == made.certificate
        with pytest.raises(urllib.error.HTTPError, match="401"):
            urllib.request.urlopen(f"{home}/api/household", context=trusting)
        with pytest.raises(urllib.error.URLError, match="CERTIFICATE_VERIFY_FAILED"):
            urllib.request.urlopen(f"{home}/api/health")
        body = json.dumps({"secret": secret, "name": "Tablet"}).encode()
        asked = urllib.request.Request(f"{home}/api/pairing", body, {"content-type": "application/json"})
        with urllib.request.urlopen(asked, context=trusting) as answer:
            cookie = answer.headers["set-cookie"]
        assert "Secure" in cookie
        come = urllib.request.Request(f"{home}/api/household", headers={"cookie": cookie.split(";")[0]})
        with urllib.request.urlopen(come, context=trusting) as answer:
            assert answer.status == 200
