"""XML from outside: looked through once for traps and size, and only then read as a tree."""

from __future__ import annotations

from collections.abc import Iterator
from io import BytesIO
from xml.etree.ElementTree import Element, ParseError, fromstring
from xml.sax import SAXParseException
from xml.sax.handler import ContentHandler
from xml.sax.xmlreader import AttributesImpl

import defusedxml.sax
from defusedxml import DefusedXmlException

from fencerow.words import BadInput

MOST_ELEMENTS = 500_000
MOST_DEPTH = 100


class _Gate(ContentHandler):
    """Counts; the parser that drives it refuses document types and entities."""

    def __init__(self, file: str) -> None:
        super().__init__()
        self.file, self.count, self.depth = file, 0, 0

    def startElement(self, name: str, attrs: AttributesImpl) -> None:  # noqa: N802
        self.count += 1
        self.depth += 1
        if self.count > MOST_ELEMENTS or self.depth > MOST_DEPTH:
            raise BadInput("xml-large", file=self.file, most=MOST_ELEMENTS, depth=MOST_DEPTH)

    def endElement(self, name: str) -> None:  # noqa: N802
        self.depth -= 1


def tree(file: str, content: bytes) -> Element:
    """The root element of a document.

    Raises:
        BadInput: it declares a document type or an entity, is too large or deep, or is no XML.
    """
    try:
        defusedxml.sax.parse(BytesIO(content), _Gate(file), forbid_dtd=True)
        return fromstring(content)
    except DefusedXmlException:
        raise BadInput("xml-entities", file=file) from None
    except SAXParseException as error:
        raise BadInput(
            "xml-broken", file=file, line=error.getLineNumber(), why=error.getMessage()
        ) from None
    except (ParseError, ValueError, LookupError) as error:
        raise BadInput("xml-broken", file=file, line="?", why=error) from None


def tag(element: Element) -> str:
    """The name of an element without its namespace."""
    return str(element.tag).rpartition("}")[2]


def children(element: Element, *names: str) -> Iterator[Element]:
    """The children of these names, in whatever namespace."""
    return (child for child in element if tag(child) in names)


def text(element: Element, name: str) -> str:
    """The text of the first child of this name; '' where there is none."""
    found = next(children(element, name), None)
    return "" if found is None else "".join(found.itertext()).strip()
