"""No test fails for want of time."""

from hypothesis import given, settings
from hypothesis import strategies as some


@settings(max_examples=1)
@given(some.none())
def test_examples_have_no_deadline(_: None) -> None:
    """Also where a test sets something else."""
    assert settings.default is not None
    assert settings.default.deadline is None
