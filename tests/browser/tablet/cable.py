"""A cable between a tablet and the shop that can be cut: a forwarder of bytes on loopback."""

from __future__ import annotations

import contextlib
import socket
import threading
from collections.abc import Callable
from types import TracebackType

_AT_ONCE = 16 * 1024


class Cable:
    """Forwards every connection to a port until it is cut; then refuses and drops, as a lost signal does.

    What has gone up is counted, so that a cut can fall into the middle of an upload.
    """

    def __init__(self, to: int) -> None:
        self.to = to
        self._listener = socket.create_server(("127.0.0.1", 0), backlog=64)
        self.port: int = self._listener.getsockname()[1]
        self._lock = threading.Lock()
        self._open: set[socket.socket] = set()
        self._whole = True
        self._cut_after: int | None = None
        self._drop_answer_to = b""
        self.cuts = 0
        self.sent_up = 0
        self._thread = threading.Thread(target=self._take_calls, daemon=True)
        self._thread.start()

    def __enter__(self) -> Cable:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        self.close()

    def cut(self) -> None:
        """Cut: what is under way breaks off, and nobody gets through."""
        with self._lock:
            self._whole = False
            self._cut_after = None
            self._drop_answer_to = b""
            self.cuts += 1
            falling, self._open = self._open, set()
        for one in falling:
            _drop(one)

    def cut_after(self, sent_up: int) -> None:
        """Cut as soon as so many more bytes have gone up."""
        with self._lock:
            self._cut_after = self.sent_up + sent_up

    def cut_before_the_answer(self, to: str) -> None:
        """Let the next request whose first line holds these words through, and cut before its answer."""
        with self._lock:
            self._drop_answer_to = to.encode()

    def mend(self) -> None:
        """Let everything through again."""
        with self._lock:
            self._whole = True

    @property
    def is_whole(self) -> bool:
        """Whether anything gets through."""
        return self._whole

    def close(self) -> None:
        """Cut for good."""
        self.cut()
        self._listener.close()
        self._thread.join(5)

    def _take_calls(self) -> None:
        while True:
            try:
                near, _ = self._listener.accept()
            except OSError:
                return
            if not self._whole:
                _drop(near)
                continue
            try:
                far = socket.create_connection(("127.0.0.1", self.to), timeout=5)
            except OSError:
                _drop(near)
                continue
            far.settimeout(None)
            with self._lock:
                self._open |= {near, far}
            call = _Call()
            for source, target, seen in ((near, far, call.asked), (far, near, call.answered)):
                threading.Thread(
                    target=self._carry, args=(source, target, seen, source is near, call), daemon=True
                ).start()

    def _carry(
        self,
        source: socket.socket,
        target: socket.socket,
        seen: Callable[[bytes], None],
        up: bool,
        call: _Call,
    ) -> None:
        with contextlib.suppress(OSError):
            while some := source.recv(_AT_ONCE):
                seen(some)
                if up and self._counts_up(len(some)):
                    return
                if not up and self._swallows(call):
                    return
                target.sendall(some)
        self._end(source, target)

    def _counts_up(self, size: int) -> bool:
        """Count what goes up; True when that was the last of it and the cable is cut."""
        with self._lock:
            self.sent_up += size
            due = self._cut_after is not None and self.sent_up >= self._cut_after
        if due:
            self.cut()
        return due

    def _swallows(self, call: _Call) -> bool:
        with self._lock:
            due = bool(self._drop_answer_to) and self._drop_answer_to in call.first_line
        if due:
            self.cut()
        return due

    def _end(self, *ends: socket.socket) -> None:
        with self._lock:
            self._open -= set(ends)
        for one in ends:
            _drop(one)


class _Call:
    """The request line last seen on a connection."""

    def __init__(self) -> None:
        self.first_line = b""
        self._answering = True

    def asked(self, some: bytes) -> None:
        """Note the first line of a request; what follows without an answer in between is its body."""
        if self._answering:
            self.first_line = some.split(b"\r\n", 1)[0]
            self._answering = False

    def answered(self, some: bytes) -> None:
        """Note that an answer has begun."""
        self._answering = True


def _drop(one: socket.socket) -> None:
    with contextlib.suppress(OSError):
        one.shutdown(socket.SHUT_RDWR)
    one.close()
