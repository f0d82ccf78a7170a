"""A mail server of our own for tests: speaks enough SMTP (RFC 5321), keeps what it is given.

`refusals` answers that many RCPT commands with a code before it takes any; `after_data` is called when
a letter has been taken, before the server says so.
"""

from __future__ import annotations

import socketserver
import threading
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from email import message_from_bytes, policy
from email.message import EmailMessage


class MailServer(socketserver.ThreadingTCPServer):
    allow_reuse_address = True
    daemon_threads = True

    def __init__(self) -> None:
        super().__init__(("127.0.0.1", 0), _Talk)
        self.letters: list[EmailMessage] = []
        self.readers: list[str] = []
        self.refusals: list[str] = []
        self.after_data: Callable[[], None] = lambda: None

    @property
    def port(self) -> int:
        return int(self.server_address[1])


class _Talk(socketserver.StreamRequestHandler):
    server: MailServer

    def handle(self) -> None:
        self._say("220 ready")
        for raw in self.rfile:
            line = raw.decode().strip()
            word = line[:4].upper()
            if word == "DATA":
                self._data()
            elif word == "RCPT" and self.server.refusals:
                self._say(self.server.refusals.pop(0))
            elif word == "QUIT":
                self._say("221 bye")
                return
            else:
                if word == "RCPT":
                    self.server.readers.append(line.partition(":")[2].strip("<>"))
                self._say("250 ok")

    def _data(self) -> None:
        self._say("354 go on")
        lines = []
        for raw in self.rfile:
            if raw == b".\r\n":
                break
            lines.append(raw[1:] if raw.startswith(b"..") else raw)
        letter = message_from_bytes(b"".join(lines), policy=policy.default)
        self.server.letters.append(letter)  # type: ignore[arg-type]
        self.server.after_data()
        self._say("250 taken")

    def _say(self, line: str) -> None:
        self.wfile.write(f"{line}\r\n".encode())


@contextmanager
def mail_server() -> Iterator[MailServer]:
    with MailServer() as server:
        thread = threading.Thread(target=server.serve_forever, args=(0.02,), daemon=True)
        thread.start()
        try:
            yield server
        finally:
            server.shutdown()
            thread.join()
