"""The desk: piles, replies for one and for many, marks that are undone, nothing done twice."""

import datetime
import re

import pytest

from kb.store import acts, groups, places, replies, triage, wordings
from kb.store import questions as store
from kb.store.places import Place
from kb.store.questions import Judgement, NewQuestion

NOW = datetime.datetime(2026, 4, 1, 12, tzinfo=datetime.UTC)
STRONG = Judgement("strong", "cloudy-water", urgent=False)
POSSIBLE = Judgement("possible", "cloudy-water", urgent=False)
NOTHING = Judgement("none", None, urgent=False)
CHATTER = Judgement("none", None, urgent=False, asks=False)
URGENT = Judgement("possible", "fish-gasping", urgent=True)
NAMES = ("finch_3", "wren_4", "heron_5")


def put(log, text, judgement, place="video comments", **more):
    return store.log(log, NewQuestion(text, place, **more), judgement, now=NOW)[0]


@pytest.fixture
def pile(log):
    """One question of each section, and two more that one article answers."""
    found = {
        "urgent": put(log, "fish gasping at the surface now, pH 8.4, ammonia 3 ppm, 28C", URGENT),
        "doubtful": put(log, "why is it grey", POSSIBLE),
        "gaps": put(log, "can snails sing?", NOTHING),
        "chatter": put(log, "lovely tank", CHATTER),
    }
    found["answered"] = [
        put(log, f"my water is cloudy ({name})", STRONG, asked_by=name) for name in NAMES
    ]
    return found


def form_of(page, number=None):
    """The hidden fields of the reply form on a page."""
    form = page.split('id="replying"')[1].split("</form>")[0]
    return dict(re.findall(r'name="(\w+)" value="([^"]*)"', form))


def test_the_front_page_counts_every_section_and_shows_why_it_is_urgent(keeper, pile):
    page = keeper.text("/desk/")
    nav = page.split('class="piles"')[1].split("</nav>")[0]
    counts = [int(n) for n in re.findall(r'class="count">(\d+)<', nav)]
    assert counts == [1, 3, 1, 1, 1, 0, 0]
    assert "“fish gasping at the”: fish may be dying now" in page
    assert "mg/L of un-ionised ammonia" in page
    assert page.index("fish gasping at the surface") < page.index("my water is cloudy")


def test_every_section_lists_its_own(keeper, pile):
    assert "lovely tank" in keeper.text("/desk/?section=chatter")
    assert "lovely tank" not in keeper.text("/desk/?section=doubtful")
    assert "lovely tank" not in keeper.text("/desk/?section=gaps")
    assert keeper.get("/desk/?section=rubbish").status_code == 404
    assert keeper.get("/desk/questions/1?pile=rubbish").status_code == 404


def test_after_marking_the_next_of_the_pile_opens_with_its_reply(keeper, pile, log):
    first, second, _ = pile["answered"]
    page = f"/desk/questions/{first}?pile=answered"
    fields = form_of(keeper.text(page))
    got = keeper.post(page, f"/desk/questions/{first}/reply", **fields, text="All the best")
    assert got.location == f"/desk/questions/{second}?pile=answered"
    following = keeper.text(got.location)
    assert f"Question {first} is marked as replied." in following
    assert "/articles/cloudy-water" in following.split("<textarea")[1]
    assert store.get(log, first).state == "replied"


def test_the_last_of_a_pile_leads_to_the_desk(keeper, pile):
    page = f"/desk/questions/{pile['chatter']}?pile=chatter"
    fields = form_of(keeper.text(page))
    address = f"/desk/questions/{pile['chatter']}/reply"
    assert keeper.post(page, address, **fields, text="Thanks").location == "/desk/"


def test_a_reply_sent_twice_or_from_two_tabs_is_kept_once(keeper, pile, log):
    first = pile["answered"][0]
    page = f"/desk/questions/{first}?pile=answered"
    fields = form_of(keeper.text(page))
    for text in ("once", "once", "from the other tab"):
        keeper.post(page, f"/desk/questions/{first}/reply", **fields, text=text)
    assert [reply.text for reply in replies.of_question(log, first)] == ["once"]


def test_undo_gives_the_state_back_keeps_the_reply_and_works_once(keeper, pile, log):
    first = pile["answered"][0]
    page = f"/desk/questions/{first}?pile=answered"
    keeper.post(page, f"/desk/questions/{first}/reply", **form_of(keeper.text(page)), text="a")
    act = re.search(r'name="act" value="(\d+)"', keeper.text("/desk/"))[1]
    assert keeper.post("/desk/", "/desk/undo", act=act).location == f"/desk/questions/{first}"
    assert store.get(log, first).state == "open"
    assert "taken back on" in keeper.text(f"/desk/questions/{first}")
    store.set_state(log, first, "replied")
    keeper.post("/desk/", "/desk/undo", act=act)
    assert store.get(log, first).state == "replied"


def test_an_older_act_does_not_undo_what_came_after(log, pile):
    first = pile["answered"][0]
    replied = acts.reply(log, [acts.NewReply(first, "a", None, 0)], now=NOW)
    reopened = acts.move(log, [(first, acts.version(log, first))], "open", now=NOW)
    assert acts.undo(log, replied.act, now=NOW) == ()
    assert store.get(log, first).state == "open"
    assert acts.undo(log, reopened.act, now=NOW) == (first,)
    assert store.get(log, first).state == "replied"


def test_one_page_replies_to_everyone_with_their_own_name(keeper, pile, log):
    page = keeper.text("/desk/answers/cloudy-water")
    texts = re.findall(r"<textarea[^>]*>(.*?)</textarea>", page, re.DOTALL)
    assert [text.split("\n")[0].strip() for text in texts] == [f"Hi {name}," for name in NAMES]
    first, second, third = pile["answered"]
    fields = dict(re.findall(r'name="((?:seen|text)-\d+)" value="([^"]*)"', page))
    fields |= {f"text-{number}": f"for {number}" for number in pile["answered"]}
    for _ in range(2):
        keeper.post("/desk/", "/desk/answers/cloudy-water", question=[first, second], **fields)
    states = [store.get(log, number).state for number in (first, second, third)]
    assert states == ["replied", "replied", "open"]
    assert [reply.text for reply in replies.of_question(log, second)] == [f"for {second}"]
    acts.undo(log, acts.last(log).id, now=NOW)
    assert store.get(log, second).state == "open"


def test_a_reply_that_is_empty_or_too_long_changes_nothing(keeper, pile, log):
    first = pile["answered"][0]
    page = f"/desk/questions/{first}"
    for text in ("  ", "x" * 10_001):
        got = keeper.post(page, f"{page}/reply", text=text)
        assert got.status_code == 422
    assert triage.counts(log)["answered"] == 3
    assert acts.last(log) is None


def test_a_place_sets_its_own_length_and_greeting(keeper, pile):
    keeper.post(
        "/desk/places/",
        "/desk/places/",
        place="video comments",
        longest_reply="280",
        greeting="Hello {name}!",
    )
    page = keeper.text(f"/desk/questions/{pile['answered'][0]}")
    reply = re.search(r"<textarea[^>]*>(.*?)</textarea>", page, re.DOTALL)[1].strip()
    assert reply.startswith("Hello finch_3!")
    assert len(reply) <= 280
    assert reply.count("http://") >= 1
    assert f"{len(reply)} of 280 characters" in page


@pytest.mark.parametrize(
    ("fields", "said"),
    [
        ({"longest_reply": "many"}, "is no number of characters"),
        ({"longest_reply": "20"}, "must be from 100 to 10000"),
        ({"greeting": "Hi {nick}"}, "only {name} may stand in curly brackets"),
        ({"place": ""}, "Name the place"),
    ],
)
def test_a_place_refuses_what_it_cannot_use(keeper, log, fields, said):
    got = keeper.post("/desk/places/", "/desk/places/", **{"place": "club", **fields})
    assert got.status_code == 422
    assert said in got.get_data(as_text=True)
    assert places.get(log, "club") == Place("club")


def test_the_link_can_lead_to_a_heading_of_the_article(keeper, walker, pile):
    first = pile["answered"][0]
    page = keeper.text(f"/desk/questions/{first}?heading=first-checks-in-order")
    assert "/articles/cloudy-water#first-checks-in-order" in page.split("<textarea")[1]
    assert 'id="first-checks-in-order"' in walker.text("/articles/cloudy-water")


def test_confirming_teaches_the_wording_and_correcting_moves_it(keeper, pile, log):
    number = pile["doubtful"]
    page = f"/desk/questions/{number}"
    keeper.post(page, f"{page}/learn", article="cloudy-water", pile="doubtful")
    keeper.post(page, f"{page}/learn", article="brown-water", pile="doubtful")
    (wording,) = wordings.listed(log)
    assert (wording.article, wording.text, wording.how) == (
        "brown-water", "why is it grey", "corrected",
    )  # fmt: skip
    assert store.get(log, number).article == "brown-water"
    assert store.get(log, number).verdict == "strong"
    listed = keeper.text("/desk/wordings/")
    assert "why is it grey" in listed
    assert "# articles/brown-water.md" in keeper.text("/desk/wordings/export")
    keeper.post("/desk/wordings/", "/desk/wordings/remove", wording=wording.id)
    assert wordings.listed(log) == ()


def test_a_forgotten_question_teaches_nothing(keeper, pile, log):
    number = pile["doubtful"]
    page = f"/desk/questions/{number}"
    store.forget(log, number)
    got = keeper.post(page, f"{page}/learn", article="cloudy-water")
    assert got.status_code == 422
    assert wordings.listed(log) == ()


@pytest.fixture
def snails(log):
    """A group of two about snails, and another of one."""
    numbers = [put(log, text, NOTHING) for text in ("can snails sing?", "do snails hum", "moss?")]
    group = groups.assign(log, numbers[0], text="can snails sing?", article=None, at="2026-04-01")
    groups.assign(log, numbers[1], text="", article=None, at="2026-04-02", group=group)
    other = groups.assign(log, numbers[2], text="moss?", article=None, at="2026-04-01")
    return group, other, numbers


def test_a_group_is_renamed_merged_and_split(keeper, snails, log):
    group, other, numbers = snails
    page = f"/desk/groups/{group}"
    assert "do snails hum" in keeper.text(page)
    keeper.post(page, f"{page}/rename", name="Singing snails")
    assert "Singing snails" in keeper.text("/desk/?section=gaps")
    keeper.post(page, f"{page}/merge", other=other)
    assert groups.get(log, group).questions == 3
    assert keeper.post(page, f"{page}/merge", other=other).status_code == 404
    keeper.post(page, f"{page}/split", question=numbers[2])
    assert groups.get(log, group).questions == 2


def test_one_article_can_answer_a_whole_group(keeper, snails, log):
    group, _, _ = snails
    page = f"/desk/groups/{group}"
    got = keeper.post(page, f"{page}/answer", article="cloudy-water")
    assert got.location == "/desk/answers/cloudy-water"
    assert {wording.text for wording in wordings.listed(log)} == {
        "can snails sing?", "do snails hum",
    }  # fmt: skip
    assert triage.counts(log)["answered"] == 2


def test_a_draft_is_downloaded_where_there_is_no_folder(keeper, snails, walker):
    group, _, _ = snails
    page = f"/desk/groups/{group}"
    got = keeper.post(page, f"{page}/draft", title="Do snails sing?", slug="snails", heading="Fish")
    assert got.headers["Content-Disposition"] == 'attachment; filename="snails.md"'
    assert '"do snails hum",' in got.get_data(as_text=True)
    assert "An article is begun: snails" in keeper.text(page)


@pytest.mark.parametrize(
    ("fields", "said"),
    [
        ({"slug": "../../etc"}, "small letters, digits and single hyphens"),
        ({"slug": "cloudy-water"}, "There is an article “cloudy-water” already"),
        ({"heading": "Nonsense"}, "Choose one of"),
    ],
)
def test_a_draft_refuses_what_no_article_can_have(keeper, snails, fields, said):
    page = f"/desk/groups/{snails[0]}"
    got = keeper.post(page, f"{page}/draft", **{"slug": "snails", "heading": "Fish", **fields})
    assert got.status_code == 422
    assert said in got.get_data(as_text=True)


@pytest.mark.parametrize(
    "address",
    [
        "/desk/take-in/", "/desk/answers/cloudy-water", "/desk/groups/1", "/desk/wordings/",
        "/desk/wordings/export", "/desk/places/", "/desk/?section=gaps",
    ],
)  # fmt: skip
def test_strangers_see_no_desk_page(walker, address):
    assert walker.get(address).location.startswith("/desk/login")
