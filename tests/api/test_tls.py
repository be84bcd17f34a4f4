"""HTTPS on the LAN: an authority of our own that vouches for this network only."""

from __future__ import annotations

import stat
from pathlib import Path

import pytest
from cryptography import x509
from cryptography.hazmat.primitives import hashes

from server.commands import lan
from tests.support.app import Bench


def read(file: Path) -> x509.Certificate:
    return x509.load_pem_x509_certificate(file.read_bytes())


def test_the_certificate_names_this_machine_and_the_authority_vouches_for_it(
    tmp_path: Path,
) -> None:
    lan.make_certificates(tmp_path / "tls")
    leaf, authority = read(tmp_path / "tls/server.crt"), read(tmp_path / "tls/authority.crt")
    leaf.verify_directly_issued_by(authority)
    names = leaf.extensions.get_extension_for_class(x509.SubjectAlternativeName).value
    assert "localhost" in names.get_values_for_type(x509.DNSName)
    assert lan.own_address() in {str(ip) for ip in names.get_values_for_type(x509.IPAddress)}
    # Apple takes at most 825 days from private authorities, browsers 398 from public ones
    assert (leaf.not_valid_after_utc - leaf.not_valid_before_utc).days <= 398


def test_the_authority_can_vouch_for_nothing_outside(tmp_path: Path) -> None:
    lan.make_certificates(tmp_path / "tls")
    authority = read(tmp_path / "tls/authority.crt")
    held = authority.extensions.get_extension_for_class(x509.NameConstraints)
    names = [
        one.value for one in held.value.permitted_subtrees or [] if isinstance(one, x509.DNSName)
    ]
    assert held.critical and names == ["local", "localhost"]
    assert (
        authority.extensions.get_extension_for_class(x509.BasicConstraints).value.path_length == 0
    )


def test_keys_are_for_their_owner_alone_and_stay_between_starts(tmp_path: Path) -> None:
    folder = tmp_path / "tls"
    lan.make_certificates(folder)
    for name in ("authority.key", "server.key"):
        assert stat.S_IMODE((folder / name).stat().st_mode) == 0o600
    before = {file.name: file.read_bytes() for file in folder.iterdir()}
    lan.make_certificates(folder)
    assert {file.name: file.read_bytes() for file in folder.iterdir()} == before


def test_a_machine_that_moved_gets_a_new_certificate_from_the_same_authority(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    folder = tmp_path / "tls"
    lan.make_certificates(folder)
    authority, leaf = (folder / "authority.crt").read_bytes(), (folder / "server.crt").read_bytes()
    names, addresses = lan.own_names()
    monkeypatch.setattr(lan, "own_names", lambda: (names, sorted({*addresses, "10.9.8.7"})))
    lan.make_certificates(folder)
    assert (folder / "authority.crt").read_bytes() == authority
    assert (folder / "server.crt").read_bytes() != leaf


def test_the_trust_page_shows_the_fingerprint_and_hands_out_no_key(
    sqlite_url: str, tmp_path: Path
) -> None:
    lan.make_certificates(tmp_path / "tls")
    file = tmp_path / "tls/authority.crt"
    bench = Bench(sqlite_url, tmp_path / "data", trust_page=str(file))
    http = bench.app.test_client()
    fingerprint = read(file).fingerprint(hashes.SHA256()).hex(":").upper()
    assert fingerprint in http.get("/trust").text
    given = http.get("/trust/authority.crt")
    assert given.data == file.read_bytes() and given.mimetype == "application/x-x509-ca-cert"
    for path in ("/trust/authority.key", "/tls/authority.key", "/trust/server.key"):
        assert http.get(path).status_code == 404
    bench.close()
    plain = Bench(f"sqlite:///{tmp_path / 'b.sqlite'}", tmp_path / "plain")
    assert plain.app.test_client().get("/trust").status_code == 404
    plain.close()
