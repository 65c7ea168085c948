"""A real SMTP server on loopback that can be told to refuse, hang or hang up at any point of the talk."""

from __future__ import annotations

import asyncio
import contextlib
import email
import email.policy
import threading
from dataclasses import dataclass, field
from email.message import EmailMessage
from typing import Any

from aiosmtpd.smtp import SMTP, Envelope, Session

HANG = "hang"
DROP = "drop"
#: Points of the talk in order. "text" is after 354; "answer" is after the text has come, before the reply.
POINTS = ("greeting", "EHLO", "MAIL", "RCPT", "DATA", "text", "answer")


@dataclass
class Received:
    """A mail the server has in full."""

    sender: str
    to: list[str]
    content: bytes
    over_tls: bool

    @property
    def message(self) -> EmailMessage:
        return email.message_from_bytes(self.content, policy=email.policy.default)  # type: ignore[return-value]


@dataclass
class SmtpServer:
    """Runs in a thread. `script` maps a point to HANG, DROP or a reply such as "452 4.2.2 Full"."""

    smtp_options: dict[str, Any] = field(default_factory=dict)
    script: dict[str, str] = field(default_factory=dict)
    received: list[Received] = field(default_factory=list)
    commands: list[str] = field(default_factory=list)
    reached: threading.Event = field(default_factory=threading.Event)
    port: int = 0

    def start(self) -> SmtpServer:
        self._loop = asyncio.new_event_loop()
        self._talks: set[_Talk] = set()
        self._thread = threading.Thread(target=self._loop.run_forever, daemon=True)
        self._thread.start()
        self._server = self._run(self._listen())
        self.port = self._server.sockets[0].getsockname()[1]
        return self

    def stop(self) -> None:
        self._run(self._close())
        self._loop.call_soon_threadsafe(self._loop.stop)
        self._thread.join(10)
        self._loop.close()

    def behave(self, **script: str) -> None:
        """Tell what to do from now on; nothing said means: take mail."""
        self.script = script
        self.reached.clear()

    def ids(self) -> list[str]:
        """Return the Message-ID of every mail the server has in full, in the order they came."""
        return [str(one.message["Message-ID"]) for one in self.received]

    def _run(self, work: Any) -> Any:
        return asyncio.run_coroutine_threadsafe(work, self._loop).result(10)

    async def _listen(self) -> asyncio.Server:
        return await self._loop.create_server(lambda: _Talk(self), "127.0.0.1", 0)

    async def _close(self) -> None:
        self._server.close()
        for talk in list(self._talks):
            talk.abort()
        await asyncio.sleep(0.05)
        others = [task for task in asyncio.all_tasks() if task is not asyncio.current_task()]
        for task in others:
            task.cancel()
        with contextlib.suppress(asyncio.CancelledError):
            await asyncio.gather(*others, return_exceptions=True)


class _Handler:
    def __init__(self, server: SmtpServer) -> None:
        self.server = server

    async def handle_DATA(self, talk: _Talk, session: Session, envelope: Envelope) -> str:
        action = self.server.script.get("answer")
        if action in {None, HANG, DROP}:
            # The worst case: the server has taken the mail, and only its answer is lost.
            self.server.received.append(
                Received(
                    str(envelope.mail_from),
                    list(envelope.rcpt_tos),
                    bytes(envelope.original_content or b""),
                    session.ssl is not None,
                )
            )
        if action in {HANG, DROP}:
            await talk.act("answer")
        return action or "250 2.0.0 Taken"


class _Talk(SMTP):
    def __init__(self, server: SmtpServer) -> None:
        super().__init__(_Handler(server), hostname="mail.test", **server.smtp_options)
        self.scripted = server

    def connection_made(self, transport: Any) -> None:
        self.scripted._talks.add(self)
        super().connection_made(transport)

    def connection_lost(self, error: Exception | None) -> None:
        self.scripted._talks.discard(self)
        super().connection_lost(error)

    def abort(self) -> None:
        if self.transport is not None:
            self.transport.abort()

    async def act(self, point: str) -> bool:
        """Do what the script says at a point; True if the server has nothing more to say there."""
        action = self.scripted.script.get(point)
        self.scripted.commands.append(point)
        if action is None:
            return False
        self.scripted.reached.set()
        if action == HANG:
            await asyncio.Event().wait()
        elif action == DROP:
            self.abort()
            await asyncio.Event().wait()
        else:
            await self.push(action)
        return True

    async def _handle_client(self) -> None:
        if not await self.act("greeting"):
            await super()._handle_client()

    async def push(self, status: Any) -> None:
        await super().push(status)
        if str(status).startswith("354"):
            await self.act("text")

    async def smtp_EHLO(self, arg: str) -> None:
        if not await self.act("EHLO"):
            await super().smtp_EHLO(arg)

    async def smtp_HELO(self, arg: str) -> None:
        if not await self.act("EHLO"):
            await super().smtp_HELO(arg)

    async def smtp_MAIL(self, arg: str | None) -> None:
        if not await self.act("MAIL"):
            await super().smtp_MAIL(arg)

    async def smtp_RCPT(self, arg: str | None) -> None:
        if not await self.act("RCPT"):
            await super().smtp_RCPT(arg)

    async def smtp_DATA(self, arg: str) -> None:
        if not await self.act("DATA"):
            await super().smtp_DATA(arg)
