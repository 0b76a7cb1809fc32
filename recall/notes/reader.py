"""Reading notes: text or a file in, a note and its findings out."""

import unicodedata
from pathlib import Path

from recall.base import regex as re
from recall.base.finding import Finding, Place, finding
from recall.base.text import has_hidden, hidden_in, mixed_in, shown
from recall.notes.grammar import DEEPEST, PATIENCE, TooDeepError, TooLongError, block_parser
from recall.notes.model import FrontMatter, Note
from recall.notes.page import Page
from recall.notes.tables import mended, without_stray_tab
from recall.notes.walk import Walk

LARGEST = 16 * 1024 * 1024
"""Bytes of a file."""

LONGEST = 1024 * 1024
"""Bytes of a line."""

_ZEROS = 4
"""One character in so many may be a zero. In UTF-16 it is every other one of Latin text, and that is UTF-8 too."""

_LOOKS, _FREE_LOOKS = 10, 1_000
"""How often the parser may look at each line on its way, and how often beyond that. Notes need two or three."""

_TOO_LARGE = "the file is larger than 16 MiB", "break it into several notes"
_LINE_END = re.compile(r"\r\n?")
_PARTS_LINES = re.compile("[\u2028\u2029]")
"""What a word processor ends a line with, and Markdown doesn't."""
_RECORD_LINE = re.compile(r"[\w-]+[ \t]*:")


def read_file(path: Path, shown: str) -> tuple[Note | None, list[Finding]]:
    """Read the file at `path`, named `shown` to the person.

    No note where it can't be read: not there, no UTF-8, too large, too deep; the finding says which.
    """
    try:
        size = path.stat().st_size
        data = path.read_bytes() if size <= LARGEST else b""
    except OSError as error:
        reason = error.strerror or "it can't be opened"
        what = f"the file can't be read: {reason}"
        return None, [_unreadable(shown, what, "mend its name or its permissions")]
    if size > LARGEST:
        return None, [_unreadable(shown, *_TOO_LARGE)]
    try:
        text = data.decode("utf-8")
    except UnicodeDecodeError as error:
        line_start = data.rfind(b"\n", 0, error.start) + 1
        line = data.count(b"\n", 0, error.start) + 1
        column = len(data[line_start : error.start].decode("utf-8", "replace")) + 1
        message = f"the file isn't UTF-8: byte 0x{data[error.start]:02X} in line {line}"
        utf16 = data.startswith((b"\xff\xfe", b"\xfe\xff")) or data.count(b"\0") * _ZEROS > len(data)
        no_text = data.startswith(b"%PDF-") or (b"\0" in data and not utf16)
        help = "it seems no text at all: name a Markdown note" if no_text else "save it as UTF-8"
        return None, [_unreadable(shown, message, help, line, column)]
    note, findings = read_note(text, shown)
    if any(found.rule == "unreadable-file" for found in findings):
        return None, findings
    return note, findings


def read_note(text: str, file: str) -> tuple[Note, list[Finding]]:
    """Read a note. file: its name as shown to the person.

    Never raises for what the text holds; a note beyond the limits has no blocks and one `unreadable-file`.
    """
    text = text.removeprefix("\ufeff")
    if "\r" in text:
        text = _LINE_END.sub("\n", text)
    lines = text.split("\n")
    if lines[-1] == "":
        lines.pop()
    beyond = _beyond(text, lines, file)
    if beyond:
        return Note(file, (), None, (), tuple(lines)), [beyond]
    try:
        return _whole(text, lines, file)
    except (TooDeepError, RecursionError) as error:
        line = error.line if isinstance(error, TooDeepError) else 1
        message = f"blocks stand more than {DEEPEST} deep in one another"
        too_deep = _unreadable(file, message, "take quotations and lists out of one another", line)
        return Note(file, (), None, (), tuple(lines)), [too_deep]
    except TooLongError as error:
        message = "quotations run on through too many lines: reading the note would take too long"
        help = "put a blank line behind each quotation, and take quotations out of one another"
        return Note(file, (), None, (), tuple(lines)), [_unreadable(file, message, help, error.line)]


def _whole(text: str, lines: list[str], file: str) -> tuple[Note, list[Finding]]:
    page = Page(file, lines, has_hidden(text))
    if not text.isascii() or page.hidden:
        _report_hidden(page)
    page.env[PATIENCE] = _LOOKS * len(lines) + _FREE_LOOKS
    if page.hidden:
        # A character that the parser would turn into a visible one; any other hidden one is taken out later.
        text = text.replace("\0", "\u200b")
    treated, said = mended(without_stray_tab(text if text.endswith("\n") else text + "\n"))
    if said:
        page.lines = treated.split("\n")[: len(lines)]
        for line, what, cure in said:
            page.say("unrecognised-table", line, what, cure)
    tokens = block_parser().parse(treated, page.env)
    walk = Walk(page, tokens)
    blocks = walk.blocks()
    as_it_is = treated.rstrip("\n") == text.rstrip("\n") and not page.hidden
    starts = walk.starts if as_it_is and not page.env.get("references") else []
    front: FrontMatter | None = None
    if tokens and tokens[0].type == "front_matter":
        front = FrontMatter(tokens[0].content, 2)
    elif lines and lines[0].rstrip() == "---":
        starts = []  # a line far below may end it
        if len(lines) > 1 and _RECORD_LINE.match(lines[1]):
            what = "the front matter has no end: it isn't read"
            page.say("unclosed-block", 1, what, "close it with a line `---`")
    page.findings.sort(key=lambda found: found.place.line)
    note = Note(file, tuple(blocks), front, tuple(page.references), tuple(lines), tuple(starts))
    return note, page.findings


def _beyond(text: str, lines: list[str], file: str) -> Finding | None:
    """A finding where the text is beyond the limits of size, or no text."""
    if text.count("\0") * _ZEROS > len(text):
        return _unreadable(
            file, "the file isn't UTF-8: it is full of zeros, as UTF-16 is", "save it as UTF-8"
        )
    if len(text) * 4 > LARGEST and len(text.encode("utf-8", "surrogatepass")) > LARGEST:
        return _unreadable(file, *_TOO_LARGE)
    if len(text) * 4 > LONGEST:
        for number, line in enumerate(lines, 1):
            if len(line) * 4 > LONGEST and len(line.encode("utf-8", "surrogatepass")) > LONGEST:
                return _unreadable(file, f"line {number} is longer than 1 MiB", "break it into lines", number)
    return None


def _report_hidden(page: Page) -> None:
    """One finding for each line with hidden characters, and one for each with words that mix scripts."""
    for number, line in enumerate(page.lines, 1):
        if not line.isascii() and (mixed := mixed_in(line)):
            word, letter = mixed
            page.say(
                "hidden-character",
                number,
                f"`{word}` mixes letters of two scripts: `{letter}` is {unicodedata.name(letter)}",
                f"type `{letter}` anew: nobody sees that it is another letter, and no answer will match it",
                line.index(word) + 1,
            )
        hidden = hidden_in(line) if page.hidden else []
        if hidden or (hidden := [(found.start(), found.group()) for found in _PARTS_LINES.finditer(line)]):
            names = list(dict.fromkeys(f"U+{ord(character):04X}" for _, character in hidden))
            more = f" and {len(names) - 4} more" if len(names) > 4 else ""
            at = hidden[0][0]
            around = shown(line[max(0, at - 15) : at + 15].strip())
            page.say(
                "hidden-character",
                number,
                f"hidden characters ({', '.join(names[:4])}{more}) in `{around}`",
                "take them out: they aren't seen, and aren't part of any answer",
                at + 1,
            )


def _unreadable(file: str, message: str, help: str, line: int = 1, column: int = 1) -> Finding:
    return finding("unreadable-file", Place(file, line, column), message, help)
