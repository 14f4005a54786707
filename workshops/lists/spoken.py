"""What a word of the pages is in every language they exist in: lists come back in any of them."""

from django.conf import settings
from django.utils import translation

from workshops.lists.headings import folded


def spoken(words) -> set[str]:
    """Return a translatable text in every language, without case, accents and signs."""
    found = set()
    for code, _name in settings.LANGUAGES:
        with translation.override(code):
            found.add(folded(str(words() if callable(words) else words)))
    return found


def choice_words(choices) -> dict[str, str]:
    """Return the values of a field's choices by their names in every language."""
    by_name = {folded(str(one.value)): one.value for one in choices}
    for one in choices:
        by_name |= dict.fromkeys(spoken(one.label), one.value)
    return by_name
