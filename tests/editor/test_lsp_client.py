"""The client of language servers reads frames as the protocol has them, and no server can make it wait for ever."""

from __future__ import annotations

import io
import sys

import pytest
from lsp import LanguageServer, ServerError, read_message


def test_messages_are_read_by_their_length() -> None:
    """Frames follow the base protocol (Language Server Protocol 3.17): headers, an empty line, so many bytes of JSON."""
    first = (
        b'Content-Length: 15\r\nContent-Type: application/vscode-jsonrpc; charset=utf-8\r\n\r\n{"id":"\xc3\xa9\\n\\n"}'
    )
    stream = io.BytesIO(first + b'content-length:8\r\n\r\n{"id":2}')
    assert [read_message(stream) for _ in range(3)] == [{"id": "é\n\n"}, {"id": 2}, None]


@pytest.mark.parametrize(
    ("raw", "said"),
    [
        (b"Hello\n", "expected a header"),
        (b"Content-Type: text/plain\r\n\r\n{}", "invalid literal"),
        (b"Content-Length: 9\r\n\r\n{}", "expected a JSON object of 9 bytes"),
        (b"Content-Length: 2\r\n\r\n[]", "expected a JSON object of 2 bytes"),
        (b"Content-Length: 2\r\n\r\n{{", "Expecting property name"),
    ],
    ids=["no header", "no length", "cut", "no object", "no JSON"],
)
def test_what_is_no_message_is_refused(raw: bytes, said: str) -> None:
    """What has no header, no length, no end or no object is not taken for a message."""
    with pytest.raises(ValueError, match=said):
        read_message(io.BytesIO(raw))


@pytest.mark.parametrize(
    ("program", "patience_s", "life_s", "said"),
    [
        ("raise SystemExit('no licence')", 30.0, 60.0, "(?s)the server (ended|takes no more messages).*no licence"),
        ("print('Hello', flush=True); import time; time.sleep(60)", 30.0, 60.0, "the server ended"),
        ("import time; time.sleep(60)", 0.2, 60.0, "the server did not answer initialize within 0.2 s"),
        ("import time; time.sleep(60)", 30.0, 0.2, "the server ended"),
    ],
    ids=["gone", "babbling", "silent", "killed"],
)
def test_a_server_that_does_not_answer_is_told(program: str, patience_s: float, life_s: float, said: str) -> None:
    """Whether it ends, talks nonsense, or keeps silent: there is an error instead of waiting, and no process is left."""
    server = LanguageServer([sys.executable, "-c", program], {}, patience_s=patience_s, life_s=life_s)
    with pytest.raises(ServerError, match=said), server:
        pass
