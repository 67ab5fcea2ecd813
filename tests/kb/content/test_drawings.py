"""Drawings are read strictly, said in words, and shown where articles name them."""

import re
from dataclasses import replace
from itertools import combinations
from pathlib import Path
from xml.etree import ElementTree

import pytest

from kb.content import render
from kb.content.drawings import ELEMENTS, read_drawing
from kb.content.load import Library, load, read_article
from kb.content.validate import Targets, broken, validate
from kb.errors import ContentErrors
from kb.fields import Problems

SVG = "{http://www.w3.org/2000/svg}"
ROOT = Path(__file__).parents[3]
LETTER = 0.6  # a letter's mean width as a part of its height, in a wide sans: DejaVu Sans has 0.55
PAGE = 284  # what a page 320 px wide has for a drawing
SHIPPED = sorted((ROOT / "articles" / "drawings").glob("*.svg"))
GOOD = """<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 340 100">
  <title>A pipe</title>
  <desc>A pipe stands in water. Its rim is above the surface.</desc>
  <g>
    <line x1="4" y1="5" x2="4" y2="90.5" class="pic-wall" stroke="currentColor"/>
  </g>
  <text x="10" y="20" class="pic-text">rim &amp; pipe</text>
</svg>
"""
LINE = '<line x1="4"'
ARTICLE = """+++
title = "Is moss a problem?"
group = "Plants"
phrasings = ["moss everywhere"]
symptoms = []
calculators = []
related = []
sources = ["common-practice"]
cautions = []
reviewed = 2026-03-01
confidence = "high"
confidence_why = "Everybody sees it."
+++

## Short answer

No. It is harmless.

## Why

Before.

```drawing pipe
A pipe & its rim.
```

After.

## How

Leave it.

## Cautions

None.

## Sources

- Common practice.
"""


def read(text):
    problems = Problems()
    drawing = read_drawing(text, name="pipe", path="pipe.svg", problems=problems)
    return drawing, [str(problem) for problem in problems.found]


def library(article=ARTICLE, **changes):
    """A library of one article and one drawing."""
    drawing, _ = read(GOOD)
    drawing = replace(drawing, path="articles/drawings/pipe.svg", **changes)
    moss = read_article(article, slug="moss", path="articles/moss.md", problems=Problems())
    return Library({"moss": moss}, {}, {}, {"pipe": drawing})


def faults_of(found):
    return [str(problem) for problem in found if "drawing" in str(problem)]


NOTHING = Targets(frozenset(), {})


def test_a_good_drawing_is_read_whole():
    drawing, faults = read(GOOD)
    assert faults == []
    assert (drawing.name, drawing.title, drawing.view_box) == ("pipe", "A pipe", "0 0 340 100")
    assert drawing.description == "A pipe stands in water. Its rim is above the surface."
    assert drawing.labels == "rim & pipe"
    assert "title" not in drawing.svg


def test_what_is_set_into_the_page_is_what_the_file_draws():
    drawing, _ = read(GOOD)
    again = ElementTree.fromstring(f"<svg>{drawing.svg}</svg>")
    drawn = [
        each for each in ElementTree.fromstring(GOOD).iter() if each.tag[len(SVG) :] in ELEMENTS
    ]
    assert [(each.tag, each.attrib) for each in again.iter() if each.tag != "svg"] == [
        (each.tag[len(SVG) :], each.attrib) for each in drawn
    ]
    assert again.find("text").text == "rim & pipe"


@pytest.mark.parametrize(
    ("old", "new", "fault"),
    [
        ("<g>", "<b>", "line 6: cannot be read as XML: mismatched tag."),
        (GOOD, "", "line 1: cannot be read as XML: no element found."),
        ("<svg", "<!DOCTYPE svg><svg", "line 1: holds a document type, an entity"),
        ("  <g>", '<!ENTITY x "y"><g>', "line 4: holds a document type, an entity"),
        ("<svg", '<?xml-stylesheet href="x"?><svg', "line 1: holds a document type, an entity"),
        ("rim &amp;", "rim &x;", "line 7: cannot be read as XML: undefined entity."),
        ("svg xmlns=", "svg id=", "line 1: the first element must be svg with xmlns="),
        (' viewBox="0 0 340 100"', "", "line 1: viewBox must be “0 0 width height”, but is m"),
        ("0 0 340 100", "10 0 340 1", "viewBox must be “0 0 width height”, but is “10 0 340 1”."),
        ("0 0 340 100", "0 0 0 100", "viewBox must be “0 0 width height”, but is “0 0 0 100”."),
        ("viewBox", 'width="9" viewBox', "the attribute “width” of svg is not allowed; use"),
        ("<title>A pipe</title>", "", "title: is missing or empty; say what is drawn."),
        ("A pipe</title>", " </title>", "title: is missing or empty; say what is drawn."),
        ("<desc>A pipe stands in water. Its rim is above the surface.</desc>", "", "desc: is m"),
        ("<desc>", "<title>B</title><desc>", "line 3: “title” stands there twice."),
        ("<desc>", '<desc class="x">', "the attribute “class” of desc is not allowed; it has"),
        ("<g>", "<g><title>B</title>", "line 4: “title” must stand directly below svg."),
        ("rim &amp;", "<line/>", "line 7: “line” stands inside “text”, which holds text alone."),
        ("<g>", "<g>loose", "line 4: “loose” stands outside a text element."),
        (LINE, f"<script>x</script>{LINE}", "“script” is not allowed; a drawing runs nothing."),
        (LINE, f"<style/>{LINE}", "“style” is not allowed; looks come from the style sheet"),
        (LINE, f"<image/>{LINE}", "“image” is not allowed; use g, line, path, rect, circle, text."),
        (LINE, f"<use/>{LINE}", "line 5: the element “use” is not allowed"),
        (LINE, f'<line xmlns="urn:x"/>{LINE}', "line 5: the element “line” is not allowed"),
        (LINE, '<line style="x:y"', "“style” of line is not allowed; looks come from the style"),
        (LINE, '<line onclick="x"', "line 5: the attribute “onclick” of line is not allowed; a"),
        (LINE, '<line href="#x"', "“href” of line is not allowed; a drawing stands alone"),
        (
            "<line ",
            '<line xmlns:l="http://www.w3.org/1999/xlink" l:href="//x" ',
            "“href” of line is not allowed; a drawing stands alone",
        ),
        (LINE, '<line id="x"', "“id” of line is not allowed; use x, y, x1, y1"),
        ('x1="4"', 'x1="4px"', "“x1” of line must be a number, not “4px”."),
        ('"currentColor"', '"red"', "“stroke” of line must be none or currentColor, not “red”."),
        ('"currentColor"', '"url(#x)"', "must be none or currentColor, not “url(#x)”."),
        ('"pic-wall"', '"A b"', "“class” of line must be names of looks, not “A b”."),
    ],
)  # fmt: skip
def test_each_fault_is_named_with_its_place(old, new, fault):
    assert old in GOOD
    drawing, faults = read(GOOD.replace(old, new, 1))
    assert drawing is None
    assert any(fault in found and found.startswith("pipe.svg: ") for found in faults), faults


def test_all_faults_of_a_file_are_reported_together():
    _, faults = read(GOOD.replace("x1=", "id=").replace("A pipe<", "<").replace("<g>", "<g>loose"))
    assert len(faults) == 3


def test_drawings_of_a_further_folder_are_added_and_replace_by_name(tmp_path):
    folder = tmp_path / "articles" / "drawings"
    folder.mkdir(parents=True)
    (folder / "pipe.svg").write_text(GOOD)
    (folder / "bell-siphon.svg").write_text(GOOD)
    found = load(tmp_path).drawings
    assert found["pipe"].title == found["bell-siphon"].title == "A pipe"
    assert found["pipe"].path == f"{tmp_path.name}/articles/drawings/pipe.svg"
    assert found["series-and-parallel"].path == "articles/drawings/series-and-parallel.svg"


def test_faults_of_drawings_are_reported_with_those_of_articles(tmp_path):
    folder = tmp_path / "articles" / "drawings"
    folder.mkdir(parents=True)
    (folder / "Bad Name.svg").write_text(GOOD)
    (folder / "bytes.svg").write_bytes(b"\xff")
    (folder.parent / "moss.md").write_text(ARTICLE.replace('"high"', '"sure"'))
    with pytest.raises(ContentErrors) as caught:
        load(tmp_path)
    shown = f"{tmp_path.name}/articles"
    assert {(problem.path, problem.place) for problem in caught.value.problems} == {
        (f"{shown}/moss.md", "confidence"),
        (f"{shown}/drawings/Bad Name.svg", "file name"),
        (f"{shown}/drawings/bytes.svg", "byte 0"),
    }


def html_of(markdown, drawings):
    return render.to_html(markdown, link_for=str, block_for=str, drawings=drawings)


def test_the_figure_holds_the_drawing_its_words_and_its_caption():
    shown = library()
    html = html_of(shown.articles["moss"].sections["Why"], shown.drawings)
    assert html.index("Before.") < html.index("<figure") < html.index("After.")
    (figure,) = re.findall(r"<figure.*?</figure>", html, re.DOTALL)
    root = ElementTree.fromstring(figure)
    svg = root.find(f"{SVG}svg")
    named = {each.get("id"): each.text for each in svg if each.get("id")}
    assert svg.get("role") == "img"
    assert named[svg.get("aria-labelledby")] == "A pipe"
    assert named[svg.get("aria-describedby")] == shown.drawings["pipe"].description
    assert root.find("figcaption").text == "A pipe & its rim."
    assert root.find("details/summary").text == "In words"
    assert root.find("details/p").text == shown.drawings["pipe"].description


def test_in_plain_text_a_drawing_is_told_in_words():
    shown = library()
    why = shown.articles["moss"].sections["Why"]
    text = render.to_text(why, block_for=str, drawings=shown.drawings)
    told = "[Drawing: A pipe. A pipe stands in water. Its rim is above the surface.]"
    assert text == f"Before.\n{told}\nAfter."


def test_of_an_unknown_drawing_the_caption_is_left():
    why = library().articles["moss"].sections["Why"]
    assert "<p>A pipe &amp; its rim.</p>" in html_of(why, {})
    assert render.to_text(why, block_for=str) == "Before.\nA pipe & its rim.\nAfter."


def test_a_sound_article_with_a_drawing_has_no_fault():
    assert faults_of(validate(library(), NOTHING)) == []


BLOCK = "```drawing pipe\nA pipe & its rim.\n```"


@pytest.mark.parametrize(
    ("old", "new", "fault"),
    [
        ("drawing pipe", "drawing pump", "drawing pump: there is no drawing “pump”."),
        ("drawing pipe", "drawing", "drawing: there is no drawing “”."),
        ("After.", BLOCK, "drawing pipe: is shown twice; once is enough."),
        ("No. It", f"{BLOCK}\n\nNo. It", "stands under Short answer; put it under Why or How."),
        ("A pipe & its rim.", "", "drawing pipe: must hold one line, its caption."),
        ("A pipe & its rim.", "Two\nlines.", "drawing pipe: must hold one line, its caption."),
    ],
)
def test_a_block_that_cannot_be_shown_is_a_fault(old, new, fault):
    shown = library(ARTICLE.replace(old, new, 1))
    for found in (faults_of(broken(shown, NOTHING)), faults_of(validate(shown, NOTHING))):
        assert any(each.endswith(fault) for each in found), found


def test_a_figure_in_a_drawing_must_stand_beside_a_source_in_the_article():
    sentence = "A pipe 25 mm wide stands in water. Its rim is above."
    found = faults_of(validate(library(description=sentence), NOTHING))
    assert found == ["articles/moss.md: drawing pipe: “25 mm” is nowhere beside a source here."]
    sourced = ARTICLE.replace("After.", "It has 25 mm (common practice).")
    assert faults_of(validate(library(sourced, description=sentence), NOTHING)) == []


def test_a_drawing_that_no_article_shows_is_a_fault():
    found = faults_of(validate(library(ARTICLE.replace(BLOCK, "")), NOTHING))
    assert found == ["articles/drawings/pipe.svg: file: no article shows it."]


def test_a_shipped_drawing_may_go_unused_beside_articles_of_ones_own():
    shown = library(ARTICLE.replace(BLOCK, ""))
    own = replace(shown.articles["moss"], path="garden/articles/moss.md")
    assert faults_of(validate(replace(shown, articles={"moss": own}), NOTHING)) == []


@pytest.mark.parametrize("count", [1, 6])
def test_a_description_has_two_to_five_sentences(count):
    found = faults_of(validate(library(description="It stands. " * count), NOTHING))
    assert found == [f"articles/drawings/pipe.svg: desc: has {count} sentences; write 2 to 5."]


def test_words_of_blocks_do_not_count():
    def counted(text):
        found = validate(library(text), NOTHING)
        return [problem.message for problem in found if problem.place == "body"]

    with_sum = ARTICLE.replace("After.", '```calculator settler\nflow = "1500 L/h"\n```\n\nAfter.')
    bare = counted(ARTICLE.replace(BLOCK, ""))
    assert bare
    assert counted(ARTICLE) == counted(with_sum) == bare


def texts(root):
    """Each text with its box, as wide as a wide sans would make it."""
    size = float(root.get("viewBox").split()[2]) * 14.5 / 340
    for each in root.iter(f"{SVG}text"):
        wide, x, y = len(each.text) * size * LETTER, float(each.get("x")), float(each.get("y"))
        left = x - wide * {"start": 0, "middle": 0.5, "end": 1}[each.get("text-anchor", "start")]
        yield each.text, left, y - size * 0.75, left + wide, y + size * 0.2


@pytest.fixture(params=SHIPPED, ids=lambda path: path.stem)
def drawn(request):
    return ElementTree.parse(request.param).getroot()


def test_every_shipped_drawing_is_used_and_sound(library):
    used = {
        block.drawing
        for article in library.articles.values()
        for text in article.sections.values()
        for block in render.drawing_blocks(text)
    }
    assert set(library.drawings) == used == {path.stem for path in SHIPPED}


def test_text_is_at_least_twelve_pixels_high_on_a_narrow_phone():
    drawing, _ = read(GOOD)
    for width in (120, 340, 360, 900):
        size = replace(drawing, view_box=f"0 0 {width} 100").text_size
        assert size * PAGE / width >= 12


def test_no_label_leaves_the_drawing_or_lies_on_another(drawn):
    _, _, wide, high = map(float, drawn.get("viewBox").split())
    found = list(texts(drawn))
    for text, left, top, right, bottom in found:
        assert left >= 0, text
        assert top >= 0, text
        assert right <= wide, text
        assert bottom <= high, text
    for (one, a, b, c, d), (two, e, f, g, h) in combinations(found, 2):
        assert c <= e or g <= a or d <= f or h <= b, (one, two)


def test_every_look_is_in_the_style_sheets(drawn):
    css = "".join(
        (ROOT / "web" / "static" / "css" / name).read_text()
        for name in ("pictures.css", "drawings.css")
    )
    known = set(re.findall(r"\.((?:pic|draw)-[a-z-]+)", css)) | {"pic-text"}
    used = {name for each in drawn.iter() for name in each.get("class", "").split()}
    assert used <= known


def test_the_description_speaks_of_what_the_labels_name(drawn):
    said = " ".join(drawn.find(f"{SVG}{part}").text for part in ("title", "desc")).casefold()
    words = {
        word
        for each in drawn.iter(f"{SVG}text")
        for word in re.findall(r"[a-z]{3,}", each.text.casefold())
    }
    untold = {word for word in words if word[:5] not in said}
    assert len(untold) <= len(words) / 4, sorted(untold)
