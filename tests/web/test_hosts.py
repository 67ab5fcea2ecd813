"""The site answers under its own addresses alone (RFC 9110, 7.4 and 15.5.20)."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from web import create_app
from web.config import Settings
from web.hosts import LONGEST_ADDRESS, is_ours

PUBLIC = Settings(address="https://ask.example.org")
LAN = Settings(address="http://192.168.1.20:8750", other_addresses=("http://greenhouse.lan:8750",))
LOCAL = Settings()
ANYWHERE = Settings(address="http://0.0.0.0:8750")


@pytest.mark.parametrize(
    ("settings", "host", "ours"),
    [
        (PUBLIC, "ask.example.org", True),
        (PUBLIC, "ASK.example.org:443", True),
        (PUBLIC, "ask.example.org.", True),
        (PUBLIC, "ask.example.org:8443", False),
        (PUBLIC, "ask.example.org.evil.example", False),
        (PUBLIC, "evil.example", False),
        (PUBLIC, "127.0.0.1", False),
        (PUBLIC, "", False),
        (LAN, "192.168.1.20:8750", True),
        (LAN, "greenhouse.lan:8750", True),
        (LAN, "192.168.1.21:8750", False),
        (LOCAL, "localhost:8750", True),
        (LOCAL, "127.0.0.1:9000", True),
        (LOCAL, "[::1]:8750", True),
        (LOCAL, "rebound.example:8750", False),
        (ANYWHERE, "192.168.1.20:8750", True),
        (ANYWHERE, "[fd00::5]:8750", True),
        (ANYWHERE, "rebound.example:8750", False),
        (ANYWHERE, "a:b:c", False),
        (ANYWHERE, "x:99999999", False),
    ],
)
def test_only_our_own_names_are_answered(settings, host, ours):
    assert is_ours(host, settings) is ours


@settings(max_examples=200, deadline=None)
@given(st.text() | st.from_regex(r"[a-z0-9.:\[\]@/-]{0,40}", fullmatch=True))
def test_no_made_up_host_is_ours_and_none_breaks_the_check(host):
    ours = "ask.example.org"
    assert not is_ours(host, PUBLIC) or host.casefold().partition(":")[0].rstrip(".") == ours


def test_a_health_check_may_come_from_the_machine_itself():
    assert is_ours("127.0.0.1:8750", PUBLIC, for_health=True)
    assert not is_ours("evil.example", PUBLIC, for_health=True)


@pytest.fixture
def public(tmp_path, content):
    values = {"DATA": tmp_path / "data", "SETTINGS": PUBLIC}
    return create_app(values, content.library, content.rulebook).test_client()


def test_another_host_gets_one_sentence_and_no_page(public):
    got = public.get("/", base_url="https://evil.example")
    assert got.status_code == 421
    assert "This site is at https://ask.example.org/" in got.get_data(as_text=True)
    assert public.get("/api/articles", base_url="https://evil.example").json["errors"]


def test_nothing_of_the_request_gets_into_a_link(public):
    page = public.get("/", base_url="https://ask.example.org").get_data(as_text=True)
    assert "http" not in "".join(part.split('"')[0] for part in page.split('href="')[1:])


def test_a_forwarded_host_is_not_believed_unless_told(public):
    headers = {"X-Forwarded-Host": "evil.example", "X-Forwarded-For": "203.0.113.9"}
    got = public.get("/", base_url="https://ask.example.org", headers=headers)
    assert got.status_code == 200
    assert "evil.example" not in got.get_data(as_text=True)


def test_an_address_without_end_is_refused_with_a_sentence(client):
    got = client.get("/answers?q=" + "x" * LONGEST_ADDRESS)
    assert got.status_code == 414
    assert "too long" in got.get_data(as_text=True)


def test_the_longest_question_fits_into_an_address(client, walker):
    question = "🐟" * 4990  # four bytes each, every byte three characters of the address
    sent = walker.ask(question)
    assert sent.status_code == 303
    assert client.get(sent.location).status_code == 200
