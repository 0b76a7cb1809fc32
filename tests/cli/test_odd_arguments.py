"""Every command with odd arguments: an answer or a refusal in plain words, never a breakdown."""

import os
import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest
from cli_kit import recall, refused

from recall.cli.commands import COMMANDS

SUPPLY = "# Ferry\n\n| From | Feeds |\n|---|---|\n| Mast bus | Radar |\n"


ODD = (
    "",
    "nan",
    "-1",
    "9" * 400,
    "1e999",
    "folder",
    "binary",
    "binary.zip",
    "pipe",
    "nowhere/x",
    "a\u202eb",
    "9999-12-31",
    "\udcff",
)
AFTER = {"remark": ("mind it",), "export": ("--out", "out.bin")}
"""What stands behind the odd argument."""
PLACES = {
    "review": ("", "--minutes ", "--cards ", "--topic ", "--kind "),
    "due": ("--days ", "--store "),
    "weak": ("--most ", "--store "),
    "plan": ("--on ", "--minutes ", "--at ", "--topic ", "--deck ", "--days-off "),
    "odds": ("--on ",),
    "oral": ("", "--questions "),
    "page": ("--port ", "nowhere --port "),
    "history": ("",),
    "undo": ("--id ",),
    "remark": ("",),
    "new": ("",),
    "cards": ("",),
    "lint": ("", "--format ", "--severity ", "--rule ", "--explain "),
    "load": ("", "--store "),
    "supplies": ("", "ferry.md --lost ", "ferry.md --svg "),
    "changes": ("fuel.md ",),
    "publish": ("", "fuel.md --sign ", "fuel.md --out "),
    "keys": ("", "new ", "show ", "forget ", "hand-over "),
    "export": (
        "",
        "sheet ",
        "table fuel.md --of ",
        "sheet fuel.md --format ",
        "sheet fuel.md --out ",
        "calendar --days ",
        "calendar --on ",
    ),
    "class": (
        ". --key ",
        ". --against ",
        ". --format ",
        ". --since ",
        ". --on ",
        ". --engine ",
        ". --data ",
        "",
    ),
    "settings": (
        "",
        "zone ",
        "turn ",
        "target ",
        "aircraft ",
        "checkride_on ",
        "checkride_topics ",
        "days_off ",
    ),
    "merge": ("",),
    "events": ("--read ", "--store "),
    "backup": ("--store ",),
    "doctor": ("--correct ", "--store "),
    "tune": ("--store ",),
}


@pytest.fixture
def odd_folder(note: Path, store: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Path]:
    """A folder to be odd in, with a loaded store."""
    folder = note.parent
    monkeypatch.chdir(folder)
    (folder / "folder").mkdir()
    (folder / "binary").write_bytes(bytes(range(256)) * 20)
    (folder / "binary.zip").write_bytes(b"PK\x03\x04" + bytes(range(256)))
    os.mkfifo(folder / "pipe")
    (folder / "ferry.md").write_text(SUPPLY)
    yield folder


def test_every_command_is_tried_with_odd_arguments() -> None:
    """No command is left out."""
    assert set(COMMANDS) == set(PLACES)


@pytest.mark.parametrize("command", COMMANDS)
def test_odd_arguments_are_met_with_words(command: str, odd_folder: Path) -> None:
    """Empty, huge, no number, a folder, a pipe, a binary file: two lines at most, never a breakdown."""
    whole = odd_folder / "whole.db"
    shutil.copy(odd_folder / "store.db", whole)
    for place in PLACES[command]:
        for odd in ODD:
            shutil.copy(whole, odd_folder / "store.db")
            words = [command, *place.split(), odd, *AFTER.get(command, ())]
            ran = recall(*words, store=odd_folder / "store.db", answers=["x", ":stop"])

            assert ran.code in (0, 1) or (ran.code == 2 and 2 == len(ran.err.splitlines())), words


@pytest.mark.parametrize(
    "line",
    [
        "{}",
        "[]",
        '{"id": 3}',
        '{"id": "0000000000001-0000000000000000-000001", "type": ["setting"]}',
        '{"id": "0000000000001-0000000000000000-000001", "type": "setting"}',
        '{"id": "0000000000001-0000000000000000-000001", "type": "reviewed", "day": 5}',
        '{"id": "0000000000001-0000000000000000-000001", "type": "person joined"}',
        '{"id": "0000000000001-0000000000000000-000001", "type": "deck loaded", "deck": 3}',
    ],
)
def test_a_line_that_is_no_event_is_named(line: str, store: Path, tmp_path: Path) -> None:
    """Its file and number; nothing of the file is taken in."""
    path = tmp_path / "events.jsonl"
    path.write_text(line + "\n")
    before = recall("events", store=store).out
    ran = recall("events", "--read", path, store=store)

    assert refused(ran)
    assert f"{path}, line 1" in ran.err
    assert before == recall("events", store=store).out
