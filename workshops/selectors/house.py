"""Questions about the house."""

from django.db.models import Count, QuerySet
from django.utils.translation import gettext as _

from workshops.models import House, Terms


def house() -> House:
    """Return the House record, or one of defaults that nobody has saved yet."""
    return House.objects.first() or House()


def terms_with_rows() -> QuerySet[Terms]:
    """Return the booking terms with their rows, and how many workshops use them as ``used``."""
    return Terms.objects.prefetch_related("rows").annotate(used=Count("workshop")).order_by("name")


def issuer(rules: House) -> str:
    """Return who issues an invoice, as it is printed: name, postal address, tax number."""
    number = _("Tax number %(number)s") % {"number": rules.tax_number} if rules.tax_number else ""
    return "\n".join(part for part in (rules.name, rules.postal_address.strip(), number) if part)
