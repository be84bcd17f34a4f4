"""HTTPS on the LAN: an authority of our own that vouches for this network only."""

from __future__ import annotations

import argparse
import ssl
import stat
import threading
from pathlib import Path

import pytest
from cryptography import x509
from cryptography.hazmat.primitives import hashes

from server.commands import gunicorn_conf, lan, serve
from server.settings import ROOT
from server.trouble import BadInput
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


def test_the_lan_speaks_tls_1_2_and_1_3_and_nothing_older(tmp_path: Path) -> None:
    from gunicorn.config import Config
    from gunicorn.sock import ssl_context

    lan.make_certificates(tmp_path)
    told = Config()
    told.set("certfile", str(tmp_path / "server.crt"))
    told.set("keyfile", str(tmp_path / "server.key"))
    told.set("ssl_context", gunicorn_conf.ssl_context)
    context = ssl_context(told)
    assert context.minimum_version >= ssl.TLSVersion.TLSv1_2
    assert context.maximum_version == ssl.TLSVersion.MAXIMUM_SUPPORTED
    weak = ("NULL", "EXPORT", "RC4", "DES", "MD5", "anon")
    ciphers = [one["name"] for one in context.get_ciphers()]
    assert not [name for name in ciphers if any(word in name for word in weak)]
    proxy = (ROOT / "fixtures/deploy/nginx.conf").read_text(encoding="utf-8")
    assert "ssl_protocols TLSv1.2 TLSv1.3;" in proxy


# address to listen on, further words → may it
HOSTS = [
    ("127.0.0.1", (), True),
    ("::1", (), True),
    ("localhost", (), True),
    ("0.0.0.0", (), False),
    ("192.168.1.20", (), False),
    ("0.0.0.0", ("--behind-proxy", "1"), True),
]


@pytest.mark.parametrize(("host", "words", "may"), HOSTS)
def test_nobody_listens_to_the_network_without_tls(
    host: str, words: tuple[str, ...], may: bool, tmp_path: Path
) -> None:
    parser = argparse.ArgumentParser()
    serve.add(parser)
    args = parser.parse_args(["--data", str(tmp_path), "--host", host, *words])
    if may:
        assert serve.prepared(args)[1] == host
    else:
        with pytest.raises(BadInput, match="--lan for HTTPS"):
            serve.prepared(args)


def test_between_proxy_and_server_the_certificate_is_for_this_machine_alone(tmp_path: Path) -> None:
    parser = argparse.ArgumentParser()
    serve.add(parser)
    words = ["--data", str(tmp_path), "--behind-proxy", "1", "--inner-tls"]
    settings, host = serve.prepared(parser.parse_args(words))
    assert host == "127.0.0.1" and not settings.trust_page
    leaf = read(tmp_path / "tls-inside/server.crt")
    names = leaf.extensions.get_extension_for_class(x509.SubjectAlternativeName).value
    assert names.get_values_for_type(x509.DNSName) == ["localhost"]
    assert [str(one) for one in names.get_values_for_type(x509.IPAddress)] == ["127.0.0.1"]
    for more in (["--lan"], ["--host", "0.0.0.0"]):
        with pytest.raises(BadInput, match="inner-tls"):
            serve.prepared(parser.parse_args([*words, *more]))


def test_processes_that_start_together_serve_one_certificate(tmp_path: Path) -> None:
    starting = [threading.Thread(target=lan.make_certificates, args=(tmp_path,)) for _ in range(6)]
    for one in starting:
        one.start()
    for one in starting:
        one.join()
    read(tmp_path / "server.crt").verify_directly_issued_by(read(tmp_path / "authority.crt"))
    context = ssl.create_default_context(ssl.Purpose.CLIENT_AUTH)
    context.load_cert_chain(tmp_path / "server.crt", tmp_path / "server.key")
