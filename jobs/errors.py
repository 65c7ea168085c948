"""The errors of this app: a code for tests and JSON, a sentence for people."""

from __future__ import annotations


class JobsError(Exception):
    """Something a person asked for cannot be done; `sentence` says what to do next."""

    def __init__(self, code: str, sentence: str) -> None:
        super().__init__(sentence)
        self.code = code
        self.sentence = sentence
