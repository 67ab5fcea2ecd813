"""A ready reply: what is urgent, the short answer, and links with the asker's own figures."""

from kb.answers import Answer, Way
from kb.content.load import Article
from web.rendering import absolute, article_text

MOST_CALCULATORS = 2


def compose(answer: Answer, article: Article | None, *, name: str | None) -> str:
    """The reply as plain text, ready to paste; without an article, what the figures call for."""
    parts = [f"Hi {name}," if name else "Hi,"]
    for alarm in answer.alarms:
        parts.append(f"{alarm.sentence}\nFirst: {' '.join(alarm.first)}")
    if article:
        parts.append(article_text(article.short_answer))
    links = list(_links(answer, article))
    if links:
        parts.append("\n".join(links))
    return "\n\n".join(parts)


def _links(answer: Answer, article: Article | None) -> list[str]:
    lines = []
    if article:
        lines.append(f"The whole answer: {absolute(f'/articles/{article.slug}')}")
    lines += [_line(way, "Find the cause") for way in _fitting(answer, article)]
    filled = [way for way in answer.calculators if way.filled]
    lines += [_line(way, way.title) for way in filled[:MOST_CALCULATORS]]
    return lines


def _fitting(answer: Answer, article: Article | None) -> tuple[Way, ...]:
    """The troubleshooting that belongs to the article chosen, else the likeliest."""
    own = [way for way in answer.symptoms if article and way.slug in article.symptoms]
    return tuple(own[:1] or answer.symptoms[:1])


def _line(way: Way, words: str) -> str:
    with_figures = " with your figures filled in" if "?" in way.link else ""
    return f"{words}{with_figures}: {absolute(way.link)}"
