"""The access log: Combined Log Format, as the reference log reader of this test takes it apart.

The format is that of the Apache HTTP Server's documentation, “Combined Log Format”:
``%h %l %u %t "%r" %>s %b "%{Referer}i" "%{User-agent}i"``.
"""

import datetime
import logging
import re

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from web import access_log

AT = 971211336.0  # the moment of the documentation's own example, in UTC
COMBINED = re.compile(
    r"(?P<host>\S+) (?P<ident>\S+) (?P<user>\S+) \[(?P<time>[^\]]+)\] "
    r'"(?P<request>(?:[^"\\]|\\.)*)" (?P<status>\d{3}) (?P<size>\d+|-) '
    r'"(?P<referer>(?:[^"\\]|\\.)*)" "(?P<agent>(?:[^"\\]|\\.)*)"'
)


def line(status="200 OK", size="2326", **environment):
    usual = {
        "REQUEST_METHOD": "GET",
        "PATH_INFO": "/mark.gif",
        "SERVER_PROTOCOL": "HTTP/1.0",
        "REMOTE_ADDR": "127.0.0.1",
    }
    headers = [("Content-Length", size)] if size else []
    return access_log.line(usual | environment, status, headers, AT)


def test_a_line_has_the_parts_of_the_combined_format():
    found = COMBINED.fullmatch(
        line(HTTP_REFERER="http://www.example.com/start.html", HTTP_USER_AGENT="Reader/4.08 [en]")
    )
    assert found.groupdict() == {
        "host": "127.0.0.1",
        "ident": "-",
        "user": "-",
        "time": "10/Oct/2000:20:55:36 +0000",
        "request": "GET /mark.gif HTTP/1.0",
        "status": "200",
        "size": "2326",
        "referer": "http://www.example.com/start.html",
        "agent": "Reader/4.08 [en]",
    }
    moment = datetime.datetime.strptime(found["time"], "%d/%b/%Y:%H:%M:%S %z")
    assert moment.timestamp() == AT


def test_what_is_missing_is_a_hyphen():
    assert COMBINED.fullmatch(line("304 Not Modified", size=""))["size"] == "-"


@pytest.mark.parametrize("part", ["PATH_INFO", "HTTP_USER_AGENT", "HTTP_REFERER", "REQUEST_METHOD"])
@pytest.mark.parametrize("evil", ['a" 200 1 "', "a\nb", "a\r\nb", "a\\", "a\x00\x1b[31m", "ä🐟"])
def test_no_request_can_forge_a_line_or_break_a_quote(part, evil):
    written = line(**{part: evil})
    assert COMBINED.fullmatch(written)
    assert written.isascii()
    assert written.isprintable()


@settings(max_examples=150, deadline=None)
@given(st.lists(st.text(), min_size=4, max_size=4))
def test_every_request_is_one_line_that_can_be_taken_apart(parts):
    names = ("PATH_INFO", "HTTP_USER_AGENT", "HTTP_REFERER", "REMOTE_ADDR")
    written = line(**dict(zip(names, (part.replace(" ", "") for part in parts), strict=True)))
    assert COMBINED.fullmatch(written)
    assert written.isascii()


def test_no_request_makes_a_line_without_end():
    assert len(line(PATH_INFO="/" + "x" * 10**6, HTTP_USER_AGENT="y" * 10**6)) < 10_000


def test_words_and_readings_stay_out_of_the_log():
    written = line(
        PATH_INFO="/answers",
        QUERY_STRING="q=my+fish+are+dying",
        HTTP_REFERER="http://127.0.0.1:8750/symptoms/foam?ph=7",
    )
    assert "dying" not in written
    assert "ph=7" not in written
    assert '"GET /answers?... HTTP/1.0"' in written


def test_a_log_that_was_moved_away_is_begun_anew(tmp_path):
    log = access_log.logger(str(tmp_path / "access.log"), "test.access")
    log.info("first")
    (tmp_path / "access.log").rename(tmp_path / "access.log.1")
    log.info("second")
    assert (tmp_path / "access.log").read_text() == "second\n"
    assert (tmp_path / "access.log.1").read_text() == "first\n"
    for handler in log.handlers:
        handler.close()
    logging.getLogger("test.access").handlers = []
