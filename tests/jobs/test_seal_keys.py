"""The key papers are sealed with: made once, or the shop's own, and never a useless one."""

from __future__ import annotations

import stat
from datetime import timedelta

import pytest
from cryptography import x509
from cryptography.hazmat.primitives.asymmetric import ec
from django.core import checks

from jobs.errors import JobsError
from jobs.seal_keys import DOCUMENT_SIGNING, seal_key_file, seal_key_load
from tests.factories import NOW
from tests.seals import PASSWORD, certificate_for, key_of, pem_pair, pkcs12_file


def load(now=NOW):
    return seal_key_load(shop_name="Lantern Hill Stoves", now=now)


def found(identity: str) -> str:
    """The one message of the system check."""
    (message,) = [one for one in checks.run_checks(tags=["seal"]) if one.id == f"fluewright.{identity}"]
    assert message.hint
    return message.msg


@pytest.fixture
def now():
    from django.utils import timezone  # noqa: PLC0415

    return timezone.now()


def test_a_key_is_made_at_first_use_and_kept_for_its_owner_alone():
    assert not seal_key_file().exists()
    first = load()
    assert stat.S_IMODE(seal_key_file().stat().st_mode) == 0o600
    assert load().fingerprint == first.fingerprint


def test_the_made_certificate_names_the_shop_and_signs_documents_for_decades():
    made = load().certificate
    assert "O=Lantern Hill Stoves" in made.subject.rfc4514_string()
    usage = made.extensions.get_extension_for_class(x509.KeyUsage)
    assert usage.critical
    assert usage.value.digital_signature
    assert usage.value.content_commitment
    assert not usage.value.key_cert_sign
    assert DOCUMENT_SIGNING in made.extensions.get_extension_for_class(x509.ExtendedKeyUsage).value
    assert not made.extensions.get_extension_for_class(x509.BasicConstraints).value.ca
    assert made.not_valid_after_utc - NOW > timedelta(days=39 * 365)


def test_a_long_shop_name_still_fits_into_the_certificate():
    made = seal_key_load(shop_name="Hearth and Chimney " * 6, now=NOW)
    assert made.certificate.subject.rfc4514_string().startswith("CN=Hearth and Chimney")


@pytest.mark.parametrize("kind", ["ec", "3072"])
def test_the_shops_own_pkcs12_is_used(settings, tmp_path, kind):
    key = key_of(kind)
    settings.SEAL_CERTIFICATE = pkcs12_file(tmp_path, key, certificate_for(key, now=NOW))
    settings.SEAL_PASSWORD = PASSWORD
    assert "Upper Valley" in load().certificate.subject.rfc4514_string()
    assert not seal_key_file().exists()


@pytest.mark.parametrize("password", ["", PASSWORD])
def test_the_shops_own_pair_of_pem_files_is_used(settings, tmp_path, password, now):
    key = key_of()
    pair = pem_pair(tmp_path, key, certificate_for(key, now=now), password)
    settings.SEAL_CERTIFICATE, settings.SEAL_KEY = pair
    settings.SEAL_PASSWORD = password
    assert isinstance(load(now).key, ec.EllipticCurvePrivateKey)
    assert checks.run_checks(tags=["seal"]) == []


def own(settings, tmp_path, now, code):
    """Settings that lead to one refusal."""
    key = key_of("1024" if code == "seal_key_weak" else "ec")
    told = {
        "seal_expired": {"begins": -9, "days": -1},
        "seal_not_valid_yet": {"begins": 5},
        "seal_usage": {"usage": False},
    }
    certificate = certificate_for(key, now=now, **told.get(code, {}))
    settings.SEAL_PASSWORD = PASSWORD
    if code == "seal_key_of_another":
        settings.SEAL_CERTIFICATE, settings.SEAL_KEY = pem_pair(tmp_path, key_of(), certificate)
        return
    settings.SEAL_CERTIFICATE = pkcs12_file(tmp_path, key, certificate)
    if code == "seal_file_missing":
        settings.SEAL_CERTIFICATE = str(tmp_path / "nowhere.p12")
    if code == "seal_not_readable":
        settings.SEAL_PASSWORD = "another"


REFUSED = {
    "seal_file_missing": "cannot be read",
    "seal_not_readable": "SEAL_PASSWORD",
    "seal_key_of_another": "does not belong to the seal's certificate",
    "seal_expired": "expired on",
    "seal_not_valid_yet": "is valid from",
    "seal_usage": "may not sign documents",
    "seal_key_weak": "1024 bits",
}


@pytest.mark.parametrize("code", REFUSED)
def test_a_useless_certificate_is_refused_and_the_system_check_says_why(settings, tmp_path, code, now):
    own(settings, tmp_path, now, code)
    with pytest.raises(JobsError) as refusal:
        load(now)
    assert refusal.value.code == code
    assert REFUSED[code] in refusal.value.sentence
    assert REFUSED[code] in found("E010")


def test_a_file_that_is_no_certificate_is_refused(settings, tmp_path):
    path = tmp_path / "letter.pem"
    path.write_text("-----BEGIN CERTIFICATE-----\nnothing\n-----END CERTIFICATE-----\n")
    settings.SEAL_CERTIFICATE = str(path)
    with pytest.raises(JobsError) as refusal:
        load()
    assert refusal.value.code == "seal_not_readable"


def test_the_system_check_warns_of_a_key_that_others_may_read(now):
    load(now)
    assert checks.run_checks(tags=["seal"]) == []
    seal_key_file().chmod(0o644)
    assert "Others on this machine may read" in found("W009")


def test_the_system_check_warns_a_month_before_the_certificate_expires(settings, tmp_path, now):
    key = key_of()
    settings.SEAL_CERTIFICATE = pkcs12_file(tmp_path, key, certificate_for(key, now=now, days=20))
    settings.SEAL_PASSWORD = PASSWORD
    assert "expires on" in found("W007")


def test_the_system_check_names_a_password_without_a_certificate(settings):
    settings.SEAL_PASSWORD = PASSWORD
    assert "SEAL_CERTIFICATE is not" in found("W006")


@pytest.mark.parametrize(
    "url", ["stamps.example/tsa", "ftp://stamps.example", "http://", "http://stamps.example:y"]
)
def test_a_time_stamp_address_that_is_none_is_named(settings, url):
    settings.TIMESTAMP_URL = url
    assert url in found("E011")


def test_a_time_stamp_password_in_the_open_is_warned_of(settings):
    settings.TIMESTAMP_URL = "http://" + "shop:secret@stamps.example/tsa"
    assert "unsealed" in found("W008")
