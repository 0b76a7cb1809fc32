"""Runs of the program in processes of their own that skip its start: forked from one that has imported it.

python forked.py serve DOOR       serves runs until its standard input ends; says a line once it is ready
python forked.py run DOOR WORD…   `recall` with these words, by that server
"""

import functools
import marshal
import os
import signal
import socket
import sys

IMPORTED = """
fsrs ibis.backends.duckdb sqlite_utils uvicorn.lifespan.on uvicorn.protocols.http.h11_impl
recall.cli.app recall.publish.places recall.cli.loading recall.cli.output recall.cli.report recall.cli.sitting
recall.cohort.view recall.publish.publish recall.publish.revision recall.session.begin recall.store.load
recall.store.merge recall.web.app
"""


class Forked:
    """A run. out: the descriptor that takes what it says, on both channels if `err` is none."""

    def __init__(self, door: str, words: list[str], *, out: int = 1, err: int = 2) -> None:
        self._line = socket.socket(socket.AF_UNIX)
        self._line.connect(door)
        wish = marshal.dumps([words, os.path.realpath("."), dict(os.environ)])
        socket.send_fds(self._line, [len(wish).to_bytes(4, "big")], [0, out, err])
        self._line.sendall(wish)
        self._told = self._line.makefile()
        self.pid = int(self._told.readline())

    def send_signal(self, number: int) -> None:
        """Send it a signal."""
        os.kill(self.pid, number)

    def wait(self, seconds: float | None = None) -> int:
        """Its exit code once it has ended. seconds: that it may take; TimeoutError after them."""
        self._line.settimeout(seconds)
        return int(self._told.readline())


def _exactly(line: socket.socket, size: int) -> bytes:
    found = b""
    while len(found) < size:
        found += line.recv(size - len(found)) or os._exit(1)  # type: ignore[func-returns-value]
    return found


def _run(line: socket.socket) -> None:
    """Take a wish, fork once more for it, tell the number of that process and then its exit code."""
    signal.signal(signal.SIGCHLD, signal.SIG_DFL)
    size, descriptors, *_ = socket.recv_fds(line, 4, 3)
    words, folder, environment = marshal.loads(_exactly(line, int.from_bytes(size, "big")))
    if pid := os.fork():
        for each in descriptors:
            os.close(each)
        line.sendall(f"{pid}\n".encode())
        code = os.waitstatus_to_exitcode(os.waitpid(pid, 0)[1])
        line.sendall(f"{code}\n".encode())
        os._exit(0)
    line.close()
    for number, each in enumerate(descriptors):
        os.dup2(each, number)
    os.chdir(folder)
    os.environ.clear()
    os.environ.update(environment)
    sys.argv = ["recall", *words]
    sys.stdin, sys.stdout, sys.stderr = os.fdopen(0), os.fdopen(1, "w"), os.fdopen(2, "w", buffering=1)
    from recall.cli.app import start

    code = 1
    try:
        code = start()
        sys.stdout.flush()
    finally:
        os._exit(code)


def serve(door: str) -> None:
    """Fork runs until standard input ends."""
    import importlib
    import select
    import shutil

    for name in IMPORTED.split():
        importlib.import_module(name)
    signal.signal(signal.SIGCHLD, signal.SIG_IGN)
    listener = socket.socket(socket.AF_UNIX)
    listener.bind(door)
    listener.listen()
    print("ready", flush=True)
    while True:
        heard, _, _ = select.select([listener, 0], [], [])
        if 0 in heard:
            shutil.rmtree(door.removesuffix("/door"))
            return
        line, _ = listener.accept()
        if not os.fork():
            listener.close()
            _run(line)
        line.close()


@functools.cache
def server() -> str:
    """The door of this process's server, which ends with it."""
    import subprocess  # not at the head: what only asks for a run starts sooner without
    import tempfile

    door = tempfile.mkdtemp() + "/door"
    started = subprocess.Popen(
        [sys.executable, __file__, "serve", door], stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True
    )
    assert started.stdout is not None
    assert "ready\n" == started.stdout.readline()
    return door


if __name__ == "__main__":
    if sys.argv[1] == "serve":
        serve(sys.argv[2])
    else:
        sys.exit(Forked(sys.argv[2], sys.argv[3:]).wait())
