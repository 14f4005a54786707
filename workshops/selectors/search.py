"""Finding records by words, whatever their case or accents, alike on every engine."""

import unicodedata

from django.db.models import QuerySet

LONGEST = 100  # characters of a question; more finds nothing more


def folded(text: str) -> str:
    """Return a text without case and accents: "García" and "GARCIA" are the same."""
    apart = unicodedata.normalize("NFKD", text.casefold())
    return "".join(letter for letter in apart if not unicodedata.combining(letter))


def search(rows: QuerySet, question: str, *fields: str) -> QuerySet:
    """Return the rows in which every word of the question stands somewhere in the fields.

    An empty question finds all. One query reads the fields: SQLite cannot compare letters beyond
    ASCII by itself, and the lists of one house are short.
    """
    words = folded(question[:LONGEST]).split()
    if not words:
        return rows
    found = {}
    for key, *texts in rows.order_by("pk").values_list("pk", *fields):
        found.setdefault(key, []).extend(str(text) for text in texts if text)
    kept = [
        key
        for key, texts in found.items()
        if all(word in folded("\n".join(texts)) for word in words)
    ]
    return rows.filter(pk__in=kept)
