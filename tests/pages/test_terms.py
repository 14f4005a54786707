"""The pages of booking terms: shares typed as percent, rows side by side."""

from decimal import Decimal

import pytest
from django.urls import reverse

from tests import factories as make
from tests.pages.absurd import ABSURD
from tests.records.browser import filled
from workshops.models import AuditEntry, Terms, TermsRow

pytestmark = pytest.mark.django_db
ROWS = {"days_0": "90", "refunded_0": "100", "days_1": "60", "refunded_1": "12,5"}


def words(answer):
    return " ".join(answer.content.decode().split())


def entered(office, **typed):
    place = reverse("terms-new")
    return office.post(place, filled(office.get(place)) | {"name": "Usual"} | typed)


def changed(office, terms, **typed):
    place = reverse("terms-edit", args=[terms.pk])
    return office.post(place, filled(office.get(place)) | typed)


def rows():
    return list(
        TermsRow.objects.order_by("-days_before").values_list("days_before", "refunded_share")
    )


def test_the_office_finds_the_terms_from_the_house_and_from_a_workshop(office):
    workshop = make.WorkshopFactory()
    for page in (reverse("house"), reverse("workshop-edit", args=[workshop.pk])):
        assert f'href="{reverse("terms")}"' in words(office.get(page))
    assert "No terms yet." in words(office.get(reverse("terms")))


def test_nobody_else_opens_them(stranger):
    terms = make.TermsFactory()
    for page in (
        reverse("terms"),
        reverse("terms-new"),
        reverse("terms-edit", args=[terms.pk]),
        reverse("terms-delete", args=[terms.pk]),
    ):
        assert stranger.get(page).status_code == 403
        assert stranger.post(page).status_code == 403


def test_percent_is_typed_and_a_share_is_kept(office):
    assert entered(office, deposit_percent="50", balance_days="14", **ROWS).status_code == 302
    terms = Terms.objects.get()
    assert (terms.deposit_share, terms.balance_days) == (0.5, 14)
    assert rows() == [(90, 1.0), (60, 0.125)]
    assert (
        AuditEntry.objects.filter(record_type="workshops.termsrow", action="created").count() == 2
    )
    shown = words(office.get(reverse("terms")))
    assert "A deposit of 50% when the seat is given." in shown
    assert "Cancelled 60 days before or earlier: 12.5% of the price is refunded." in shown
    assert filled(office.get(reverse("terms-edit", args=[terms.pk])))["refunded_1"] == "12.5"


def test_a_row_is_changed_added_and_emptied(office):
    entered(office, **ROWS)
    typed = {"days_0": "", "refunded_0": "", "refunded_1": "50", "days_2": "30", "refunded_2": "0"}
    assert changed(office, Terms.objects.get(), **typed).status_code == 302
    assert rows() == [(60, 0.5), (30, 0.0)]


@pytest.mark.parametrize(
    ("typed", "words_shown"),
    [
        ({"days_0": "90"}, "Enter both of the row, or empty both."),
        ({"refunded_0": "50"}, "Enter both of the row, or empty both."),
        ({"days_0": "90", "refunded_0": "101"}, "Enter 0 to 100."),
        ({"days_0": "90", "refunded_0": "-1"}, "Enter 0 to 100."),
        (ROWS | {"days_1": "90"}, "There is a row for that day already."),
        ({"deposit_percent": "150"}, "Deposit: enter 0 to 100."),
        ({"deposit_percent": "half"}, "Enter a number, such as 2.5."),
        ({"balance_days": "400"}, "enter 0 to 365"),
        ({"name": ""}, "Enter it here; it cannot stay empty."),
    ],
)
def test_a_wrong_row_is_refused_with_everything_kept(office, typed, words_shown):
    answer = entered(office, **typed)
    assert answer.status_code == 422
    assert words_shown in words(answer)
    shown = filled(answer)
    assert {name: shown[name] for name in typed} == typed
    assert not Terms.objects.exists()


def test_terms_in_use_are_not_deleted_and_others_are(office):
    used, unused = make.TermsFactory(), make.TermsFactory()
    make.WorkshopFactory(title="Slate day", terms=used, price=Decimal(100))
    answer = office.post(reverse("terms-delete", args=[used.pk]), follow=True)
    assert "is used by workshop Slate day" in words(answer)
    assert office.post(reverse("terms-delete", args=[unused.pk])).status_code == 302
    assert Terms.objects.get() == used


def test_a_second_edit_of_a_row_sees_the_first(office):
    entered(office, **ROWS)
    terms = Terms.objects.get()
    place = reverse("terms-edit", args=[terms.pk])
    slow = filled(office.get(place))
    assert changed(office, terms, refunded_1="25").status_code == 302
    answer = office.post(place, slow | {"refunded_1": "75"})
    assert answer.status_code == 409
    assert rows() == [(90, 1.0), (60, 0.25)]


@pytest.mark.parametrize("text", ABSURD, ids=lambda text: repr(text[:12]))
def test_absurd_text_is_kept_or_refused_in_words(office, text):
    blank = filled(office.get(reverse("terms-new"))) | {"name": "Usual"} | ROWS
    for name in ("name", "text", "deposit_percent", "balance_days", "days_0", "refunded_0"):
        answer = office.post(reverse("terms-new"), blank | {name: text})
        assert answer.status_code in (302, 422), name
        assert "<script>alert" not in answer.content.decode()
        assert "<script>alert" not in office.get(reverse("terms")).content.decode()
        Terms.objects.all().delete()
