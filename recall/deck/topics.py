"""Topics as people name them."""

from collections.abc import Iterable

from recall.base.errors import RecallError
from recall.base.text import key_form


def in_topic(topic: tuple[str, ...], wanted: str) -> bool:
    """Whether a topic is `wanted` or lies below it.

    wanted: one heading, or several (`Electrical / Batteries`).
    """
    parts = [key_form(part) for part in topic]
    path = [key_form(part) for part in wanted.split(" / ")]
    return any(parts[at : at + len(path)] == path for at in range(len(parts) - len(path) + 1))


def topic_named(topics: Iterable[tuple[str, ...]], named: str) -> str:
    """The topic that a person names, as a path of headings: by whole headings (`Fuel`, `Electrical / Batteries`), or
    by any part of one that is in no other. RecallError where there is none such, or several."""
    from difflib import get_close_matches

    topics = list(dict.fromkeys(topics))
    if any(in_topic(topic, named) for topic in topics):
        return named
    parts = [key_form(part) for part in named.split("/")]
    paths = dict.fromkeys(topic[: at + 1] for topic in topics for at in range(len(topic)))
    fits = [
        path
        for path in paths
        if all(parts)
        and len(path) >= len(parts)
        and all(part in key_form(own) for part, own in zip(parts, path[-len(parts) :], strict=True))
    ]
    if len(fits) == 1:
        return " / ".join(fits[0])
    if fits:
        said = ", ".join(f"`{' / '.join(path)}`" for path in fits[:5])
        raise RecallError(f"several topics are called like `{named}`", f"name more of one: {said}")
    tops = ", ".join(dict.fromkeys(topic[0] for topic in topics if topic))
    help = f"topics are: {tops}" if tops else "nothing that can be asked now has a topic"
    if near := get_close_matches(named, dict.fromkeys(part for topic in topics for part in topic), 5, 0.6):
        help = f"topics like it are: {', '.join(f'`{heading}`' for heading in near)}"
    raise RecallError(f"no card is of `{named}`", help)
