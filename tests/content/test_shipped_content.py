"""The shipped articles and rules are sound, alone and together."""

from web import content as site_content


def test_the_shipped_content_has_no_fault_and_no_remark(content):
    assert [str(problem) for problem in site_content.problems(content)] == []


def test_every_article_is_findable_by_each_of_its_own_wordings(library, ranker):
    lost = [
        f"{article.slug}: {wording}"
        for article in library.articles.values()
        for wording in (article.title, *article.phrasings)
        if article.slug not in [match.slug for match in ranker.match(wording).articles[:1]]
    ]
    assert lost == []


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
