"""A sealed box opened without the library that makes it: X25519 and Poly1305 of another one, Salsa20 by its paper.

Salsa20 and HSalsa20: D. J. Bernstein, "The Salsa20 family of stream ciphers" and "Extending the Salsa20 nonce" (from
memory). libsodium's documentation of sealed boxes: an ephemeral key first, the nonce the BLAKE2b hash of both keys.
"""

import hashlib
import struct

from cryptography.hazmat.primitives.asymmetric.x25519 import X25519PrivateKey, X25519PublicKey
from cryptography.hazmat.primitives.poly1305 import Poly1305

_SIGMA = struct.unpack("<4I", b"expand 32-byte k")
_MASK = 0xFFFFFFFF


def _turn(value: int, by: int) -> int:
    value &= _MASK
    return (value << by | value >> (32 - by)) & _MASK


def _rounds(start: list[int]) -> list[int]:
    """Twenty rounds over sixteen words."""
    x = list(start)
    columns = [(0, 4, 8, 12), (5, 9, 13, 1), (10, 14, 2, 6), (15, 3, 7, 11)]
    rows = [(0, 1, 2, 3), (5, 6, 7, 4), (10, 11, 8, 9), (15, 12, 13, 14)]
    for _ in range(10):
        for a, b, c, d in (*columns, *rows):
            x[b] ^= _turn(x[a] + x[d], 7)
            x[c] ^= _turn(x[b] + x[a], 9)
            x[d] ^= _turn(x[c] + x[b], 13)
            x[a] ^= _turn(x[d] + x[c], 18)
    return x


def _start(key: bytes, block: bytes) -> list[int]:
    k, n = struct.unpack("<8I", key), struct.unpack("<4I", block)
    return [_SIGMA[0], *k[:4], _SIGMA[1], *n, _SIGMA[2], *k[4:], _SIGMA[3]]


def _hsalsa(key: bytes, block: bytes) -> bytes:
    x = _rounds(_start(key, block))
    return struct.pack("<8I", *(x[at] for at in (0, 5, 10, 15, 6, 7, 8, 9)))


def _stream(key: bytes, nonce: bytes, length: int) -> bytes:
    inner, made = _hsalsa(key, nonce[:16]), b""
    for count in range(-(-length // 64)):
        start = _start(inner, nonce[16:] + struct.pack("<Q", count))
        made += struct.pack("<16I", *((a + b) & _MASK for a, b in zip(start, _rounds(start), strict=True)))
    return made[:length]


def open_sealed(sealed: bytes, secret: bytes) -> bytes:
    """What lies in a sealed box, by the secret X25519 key. Raises InvalidSignature where it was altered."""
    key = X25519PrivateKey.from_private_bytes(secret)
    own, sender = key.public_key().public_bytes_raw(), sealed[:32]
    shared = _hsalsa(key.exchange(X25519PublicKey.from_public_bytes(sender)), bytes(16))
    nonce = hashlib.blake2b(sender + own, digest_size=24).digest()
    tag, text = sealed[32:48], sealed[48:]
    stream = _stream(shared, nonce, 32 + len(text))
    Poly1305.verify_tag(stream[:32], text, tag)
    return bytes(a ^ b for a, b in zip(text, stream[32:], strict=True))
