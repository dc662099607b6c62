"""Read a page as a browser does: by the parsing rules of the HTML standard."""

from __future__ import annotations

import re
from decimal import Decimal
from xml.etree.ElementTree import Element

import html5lib

ALLOWED = {
    "html", "head", "meta", "title", "style", "body", "header", "section", "article", "div", "p",
    "span", "br", "h1", "h2", "h3", "strong", "ul", "ol", "li", "dl", "dt", "dd", "table", "thead",
    "tbody", "tr", "th", "td", "svg", "rect", "line", "path", "text", "circle",
}  # fmt: skip


def parse(page: str) -> Element:
    """The page's tree; raises html5lib's ParseError where the page is not proper HTML."""
    parser = html5lib.HTMLParser(strict=True, namespaceHTMLElements=False)
    tree: Element = parser.parse(page)
    return tree


def tag(element: Element) -> str:
    """The name without the namespace that SVG elements carry."""
    return str(element.tag).rpartition("}")[2]


def elements(tree: Element, *names: str) -> list[Element]:
    """All elements of these names, in order."""
    return [each for each in tree.iter() if isinstance(each.tag, str) and tag(each) in names]


def words(element: Element) -> str:
    """All text of an element, blanks between its parts, single-spaced."""
    return " ".join(" ".join(element.itertext()).split())


def text_of(page: str) -> str:
    """What a reader sees."""
    (body,) = elements(parse(page), "body")
    return words(body)


def table_rows(page: str, header: str) -> list[list[str]]:
    """The body rows of the first table that has this header cell."""
    for table in elements(parse(page), "table"):
        if header in map(words, elements(table, "th")):
            (body,) = elements(table, "tbody")
            return [list(map(words, elements(row, "td"))) for row in elements(body, "tr")]
    raise AssertionError(f"no table has the header {header}")


def amount(text: str) -> Decimal:
    """The number in a printed amount of money."""
    return Decimal(re.sub(r"[^0-9.\-]", "", text.replace("−", "-")))


def foreign(page: str) -> list[str]:
    """Elements that no template of ours has, and attributes that could run or fetch something."""
    found = []
    for element in parse(page).iter():
        if not isinstance(element.tag, str):
            continue
        if tag(element) not in ALLOWED:
            found.append(tag(element))
        found += [name for name in element.attrib if name.startswith("on") or name in LOADING]
    return found


LOADING = {"src", "href", "action", "formaction", "srcdoc", "data", "poster", "background"}
