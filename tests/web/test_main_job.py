"""The main job, from a worried question to a reply the keeper can paste."""

import re
from html import unescape
from urllib.parse import parse_qs, urlsplit

import pytest

from kb.store import questions as store

QUESTION = (
    "fish stopped eating since yesterday, pH 7.9, ammonia 2 ppm, water is 27C, 1000 litre tank"
)


@pytest.fixture
def answer(walker):
    """The page that a question leads to."""
    sent = walker.ask(QUESTION)
    assert sent.status_code == 303
    return unescape(walker.get(sent.location).get_data(as_text=True))


def test_the_figures_are_read_and_the_danger_named_with_its_number(answer):
    # Emerson et al. 1975: 2 mg/L at pH 7.9 and 27 C holds 0.0986 mg/L of un-ionised ammonia as N.
    assert "0.099 mg/L of un-ionised ammonia" in answer
    assert "Stop feeding until the ammonia is gone." in answer


def test_no_base_is_offered_while_ammonia_is_dangerous(answer):
    assert "/calculators/raise-ph" not in answer


def test_the_article_comes_with_why_and_how_sure(answer):
    assert "/articles/fish-off-feed" in answer
    assert re.search(r"This answer (fits well|may fit)", answer)
    assert "Why this one:" in answer


def test_troubleshooting_opens_with_the_readings_filled_in(answer, walker):
    link = re.search(r'href="(/symptoms/fish-off-feed\?[^"]+)"', answer)[1]
    given = parse_qs(urlsplit(link).query)
    assert (given["ph"], given["ammonia"], given["temperature"]) == (["7.9"], ["2"], ["27"])
    page = walker.text(link)
    assert page.count("read from your question") == 3
    for part in ("Do this first", "Act now", "Next check", "What it points to", "Speaks for it"):
        assert part in page


def test_the_calculator_opens_with_the_same_figures(answer, walker):
    link = re.search(r'href="(/calculators/ammonia\?[^"]+)"', answer)[1]
    assert "0.099" in walker.text(link)


def test_the_question_is_logged_with_what_answered_it(answer, log):
    (question,) = store.listed(log)
    assert (question.text, question.place, question.urgent) == (QUESTION, "this site", True)
    assert question.article == "fish-off-feed"


def test_asking_again_is_counted(walker, log):
    walker.ask(QUESTION)
    walker.ask(QUESTION)
    assert [question.times for question in store.listed(log)] == [2]


def test_looking_at_an_answer_logs_nothing(walker, log):
    walker.get("/answers?q=why+is+my+water+cloudy")
    assert store.listed(log) == ()


def test_what_nothing_answers_is_logged_as_such(walker, log):
    page = walker.get(walker.ask("What time does the summer concert start?").location)
    assert "No answer here fits well" in page.get_data(as_text=True)
    (question,) = store.listed(log)
    assert (question.verdict, question.article) == ("none", None)


def test_someone_can_leave_where_a_reply_reaches_them(walker, log):
    page = walker.ask("What time does the summer concert start?").location
    left = walker.post(page, "/questions/contact", asked_by="finch_3", link="https://example.org/1")
    assert "Thank you, finch_3" in left.get_data(as_text=True)
    (question,) = store.listed(log)
    assert (question.asked_by, question.link) == ("finch_3", "https://example.org/1")


def test_the_reply_holds_answer_article_and_the_askers_own_figures(keeper, walker, log):
    walker.ask(QUESTION)
    (question,) = store.listed(log)
    page = keeper.text(f"/desk/questions/{question.id}")
    reply = re.search(r"<textarea[^>]*>(.*?)</textarea>", page, re.DOTALL)[1]
    assert "0.099 mg/L" in reply
    assert "/articles/fish-off-feed" in reply
    assert "/symptoms/fish-off-feed?ph=7.9&temperature=27&ammonia=2" in reply
    assert "/calculators/ammonia?ammonia=2&ph=7.9&temperature=27" in reply
    assert "](" not in reply


def test_every_link_of_the_reply_leads_somewhere(keeper, walker, log):
    walker.ask(QUESTION)
    (question,) = store.listed(log)
    reply = keeper.text(f"/desk/questions/{question.id}").split("</textarea>")[0]
    links = re.findall(r"http://127\.0\.0\.1:8750(\S+)", reply)
    assert len(links) >= 3
    assert {walker.get(link).status_code for link in links} == {200}


def test_another_article_can_be_picked_for_the_reply(keeper, walker, log):
    walker.ask(QUESTION)
    (question,) = store.listed(log)
    page = keeper.text(f"/desk/questions/{question.id}?article=birds-and-frights")
    assert "/articles/birds-and-frights" in page.split("<textarea")[1].split("</textarea>")[0]


def test_a_replied_question_leaves_the_pile_and_keeps_its_reply(keeper, walker, log):
    walker.ask(QUESTION)
    (question,) = store.listed(log)
    page = f"/desk/questions/{question.id}"
    keeper.post(page, f"{page}/reply", text="All the best", article="fish-off-feed")
    assert store.counts(log) == {"open": 0, "replied": 1, "set-aside": 0}
    assert "All the best" in keeper.text(page)


def test_a_question_can_be_set_aside_and_opened_again(keeper, walker, log):
    walker.ask(QUESTION)
    (question,) = store.listed(log)
    page = f"/desk/questions/{question.id}"
    for state in ("set-aside", "open"):
        keeper.post(page, f"{page}/state", state=state)
        assert store.get(log, question.id).state == state


def test_a_link_that_is_no_web_address_is_shown_as_text(keeper, client, log):
    client.post("/api/questions", json={"text": "cloudy?", "link": "javascript:alert(1)"})
    (question,) = store.listed(log)
    page = keeper.text(f"/desk/questions/{question.id}")
    assert 'href="javascript' not in page
    assert "javascript:alert(1)" in page
