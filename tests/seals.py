"""Plain PDFs to seal, keys to seal them with, and what pdfsig says of the outcome."""

from __future__ import annotations

import io
import subprocess
from datetime import datetime, timedelta
from pathlib import Path

import pypdf
from cryptography import x509
from cryptography.hazmat.primitives import hashes
from cryptography.hazmat.primitives.asymmetric import ec, rsa
from cryptography.hazmat.primitives.serialization import (
    BestAvailableEncryption,
    Encoding,
    NoEncryption,
    PrivateFormat,
    pkcs12,
)
from cryptography.x509.oid import NameOID

PASSWORD = "flue and collar"


def plain_pdf(pages: int = 1) -> bytes:
    """Return a PDF nobody sealed."""
    writer = pypdf.PdfWriter()
    for _ in range(pages):
        writer.add_blank_page(200, 200)
    out = io.BytesIO()
    writer.write(out)
    return out.getvalue()


def pdfsig(content: bytes, folder: Path) -> str:
    """Return what poppler's pdfsig says, which did not make the seal."""
    path = folder / "sealed.pdf"
    path.write_bytes(content)
    return subprocess.run(["pdfsig", str(path)], capture_output=True, text=True, check=False).stdout


def key_of(kind: str = "ec"):
    """Return a private key."""
    if kind == "ec":
        return ec.generate_private_key(ec.SECP256R1())
    return rsa.generate_private_key(65537, int(kind))


def certificate_for(key, *, now: datetime, days: int = 365, usage: bool = True, begins: int = -1):
    """Return a certificate of an invented issuer for a key."""
    name = x509.Name([x509.NameAttribute(NameOID.COMMON_NAME, "Stoves of the Upper Valley")])
    told = dict.fromkeys(
        (
            "key_encipherment", "data_encipherment", "key_agreement", "crl_sign", "encipher_only",
            "decipher_only",
        ),
        False,
    )  # fmt: skip
    flags = x509.KeyUsage(digital_signature=usage, content_commitment=usage, key_cert_sign=not usage, **told)
    builder = x509.CertificateBuilder().subject_name(name).issuer_name(name).public_key(key.public_key())
    builder = builder.serial_number(7).add_extension(flags, critical=True)
    builder = builder.not_valid_before(now + timedelta(days=begins))
    return builder.not_valid_after(now + timedelta(days=days)).sign(key, hashes.SHA256())


def pkcs12_file(folder: Path, key, certificate, password: str = PASSWORD) -> str:
    """Write key and certificate as one locked file."""
    path = folder / "shop.p12"
    lock = BestAvailableEncryption(password.encode())
    path.write_bytes(pkcs12.serialize_key_and_certificates(b"shop", key, certificate, None, lock))
    path.chmod(0o600)
    return str(path)


def pem_pair(folder: Path, key, certificate, password: str = "") -> tuple[str, str]:
    """Write key and certificate as two files."""
    lock = BestAvailableEncryption(password.encode()) if password else NoEncryption()
    paths = folder / "shop.crt", folder / "shop.key"
    paths[0].write_bytes(certificate.public_bytes(Encoding.PEM))
    paths[1].write_bytes(key.private_bytes(Encoding.PEM, PrivateFormat.PKCS8, lock))
    paths[1].chmod(0o600)
    return str(paths[0]), str(paths[1])
