"""Keys of a terminal: a line that is typed, and one key out of several. The library that reads them is imported at
the first key: a question stands on the screen before."""

import time
from collections.abc import Callable, Sequence
from functools import cached_property
from typing import TYPE_CHECKING

from recall.session.view import ALONE, SETTLE

if TYPE_CHECKING:
    from prompt_toolkit import PromptSession
    from prompt_toolkit.input import Input
    from prompt_toolkit.key_binding import KeyBindings, KeyPress, KeyPressEvent
    from prompt_toolkit.output import Output

ENTERS = frozenset(("c-m", "c-j"))
STOPS = frozenset(("c-c", "c-d"))
"""Enter, and keys that break off, by the library's names."""


class Keyboard:
    """The terminal's own keyboard."""

    def __init__(
        self,
        input: "Input | None" = None,
        output: "Output | None" = None,
        sleep: Callable[[float], object] = time.sleep,
    ) -> None:
        self._input, self._output, self._sleep = input, output, sleep

    @cached_property
    def _session(self) -> "PromptSession[str]":
        from prompt_toolkit import PromptSession

        return PromptSession(key_bindings=_bindings(), input=self._input, output=self._output)

    def line(self, prompt: str, touched: Callable[[], None], begun: str = "") -> str:
        """A line; `touched` is called at its first key. begun: stands in it. Raises KeyboardInterrupt or EOFError."""
        buffer = self._session.default_buffer

        def first(_: object) -> None:
            if buffer.text != begun:
                touched()

        buffer.on_text_changed += first
        try:
            return self._session.prompt(prompt, default=begun)
        finally:
            buffer.on_text_changed -= first

    def settle(self, *, on_a_line: bool = False) -> str:
        """Let a moment pass whose keys count for nothing, and those that follow on them; the signs among them, a line
        break where another line follows. on_a_line: just that moment, since keys only write there. Raises
        KeyboardInterrupt."""
        heard = found = self._heard(SETTLE)
        while found and not on_a_line:
            heard += (found := self._heard(SETTLE))
        if any(one.key == "c-c" for one in heard):
            raise KeyboardInterrupt
        signs = ("\n" if one.key in ENTERS else one.data if one.data.isprintable() else "" for one in heard)
        return "".join(signs).strip("\n")

    def _heard(self, seconds: float) -> "list[KeyPress]":
        """Let a moment pass, unechoed; its keys, with those typed ahead."""
        from prompt_toolkit.input.typeahead import get_typeahead

        typed = self._session.app.input
        with typed.raw_mode():
            self._sleep(seconds)
            return [*get_typeahead(typed), *typed.read_keys(), *typed.flush_keys()]

    def key(self, wanted: Sequence[str]) -> str:
        """One of the wanted keys (`enter`, a sign, or a letter that stands alone); empty for any other, and for
        letters in a run, which are words. Raises KeyboardInterrupt."""
        run = [self._pressed()]
        if run[0] in wanted and (len(run[0]) > 1 or not run[0].isalpha()):
            return run[0]
        while STOPS.isdisjoint(run) and (others := self._heard(ALONE)):
            run += [other.key.lower() for other in others]
        if not STOPS.isdisjoint(run):
            raise KeyboardInterrupt
        return run[0] if run[0] in wanted and len(run) == 1 else ""

    def _pressed(self) -> str:
        """The next key."""
        from prompt_toolkit.application import Application
        from prompt_toolkit.layout import Layout, Window
        from prompt_toolkit.output import DummyOutput
        from prompt_toolkit.utils import is_dumb_terminal

        def end(event: "KeyPressEvent") -> None:
            key = event.key_sequence[0].key.lower()
            event.app.exit(result="enter" if key in ENTERS else key)

        bindings = _bindings()
        for key in ("<any>", "enter", *STOPS):
            bindings.add(key)(end)
        application: Application[str] = Application(
            layout=Layout(Window(height=0)),
            key_bindings=bindings,
            input=self._input,
            output=DummyOutput() if is_dumb_terminal() else self._output,
            erase_when_done=True,
        )
        return application.run()


def _bindings() -> "KeyBindings":
    """Keys of our own. What only begins like a report of the mouse (the end of a pasted colour, `ESC [ 0 m`) counts
    for nothing: the library takes every one for a whole report."""
    from prompt_toolkit.key_binding import KeyBindings
    from prompt_toolkit.keys import Keys

    bindings = KeyBindings()
    bindings.add(Keys.Vt100MouseEvent)(lambda _: None)
    return bindings
