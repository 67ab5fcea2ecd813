"""The desk is the keeper's alone, forms carry tokens, and limits hold."""

import datetime
import re
import time

import pytest

from kb.errors import KbError
from kb.store import keeper as keeper_store
from kb.store import open_database
from web import create_app, security
from web.config import Settings

DESK = ["/desk/", "/desk/questions/1"]
PASSPHRASE = "six wet hands in the tank"
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


def test_a_desk_that_was_left_stays_closed_to_a_copy_of_its_cookie(app, keeper):
    cookie = keeper.client.get_cookie("standpipe").value
    keeper.post("/desk/", "/desk/logout")
    thief = app.test_client()
    thief.set_cookie("standpipe", cookie)
    assert thief.get("/desk/").status_code == 302


def test_a_desk_closes_by_itself_after_its_time(keeper, log):
    log.execute("update open_desks set until = 0")
    log.conn.commit()
    assert keeper.get("/desk/").status_code == 302


def test_two_logins_are_two_desks(app, keeper, walker):
    other = type(walker)(app.test_client())
    other.post("/desk/login", "/desk/login", passphrase="six wet hands in the tank")
    other.post("/desk/", "/desk/logout")
    assert keeper.get("/desk/").status_code == 200


def test_the_log_keeps_no_login_that_could_be_used(keeper, log):
    with keeper.client.session_transaction() as session:
        mark = session["_user_id"]
    assert len(mark) >= 43  # 256 bits
    assert mark not in "".join(log.iterdump())


def test_the_limit_on_guessing_survives_a_restart(app, content, keeper, walker):
    for number in range(10):
        walker.post("/desk/login", "/desk/login", passphrase=f"guess {number}")
    values = {"DATA": app.config["DATA"]}
    again = create_app(values, content.library, content.rulebook).test_client()
    got = type(walker)(again).post("/desk/login", "/desk/login", passphrase=PASSPHRASE)
    assert got.status_code == 429


def test_a_longer_passphrase_with_the_right_beginning_is_wrong(log):
    words = "so many wet pebbles below " * 7 + "the tank in June x"
    assert len(words) == security.LONGEST_PASSPHRASE
    security.set_passphrase(log, words, now=NOW)
    assert security.check_passphrase(log, words)
    assert not security.check_passphrase(log, words + "y")


# The first ones of at least 12 characters in lists of the commonest passwords; from memory.
@pytest.mark.parametrize(
    "words",
    ["123456789012", "passwordpassword", "qwertyuiop123", "iloveyou1234", "aaaaaaaaaaaaaa"],
)
def test_a_passphrase_that_everybody_guesses_is_refused(log, words):
    with pytest.raises(KbError, match="easily guessed"):
        security.set_passphrase(log, words, now=NOW)


def test_every_passphrase_made_up_is_safe_and_none_comes_twice():
    made = {security.new_passphrase() for _ in range(50)}
    assert len(made) == 50
    assert not any(security.is_easily_guessed(words) for words in made)


def test_a_wrong_passphrase_takes_as_long_as_one_that_is_not_set(tmp_path):
    """Whether there is a passphrase, and how much of one is right, shows in no time taken."""
    db = open_database(tmp_path / "log.db")

    def quickest(given):
        times = []
        for _ in range(5):
            start = time.perf_counter()
            security.check_passphrase(db, given)
            times.append(time.perf_counter() - start)
        return min(times)

    unset = quickest(PASSPHRASE[:-1])
    security.set_passphrase(db, PASSPHRASE, now=NOW)
    times = [unset, quickest(PASSPHRASE[:-1]), quickest("x" * 14), quickest("x" * 190)]
    db.close()
    assert max(times) < 2 * min(times)


def test_over_https_cookies_and_headers_are_bound_to_the_site(tmp_path, content, walker):
    settings = Settings(address="https://ask.example.org")
    values = {"DATA": tmp_path / "https", "SETTINGS": settings}
    client = create_app(values, content.library, content.rulebook).test_client()
    got = client.get("/", base_url="https://ask.example.org")
    cookie = got.headers["Set-Cookie"]
    assert cookie.startswith("__Host-standpipe=")
    assert {"Secure", "HttpOnly", "Path=/", "SameSite=Lax"} <= set(cookie.split("; "))
    assert "Domain" not in cookie
    assert int(re.search(r"max-age=(\d+)", got.headers["Strict-Transport-Security"])[1]) >= 31536000


def test_leaving_the_desk_clears_what_the_browser_kept(keeper):
    assert keeper.post("/desk/", "/desk/logout").headers["Clear-Site-Data"] == '"cache", "storage"'
