"""How the site and its printing process speak: a few lines of JSON, then perhaps a PDF.

Standard library only. Each message is the length of its JSON, the JSON, and as many further
bytes as the JSON says under "bytes".
"""

import json
import socket
import struct
import time

LENGTH = struct.Struct(">I")
CHUNK = 1 << 16
LAST_LINE = "last line"  # beside the anchors of a page: no anchor's name holds a space
MOST_JSON_BYTES = 1 << 20  # of an answer: where the anchors of its pages stand, or a complaint


class Closed(Exception):
    """The other side has ended, or what it sent is no message."""


def send(connection: socket.socket, message: dict, body: bytes = b"") -> None:
    """Send one message whole. Raises Closed, or TimeoutError by the connection's own timeout."""
    head = json.dumps({**message, "bytes": len(body)}).encode()
    try:
        connection.sendall(LENGTH.pack(len(head)) + head + body)
    except (BrokenPipeError, ConnectionResetError):
        raise Closed from None


def receive(
    connection: socket.socket,
    *,
    most_json_bytes: int = MOST_JSON_BYTES,
    most_bytes: int = 0,
    until_s: float | None = None,
) -> tuple[dict, bytes]:
    """Return the next message and its bytes.

    Raises Closed for one that is longer than agreed, and TimeoutError when ``until_s``, on the
    clock of ``time.monotonic``, has passed before all of it is there.
    """
    (length,) = LENGTH.unpack(_exactly(connection, LENGTH.size, until_s))
    if length > most_json_bytes:
        raise Closed
    try:
        message = json.loads(_exactly(connection, length, until_s))
        count = message["bytes"]
    except (ValueError, TypeError, KeyError):
        raise Closed from None
    if not isinstance(count, int) or not 0 <= count <= most_bytes:
        raise Closed
    return message, _exactly(connection, count, until_s)


def _exactly(connection: socket.socket, count: int, until_s: float | None) -> bytes:
    parts = bytearray()
    while len(parts) < count:
        if until_s is not None:
            left_s = until_s - time.monotonic()
            if left_s <= 0:
                raise TimeoutError
            connection.settimeout(left_s)
        try:
            part = connection.recv(min(CHUNK, count - len(parts)))
        except ConnectionResetError:
            raise Closed from None
        if not part:
            raise Closed
        parts += part
    return bytes(parts)
