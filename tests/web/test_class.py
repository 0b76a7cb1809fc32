"""The page of a class: what the terminal says, down to the line of the note, on this computer alone."""

import re
import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest
from cli_kit import recall
from web_kit import LAN, TABLET, Caller, called, paired

from recall.base.text import percent
from recall.cohort.view import Class
from recall.publish.sign import seed_of


def class_of(folder: Path) -> Class:
    """The class of a folder, with its key."""
    return Class(folder, seed_of(folder.parent / "class.key"))


@pytest.fixture
def client(store: Path, class_copy: Path) -> Iterator[Caller]:
    """The pages with a class beside."""
    with called(store, group=class_of(class_copy)) as client:
        yield client


@pytest.fixture(scope="module")
def class_kept(class_once: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Like `class_copy`, for tests that leave it as it is."""
    place = tmp_path_factory.mktemp("kept")
    shutil.copy(class_once.parent / "class.key", place)
    return Path(shutil.copytree(class_once, place / "class"))


@pytest.fixture(scope="module")
def looked_at(class_kept: Path, store_once: Path) -> Iterator[Caller]:
    """The pages with that class beside."""
    store = Path(shutil.copy(store_once, class_kept.parent))
    with called(store, group=class_of(class_kept)) as client:
        yield client


def seen(text: str) -> str:
    """What a page says, without its marks."""
    main = text.partition("<main")[2].partition("</main")[0]
    return " ".join(re.sub(r"<[^>]*>", " ", main).split())


def test_it_says_what_the_terminal_says(client: Caller, class_copy: Path) -> None:
    """How many, what is missed with its interval, which notes to look at, what most typed, who is absent."""
    class_copy.joinpath("people.txt").write_text("Trainee 1\nTrainee 99\n")
    said = seen(client.read("/class"))
    rows = recall("class", class_copy, "--json").rows()
    worst = next(row for row in rows if row["part"] == "point")
    topics = [row for row in rows if row["part"] == "topic"]

    assert "12 hand-ins" in said
    assert "Nothing yet from: Trainee 99." in said
    assert f"most typed 24, {worst['typed_by']} of {worst['typed_of']}" in said
    assert f"{worst['file']}:{worst['line']}" in said
    for row in topics:
        share = f"{percent(row['missed'])} {percent(row['low'])} to {percent(row['high'])} {row['people']}"
        assert f"{' / '.join(row['topic'])} {share}" in said


def test_each_week_of_each_topic_has_its_figure_and_its_shade(looked_at: Caller, class_kept: Path) -> None:
    """A table that reads without its colours."""
    page = looked_at.read("/class")
    weeks = [row for row in recall("class", class_kept, "--json").rows() if row["part"] == "week"]
    cells = re.findall(r'<td class="number step-(\d)">([^<]+)</td>', page)

    assert 3 < len(weeks)
    assert {percent(row["missed"]) for row in weeks} <= {text for _, text in cells}
    assert all(int(step) == sum(float(text[:-2]) >= at for at in (5, 10, 20, 35, 50)) for step, text in cells)


def test_a_point_leads_to_the_line_of_its_note(looked_at: Caller) -> None:
    """With each of its questions, how often it is missed, and what was typed instead."""
    page = looked_at.read("/class")
    address = re.findall(r'<a href="(class-point[^"]+)">', page)[0].replace("&amp;", "&")
    said = seen(looked_at.read(f"/{address}"))

    assert "Look at the note: it is missed far more than points like it." in said
    assert re.search(r"&gt; +\d+ +\| ", said)
    assert "24 12 of 12" in said


def test_a_date_tells_who_is_ready(looked_at: Caller) -> None:
    """Each person's odds, and those of each area, with what they assume."""
    said = seen(looked_at.read("/class?on=2026-12-24"))

    assert "Odds assume these cards in these words" in said
    assert "Ready on 24 December 2026" in said
    assert 12 == len(re.findall(r"(?:Trainee \d+|[0-9a-f]{4} [0-9a-f]{4}) \d+ % \d+ % to", said))


def test_four_people_give_no_figure(store: Path, class_copy: Path) -> None:
    """Nor a point, nor odds, nor how many answers."""
    for number in range(4, 12):
        class_copy.joinpath(f"{number}.handin").unlink()
    with called(store, group=class_of(class_copy)) as client:
        said = seen(client.read("/class?on=2026-12-24"))

    assert "4 hand-ins. Fewer than five people" in said
    assert "%" not in said
    assert "answer." not in said


def test_what_is_handed_in_meanwhile_is_taken_in(client: Caller, class_copy: Path) -> None:
    """The page is as the folder is; what isn't a hand-in is named."""
    late = class_copy / "11.handin"
    content = late.read_bytes()
    late.unlink()
    before = seen(client.read("/class"))
    late.write_bytes(content)
    class_copy.joinpath("<b>.handin").write_bytes(b"junk")
    after = client.read("/class")

    assert "11 hand-ins" in before
    assert "12 hand-ins" in seen(after)
    assert "Not taken: &lt;b&gt;.handin isn&#39;t a hand-in" in after


def test_no_other_device_sees_a_class(store: Path, class_copy: Path) -> None:
    """A paired one too: it is the instructor's alone."""
    with called(store, peer=TABLET, host=LAN, lan=LAN, group=class_of(class_copy)) as tablet:
        paired(tablet)
        found = [tablet.get(path).status_code for path in ("/today", "/class", "/class-point?id=1")]

    assert [200, 403, 403] == found


@pytest.mark.parametrize(
    ("address", "status", "words"),
    [
        ("/class?on=soon", 409, "<code>soon</code> is no date"),
        ("/class-point?id=none&deck=small", 404, "no such point"),
        ("/class-point", 404, "no such point"),
    ],
)
def test_what_is_not_there_is_refused(looked_at: Caller, address: str, status: int, words: str) -> None:
    """In a sentence."""
    got = looked_at.get(address)

    assert status == got.status_code
    assert words in got.text


def test_a_revision_that_is_not_there_is_said(looked_at: Caller) -> None:
    """On the page itself, which has begun by then."""
    assert "no revision" in looked_at.read("/class?since=9").lower()


def test_without_a_class_there_is_no_such_page(store: Path) -> None:
    """And no way to it."""
    with called(store) as client:
        assert 404 == client.get("/class").status_code
        assert "class" not in re.findall(r'<a href="(\w+)"', client.read("/today"))
