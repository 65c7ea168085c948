"""Seals a finished paper: a PAdES signature over the whole file, with a time stamp where a server gives one.

A time-stamp server that does not answer costs the paper its stamp and nothing else: the paper is sealed
without (PAdES-B-B in place of B-T) and its row says so.
"""

from __future__ import annotations

import io
import logging
from dataclasses import dataclass
from datetime import datetime

from asn1crypto import keys as asn1_keys
from asn1crypto import x509 as asn1_x509
from cryptography import x509
from cryptography.hazmat.primitives import serialization
from django.conf import settings
from pyhanko.pdf_utils.incremental_writer import IncrementalPdfFileWriter
from pyhanko.sign import signers
from pyhanko.sign.fields import MDPPerm, SigSeedSubFilter
from pyhanko_certvalidator.registry import SimpleCertificateStore

from jobs.models import SealCertificate, Shop
from jobs.seal_keys import SealKey, seal_key_load
from jobs.services.time_stamps import Stamper, StampMissingError

log = logging.getLogger(__name__)

FIELD = "Seal"
#: Room for the signature, its certificates and a stamp; asking a server first how much it needs would take
#: a second request.
ROOM = 24_576


@dataclass(frozen=True)
class Sealed:
    """A sealed paper and what there is to say about its seal."""

    content: bytes
    certificate: SealCertificate
    stamped_at: datetime | None = None
    #: What was wanting, in a sentence.
    note: str = ""


def paper_seal(*, content: bytes, now: datetime) -> Sealed:
    """Return a PDF with the shop's seal over every byte of it."""
    shop = Shop.current()
    key = seal_key_load(shop_name=shop.name, now=now)
    certificate = _remember(key, now)
    if not settings.TIMESTAMP_URL:
        return Sealed(_sign(content, key, shop, None), certificate)
    stamper = Stamper(settings.TIMESTAMP_URL)
    try:
        sealed = _sign(content, key, shop, stamper)
    except StampMissingError as error:
        log.warning("No time stamp from %s: %s", settings.TIMESTAMP_URL, error)
        note = f"Sealed without a time stamp: {error}"
        return Sealed(_sign(content, key, shop, None), certificate, note=note)
    return Sealed(sealed, certificate, stamped_at=stamper.stamped_at)


def _sign(content: bytes, key: SealKey, shop: Shop, stamper: Stamper | None) -> bytes:
    metadata = signers.PdfSignatureMetadata(
        field_name=FIELD,
        md_algorithm="sha256",
        subfilter=SigSeedSubFilter.PADES,
        name=shop.name,
        reason="Issued by this shop; nothing may be changed afterwards",
        # Whatever is added later, however harmless, breaks the seal.
        certify=True,
        docmdp_permissions=MDPPerm.NO_CHANGES,
    )
    signer = signers.PdfSigner(metadata, signer=_signer(key), timestamper=stamper)
    out: io.BytesIO = signer.sign_pdf(IncrementalPdfFileWriter(io.BytesIO(content)), bytes_reserved=ROOM)
    return out.getvalue()


def _signer(key: SealKey) -> signers.SimpleSigner:
    private = key.key.private_bytes(
        serialization.Encoding.DER, serialization.PrivateFormat.PKCS8, serialization.NoEncryption()
    )
    chain = SimpleCertificateStore()  # type: ignore[no-untyped-call]
    # The signer's own is put in by itself; a second copy of it nobody would read or miss.
    chain.register_multiple([_asn1(one) for one in key.chain])
    return signers.SimpleSigner(
        signing_cert=_asn1(key.certificate),
        signing_key=asn1_keys.PrivateKeyInfo.load(private),
        cert_registry=chain,
    )


def _asn1(certificate: x509.Certificate) -> asn1_x509.Certificate:
    return asn1_x509.Certificate.load(certificate.public_bytes(serialization.Encoding.DER))


def _remember(key: SealKey, now: datetime) -> SealCertificate:
    told = {
        "subject": key.certificate.subject.rfc4514_string()[:300],
        "pem": key.pem,
        "first_used_at": now,
    }
    found, _ = SealCertificate.objects.get_or_create(fingerprint=key.fingerprint, defaults=told)
    return found
