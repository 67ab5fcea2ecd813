"""Questions from the public: limits, traps for programs, and the keeper's way to turn them off."""

import re

import pytest
from itsdangerous import TimestampSigner, URLSafeTimedSerializer

from kb.errors import ContentErrors
from kb.store import open_database
from kb.store import questions as store
from web import create_app, posting
from web.config import Settings, read_settings
from web.database import path_of
from web.limits import mark
from web.posting import NOT_WANTED, QUICKEST_S

QUESTION = "Why is my water cloudy?"


def texts(log):
    return [question.text for question in store.listed(log)]


def site(tmp_path, content, settings=None, **values):
    values = {"DATA": tmp_path / "own", "SETTINGS": settings or Settings(), **values}
    app = create_app(values, content.library, content.rulebook)
    app.extensions["content"] = content
    return app


def test_a_filled_trap_is_answered_but_not_logged(walker, log):
    sent = walker.post("/", "/questions", q=QUESTION, homepage="https://example.org")
    assert sent.status_code == 303
    page = walker.text(sent.location)
    assert "cloudy" in page
    assert "was not passed on to the keeper" in page
    assert "Ask for a reply" not in page
    assert texts(log) == []


def test_people_neither_see_nor_reach_the_trap(walker):
    page = walker.text("/")
    assert re.search(r'class="unseen" aria-hidden="true">.*?name="homepage" tabindex="-1"', page)


@pytest.mark.parametrize(
    ("text", "logged"),
    [
        ("cloudy, see https://example.org/1 and https://example.org/2", True),
        ("cloudy https://a.example http://b.example www.c.example", False),
        ("cloudy [url=a] <a href=b> [URL=c]", False),
    ],
)
def test_a_question_full_of_links_is_not_logged(walker, client, log, text, logged):
    walker.ask(text)
    got = client.post("/api/questions", json={"text": text})
    assert texts(log) == ([text] if logged else [])
    assert got.status_code == (201 if logged else 422)


def test_a_form_sent_at_once_is_answered_but_not_logged(tmp_path, content, walker):
    app = site(tmp_path, content)
    assert app.config["QUICKEST_POST_S"] == QUICKEST_S
    quick = type(walker)(app.test_client())
    assert "please send it once more" in quick.text(quick.ask(QUESTION).location)


def test_a_form_that_was_read_first_is_logged(tmp_path, content, walker):
    app = site(tmp_path, content, QUICKEST_POST_S=-1.0)  # no time is too short
    slow = type(walker)(app.test_client())
    assert "Ask for a reply" in slow.text(slow.ask(QUESTION).location)


def test_one_address_fills_its_hour_and_others_are_free(app, walker, log):
    codes = [walker.ask(f"question number {n}").status_code for n in range(21)]
    assert codes == [303] * 20 + [429]
    other = type(walker)(app.test_client())
    token = re.search(r'name="csrf_token" value="([^"]+)"', other.text("/"))[1]
    got = other.client.post(
        "/questions",
        data={"csrf_token": token, "q": QUESTION},
        environ_base={"REMOTE_ADDR": "203.0.113.9"},
    )
    assert got.status_code == 303


def test_the_limit_says_how_long_to_wait_and_survives_a_restart(tmp_path, content, walker):
    settings = Settings(questions_an_hour=1)
    for expected in (201, 429):  # a fresh application on the same data
        client = site(tmp_path, content, settings).test_client()
        got = client.post("/api/questions", json={"text": QUESTION})
        assert got.status_code == expected
    assert "at most 1 in 60 minutes" in got.json["errors"][0]["message"]
    assert 3500 < int(got.headers["Retry-After"]) <= 3601


def test_form_and_json_share_one_limit(client, walker):
    for n in range(20):
        client.post("/api/questions", json={"text": f"question {n}"})
    assert walker.ask(QUESTION).status_code == 429


def test_the_log_holds_no_address(client, log):
    client.post("/api/questions", json={"text": QUESTION})
    assert "127.0.0.1" not in "".join(log.iterdump())
    assert log.table("limits").count == 1


def test_a_network_of_ipv6_addresses_is_one_address(app):
    with app.app_context():
        assert mark("2001:db8:1:2::1") == mark("2001:db8:1:2:ffff::9")
        assert mark("2001:db8:1:2::1") != mark("2001:db8:1:3::1")
        assert mark("::ffff:203.0.113.9") == mark("203.0.113.9")
        assert mark("203.0.113.9") != mark("203.0.113.8")


def test_without_public_posting_an_answer_is_only_looked_up(tmp_path, content, walker):
    closed = type(walker)(site(tmp_path, content, Settings(public_questions=False)).test_client())
    home = closed.text("/")
    assert 'action="/questions"' not in home
    assert 'method="get" action="/answers"' in home
    page = closed.text("/answers?q=why+is+my+water+cloudy")
    assert "cloudy" in page
    assert "csrf_token" not in page


def test_without_public_posting_every_way_in_says_so(tmp_path, content):
    settings = Settings(public_questions=False)
    app = site(tmp_path, content, settings, WTF_CSRF_ENABLED=False)
    client = app.test_client()
    for address in ("/questions", "/questions/contact"):
        got = client.post(address, data={"q": QUESTION})
        assert got.status_code == 403
        assert NOT_WANTED in got.get_data(as_text=True)
    got = client.post("/api/questions", json={"text": QUESTION})
    assert (got.status_code, got.json["errors"][0]["message"]) == (403, NOT_WANTED)
    log = open_database(path_of(app))
    assert texts(log) == []
    log.close()


def test_the_settings_file_turns_posting_off(tmp_path):
    (tmp_path / "settings.toml").write_text("public_questions = false\n")
    assert read_settings(tmp_path).public_questions is False
    (tmp_path / "settings.toml").write_text('public_questions = "no"\n')
    with pytest.raises(ContentErrors, match="public_questions: must be true or false"):
        read_settings(tmp_path)


def test_the_settings_file_names_further_addresses(tmp_path):
    (tmp_path / "settings.toml").write_text('other_addresses = ["greenhouse.lan"]\n')
    with pytest.raises(ContentErrors, match="must begin with http"):
        read_settings(tmp_path)


@pytest.mark.parametrize(("ahead_s", "doubted"), [(-3600, False), (0, True), (3600, False)])
def test_a_form_from_before_the_clock_was_set_back_counts_as_read(app, ahead_s, doubted):
    class Signer(TimestampSigner):
        def get_timestamp(self):
            return super().get_timestamp() + ahead_s

    app.config["QUICKEST_POST_S"] = 60.0
    form = URLSafeTimedSerializer(app.secret_key, salt="wtf-csrf-token", signer=Signer)
    with app.test_request_context("/questions", data={"csrf_token": form.dumps("x")}):
        assert bool(posting.why_not_logged(QUESTION)) is doubted
