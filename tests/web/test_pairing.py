"""Other devices: let in by a code that is used once, known by a cookie, all else refused.

Source of what a cookie says: RFC 6265, section 4.1, and RFC 6265bis for SameSite.
"""

import re
from collections.abc import Iterator
from datetime import timedelta
from pathlib import Path

import pytest
from cli_kit import recall
from web_kit import LAN, MORNING, TABLET, Caller, called, paired

from recall.base.clock import SetClock


@pytest.fixture
def clock() -> SetClock:
    """Eight in the morning."""
    return SetClock(MORNING)


@pytest.fixture
def tablet(store: Path, clock: SetClock) -> Iterator[Caller]:
    """Another device on the network, which isn't let in yet."""
    with called(store, clock, peer=TABLET, host=LAN, lan=LAN) as client:
        yield client


@pytest.mark.parametrize(
    "path", ["/", "/today", "/review", "/static/recall.css", "/devices", "/favicon.ico", "/x"]
)
def test_a_device_that_is_not_let_in_sees_nothing(tablet: Caller, path: str) -> None:
    """A plain refusal, the same for all that there is and isn't."""
    answer = tablet.get(path)

    assert 403 == answer.status_code
    assert "isn't let in" in answer.text.replace("&#39;", "'")
    assert "static/" not in answer.text
    assert "page-token" not in answer.text


def test_without_lan_no_other_device_is_served(store: Path) -> None:
    """Not the door either, and not under this computer's own names."""
    with called(store, peer=TABLET) as client:
        assert 403 == client.get("/").status_code
        assert 403 == client.get("/pair?code=x").status_code


def test_the_code_lets_a_device_in_once(tablet: Caller) -> None:
    """It sees the pages from then on; the same code serves nobody else."""
    code = paired(tablet)
    tablet.read("/today")
    tablet.cookies.clear()
    again = tablet.post("/pair", data={"code": code}, headers={"Origin": f"http://{LAN}"})

    assert 403 == again.status_code
    assert 403 == tablet.get("/today").status_code


def test_its_cookie_is_kept_from_scripts_and_other_sites(tablet: Caller) -> None:
    """HttpOnly, SameSite=Strict, 30 days, for this host alone."""
    tablet.follow_redirects = False
    code = tablet.app.state.pairing.code()  # type: ignore[attr-defined]
    answer = tablet.post("/pair", data={"code": code}, headers={"Origin": f"http://{LAN}"})
    name, *attributes = answer.headers["set-cookie"].split("; ")

    assert re.fullmatch(r"recall-device=[0-9a-f]{64}", name)
    assert {"HttpOnly", "Max-Age=2592000", "Path=/", "SameSite=strict"} == set(attributes)


def test_a_look_at_the_address_uses_no_code_up(tablet: Caller) -> None:
    """A preview fetches it; a person presses the button."""
    code = tablet.app.state.pairing.code()  # type: ignore[attr-defined]
    tablet.read(f"/pair?code={code}")
    tablet.read(f"/pair?code={code}")
    paired(tablet)

    assert 200 == tablet.get("/today").status_code


def test_a_code_is_good_for_ten_minutes(tablet: Caller, clock: SetClock) -> None:
    """Not for longer."""
    code = tablet.app.state.pairing.code()  # type: ignore[attr-defined]
    clock.advance(600)
    answer = tablet.post("/pair", data={"code": code}, headers={"Origin": f"http://{LAN}"})

    assert 403 == answer.status_code


def test_a_cookie_is_good_for_thirty_days(tablet: Caller, clock: SetClock) -> None:
    """On both sides: whatever the browser still sends."""
    paired(tablet)
    secret = tablet.cookies["recall-device"]
    clock.at += timedelta(days=29, hours=23)
    assert 200 == tablet.get("/today", headers={"Cookie": f"recall-device={secret}"}).status_code
    clock.at += timedelta(hours=1)

    assert 403 == tablet.get("/today", headers={"Cookie": f"recall-device={secret}"}).status_code


def test_guesses_are_limited(tablet: Caller, clock: SetClock) -> None:
    """Five a minute; then the right one isn't taken either, until the minute is over."""
    code = tablet.app.state.pairing.code()  # type: ignore[attr-defined]
    origin = {"Origin": f"http://{LAN}"}
    codes = [
        tablet.post("/pair", data={"code": f"{guess:032x}"}, headers=origin).status_code for guess in range(6)
    ]
    right = tablet.post("/pair", data={"code": code}, headers=origin).status_code
    clock.advance(60)
    later = tablet.post("/pair", data={"code": code}, headers=origin).status_code

    assert [403, 403, 403, 403, 403, 429] == codes
    assert 429 == right
    assert 200 == later


def test_forgotten_devices_are_strangers(tablet: Caller, store: Path, clock: SetClock) -> None:
    """While the page is served, too."""
    paired(tablet)
    ran = recall("page", "--forget", store=store)

    assert (0, "Forgotten: 1 paired device.\n") == (ran.code, ran.out)
    assert 403 == tablet.get("/today").status_code


def test_a_secret_of_a_device_is_nowhere_in_the_store(tablet: Caller, store: Path) -> None:
    """Who reads the file can't pass for it."""
    paired(tablet)
    secret = tablet.cookies["recall-device"].encode()

    assert not any(secret in file.read_bytes() for file in store.parent.glob("store.db*"))


def test_the_code_is_shown_here_alone(store: Path, tablet: Caller) -> None:
    """A paired device can't let others in."""
    paired(tablet)
    refused = [tablet.get(path).status_code for path in ("/devices", "/code")]
    with called(store, lan=LAN) as here:
        page, picture = here.read("/devices"), here.get("/code")
        code = here.app.state.pairing.code()  # type: ignore[attr-defined]

    assert [403, 403] == refused
    assert f"http://{LAN}/pair?code={code}" in page
    assert "image/svg+xml" == picture.headers["content-type"]


def test_a_paired_device_reviews(tablet: Caller) -> None:
    """With the token of the page, and from its own origin."""
    paired(tablet)
    page = tablet.change("/review", {"action": "begin"}).text

    assert '<h1 id="question">' in page


def test_a_change_by_a_stranger_with_the_token_is_refused(tablet: Caller, store: Path) -> None:
    """The token alone lets nobody in."""
    with called(store) as here:
        token = re.search(r'page-token" content="(\w+)', here.read("/"))
        assert token is not None
    answer = tablet.post(
        "/settings", data={"page": token.group(1), "unasked": "1"}, headers={"Origin": f"http://{LAN}"}
    )

    assert 403 == answer.status_code
