"""Who is here, comes later, leaves early or is absent: the page of the morning."""

from django.contrib import messages
from django.core.exceptions import ValidationError
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _

from workshops.access import found_workshop, may
from workshops.forms.presence import PresenceForm
from workshops.services.presence import note_presence
from workshops.views.edit import BAD


@may("note", "presence")
def workshop_here(request: HttpRequest, pk: int) -> HttpResponse:
    workshop, refusals = found_workshop(request, pk), []
    bookings = workshop.bookings.live().select_related("person", "workshop")
    forms = [
        PresenceForm(request.POST or None, instance=booking, house=request.house)
        for booking in bookings.order_by("booked_at", "pk")
    ]
    bad = any(form.errors for form in forms)
    if request.method == "POST" and not bad:
        # Somebody booked since the page was read: nothing is said of them.
        said = [form.said() for form in forms if form.cleaned_data["seen"]]
        try:
            changed = note_presence(
                by=request.user, workshop=workshop, said=said, now=timezone.now()
            )
        except ValidationError as refusal:
            refusals = refusal.messages
        else:
            if changed:
                messages.success(request, _("Noted. Turns still to come are dealt anew."))
            return redirect("workshop-here", pk)
    bad = bad or bool(refusals)
    context = {"workshop": workshop, "forms": forms, "refusals": refusals, "bad": bad}
    return render(request, "workshops/here.html", context, status=BAD if bad else 200)
