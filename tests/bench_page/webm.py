"""A small film in WebM with an even clock, a length and an index, as no browser records one.

Ids and sizes of the elements: S. Lhomme, M. Bunkus and D. Rice, 2024, *Matroska Media Container
Format Specification* (RFC 9559); the same, 2020, *Extensible Binary Meta Language* (RFC 8794); from
memory.
"""

import struct

#: ms of one frame of a film that plays at 25 a second.
STEP = 40


def webm(frames: list[bytes], width: int, height: int) -> bytes:
    """Key frames of VP8, one every ``STEP`` ms."""
    head = _element(
        "1A45DFA3",
        _number("4286", 1) + _number("42F7", 1) + _number("42F2", 4) + _number("42F3", 8)
        + _element("4282", b"webm") + _number("4287", 4) + _number("4285", 2),
    )  # fmt: skip
    info = _element(
        "1549A966",
        _number("2AD7B1", 1_000_000)  # ns in one tick
        + _element("4489", struct.pack(">d", float(STEP * len(frames))))
        + _element("4D80", b"test") + _element("5741", b"test"),
    )  # fmt: skip
    video = _element("E0", _number("B0", width) + _number("BA", height))
    track = _element(
        "AE",
        _number("D7", 1) + _number("73C5", 1) + _number("83", 1) + _element("86", b"V_VP8") + video,
    )
    clusters = []
    cues = b""
    tracks = _element("1654AE6B", track)
    at = len(info) + len(tracks)
    for index, frame in enumerate(frames):
        block = _element("A3", b"\x81" + struct.pack(">hB", 0, 0x80) + frame)
        cluster = _element("1F43B675", _number("E7", STEP * index) + block)
        place = _element("B7", _number("F7", 1) + _number("F1", at))
        cues += _element("BB", _number("B3", STEP * index) + place)
        at += len(cluster)
        clusters.append(cluster)
    body = info + tracks + b"".join(clusters) + _element("1C53BB6B", cues)
    return head + _element("18538067", body)


def _element(name: str, content: bytes) -> bytes:
    return bytes.fromhex(name) + (len(content) | 1 << 56).to_bytes(8, "big") + content


def _number(name: str, value: int) -> bytes:
    return _element(name, value.to_bytes(max(1, (value.bit_length() + 7) // 8), "big"))
