"""Canonical JSON against the standard's own examples, and against another program's."""

from __future__ import annotations

import json
import struct

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from jobs.evidence_chain import canonical
from tests.node import node_run

# RFC 8785, appendix B: IEEE 754 bits and the number as it is written. From memory of the published table.
NUMBERS = {
    "0000000000000000": "0",
    "8000000000000000": "0",
    "0000000000000001": "5e-324",
    "8000000000000001": "-5e-324",
    "7fefffffffffffff": "1.7976931348623157e+308",
    "ffefffffffffffff": "-1.7976931348623157e+308",
    "4340000000000000": "9007199254740992",
    "c340000000000000": "-9007199254740992",
    "4430000000000000": "295147905179352830000",
    "44b52d02c7e14af5": "9.999999999999997e+22",
    "44b52d02c7e14af6": "1e+23",
    "44b52d02c7e14af7": "1.0000000000000001e+23",
    "444b1ae4d6e2ef4e": "999999999999999700000",
    "444b1ae4d6e2ef4f": "999999999999999900000",
    "444b1ae4d6e2ef50": "1e+21",
    "3eb0c6f7a0b5ed8c": "9.999999999999997e-7",
    "3eb0c6f7a0b5ed8d": "0.000001",
    "41b3de4355555553": "333333333.3333332",
    "41b3de4355555554": "333333333.33333325",
    "41b3de4355555555": "333333333.3333333",
    "41b3de4355555556": "333333333.3333334",
    "41b3de4355555557": "333333333.33333343",
    "becbf647612f3696": "-0.0000033333333333333333",
    "43143ff3c1cb0959": "1424953923781206.2",
}
# RFC 8785, 3.2.2 and 3.2.3: the example of the text, and the one of sorted names.
EXAMPLE = {
    "numbers": [333333333.33333329, 1e30, 4.50, 2e-3, 0.000000000000000000000000001],
    "string": "\u20ac$\u000f\u000aA'\u0042\u0022\u005c\\\"/",
    "literals": [None, True, False],
}
WRITTEN = (
    '{"literals":[null,true,false],"numbers":[333333333.3333333,1e+30,4.5,0.002,1e-27],'
    '"string":"€$\\u000f\\nA\'B\\"\\\\\\\\\\"/"}'
)
NAMES = {"\u20ac": 1, "\r": 2, "\ufb33": 3, "1": 4, "\U0001f600": 5, "\u0080": 6, "\u00f6": 7}
ORDER = ["\r", "1", "\u0080", "\u00f6", "\u20ac", "\U0001f600", "\ufb33"]
JSON = st.recursive(
    st.none()
    | st.booleans()
    | st.integers(-(2**53) + 1, 2**53 - 1)
    | st.floats(allow_nan=False, allow_infinity=False)
    | st.text(st.characters(exclude_categories=["Cs"])),
    lambda inner: (
        st.lists(inner, max_size=4)
        | st.dictionaries(st.text(st.characters(exclude_categories=["Cs"])), inner, max_size=4)
    ),
    max_leaves=12,
)
OTHER = """
import canonicalize from "canonicalize";
let text = "";
for await (const piece of process.stdin) text += piece;
console.log(JSON.stringify(JSON.parse(text).map((one) => canonicalize(one))));
"""


@pytest.mark.parametrize(("bits", "written"), NUMBERS.items())
def test_numbers_are_written_as_the_standard_writes_them(bits, written):
    (number,) = struct.unpack(">d", bytes.fromhex(bits))
    assert canonical(number) == written


def test_the_standards_example_is_written_as_the_standard_writes_it():
    assert canonical(EXAMPLE) == WRITTEN


def test_names_stand_in_the_order_of_the_standard():
    assert list(json.loads(canonical(NAMES))) == ORDER


@settings(max_examples=4, deadline=None)
@given(st.lists(JSON, min_size=40, max_size=60))
def test_it_agrees_with_another_program_on_anything(values):
    # The npm package canonicalize, written by one of the standard's authors, in one process for many values.
    done = node_run(["--input-type=module", "-e", OTHER], json.dumps(values))
    assert done.returncode == 0, done.stderr
    assert json.loads(done.stdout) == [canonical(value) for value in values]
