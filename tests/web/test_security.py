"""The desk is the keeper's alone, forms carry tokens, and limits hold."""

import datetime

import pytest

from kb.errors import KbError
from kb.store import keeper as keeper_store
from web import security

DESK = ["/desk/", "/desk/questions/1"]
NOW = datetime.datetime(2026, 4, 1, tzinfo=datetime.UTC)


@pytest.mark.parametrize("address", DESK)
def test_strangers_are_led_to_the_login(walker, address):
    got = walker.get(address)
    assert got.status_code == 302
    assert got.location.startswith("/desk/login")


@pytest.mark.parametrize("address", ["/desk/questions/1/reply", "/desk/questions/1/forget"])
def test_strangers_change_nothing(walker, address):
    assert walker.post("/", address, text="x").location.startswith("/desk/login")


@pytest.mark.parametrize("address", ["/questions", "/questions/contact", "/desk/login"])
def test_a_form_without_its_token_is_refused(walker, address):
    assert walker.client.post(address, data={"q": "hello"}).status_code == 400


def test_the_wrong_passphrase_opens_nothing(app, keeper, walker):
    got = walker.post("/desk/login", "/desk/login", passphrase="wrong wrong wrong")
    assert got.status_code == 403
    assert walker.get("/desk/").status_code == 302


def test_without_a_passphrase_set_nobody_gets_in(walker):
    assert walker.post("/desk/login", "/desk/login", passphrase="").status_code == 403


def test_guessing_is_slowed_down(walker, keeper):
    codes = [
        walker.post("/desk/login", "/desk/login", passphrase=f"guess {n}").status_code
        for n in range(12)
    ]
    assert codes[0] == 403
    assert codes[-1] == 429


def test_a_new_passphrase_closes_open_desks(keeper, log):
    assert keeper.get("/desk/").status_code == 200
    security.set_passphrase(log, "quite another set of words", now=NOW)
    assert keeper.get("/desk/").status_code == 302


def test_leaving_the_desk_closes_it(keeper):
    keeper.post("/desk/", "/desk/logout")
    assert keeper.get("/desk/").status_code == 302


@pytest.mark.parametrize("goal", ["https://example.org/", "//example.org", "/\\example.org"])
def test_the_login_never_leads_off_the_site(app, keeper, walker, goal):
    address = f"/desk/login?next={goal}"
    got = walker.post("/desk/login", address, passphrase="six wet hands in the tank")
    assert got.location == "/desk/"


def test_the_passphrase_is_kept_only_as_a_hash(log):
    security.set_passphrase(log, "a phrase nobody knows", now=NOW)
    assert keeper_store.passphrase_hash(log).startswith("$argon2id$")
    assert "nobody knows" not in "".join(log.iterdump())


@pytest.mark.parametrize("words", ["short", "x" * 201])
def test_a_passphrase_of_the_wrong_length_is_refused(log, words):
    with pytest.raises(KbError, match="use 12 to 200"):
        security.set_passphrase(log, words, now=NOW)


def test_the_session_cookie_is_out_of_scripts_reach(keeper, walker):
    cookie = walker.get("/").headers["Set-Cookie"]
    assert "HttpOnly" in cookie
    assert "SameSite=Lax" in cookie


def test_one_address_leaves_only_so_many_questions(walker):
    codes = {walker.ask(f"question number {n}").status_code for n in range(25)}
    assert codes == {303, 429}


def test_the_secret_key_is_readable_by_its_owner_alone(app):
    file = app.config["DATA"] / "secret.key"
    assert file.stat().st_mode & 0o077 == 0


def test_a_damaged_database_leaves_the_answers_working(app, walker):
    (app.config["DATA"] / "standpipe.db").write_bytes(b"rubbish" * 500)
    assert walker.get("/articles/raising-ph").status_code == 200
    assert walker.ask("why is my water cloudy").status_code == 303
    assert walker.get("/healthz").status_code == 503
