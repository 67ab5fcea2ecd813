"""`standpipe serve` as it is run: one server a folder, logs, proxies, a stop that loses nothing."""

import http.client
import re
import signal
import socket
import sqlite3
import subprocess
import sys
import time
from contextlib import contextmanager

import pytest

COMMAND = [sys.executable, "-c", "from web.cli import main; main()"]
JSON = {"Content-Type": "application/json"}


def free_port():
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return probe.getsockname()[1]


@contextmanager
def served(folder, *words):
    """A server on this folder that answers; its process and its port."""
    port = free_port()
    command = [*COMMAND, "serve", "--data", str(folder), "--port", str(port), *words]
    process = subprocess.Popen(command, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True)
    try:
        for _ in range(600):
            if process.poll() is not None:
                raise AssertionError(process.communicate()[1])
            try:
                if ask(port, "GET", "/healthz").status == 200:
                    break
            except OSError:
                time.sleep(0.05)
        yield process, port
    finally:
        process.kill()
        process.communicate()


def ask(port, method, path, body=None, headers=None, host=None):
    connection = http.client.HTTPConnection(host or "127.0.0.1", port, timeout=60)
    try:
        connection.request(method, path, body, headers or {})
        answer = connection.getresponse()
        answer.text = answer.read().decode()
        return answer
    finally:
        connection.close()


@pytest.fixture(scope="module")
def running(tmp_path_factory):
    """One server for the tests that only look."""
    folder = tmp_path_factory.mktemp("served")
    with served(folder, "--access-log", str(folder / "access.log")) as (process, port):
        yield folder, process, port


def test_requests_stand_in_the_access_log(running):
    folder, _process, port = running
    ask(port, "GET", "/articles/", headers={"User-Agent": "reader"})
    written = (folder / "access.log").read_text()
    assert re.search(
        r'127\.0\.0\.1 - - \[.*\] "GET /articles/ HTTP/1\.1" 200 \d+ "-" "reader"', written
    )


def test_a_second_server_on_the_same_folder_is_refused_in_one_sentence(running):
    folder, process, port = running
    command = [*COMMAND, "serve", "--data", str(folder), "--port", str(free_port())]
    done = subprocess.run(command, capture_output=True, text=True, timeout=60)
    assert done.returncode == 2
    assert done.stderr.count("\n") == 1
    assert f"is being served already (process {process.pid})" in done.stderr
    assert ask(port, "GET", "/healthz").status == 200


def test_nothing_is_restored_under_a_running_server(running):
    folder, _process, port = running
    copy = folder / "copy.db"
    run = [*COMMAND, "backup", str(copy), "--data", str(folder)]
    assert subprocess.run(run, capture_output=True, timeout=60).returncode == 0
    run = [*COMMAND, "restore", str(copy), "--data", str(folder)]
    done = subprocess.run(run, capture_output=True, text=True, timeout=60)
    assert (done.returncode, done.stderr.count("\n")) == (2, 1)
    assert "is being served already" in done.stderr
    assert ask(port, "GET", "/healthz").status == 200


def test_a_port_in_use_is_named_in_one_sentence(running, tmp_path):
    _folder, _process, port = running
    command = [*COMMAND, "serve", "--data", str(tmp_path), "--port", str(port)]
    done = subprocess.run(command, capture_output=True, text=True, timeout=60)
    assert done.returncode == 2
    assert f"127.0.0.1:{port} cannot be served" in done.stderr
    assert "Traceback" not in done.stderr


def test_forwarded_addresses_are_not_believed_unless_told(running):
    folder, _process, port = running
    ask(port, "GET", "/sources", headers={"X-Forwarded-For": "203.0.113.9"})
    assert "203.0.113.9" not in (folder / "access.log").read_text()


def test_bodies_and_headers_without_end_are_refused(running):
    _folder, _process, port = running
    declared = {"Content-Length": str(10**12), "Content-Type": "application/json"}
    for path, headers, status in (
        ("/api/questions", declared, 413),
        ("/healthz", {"X-Long": "x" * 200_000}, 431),
    ):
        connection = http.client.HTTPConnection("127.0.0.1", port, timeout=60)
        try:
            connection.putrequest("POST" if "api" in path else "GET", path)
            for name, value in headers.items():
                connection.putheader(name, value)
            connection.endheaders()
            assert connection.getresponse().status == status
        finally:
            connection.close()


def test_behind_one_proxy_the_visitors_address_and_scheme_count(tmp_path):
    log = tmp_path / "access.log"
    with served(tmp_path, "--proxies", "1", "--access-log", str(log)) as (_process, port):
        forwarded = {"X-Forwarded-For": "198.51.100.7, 203.0.113.9", "X-Forwarded-Proto": "https"}
        assert ask(port, "GET", "/articles/", headers=forwarded).status == 200
        assert "203.0.113.9 - - " in log.read_text()
        assert "198.51.100.7" not in log.read_text()  # what the visitor claims is no fact


def test_a_stop_finishes_what_was_begun_and_exits_with_0(tmp_path):
    """Every question is answered and logged that was sent before the signal."""
    with served(tmp_path) as (process, port):
        connections = [http.client.HTTPConnection("127.0.0.1", port, timeout=60) for _ in range(6)]
        for number, connection in enumerate(connections):
            body = b'{"text": "question %d: why is my water cloudy?"}' % number
            connection.request("POST", "/api/questions", body, JSON)
        time.sleep(0.5)  # all are read, none needs to be answered yet
        process.send_signal(signal.SIGTERM)
        answers = [connection.getresponse() for connection in connections]
        assert [answer.status for answer in answers] == [201] * len(connections)
        assert all(b'"question"' in answer.read() for answer in answers)
        for connection in connections:
            connection.close()
        assert process.wait(60) == 0
        assert "Traceback" not in process.stderr.read()
    log = sqlite3.connect(tmp_path / "standpipe.db")
    assert log.execute("select count(*) from questions").fetchone()[0] == len(connections)
    log.close()


def test_an_idle_server_stops_at_once(tmp_path):
    with served(tmp_path) as (process, port):
        waiting = http.client.HTTPConnection("127.0.0.1", port, timeout=60)
        waiting.request("GET", "/healthz")
        waiting.getresponse().read()  # the connection stays open, with nothing asked
        start = time.monotonic()
        process.send_signal(signal.SIGINT)
        assert process.wait(60) == 0
        assert time.monotonic() - start < 5
        waiting.close()
