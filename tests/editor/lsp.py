"""A small client of a language server: JSON-RPC in Content-Length frames over standard input and output."""

from __future__ import annotations

import contextlib
import itertools
import json
import queue
import subprocess
import tempfile
import threading
import time
from collections.abc import Callable
from pathlib import Path
from typing import IO, Any, Self

Message = dict[str, Any]
CAPABILITIES: Message = {"workspace": {"configuration": True}}


class ServerError(AssertionError):
    """The language server refused a request, fell silent, or ended."""


class LanguageServer:
    """A language server as a child process, which gets `settings` where it asks for configuration.

    It can hang nobody: it has `patience_s` for each answer and `life_s` in all, after which it is killed.
    """

    def __init__(
        self, command: list[str], settings: dict[str, Any], *, patience_s: float = 60, life_s: float = 300
    ) -> None:
        self._settings, self._patience_s = settings, patience_s
        self._numbers = itertools.count(1)
        self._diagnostics: dict[str, list[Message]] = {}
        self._inbox: queue.SimpleQueue[Message | None] = queue.SimpleQueue()
        # Unlike a pipe, a file never stops who writes to it.
        self._complaints = tempfile.TemporaryFile()  # noqa: SIM115
        self._process = subprocess.Popen(
            command, stdin=subprocess.PIPE, stdout=subprocess.PIPE, stderr=self._complaints
        )
        assert self._process.stdin is not None and self._process.stdout is not None
        self._to_server = self._process.stdin
        self._reader = threading.Thread(target=_receive, args=(self._process.stdout, self._inbox), daemon=True)
        self._reader.start()
        # Nothing else ends a write to a server that has stopped reading.
        self._end_of_life = threading.Timer(life_s, self._process.kill)
        self._end_of_life.daemon = True
        self._end_of_life.start()

    def __enter__(self) -> Self:
        """Introduce the client; when this returns the server has its settings. Raises ServerError."""
        try:
            self.ask("initialize", {"processId": None, "rootUri": None, "capabilities": CAPABILITIES})
            self.tell("initialized", {})
            self._listen(lambda message: message.get("method") == "workspace/configuration", "ask for its settings")
        except BaseException:
            self._end()
            raise
        return self

    def __exit__(self, *_: object) -> None:
        """Ask the server to leave, and see to it that it is gone."""
        with contextlib.suppress(ServerError, subprocess.TimeoutExpired):
            self.ask("shutdown", None)
            self.tell("exit", None)
            self._process.wait(self._patience_s)
        self._end()

    def ask(self, method: str, params: Any) -> Any:
        """Send a request and return its result. Raises ServerError."""
        number = next(self._numbers)
        self._send({"id": number, "method": method, "params": params})
        answer = self._listen(lambda it: "method" not in it and it.get("id") == number, f"answer {method}")
        if "error" in answer:
            raise ServerError(f"{method} was refused: {answer['error']}")
        return answer["result"]

    def tell(self, method: str, params: Any) -> None:
        """Send a notification. Raises ServerError."""
        self._send({"method": method, "params": params})

    def open(self, path: Path, text: str) -> str:
        """Open a YAML document as an editor does and return its URI. Raises ServerError."""
        document = {"uri": path.as_uri(), "languageId": "yaml", "version": 1, "text": text}
        self.tell("textDocument/didOpen", {"textDocument": document})
        return path.as_uri()

    def diagnostics(self, uri: str) -> list[Message]:
        """Return what the server has to say of an opened document, once it has said it. Raises ServerError."""
        if uri not in self._diagnostics:
            self._listen(lambda _: uri in self._diagnostics, "judge the document")
        return self._diagnostics[uri]

    def _listen(self, wanted: Callable[[Message], bool], what: str) -> Message:
        """Take messages and serve them, up to the one that is wanted. Raises ServerError."""
        end = time.monotonic() + self._patience_s
        while True:
            try:
                message = self._inbox.get(timeout=max(0.0, end - time.monotonic()))
            except queue.Empty:
                raise self._error(f"the server did not {what} within {self._patience_s} s") from None
            if message is None:
                raise self._error(f"the server ended; expected it to {what}")
            self._serve(message)
            if wanted(message):
                return message

    def _serve(self, message: Message) -> None:
        """Answer what the server asks, and keep what it says of documents."""
        method, params = message.get("method"), message.get("params")
        if method == "textDocument/publishDiagnostics" and params:
            self._diagnostics[params["uri"]] = params["diagnostics"]
        if method == "workspace/configuration" and params:
            settings = [self._settings.get(item["section"]) for item in params["items"]]
            self._send({"id": message["id"], "result": settings})
        elif method is not None and "id" in message:
            self._send({"id": message["id"], "result": None})

    def _send(self, message: Message) -> None:
        body = json.dumps({"jsonrpc": "2.0", **message}).encode()
        try:
            self._to_server.write(b"Content-Length: %d\r\n\r\n%s" % (len(body), body))
            self._to_server.flush()
        except OSError as error:
            raise self._error(f"the server takes no more messages: {error}") from error

    def _error(self, what: str) -> ServerError:
        """Return the error, with the end of what the server wrote to its standard error."""
        self._complaints.seek(0)
        return ServerError(f"{what}\n{self._complaints.read().decode(errors='replace')[-2000:]}".rstrip())

    def _end(self) -> None:
        self._end_of_life.cancel()
        self._process.kill()
        self._process.wait(self._patience_s)
        self._reader.join(self._patience_s)
        self._complaints.close()
        with contextlib.suppress(OSError):
            self._to_server.close()


def _receive(stream: IO[bytes], inbox: queue.SimpleQueue[Message | None]) -> None:
    """Put every message of a stream into the inbox, and None at its end or where it makes no sense."""
    with stream, contextlib.suppress(ValueError):
        while (message := read_message(stream)) is not None:
            inbox.put(message)
    inbox.put(None)


def read_message(stream: IO[bytes]) -> Message | None:
    """Read one message, or None at the end of the stream. Raises ValueError where there is no message."""
    headers: dict[bytes, bytes] = {}
    while line := stream.readline().strip():
        name, colon, value = line.partition(b":")
        if not colon:
            raise ValueError(f"found {line!r}, expected a header such as Content-Length: 15")
        headers[name.lower()] = value
    if not headers:
        return None
    length = int(headers.get(b"content-length", b""))
    body = stream.read(length)
    message = json.loads(body)
    if len(body) < length or not isinstance(message, dict):
        raise ValueError(f"found {body!r}, expected a JSON object of {length} bytes")
    return message
