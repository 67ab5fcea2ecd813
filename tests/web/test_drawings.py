"""A drawing stands in its article with its words, and brings neither style nor script."""

import re
from xml.etree import ElementTree

import pytest

from kb.content.render import drawing_blocks

SVG = "{http://www.w3.org/2000/svg}"
SHOWN = {
    "settler-inlet": "settler-with-stilling-well",
    "retention-time": "settler-with-stilling-well",
    "second-settler": "series-and-parallel",
    "siphon-trouble": "bell-siphon",
    "power-cut": "standpipe-and-overflow",
    "pipe-size": "standpipe-and-overflow",
    "flood-and-drain-timing": "flood-and-drain-cycle",
    "cycling-a-new-system": "nitrogens-way",
    "nitrate-levels": "nitrogens-way",
    "yellow-leaves": "old-and-new-leaves",
    "low-oxygen": "oxygen-through-the-day",
}


@pytest.fixture(params=SHOWN)
def page(request, walker):
    text = walker.get(f"/articles/{request.param}").get_data(as_text=True)
    return request.param, text


def test_the_figure_is_in_the_page_with_title_description_and_caption(page, library):
    slug, text = page
    drawing = library.drawings[SHOWN[slug]]
    (figure,) = re.findall(r'<figure class="picture drawing">.*?</figure>', text, re.DOTALL)
    root = ElementTree.fromstring(figure)
    svg = root.find(f"{SVG}svg")
    words = {each.get("id"): each.text for each in svg if each.get("id")}
    (block,) = (
        block
        for part in library.articles[slug].sections.values()
        for block in drawing_blocks(part)
        if block.drawing == drawing.name
    )
    assert svg.get("role") == "img"
    assert words[svg.get("aria-labelledby")] == drawing.title
    assert words[svg.get("aria-describedby")] == drawing.description
    assert root.find("details/p").text == drawing.description
    assert root.find("figcaption").text == block.caption


def test_no_page_with_a_drawing_holds_inline_style_or_script(page):
    _, text = page
    assert not re.search(r"<script(?![^>]*\bsrc=)|\sstyle=|\son[a-z]+=", text)


def test_no_id_stands_twice_in_a_page_with_a_drawing(page):
    _, text = page
    ids = re.findall(r'\sid="([^"]+)"', text)
    assert len(ids) == len(set(ids))


def test_the_page_carries_the_style_of_drawings(page):
    _, text = page
    assert ".draw-leaf" in re.search(r"<style>(.*?)</style>", text, re.DOTALL)[1]
