"""Who is let in, and what every answer forbids.

Sources: the OWASP Secure Headers Project's list of response headers; RFC 6454 (The Web Origin Concept), section 7.
"""

from collections.abc import Iterator
from pathlib import Path

import pytest
from web_kit import HOST, Caller, called, token_of


@pytest.fixture
def client(store: Path) -> Iterator[Caller]:
    """The page over the small deck."""
    with called(store) as client:
        yield client


@pytest.mark.parametrize("address", ["/", "/static/recall.css", "/nowhere"])
def test_every_answer_says_what_the_browser_must_forbid(client: Caller, address: str) -> None:
    """The headers that the OWASP Secure Headers Project lists, on pages, files and refusals."""
    headers = client.get(address).headers
    listed = {
        "x-frame-options": "DENY",
        "x-content-type-options": "nosniff",
        "x-permitted-cross-domain-policies": "none",
        "cross-origin-embedder-policy": "require-corp",
        "cross-origin-opener-policy": "same-origin",
        "cross-origin-resource-policy": "same-origin",
    }

    assert listed == {name: headers.get(name) for name in listed}
    assert "referrer-policy" in headers
    assert "permissions-policy" in headers
    assert "server" not in headers
    assert "strict-transport-security" not in headers


def test_the_content_policy_makes_no_exception(client: Caller) -> None:
    """Nothing from elsewhere, nothing inline, no frames, no form that leads away."""
    policy = dict(
        part.split(" ", 1) for part in client.get("/").headers["content-security-policy"].split("; ")
    )

    assert policy["default-src"] == policy["base-uri"] == policy["frame-ancestors"] == "'none'"
    assert {"'self'", "'none'", "'script'"} == set(policy.values())


@pytest.mark.parametrize("host", ["evil.example", "127.0.0.1.evil.example", "192.168.1.5:7325", ""])
def test_another_name_is_not_served(client: Caller, host: str) -> None:
    """A name bound anew to this address gets a plain refusal."""
    answer = client.get("/", headers={"Host": host})

    assert 421 == answer.status_code
    assert "Fuel" not in answer.text


@pytest.mark.parametrize("host", ["127.0.0.1", "localhost:9", "[::1]:7325"])
def test_this_computer_is_served_by_its_names(client: Caller, host: str) -> None:
    """Whatever the port."""
    assert 200 == client.get("/", headers={"Host": host}).status_code


@pytest.mark.parametrize(
    "headers",
    [
        {},
        {"Origin": "null"},
        {"Origin": "http://evil.example"},
        {"Origin": "http://127.0.0.1:7326"},
        {"Origin": f"https://{HOST}"},
        {"Origin": f"http://{HOST}", "Sec-Fetch-Site": "cross-site"},
        {"Origin": f"http://{HOST}", "Sec-Fetch-Site": "same-site"},
    ],
)
def test_a_change_from_elsewhere_is_refused(client: Caller, headers: dict[str, str]) -> None:
    """Even with the right token."""
    answer = client.post("/today", data={"page": token_of(client)}, headers=headers)

    assert 403 == answer.status_code


def test_a_change_with_origin_and_token_is_let_in(client: Caller) -> None:
    """It reaches the page, which here takes no change."""
    answer = client.post("/today", data={"page": token_of(client)}, headers={"Origin": f"http://{HOST}"})

    assert 405 == answer.status_code


@pytest.mark.parametrize("token", [None, "", "0" * 32, "ü"])
def test_a_change_without_the_token_is_refused(client: Caller, token: str | None) -> None:
    """From the right origin."""
    form = {} if token is None else {"page": token}
    answer = client.post("/today", data=form, headers={"Origin": f"http://{HOST}"})

    assert 403 == answer.status_code


def test_a_flood_is_cut_off(client: Caller) -> None:
    """No more is read of a form than an answer needs."""
    answer = client.post("/today", data={"text": "x" * 70_000}, headers={"Origin": f"http://{HOST}"})

    assert 413 == answer.status_code


@pytest.mark.parametrize(
    "path", ["/static/../app.py", "/static/%2e%2e/app.py", "/static/", "/static/..%2f..%2f..%2fetc%2fpasswd"]
)
def test_nothing_but_the_pages_own_files_is_read(client: Caller, path: str) -> None:
    """No name leads out of the folder."""
    assert 404 == client.get(path).status_code


def test_a_fault_is_told_under_the_same_headers(client: Caller, monkeypatch: pytest.MonkeyPatch) -> None:
    """A page that fails says that what was answered is kept, and shows nothing of the inside."""
    from recall.store import Store

    def torn(*_: object) -> None:
        raise ZeroDivisionError("inside")

    monkeypatch.setattr(Store, "decks", torn)
    answer = client.get("/")

    assert 500 == answer.status_code
    assert "is kept" in answer.text
    assert "inside" not in answer.text
    assert "content-security-policy" in answer.headers


def test_a_store_that_went_is_said_with_its_cure(tmp_path: Path) -> None:
    """What happened, then what to do."""
    with called(tmp_path / "none.db") as client:
        answer = client.get("/")

    assert 409 == answer.status_code
    assert "There is no store yet" in answer.text
    assert "load a deck first" in answer.text
