"""Files: their parts made into bytes once, where the writer asks for them twice."""

import zlib
from functools import lru_cache

import pydyf

STREAMS_KEPT = 64  # of twenty kilobytes: pages that a day's handouts share
LEVEL = 6  # of packing: the hardest, 9, takes three times as long for a file smaller by a thirtieth

_to_bytes = pydyf._to_bytes


class Written(pydyf.Object):
    """A finished part of a file, made into bytes once: the writer asks for them twice."""

    def __init__(self, part):
        super().__init__()
        self.number, self.generation = part.number, part.generation
        self.written = part.data
        self.in_stream = part.compressible

    @property
    def data(self) -> bytes:
        return self.written

    @property
    def compressible(self) -> bool:
        return self.in_stream


def finish(pdf: pydyf.PDF) -> None:
    """Make the parts of a file into bytes; call it last."""
    pdf.objects[:] = [part if part.free == "f" else Written(part) for part in pdf.objects]


def stream_data(stream: pydyf.Stream) -> bytes:
    """Return the bytes of a stream, as the writer's does, packed a little less hard."""
    content = b"\n".join(map(to_bytes, stream.stream))
    extra = pydyf.Dictionary(stream.extra.copy())
    if stream.compress:
        extra["Filter"] = "/FlateDecode"
        content = _packed(content)
    extra["Length"] = len(content)
    return b"\n".join((extra.data, b"stream", content, b"endstream"))


def to_bytes(item) -> bytes:
    """Return a part of a file as bytes, as the writer's does: what is most frequent first."""
    kind = type(item)
    if kind is str:
        return item.encode("ascii")
    if kind is bytes:
        return item
    return b"%d" % item if kind is int else _to_bytes(item)


@lru_cache(STREAMS_KEPT)
def _packed(content: bytes) -> bytes:
    return zlib.compress(content, LEVEL)
