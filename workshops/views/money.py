"""The money of a workshop: accounts, ledgers, what a cancellation comes to, costs of the day."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _

from workshops.access import found, found_workshop, may
from workshops.forms.money import CorrectionForm, DayCostForm, PaymentForm
from workshops.models import Booking, DayCost, Payment, Workshop
from workshops.money import local_date
from workshops.selectors.day_money import (
    called_off,
    cancelled_lines,
    day_result,
    lines,
    rule,
    settled,
    totals,
)
from workshops.selectors.money import (
    account,
    billed_for,
    cost_of,
    entered_by,
    price_of,
    with_money,
)
from workshops.services.payments import correct_payment, record_payment
from workshops.views.edit import answer, delete, saved_by

WITH_TERMS = Workshop.objects.select_related("terms").prefetch_related("terms__rows")


@may("view", "payment")
def workshop_money(request: HttpRequest, pk: int) -> HttpResponse:
    workshop = found_workshop(request, pk, WITH_TERMS.all())
    rows = lines(workshop, timezone.now())
    costs = workshop.costs.all()
    context = {
        "workshop": workshop,
        "lines": rows,
        "totals": totals(rows),
        "costs": costs,
        "day": day_result(workshop, rows, costs, request.house),
    }
    return render(request, "workshops/money.html", context)


@may("view", "payment")
def workshop_called_off(request: HttpRequest, pk: int) -> HttpResponse:
    workshop, now = found_workshop(request, pk, WITH_TERMS.all()), timezone.now()
    context = {
        "workshop": workshop,
        "rows": called_off(workshop.bookings.live().order_by("person__name", "pk"), now),
        "rule": rule(workshop, now),
        "gone": cancelled_lines(workshop, now),
    }
    return render(request, "workshops/money_called_off.html", context)


@may("view", "payment")
def booking_money(request: HttpRequest, pk: int) -> HttpResponse:
    booking, now = _booking(request, pk), timezone.now()
    entries = list(booking.payments.select_related("corrects", "corrected_by"))
    invoices = list(booking.invoices.select_related("credits", "credited_by"))
    context = {
        "booking": booking,
        "workshop": booking.workshop,
        "price": price_of(booking),
        "account": account(booking, now),
        "entries": entered_by(entries),
        "invoices": entered_by(invoices),
        "unbilled": cost_of(booking) - billed_for(booking),
        "rule": rule(booking.workshop, now),
        "by_attendee": settled(booking, now, by_house=False),
        "by_house": settled(booking, now, by_house=True),
    }
    return render(request, "workshops/booking_money.html", context)


@may("add", "payment")
def payment_new(request: HttpRequest, pk: int) -> HttpResponse:
    booking, now = _booking(request, pk), timezone.now()
    form = PaymentForm(
        request.POST or None,
        instance=Payment(booking=booking),
        house=request.house,
        account=account(booking, now),
        today=local_date(now, request.house.timezone_name),
    )
    return answer(
        request,
        form,
        template="edit.html",
        save=lambda form: record_payment(
            by=request.user, booking=booking, now=now, **form.cleaned_data
        ),
        then=lambda _made: reverse("booking-money", args=[pk]),
        context=_back_to(booking, _("A payment or refund"))
        | {"lead": _("An entry stays as it is; a wrong one is taken back by a counter-entry.")},
    )


@may("add", "payment")
def payment_correct(request: HttpRequest, pk: int) -> HttpResponse:
    payment = found(
        request,
        Payment.objects.select_related("booking__workshop", "booking__person"),
        pk,
        "booking__workshop",
    )
    return answer(
        request,
        CorrectionForm(request.POST or None, instance=Payment(), house=request.house),
        template="edit.html",
        save=lambda form: correct_payment(
            by=request.user, payment=payment, now=timezone.now(), **form.cleaned_data
        ),
        then=lambda _made: reverse("booking-money", args=[payment.booking_id]),
        context=_back_to(payment.booking, _("Take back %(number)s") % {"number": payment})
        | {
            "lead": _("A counter-entry of the same amount is made; both stay on record."),
            "save_words": _("Take it back"),
        },
    )


@may("add", "daycost")
def cost_new(request: HttpRequest, pk: int) -> HttpResponse:
    workshop = found_workshop(request, pk)
    return _cost(request, DayCost(workshop=workshop), {"heading": _("A cost of the day")})


@may("change", "daycost")
def cost_edit(request: HttpRequest, pk: int) -> HttpResponse:
    cost = found(request, DayCost.objects.select_related("workshop"), pk)
    return _cost(request, cost, {"heading": str(cost), "remove": reverse("cost-delete", args=[pk])})


def _cost(request: HttpRequest, cost: DayCost, context: dict) -> HttpResponse:
    back = reverse("workshop-money", args=[cost.workshop_id])
    return answer(
        request,
        DayCostForm(request.POST or None, instance=cost, house=request.house),
        template="edit.html",
        save=saved_by(request.user),
        then=lambda _saved: back,
        context={"back": back, "back_to": str(cost.workshop), **context},
    )


@may("delete", "daycost")
def cost_delete(request: HttpRequest, pk: int) -> HttpResponse:
    cost = found(request, DayCost.objects.select_related("workshop"), pk)
    then = reverse("workshop-money", args=[cost.workshop_id])
    return delete(request, cost, back=reverse("cost", args=[pk]), then=then)


def _booking(request: HttpRequest, pk: int) -> Booking:
    return found(request, with_money(Booking.objects.prefetch_related("invoices")), pk)


def _back_to(booking: Booking, heading: str) -> dict:
    return {
        "heading": heading,
        "back": reverse("booking-money", args=[booking.pk]),
        "back_to": _("Money of %(person)s") % {"person": booking.person},
    }
