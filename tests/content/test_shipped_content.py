"""The shipped articles and rules are sound, alone and together."""

from web import content as site_content


def test_the_shipped_content_has_no_fault_and_no_remark(content):
    assert [str(problem) for problem in site_content.problems(content)] == []


def test_every_article_is_found_by_its_own_wordings(library, ranker):
    places = {
        f"{article.slug}: {wording}": [match.slug for match in ranker.match(wording).articles][:3]
        for article in library.articles.values()
        for wording in (article.title, *article.phrasings)
    }
    lost = [asked for asked, found in places.items() if asked.split(":")[0] not in found]
    second = [asked for asked, found in places.items() if asked.split(":")[0] not in found[:1]]
    assert lost == []
    assert len(second) <= 0.01 * len(places)  # a few lean towards a neighbour


def test_the_demo_speaks_of_three_places_and_names_no_address_but_examples():
    import tomllib
    from importlib.resources import files

    table = tomllib.loads((files("web") / "demo" / "questions.toml").read_text())
    places = {question["place"] for question in table["question"]}
    assert places == {"video comments", "club evening", "letters"}
    links = {
        question.get("link", "https://x.example/").split("/")[2] for question in table["question"]
    }
    assert all(host.endswith(".example") for host in links)
