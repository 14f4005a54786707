"""What a browser would send back for a page, read from its HTML."""

from html.parser import HTMLParser


class _Fields(HTMLParser):
    """Collects names and values of every field of a page."""

    def __init__(self):
        super().__init__()
        self.sent: dict[str, str | list[str]] = {}
        self.select = self.textarea = self.text = ""

    def handle_starttag(self, tag, attrs):
        given = dict(attrs)
        if tag == "input" and given.get("name"):
            if given.get("type") in ("checkbox", "radio"):
                if "checked" in given:
                    self.sent[given["name"]] = given.get("value", "on")
            elif given.get("type") not in ("submit", "button"):
                self.sent[given["name"]] = given.get("value", "")
        elif tag == "select":
            self.select = given.get("name", "")
        elif tag == "option" and self.select and "selected" in given:
            self.sent.setdefault(self.select, []).append(given.get("value", ""))
        elif tag == "textarea":
            self.textarea, self.text = given.get("name", ""), ""

    def handle_data(self, data):
        self.text += data

    def handle_endtag(self, tag):
        if tag == "select":
            self.select = ""
        elif tag == "textarea" and self.textarea:
            self.sent[self.textarea] = self.text.removeprefix("\n").removeprefix("\r\n")
            self.textarea = ""


def filled(page) -> dict[str, str | list[str]]:
    """Return every field of a page with what stands in it."""
    fields = _Fields()
    fields.feed(page.content.decode())
    return fields.sent
