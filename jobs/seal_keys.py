"""The key papers are sealed with: the shop's own certificate if it has one, else one made at first use.

Refusals are `JobsError`, each with a sentence that says what to do.
"""

from __future__ import annotations

import hashlib
import os
import tempfile
from contextlib import suppress
from dataclasses import dataclass
from datetime import datetime, timedelta
from pathlib import Path

from cryptography import x509
from cryptography.hazmat.primitives import hashes, serialization
from cryptography.hazmat.primitives.asymmetric import ec, rsa
from cryptography.hazmat.primitives.serialization import pkcs12
from cryptography.x509.oid import NameOID
from django.conf import settings

from jobs.errors import JobsError

Key = ec.EllipticCurvePrivateKey | rsa.RSAPrivateKey
#: Kept beside the other secret of the shop.
FILE_NAME = "seal_key.pem"
#: A paper is shown decades after it was sealed, and a seal of one's own has nobody who would renew it.
VALID_FOR = timedelta(days=365 * 40)
LEAST_RSA_BITS = 2048
#: RFC 9336, id-kp-documentSigning.
DOCUMENT_SIGNING = x509.ObjectIdentifier("1.3.6.1.5.5.7.3.36")
_NAME_LENGTH = 64


@dataclass(frozen=True)
class SealKey:
    """A private key, its certificate and those that vouch for it."""

    key: Key
    certificate: x509.Certificate
    chain: tuple[x509.Certificate, ...] = ()

    @property
    def fingerprint(self) -> str:
        """SHA-256 of the certificate."""
        return hashlib.sha256(self.certificate.public_bytes(serialization.Encoding.DER)).hexdigest()

    @property
    def pem(self) -> str:
        """The certificate as text; the key is not in it."""
        return self.certificate.public_bytes(serialization.Encoding.PEM).decode()


def seal_key_file() -> Path:
    """Return where the key made at first use is kept."""
    return Path(settings.VAR_DIR) / FILE_NAME


def seal_key_load(*, shop_name: str, now: datetime) -> SealKey:
    """Return the key to seal with, made at first use where the shop has none; refuse a useless one."""
    if settings.SEAL_CERTIFICATE:
        found = own_key_read()
    else:
        path = seal_key_file()
        if not path.exists():
            _keep(path, seal_key_make(shop_name=shop_name, now=now))
        found = _of_pem(_read(path), _read(path), None, path)
    seal_key_check(found, now)
    return found


def own_key_read() -> SealKey:
    """Return the shop's own key from the files the settings name."""
    path = Path(settings.SEAL_CERTIFICATE)
    password = settings.SEAL_PASSWORD.encode() or None
    content = _read(path)
    if b"-----BEGIN" in content:
        key_path = Path(settings.SEAL_KEY or path)
        return _of_pem(content, _read(key_path), password, key_path)
    try:
        key, certificate, chain = pkcs12.load_key_and_certificates(content, password)
    except ValueError as error:
        raise JobsError(
            "seal_not_readable",
            f"{path} cannot be opened as PKCS#12 or PEM with the password given. Look at SEAL_CERTIFICATE and"
            " SEAL_PASSWORD.",
        ) from error
    if certificate is None or not isinstance(key, Key):
        raise JobsError(
            "seal_key_missing",
            f"{path} holds no certificate with an RSA or elliptic-curve key. Export both into one file.",
        )
    return SealKey(key, certificate, tuple(chain))


def seal_key_check(found: SealKey, now: datetime) -> None:
    """Refuse a key that other people's programs would not accept."""
    certificate = found.certificate
    if found.key.public_key() != certificate.public_key():
        raise JobsError(
            "seal_key_of_another",
            "The private key does not belong to the seal's certificate. Name the two that were issued"
            " together in SEAL_CERTIFICATE and SEAL_KEY.",
        )
    if now > certificate.not_valid_after_utc:
        raise JobsError(
            "seal_expired",
            f"The seal's certificate expired on {certificate.not_valid_after_utc:%Y-%m-%d}. Renew it and name"
            " the new one in SEAL_CERTIFICATE, or unset that to seal with a key of this shop's making.",
        )
    if now < certificate.not_valid_before_utc:
        raise JobsError(
            "seal_not_valid_yet",
            f"The seal's certificate is valid from {certificate.not_valid_before_utc:%Y-%m-%d} on only. Look"
            " at this machine's clock, or wait.",
        )
    if not _may_sign(certificate):
        raise JobsError(
            "seal_usage",
            "The seal's certificate may not sign documents: its key usage names neither digital signature nor"
            " content commitment. Ask its issuer for one that does.",
        )
    if isinstance(found.key, rsa.RSAPrivateKey) and found.key.key_size < LEAST_RSA_BITS:
        raise JobsError(
            "seal_key_weak",
            f"The seal's key has {found.key.key_size} bits, and {LEAST_RSA_BITS} is the least anybody"
            " accepts. Ask its issuer for a new one.",
        )


def seal_key_make(*, shop_name: str, now: datetime) -> SealKey:
    """Return a new elliptic-curve key with a certificate that the shop vouches for itself."""
    key = ec.generate_private_key(ec.SECP256R1())
    name = x509.Name(
        [
            x509.NameAttribute(NameOID.ORGANIZATION_NAME, shop_name[:_NAME_LENGTH]),
            x509.NameAttribute(NameOID.COMMON_NAME, f"{shop_name[: _NAME_LENGTH - 5]} seal"),
        ]
    )
    public = key.public_key()
    usage = x509.KeyUsage(
        digital_signature=True, content_commitment=True, key_encipherment=False, data_encipherment=False,
        key_agreement=False, key_cert_sign=False, crl_sign=False, encipher_only=False, decipher_only=False,
    )  # fmt: skip
    certificate = (
        x509.CertificateBuilder()
        .subject_name(name)
        .issuer_name(name)
        .public_key(public)
        .serial_number(x509.random_serial_number())
        # A clock that was set back a little must not make a new seal worthless.
        .not_valid_before(now - timedelta(days=1))
        .not_valid_after(now + VALID_FOR)
        .add_extension(x509.BasicConstraints(ca=False, path_length=None), critical=True)
        .add_extension(usage, critical=True)
        .add_extension(x509.ExtendedKeyUsage([DOCUMENT_SIGNING]), critical=False)
        .add_extension(x509.SubjectKeyIdentifier.from_public_key(public), critical=False)
        .add_extension(x509.AuthorityKeyIdentifier.from_issuer_public_key(public), critical=False)
        .sign(key, hashes.SHA256())
    )
    return SealKey(key, certificate)


def _may_sign(certificate: x509.Certificate) -> bool:
    try:
        usage = certificate.extensions.get_extension_for_class(x509.KeyUsage).value
    except x509.ExtensionNotFound:
        return True
    return usage.digital_signature or usage.content_commitment


def _keep(path: Path, made: SealKey) -> None:
    """The file appears under its name whole, so that two workers started together agree on one key."""
    private = made.key.private_bytes(
        serialization.Encoding.PEM, serialization.PrivateFormat.PKCS8, serialization.NoEncryption()
    )
    # A temporary file is its owner's alone from the first byte on.
    with tempfile.NamedTemporaryFile("wb", dir=path.parent) as draft:
        draft.write(private + made.pem.encode())
        draft.flush()
        os.fsync(draft.fileno())
        with suppress(FileExistsError):
            os.link(draft.name, path)


def _read(path: Path) -> bytes:
    try:
        return path.read_bytes()
    except OSError as error:
        raise JobsError(
            "seal_file_missing",
            f"The seal's file {path} cannot be read ({error.strerror}). Put it there, or let the user that"
            " runs the shop read it.",
        ) from error


def _of_pem(certificates: bytes, private: bytes, password: bytes | None, path: Path) -> SealKey:
    try:
        certificate, *chain = x509.load_pem_x509_certificates(certificates)
        locked = b"ENCRYPTED" in private
        key = serialization.load_pem_private_key(private, password if locked else None)
    except (ValueError, TypeError) as error:
        raise JobsError(
            "seal_not_readable",
            f"{path} does not hold a key and its certificate in PEM, or SEAL_PASSWORD does not open it.",
        ) from error
    if not isinstance(key, Key):
        raise JobsError("seal_key_missing", f"The key in {path} is neither RSA nor elliptic-curve.")
    return SealKey(key, certificate, tuple(chain))
