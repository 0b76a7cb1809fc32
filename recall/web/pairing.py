"""Devices beside this computer: let in by a secret that is used once, known again by a cookie afterwards.

A store keeps digests alone, so that nobody who reads it can pass for a device.
"""

import hashlib
import hmac
import json
from collections import deque
from datetime import datetime, timedelta

from recall.base.dataclass import dataclass, field
from recall.base.errors import RecallError
from recall.store import Store
from recall.web.room import Room

COOKIE = "recall-device"
KEEPS = timedelta(days=30)
CODE_KEEPS = timedelta(minutes=10)
GUESSES = 5
"""Wrong codes that one device may send in a minute."""
ALL_GUESSES = 50
"""That all may send together."""
MINUTE = timedelta(minutes=1)
_DEVICES = "page devices"


class TooManyError(RecallError):
    """More wrong codes than a person types."""


@dataclass(frozen=True, slots=True)
class Device:
    """A device that is let in. digest: of what its cookie holds; until: when that ends."""

    digest: str
    since: datetime
    until: datetime


def devices(store: Store) -> list[Device]:
    """Those that are paired, the oldest first; also those whose time is over."""
    kept = json.loads(store.local(_DEVICES) or "[]")
    return [
        Device(one, datetime.fromisoformat(since), datetime.fromisoformat(until))
        for one, since, until in kept
    ]


def forget(store: Store) -> int:
    """Let none of them in again; how many there were."""
    count = sum(device.until > store.clock.now() for device in devices(store))
    with store.writing():
        store.set_local(_DEVICES, "[]")
    return count


def _digest(secret: str) -> str:
    return hashlib.sha256(secret.encode()).hexdigest()


@dataclass(slots=True)
class Pairing:
    """The door for other devices. lan: address and port at which they call; empty: there is no such door."""

    room: Room
    lan: str = ""
    _code: str = ""
    _until: datetime | None = None
    _guesses: deque[tuple[datetime, str]] = field(default_factory=lambda: deque(maxlen=2 * ALL_GUESSES))

    def code(self) -> str:
        """The secret that the next device shows: good for ten minutes and for one device."""
        now = self.room.clock.now()
        if not self._code or self._until is None or now >= self._until:
            self._code, self._until = f"{self.room.rng.getrandbits(128):032x}", now + CODE_KEEPS
        return self._code

    def address(self) -> str:
        """What is scanned."""
        return f"http://{self.lan}/pair?code={self.code()}"

    def pair(self, peer: str, code: str) -> str:
        """Let a device in that shows the code; the secret of its cookie. RecallError for a wrong code."""
        now = self.room.clock.now()
        lately = [who for at, who in self._guesses if now - at < MINUTE]
        if lately.count(peer) >= GUESSES or len(lately) >= ALL_GUESSES:
            raise TooManyError("too many wrong codes were sent", "Wait a minute, then scan the code again.")
        fresh = self._until is not None and now < self._until
        if not (self._code and fresh and hmac.compare_digest(code.encode(), self._code.encode())):
            self._guesses.append((now, peer))
            raise RecallError(
                "that code isn't good, or no longer", "Scan the one that the other computer shows now."
            )
        self._code = ""
        secret = f"{self.room.rng.getrandbits(256):064x}"
        store = self.room.store
        kept = [device for device in devices(store) if device.until > now]
        kept.append(Device(_digest(secret), now, now + KEEPS))
        rows = [(one.digest, one.since.isoformat(), one.until.isoformat()) for one in kept]
        with store.writing():
            store.set_local(_DEVICES, json.dumps(rows))
        return secret

    def knows(self, secret: str) -> bool:
        """Whether a cookie is that of a paired device."""
        shown, now, found = _digest(secret), self.room.clock.now(), False
        for device in devices(self.room.store):
            found |= hmac.compare_digest(device.digest, shown) and now < device.until
        return found
