"""`fencerow serve`: on this machine alone, said and opened once it answers."""

import re
import signal
import socket
import subprocess
import sys
from urllib.error import HTTPError
from urllib.request import urlopen

import pytest

from fencerow.exchange.demo import AS_OF
from fencerow.web.serve import HOST, serve
from fencerow.words import BadInput


def answered(url):
    """What is answered once the first plan stands; on a busy machine, 425 until then."""
    for _ in range(10):
        try:
            with urlopen(url, timeout=60) as answer:
                return answer.status
        except HTTPError as error:
            if error.code != 425:
                raise
    return 425


@pytest.mark.skipif(sys.platform == "win32", reason="it is stopped by a signal of POSIX")
def test_it_answers_on_loopback_until_it_is_stopped(bare):
    command = [sys.executable, "-m", "fencerow", "serve", str(bare),
               "--port", "0", "--no-open", "--as-of", AS_OF.isoformat()]  # fmt: skip
    with subprocess.Popen(command, stdout=subprocess.PIPE, stderr=subprocess.PIPE) as running:
        try:
            url = re.search(r"http://127\.0\.0\.1:\d+/", running.stdout.readline().decode())[0]
            assert answered(f"{url}api/forms") == 200
            running.send_signal(signal.SIGINT)
            _, complaint = running.communicate(timeout=60)
        finally:
            running.kill()  # else leaving the block would wait for it for ever
    assert b"Traceback" not in complaint


def test_a_port_that_is_taken_is_refused_in_words():
    with socket.socket() as other:
        other.bind((HOST, 0))
        other.listen()
        with pytest.raises(BadInput, match="open already"):
            serve(None, other.getsockname()[1], print, False)
    with pytest.raises(BadInput, match="port 70000"):
        serve(None, 70000, print, False)


def test_the_browser_is_opened_once_there_is_an_answer(monkeypatch, page):
    told = []

    def opened(url):
        with socket.create_connection((HOST, int(url.rstrip("/").rpartition(":")[2])), 5):
            told.append(url)

    def run(self, sockets):
        sockets[0].listen()
        self._tell()

    monkeypatch.setattr("webbrowser.open", opened)
    monkeypatch.setattr("uvicorn.Server.run", run)
    serve(page.app, 0, told.append, True)
    assert len(told) == 2
    assert told[0] == told[1]
