"""For the tests of publishing: a small deck of limits in a folder, published, and stores to load it into."""

from datetime import datetime, timezone
from pathlib import Path
from typing import Any

from recall.base.clock import SetClock
from recall.deck.read import read_deck
from recall.publish.publish import Published, publish
from recall.store import Store

NOW = datetime(2026, 5, 1, 9, 0, tzinfo=timezone.utc)
ROWS = {
    "**Fuel imbalance**": "200 kg",
    "Fuel temperature": "50 °C",
    "Filter differential": "12 psi",
    "Boost pump pressure": "30 psi",
}


def notes(
    folder: Path,
    rows: dict[str, str] | None = None,
    *,
    revision: str = "4",
    effective: str = "2026-03-01",
    slug: str = "small",
    more: str = "",
    heading: str = "Fuel",
) -> Path:
    """Write a deck into a folder, in place of what is there; the folder."""
    folder.mkdir(parents=True, exist_ok=True)
    table = "\n".join(f"| {name} | {value} | Handbook 2-1 |" for name, value in (rows or ROWS).items())
    dated = f"effective: {effective}\n" if effective else ""
    folder.joinpath("deck.md").write_text(
        f"---\ndeck: {slug}\ntitle: Small deck\nrevision: {revision}\n{dated}marking: Training only\n{more}---\n"
        f"# {heading}\n\n| Parameter | Maximum | Source |\n| --- | --- | --- |\n{table}\n",
        encoding="utf-8",
    )
    return folder


def published(folder: Path, out: Path, key: Path | None = None, **more: Any) -> Published:
    """Publish the deck in a folder. more: decisions and hand-overs."""
    deck, findings = read_deck(folder)
    return publish(deck, findings, out=out, key=key, **more)


def store(path: Path, at: datetime = NOW) -> Store:
    """A store that stands at a moment."""
    return Store.open(path, SetClock(at))


def events(opened: Store) -> list[str]:
    """All that a store holds."""
    return list(opened.events_json())
