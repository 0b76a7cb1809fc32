"""The words inside a block: markup into plain text with its look."""

from collections.abc import Iterable
from html import unescape
from typing import Literal

from markdown_it.token import Token

from recall.base import regex as re
from recall.base.dataclass import replace
from recall.base.finding import Place
from recall.base.text import parted, without_hidden, word_set
from recall.notes.grammar import inline_parser
from recall.notes.model import Bold, Run, Text
from recall.notes.page import Page

_OBJECT_OWED = re.compile(
    r"(?:\b(?:the|an?|[Mm]y|[Yy]our|its|this|that|each|on|to|at|in|of|by|with|and|or|see|is|marked)"
    r"|&|\b[Pp](?:ress|ush)|\b(?:[Cc]lick|[Tt]ap|[Ss]elect))\s*$"
)
"""What has no end without the words of the picture behind it."""

Gathered = list[tuple[list[str], tuple[bool, bool, bool, bool]]]
"""Runs of pieces, with their look: bold, code, of a link, of a picture."""

_STRAY = re.compile(r"\*\*(?=\S)|(?<=\S)\*\*")
_LEADER = re.compile(r"\w\s*(?:\.{3,}|…|_{3,}|(?:\. ){3,})\s*[\w<>±+-]")
marked = re.compile(r"[\n\\`*_\[<&~$]").search
"""Finds a character that some rule of the grammar could act on; without one, the text is plain as it stands."""

_TAG = re.compile(r"<(/?)([A-Za-z][A-Za-z0-9-]*)")
_ATTRIBUTE = re.any_case(r"""\b(href|src|alt)\s*=\s*(?:"([^"]*)"|'([^']*)'|([^\s"'>]+))""")
_TILDES = re.compile(r"(?<=[^\W\d_])~([^\s~]{1,8})~(?!~)")
_FORMULA = re.compile(
    r"\$([A-Za-z][A-Za-z0-9]{0,15})_"
    r"(?:\{?\\(?:text|mathrm|rm)\{([\w ,./-]{1,24})\}\}?|\{([\w ,./-]{1,24})\}|([A-Za-z0-9]))\$(?!\d)"
)
_RAISED = str.maketrans("0123456789+-−", "⁰¹²³⁴⁵⁶⁷⁸⁹⁺⁻⁻")
_ORDINALS = {"st", "nd", "rd", "th"}

LINE_TAGS = word_set("""
    br p div li ul ol dl dt dd tr td th table thead tbody hr h1 h2 h3 h4 h5 h6 blockquote pre center
""")
_ASIDE = re.compile(r"\s*\([^()]*\)\s*")

Look = Literal["bold", "code", "link", "picture"]
_LOOK_TAGS: dict[str, Look] = {"b": "bold", "strong": "bold", "a": "link"}
_LOOK_TAGS |= dict.fromkeys(("code", "kbd", "samp", "tt"), "code")
_STRUCK_TAGS = frozenset({"s", "del", "strike"})


class Words:
    """Gathers words with their look, from Markdown or from HTML, and makes a `Text` of them.

    fold: whether runs of blanks count as one, as in HTML.
    """

    def __init__(self, *, fold: bool = False) -> None:
        self._runs: Gathered = []
        self._looks: dict[Look, int] = dict.fromkeys(("bold", "code", "link", "picture"), 0)
        self._raised = self._lowered = self.stray = False
        self._fold = fold
        self._tail = "\n"
        self._seen = (0, 0)  # how far breaks of lines were looked at for leaders

    def add(self, text: str, *, code: bool = False) -> None:
        """Add words in the look that holds now."""
        if self._fold:
            text = re.sub(r"[ \t\n\r\f]+", " ", text)
            if self._tail in " \n":
                text = text.lstrip(" ")
        if not text:
            return
        if self._raised:
            text = _raise(text)
        elif self._lowered and text[0].isdigit() and self._tail.isdigit():
            text = "_" + text
        deep = self._looks
        look = (deep["bold"] > 0, code or deep["code"] > 0, deep["link"] > 0, deep["picture"] > 0)
        if self._runs and self._runs[-1][1] == look:
            self._runs[-1][0].append(text)
        else:
            self._runs.append(([text], look))
        self._tail = text[-1]

    def plain(self, text: str) -> None:
        """Add words that hold no mark; one that still stands in them was opened or closed alone."""
        self.stray = self.stray or ("**" in text and _STRAY.search(text) is not None)
        self.add(_lowered(text))

    def line_end(self) -> None:
        """Begin a new line."""
        if self._runs:
            self._runs[-1][0].append("\n")
        self._tail = "\n"

    def has_leader(self) -> bool:
        """Whether dots lead from word to word on the line at hand (`Throttle ..... IDLE`), which then ends where it
        is broken."""
        run, piece = self._seen
        fresh = [(pieces if at else pieces[piece:]) for at, (pieces, _) in enumerate(self._runs[run:])]
        if self._runs:
            self._seen = len(self._runs) - 1, len(self._runs[-1][0])
        line = "".join(piece for pieces in fresh for piece in pieces).rpartition("\n")[2]
        return _LEADER.search(line) is not None

    def enter(self, look: Look, step: int) -> None:
        """Enter (1) or leave (-1) what gives words a look."""
        self._looks[look] = max(0, self._looks[look] + step)

    def tag(self, name: str, closing: bool) -> None:
        """Take an HTML tag for the look that it gives; unknown ones change nothing."""
        step = -1 if closing else 1
        if name in LINE_TAGS:
            self.line_end()
        elif name in _LOOK_TAGS:
            self.enter(_LOOK_TAGS[name], step)
        elif name == "sup":
            self._raised = not closing
        elif name == "sub":
            self._lowered = not closing
        elif name in _STRUCK_TAGS:
            # What was struck out must not pass for part of an answer: its marks stay.
            self.add("~~")

    def text(self, place: Place) -> Text:
        """All that was gathered, ends trimmed. Words of pictures at its ends are left out, where they stand beside
        others and aren't what the others speak of."""
        whole = self._text(place, self._runs)
        kept = _without_pictures(self._runs)
        return replace(self._text(place, kept), pictured=whole) if len(kept) < len(self._runs) else whole

    def _text(self, place: Place, gathered: Gathered) -> Text:
        runs: list[Run] = []
        for pieces, (bold, code, link, _) in gathered:
            words = without_hidden(parted("".join(pieces)))
            if runs and (runs[-1].bold, runs[-1].code, runs[-1].link) == (bold, code, link):
                words = runs.pop().text + words
            words = _trim_lines(words)
            if words:
                runs.append(Run(words, bold, code, link))
        runs = _trim_ends(runs)
        if len(runs) == 1 and not (runs[0].bold or runs[0].code or runs[0].link):
            return Text(runs[0].text, place, stray=self.stray)
        return Text("".join(run.text for run in runs), place, _boldness(runs), tuple(runs), self.stray)


def read_text(page: Page, content: str, place: Place) -> Text:
    """The inline content of a block as text. content: as the block parser leaves it."""
    if not page.hidden:
        if not marked(content):
            return Text(content.strip(), place)
        inner = content[2:-2]
        if content[:2] == content[-2:] == "**" and inner and inner == inner.strip() and not marked(inner):
            return Text(inner, place, "all", (Run(inner, bold=True),))
    words = Words()
    gather(page, content, place.line, words)
    return words.text(place)


def gather(page: Page, content: str, line: int, words: Words) -> None:
    """Parse inline content and add it to `words`. line: of its first line, from 1."""
    parser = inline_parser()
    _walk(page, parser.inline.parse(content, parser, page.env, []), line, words)


def _walk(page: Page, tokens: Iterable[Token], line: int, words: Words) -> int:
    """Add parsed inline tokens to `words`; returns the line that was reached."""
    plain: list[str] = []
    for token in tokens:
        if token.type == "text" or (token.type == "text_special" and token.content == token.markup):
            # A backslash that escapes nothing is a token of its own, but the words go on.
            plain.append(token.content)
            continue
        if plain:
            words.plain("".join(plain))
            plain.clear()
        match token.type:
            case "softbreak" if not words.has_leader():
                words.add(" ")
                line += 1
            case "softbreak" | "hardbreak":
                words.line_end()
                line += 1
            case "code_inline":
                words.add(token.content, code=True)
            case "strong_open" | "strong_close":
                words.enter("bold", token.nesting)
            case "link_open" | "link_close":
                words.enter("link", token.nesting)
                if token.nesting > 0:
                    page.refer(str(token.attrs["href"]), line)
            case "image":
                page.refer(str(token.attrs["src"]), line, token.content)
                words.enter("picture", 1)
                _walk(page, token.children or (), line, words)
                words.enter("picture", -1)
            case "html_inline":
                if found := _TAG.match(token.content):
                    name, said = found[2].lower(), _ATTRIBUTE.findall(token.content)
                    attributes = {key.lower(): unescape(a or b or c) for key, a, b, c in said}
                    picture(page, name, attributes, line, words)
                    words.tag(name, bool(found[1]))
                line += token.content.count("\n")
            case "em_open" | "em_close":
                pass
            case _:
                words.add(token.content)
    if plain:
        words.plain("".join(plain))
    return line


def picture(page: Page, name: str, attributes: dict[str, str], line: int, words: Words) -> None:
    """What a tag says by its attributes: a picture's words, a link's or a picture's target."""
    if name == "img":
        words.enter("picture", 1)
        words.add(attributes.get("alt", ""))
        words.enter("picture", -1)
        page.refer(attributes.get("src", ""), line, attributes.get("alt", ""))
    elif name == "a":
        page.refer(attributes.get("href", ""), line)


def _lowered(text: str) -> str:
    """Subscripts written `V~S0~` and `$V_{SO}$` set on the line."""
    if "~" in text:
        text = _TILDES.sub(r"\1", text)
    if "$" in text:
        text = _FORMULA.sub(lambda found: found[1] + (found[2] or found[3] or found[4]), text)
    return text


def _raise(text: str) -> str:
    """Superscripts: digits by their own characters, so that no exponent passes for a digit."""
    raised = text.translate(_RAISED)
    if text.strip().lower() in _ORDINALS or not text.strip():
        return text
    return raised if all(mark not in raised for mark in text if not mark.isspace()) else "^" + text


def _without_pictures(gathered: Gathered) -> Gathered:
    """All runs but pictures at either end; those that are a legend in capitals, or what a sentence ends in, stay."""
    start, end = 0, len(gathered)

    def passing(at: int) -> bool:
        words = "".join(gathered[at][0])
        return not words.strip() or (gathered[at][1][3] and not words.isupper())

    while start < end and passing(start):
        start += 1
    while end > start and passing(end - 1):
        end -= 1
    left = "".join(piece for pieces, _ in gathered[start:end] for piece in pieces)
    outer = (*gathered[:start], *gathered[end:])
    if not re.search(r"\w", left) or not any(look[3] for _, look in outer):
        return gathered
    return gathered[start : len(gathered) if _OBJECT_OWED.search(left) else end]


def _trim_lines(text: str) -> str:
    """Blanks around line ends and empty lines taken out."""
    if "\n" not in text:
        return text
    first, *middle, last = text.split("\n")
    kept = [line.strip() for line in middle]
    return "\n".join([first.rstrip(), *filter(None, kept), last.lstrip()])


def _trim_ends(runs: list[Run]) -> list[Run]:
    """Blanks at both ends of the whole taken out, and the runs that were nothing else."""
    start, end = 0, len(runs)
    while start < end and not runs[start].text.strip():
        start += 1
    while end > start and not runs[end - 1].text.strip():
        end -= 1
    kept = runs[start:end]
    if kept:
        kept[0] = replace(kept[0], text=kept[0].text.lstrip())
        kept[-1] = replace(kept[-1], text=kept[-1].text.rstrip())
    return kept


def _boldness(runs: list[Run]) -> Bold:
    """Whether none, some or all of the words are bold; blanks, punctuation and a bracket behind them don't count
    beside words: `**Vne** (never exceed)`."""
    aside = len(runs) > 1 and not runs[-1].bold and _ASIDE.fullmatch(runs[-1].text)
    worded = [run for run in (runs[:-1] if aside else runs) if any(mark.isalnum() for mark in run.text)]
    seen = {run.bold for run in worded or runs if run.text.strip()}
    if True not in seen:
        return "none"
    return "some" if False in seen else "all"
