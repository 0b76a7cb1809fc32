"""What may be typed instead of an answer, at every front end that has a line to type on."""

from recall.base.marks import MARKS
from recall.session.sitting import ACTIONS
from recall.session.view import View

HELP = {
    "undo": "`:undo` takes the last answer back.",
    "source": "`:source` says where this question stands.",
    "right": "`:right` says that the last answer was right.",
    "missed": "`:missed`, `:hesitant`, `:sure` or `:instant` marks the last answer otherwise.",
    "notes": "`:notes` shows the topic's page of the sheet.",
    "remark": "`:remark WORDS` keeps a remark on the last card.",
    "beside": "`:beside` shows what it is taken for beside it.",
    "others": "`:others` asks the other cards of its point first.",
    "stop": "`:stop` ends.",
}

HOW = {
    True: "The program marks what you type; a right answer by your pace: hesitant, sure or instant.",
    False: "You mark it yourself, beside the answer: missed, hesitant, sure or instant.",
}
"""Who marks an answer: the program, or the person."""
KNOWN = "Nothing typed, twice in a row, means that you don't know."
NO_KEY = "Nothing was done: a key counts if it is one of these and stands alone."
"""Said of another key, and of letters in a run, which are words."""


def command(text: str) -> str:
    """The action that a line names (`:undo`, or as much of it as is needed); empty where it is no command, `?` where
    it is none that is known."""
    text = text.strip().casefold()
    if not text.startswith((":", "?")):
        return ""
    text = text.partition(" ")[0]
    named = [action for action in ACTIONS[1:] if text[0] == ":" != text and action.startswith(text[1:])]
    return named[0] if len(named) == 1 else "?"


def words_behind(text: str) -> str:
    """What is typed behind a command."""
    return text.strip().partition(" ")[2]


def help_with(view: View) -> str:
    """How the answer is marked, and what may be typed instead of one."""
    marks = view.phase != "marking" and any(mark in view.may for mark in MARKS)
    may = {action: action in view.may for action in HELP} | {"missed": marks}
    put = view.question
    how = () if put is None else (HOW[put.typed], KNOWN) if put.must else (HOW[put.typed],)
    return " ".join(how) + "\n" + " ".join(text for action, text in HELP.items() if may[action])
