"""Verification codes: a serial and a part nobody guesses, as `FW-000001-7K3M-9QRT-2XVB-H4N8`."""

from __future__ import annotations

import re
import secrets

#: Crockford's base 32: no letter that is read as a figure or as another letter.
ALPHABET = "0123456789ABCDEFGHJKMNPQRSTVWXYZ"
LENGTH, _GROUP = 16, 4
_READ_AS = str.maketrans("ILO", "110")
_CODE = re.compile(r"FW-?([0-9]{1,9})-?([0-9A-Z]{16})")


def verify_key_new() -> str:
    """Return a key nobody guesses: 80 bits."""
    return "".join(secrets.choice(ALPHABET) for _ in range(LENGTH))


def verify_code(serial: str, key: str) -> str:
    """Return a code as it is printed."""
    groups = "-".join(key[start : start + _GROUP] for start in range(0, len(key), _GROUP))
    return f"{serial}-{groups}"


def verify_code_read(text: str) -> tuple[int, str] | None:
    """Return number and key of a code as somebody may type it; None when it is none.

    Examples
    --------
    >>> verify_code_read(" fw-000001-7k3m 9qrt 2xvb h4no ")
    (1, '7K3M9QRT2XVBH4N0')
    >>> verify_code_read("FW-000001") is None
    True
    """
    plain = re.sub(r"[\s\u2010-\u2015-]+", "-", text.strip().upper())
    serial, _, key = plain.partition("-")[2].partition("-")
    if not plain.startswith("FW-"):
        return None
    found = _CODE.fullmatch(f"FW-{serial}-{key.replace('-', '').translate(_READ_AS)}")
    return (int(found[1]), found[2]) if found else None
