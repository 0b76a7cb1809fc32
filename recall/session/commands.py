"""What may be typed instead of an answer, at every front end that has a line to type on."""

from recall.base.marks import MARKS
from recall.session.view import ACTIONS, View

HOW = {
    True: "The program marks what you type; a right answer by your pace: hesitant, sure or instant.",
    False: "You mark it yourself, beside the answer: missed, hesitant, sure or instant.",
}
"""Who marks an answer: the program, or the person."""
KNOWN = "Nothing typed, twice in a row, means that you don't know."
NO_KEY = "Nothing was done: press one of these keys alone, without Enter behind it."
"""Said of another key, and of letters in a run, which are words."""
TOO_SOON = "What you typed right after the answer did nothing; from now on keys count."


def command(text: str) -> str:
    """The action that a line names (`:undo`, or as much of it as is needed); empty where it is no command, `?` where
    it is none that is known."""
    text = text.strip().casefold()
    if not text.startswith((":", "?")):
        return ""
    text = text.partition(" ")[0]
    named = [action for action in ACTIONS if text[0] == ":" != text and action.startswith(text[1:])]
    return named[0] if len(named) == 1 else "?"


def words_behind(text: str) -> str:
    """What is typed behind a command; all of it where none is known."""
    if command(text) == "?":
        return text.strip()
    return text.strip().partition(" ")[2]


def help_with(view: View, typed: str = "") -> str:
    """How the answer is marked, and what may be typed instead of one. typed: what asked for it."""
    marks = view.phase != "marking" and any(mark in view.may for mark in MARKS)
    may = {action: action in view.may for action in ACTIONS} | dict.fromkeys(MARKS, marks)
    put = view.question
    how = () if put is None else (HOW[put.typed], KNOWN) if put.must else (HOW[put.typed],)
    return (
        (f"`{typed.strip()}` is no command.\n" if typed.strip(":? ") else "")
        + " ".join(how)
        + "\n"
        + " ".join(told.does for action, told in ACTIONS.items() if may[action] and told.does)
    )
