"""Asks an RFC 3161 server when a seal was seen."""

from __future__ import annotations

import asyncio
import time
import urllib.request
from datetime import datetime
from http.client import HTTPException
from urllib.parse import urlsplit

from asn1crypto import cms, tsp
from cryptography.hazmat.primitives import hashes
from pyhanko.sign.timestamps import TimeStamper
from pyhanko.sign.validation.errors import SignatureValidationError
from pyhanko.sign.validation.generic_cms import extract_certs_for_validation, validate_sig_integrity
from pyhanko_certvalidator.util import get_pyca_cryptography_hash

#: Seconds a server has for its whole answer; a certificate does not wait longer for it.
PATIENCE = 8
_MOST_BYTES = 64 * 1024


class StampMissingError(Exception):
    """The server gave no stamp that is worth anything; the message says why."""


class Stamper(TimeStamper):
    """Asks one server, and looks at what it gave before anything relies on it."""

    def __init__(self, url: str) -> None:
        super().__init__()  # type: ignore[no-untyped-call]
        self.url = url
        self.stamped_at: datetime | None = None

    async def async_request_tsa_response(self, req: tsp.TimeStampReq) -> tsp.TimeStampResp:
        """Send the request; the answer is not looked at yet."""
        return tsp.TimeStampResp.load(await asyncio.to_thread(self._post, req.dump()), strict=True)

    async def async_timestamp(self, message_digest: bytes, md_algorithm: str) -> cms.ContentInfo:
        """Return a token over the digest; StampMissingError for whatever is wrong with it or its way."""
        try:
            token = await super().async_timestamp(message_digest, md_algorithm)
            self.stamped_at = _stamp_look(token["content"], message_digest)
        except (OSError, HTTPException) as error:
            reason = f"{urlsplit(self.url).hostname} did not give one ({error or type(error).__name__})."
            raise StampMissingError(reason) from error
        except (ValueError, TypeError, LookupError, AttributeError, SignatureValidationError) as error:
            reason = f"what {urlsplit(self.url).hostname} answered is none ({error or type(error).__name__})."
            raise StampMissingError(reason) from error
        return token

    def _post(self, body: bytes) -> bytes:
        headers = {"Content-Type": "application/timestamp-query", "Accept": "application/timestamp-reply"}
        # The settings' check lets http and https through and nothing else.
        request = urllib.request.Request(self.url, data=body, headers=headers)  # noqa: S310
        until = time.monotonic() + PATIENCE
        answer = bytearray()
        with urllib.request.urlopen(request, timeout=PATIENCE) as response:  # noqa: S310
            while part := response.read1(4096):
                answer += part
                if len(answer) > _MOST_BYTES:
                    raise ValueError("the answer is too long")
                if time.monotonic() > until:
                    raise TimeoutError("the answer took too long")
        return bytes(answer)


def _stamp_look(signed: cms.SignedData, digest: bytes) -> datetime:
    """Return the time a token names; refuse one over something else, or not signed by whom it says."""
    content = signed["encap_content_info"]["content"]
    told = content.parsed
    if told["message_imprint"]["hashed_message"].native != digest:
        raise ValueError("it is over something else")
    (signer,) = signed["signer_infos"]
    spec = hashes.Hash(get_pyca_cryptography_hash(signer["digest_algorithm"]["algorithm"].native))
    spec.update(bytes(content))
    certificate = extract_certs_for_validation(signed).signer_cert
    if validate_sig_integrity(signer, certificate, "tst_info", spec.finalize()) != (True, True):
        raise ValueError("its signature does not hold")
    when: datetime = told["gen_time"].native
    return when
