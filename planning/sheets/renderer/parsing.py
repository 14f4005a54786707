"""HTML that is XML as well, as our templates write it: read by the system's parser, in C."""

import re
import xml.etree.ElementTree as ElementTree
from html import unescape

import cssselect2
from weasyprint import HTML

SPACES = re.compile("&(nbsp|ensp|emsp);")  # what our templates name and XML does not know


class WellFormed(HTML):
    """A page of ours. One that is no XML goes the long way, through the parser of HTML."""

    def __init__(self, string: str, base_url: str, url_fetcher):
        try:
            root = ElementTree.fromstring(SPACES.sub(lambda found: unescape(found[0]), string))
        except ElementTree.ParseError:
            super().__init__(string=string, base_url=base_url, url_fetcher=url_fetcher)
            return
        self.base_url = base_url
        self.url_fetcher = url_fetcher
        self.media_type = "print"
        self.wrapper_element = cssselect2.ElementWrapper.from_html_root(root, None)
        self.etree_element = self.wrapper_element.etree_element
