"""Settings on the page."""

from pathlib import Path

from web_kit import MORNING, called

from recall.base.clock import SetClock
from recall.store import Store


def test_a_setting_is_kept(store: Path) -> None:
    """And shown as set; what wasn't changed isn't written again."""
    with called(store) as client:
        page = client.change("/settings", {"unasked": "7", "zone": "UTC", "target": "0.9"}).text
    with Store.open(store, SetClock(MORNING)) as opened:
        written = opened.rows("SELECT body FROM event WHERE type = 'setting'")
        unasked = opened.settings().unasked

    assert "Kept." in page
    assert 7 == unasked
    assert 1 == sum("unasked" in body for (body,) in written)
    assert 0 == sum("target" in body for (body,) in written)


def test_what_cannot_be_is_said_at_its_field(store: Path) -> None:
    """And nothing of the form is kept; what was typed stands there still."""
    with called(store) as client:
        answer = client.change("/settings", {"unasked": "7", "zone": "Mars/Olympus"})
        again = client.read("/settings")

    assert 409 == answer.status_code
    assert "is no time zone: use a name such as Atlantic/Reykjavik or UTC." in answer.text
    assert 'value="Mars/Olympus"' in answer.text
    assert 'value="500"' in again
