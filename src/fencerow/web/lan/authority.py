"""A small certificate authority of the person's own, and the certificate of this machine.

A phone keeps pages for when there is no signal only where it came by HTTPS, with a certificate that
it trusts. Nobody sells one for an address in a private net, so the person's machine makes its own.
The authority may speak for private addresses and .local names alone (name constraints, RFC 5280
section 4.2.1.10): a phone that trusts it believes it nothing about any other site.
"""

from __future__ import annotations

import os
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from ipaddress import ip_address
from pathlib import Path

from cryptography import x509
from cryptography.hazmat.primitives import hashes, serialization
from cryptography.hazmat.primitives.asymmetric import ec
from cryptography.x509.oid import ExtendedKeyUsageOID, NameOID

from fencerow.web.lan.addresses import PRIVATE
from fencerow.words import BadInput

AUTHORITY_DAYS, LEAF_DAYS, RENEW_DAYS = 730, 90, 30
"""How long the authority and a machine's certificate hold; how early the latter is made anew."""
_HOUR = timedelta(hours=1)
LOCAL_NAMES = ("local", "localhost")
_SIGNS = x509.KeyUsage(
    digital_signature=False, content_commitment=False, key_encipherment=False,
    data_encipherment=False, key_agreement=False, key_cert_sign=True, crl_sign=True,
    encipher_only=False, decipher_only=False,
)  # fmt: skip
_SPEAKS = x509.KeyUsage(
    digital_signature=True, content_commitment=False, key_encipherment=False,
    data_encipherment=False, key_agreement=False, key_cert_sign=False, crl_sign=False,
    encipher_only=False, decipher_only=False,
)  # fmt: skip


@dataclass(frozen=True)
class Authority:
    """The person's own authority; its key is read only to sign."""

    folder: Path
    certificate: x509.Certificate

    @property
    def pem(self) -> bytes:
        """The certificate, as it is given to a phone. The key is not in it."""
        return self.certificate.public_bytes(serialization.Encoding.PEM)

    @property
    def fingerprint(self) -> str:
        """SHA-256 of the certificate, in pairs, as phones show it."""
        return self.certificate.fingerprint(hashes.SHA256()).hex(":").upper()

    def speaks_for(self, host: str) -> bool:
        """Whether a phone that trusts it believes it at this address or name. One that was made
        before IPv6 was served does not speak for its addresses."""
        if _address(host) is None:
            return True
        limits = self.certificate.extensions.get_extension_for_class(x509.NameConstraints).value
        nets = [n.value for n in limits.permitted_subtrees or () if isinstance(n, x509.IPAddress)]
        return any(ip_address(host) in net for net in nets)  # type: ignore[operator]

    @property
    def ends(self) -> datetime:
        """The last moment at which it holds, UTC."""
        return self.certificate.not_valid_after_utc


def authority_in(folder: Path, now: datetime) -> Authority:
    """The authority of this folder; made where there is none, or where it no longer holds.

    Raises:
        BadInput: the folder can't be written, or what lies there is no authority.
    """
    try:
        if not _certificate(folder).is_file() or not _key(folder).is_file():
            return _new_authority(folder, now)
        found = Authority(folder, x509.load_pem_x509_certificate(_certificate(folder).read_bytes()))
    except OSError as error:
        raise BadInput("lan-folder", folder=folder, why=error.strerror or error) from None
    except ValueError:
        raise BadInput("lan-damaged", file=_certificate(folder)) from None
    return found if now < found.ends else _new_authority(folder, now)


def leaf_for(authority: Authority, names: Sequence[str], now: datetime) -> Path:
    """The file of this machine's certificate and key, for its addresses and names; made anew where
    there is none, where it soon ends, where the addresses changed, or the authority did.

    Raises:
        BadInput: the folder can't be written, or the authority's key can't be read.
    """
    file = authority.folder / "machine.pem"
    try:
        if not _serves(file, authority, names, now):
            _write_secret(file, _new_leaf(authority, names, now))
    except OSError as error:
        raise BadInput("lan-folder", folder=authority.folder, why=error.strerror or error) from None
    return file


def _new_authority(folder: Path, now: datetime) -> Authority:
    key = ec.generate_private_key(ec.SECP256R1())
    name = x509.Name([x509.NameAttribute(NameOID.COMMON_NAME, f"Fencerow, own, {now:%Y-%m-%d}")])
    nets = [x509.IPAddress(net) for net in PRIVATE]
    allowed = [*nets, *(x509.DNSName(name) for name in LOCAL_NAMES)]
    made = (
        x509.CertificateBuilder()
        .subject_name(name)
        .issuer_name(name)
        .public_key(key.public_key())
        .serial_number(x509.random_serial_number())
        .not_valid_before(now - _HOUR)
        .not_valid_after(now + timedelta(days=AUTHORITY_DAYS))
        .add_extension(x509.BasicConstraints(ca=True, path_length=0), critical=True)
        .add_extension(_SIGNS, critical=True)
        .add_extension(x509.NameConstraints(allowed, None), critical=True)
        .add_extension(x509.SubjectKeyIdentifier.from_public_key(key.public_key()), critical=False)
        .sign(key, hashes.SHA256())
    )
    folder.mkdir(parents=True, exist_ok=True, mode=0o700)
    _write_secret(_key(folder), _private(key))
    _certificate(folder).write_bytes(made.public_bytes(serialization.Encoding.PEM))
    return Authority(folder, made)


def _new_leaf(authority: Authority, names: Sequence[str], now: datetime) -> bytes:
    """A certificate with its key; it never outlives the authority."""
    signing = _signing_key(authority)
    key = ec.generate_private_key(ec.SECP256R1())
    identifier = x509.AuthorityKeyIdentifier.from_issuer_public_key(signing.public_key())
    made = (
        x509.CertificateBuilder()
        .subject_name(x509.Name([x509.NameAttribute(NameOID.COMMON_NAME, "Fencerow")]))
        .issuer_name(authority.certificate.subject)
        .public_key(key.public_key())
        .serial_number(x509.random_serial_number())
        .not_valid_before(now - _HOUR)
        .not_valid_after(min(now + timedelta(days=LEAF_DAYS), authority.ends))
        .add_extension(x509.BasicConstraints(ca=False, path_length=None), critical=True)
        .add_extension(_SPEAKS, critical=True)
        .add_extension(x509.ExtendedKeyUsage([ExtendedKeyUsageOID.SERVER_AUTH]), critical=False)
        .add_extension(x509.SubjectAlternativeName(_general(names)), critical=False)
        .add_extension(identifier, critical=False)
        .sign(signing, hashes.SHA256())
    )
    return _private(key) + made.public_bytes(serialization.Encoding.PEM)


def _serves(file: Path, authority: Authority, names: Sequence[str], now: datetime) -> bool:
    """Whether the certificate that lies there can go on serving."""
    if not file.is_file():
        return False
    try:
        leaf = x509.load_pem_x509_certificate(file.read_bytes())
        leaf.verify_directly_issued_by(authority.certificate)
        spoken = leaf.extensions.get_extension_for_class(x509.SubjectAlternativeName).value
    except Exception:  # noqa: BLE001 - whatever is wrong with it, a new one is made
        return False
    early = min(timedelta(days=RENEW_DAYS), authority.ends - now)
    return set(spoken) == set(_general(names)) and leaf.not_valid_after_utc - now >= early


def _signing_key(authority: Authority) -> ec.EllipticCurvePrivateKey:
    file = _key(authority.folder)
    try:
        key = serialization.load_pem_private_key(file.read_bytes(), None)
    except ValueError:
        raise BadInput("lan-damaged", file=file) from None
    if not isinstance(key, ec.EllipticCurvePrivateKey):
        raise BadInput("lan-damaged", file=file)
    return key


def _general(names: Sequence[str]) -> list[x509.GeneralName]:
    return [_address(name) or x509.DNSName(name) for name in names]


def _address(name: str) -> x509.IPAddress | None:
    try:
        return x509.IPAddress(ip_address(name))
    except ValueError:
        return None


def _private(key: ec.EllipticCurvePrivateKey) -> bytes:
    return key.private_bytes(
        serialization.Encoding.PEM,
        serialization.PrivateFormat.PKCS8,
        serialization.NoEncryption(),
    )


def _write_secret(file: Path, content: bytes) -> None:
    """Write what nobody else on this machine may read (mode 0600 from its first byte), whole or
    not at all."""
    waiting = file.with_suffix(".new")
    waiting.unlink(missing_ok=True)
    made = os.open(waiting, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600)
    with os.fdopen(made, "wb") as out:
        out.write(content)
    waiting.replace(file)


def _certificate(folder: Path) -> Path:
    return folder / "authority.crt"


def _key(folder: Path) -> Path:
    return folder / "authority.key"


def utc_now() -> datetime:
    """Now."""
    return datetime.now(UTC)
