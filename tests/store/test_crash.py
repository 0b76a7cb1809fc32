"""A few rounds of the crash script (`tests/crash.py`; many by hand)."""

from crash import run


def test_killed_at_random() -> None:
    """Killed at random moments, nothing acknowledged is lost and the next start goes on."""
    counts = run(4, seed=3)

    assert counts["reviewed"] > 20


def test_killed_on_a_full_disk() -> None:
    """The same while the disk fills up: what is refused is said, what is acknowledged is kept."""
    counts = run(3, full=True, seed=4)

    assert counts["refused"] > 0
