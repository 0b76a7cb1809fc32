"""A window of WebKitGTK, driven by lines of JSON: `["open", ADDRESS]`, `["js", BODY]`, `["close", ""]`. It runs under
the Python of the system, since the binding belongs to that one, and keeps its profile in the folder that is named."""

import json
import sys

import gi

gi.require_version("Gtk", "3.0")
gi.require_version("WebKit2", "4.1")
from gi.repository import GLib, Gtk, WebKit2  # noqa: E402

PROFILE = sys.argv[1]


def say(**answer):
    """Answer with a line of JSON."""
    print(json.dumps(answer), flush=True)


class Window:
    """One window with one page, of the size of a phone."""

    def __init__(self):
        kept = WebKit2.WebsiteDataManager(
            base_data_directory=f"{PROFILE}/data", base_cache_directory=f"{PROFILE}/cache"
        )
        self.view = WebKit2.WebView.new_with_context(WebKit2.WebContext.new_with_website_data_manager(kept))
        self.opening = False
        self.view.connect("load-changed", self.loaded)
        self.view.connect("load-failed", self.failed)
        window = Gtk.Window()
        window.set_default_size(390, 780)
        window.add(self.view)
        window.show_all()
        GLib.io_add_watch(
            GLib.IOChannel.unix_new(0), GLib.PRIORITY_DEFAULT, GLib.IO_IN | GLib.IO_HUP, self.told
        )

    def told(self, *_):
        """Do what a line says."""
        line = sys.stdin.readline()
        what, text = json.loads(line) if line else ("close", "")
        if what == "open":
            self.opening = True
            self.view.load_uri(text)
        elif what == "js":
            self.view.call_async_javascript_function(text, -1, None, None, None, None, self.done)
        else:
            say(good=None)
            Gtk.main_quit()
        return bool(line)

    def loaded(self, _, event):
        """Say that a page is there."""
        if event == WebKit2.LoadEvent.FINISHED and self.opening:
            self.opening = False
            say(good=None)

    def failed(self, _, __, address, fault):
        """Say why a page isn't there."""
        self.opening = False
        say(bad=f"{address}: {fault.message}")
        return True

    def done(self, view, result):
        """Say what came of a script."""
        try:
            say(good=json.loads(view.call_async_javascript_function_finish(result).to_string()))
        except GLib.Error as fault:
            say(bad=fault.message)


Window()
Gtk.main()
