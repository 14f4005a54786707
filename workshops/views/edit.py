"""One form, shown, refused with its words kept, or saved: what every edit page does."""

from collections.abc import Callable
from dataclasses import dataclass

from django import forms
from django.contrib import messages
from django.core.exceptions import NON_FIELD_ERRORS, ValidationError
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _

from workshops.errors import Stale
from workshops.forms.base import RecordForm, typed_text
from workshops.models import User
from workshops.models.base import Record
from workshops.selectors.history import last_change
from workshops.services.records import erase_record, save_record

BAD, STALE = 422, 409  # HTTP: unprocessable content; conflict
LIST_LENGTH = 50  # records on one part of a list


@dataclass(frozen=True)
class Version:
    """One field in two versions: as typed, and as somebody else stored it meanwhile."""

    label: str
    mine: str
    stored: str


def answer(
    request: HttpRequest,
    form: forms.BaseForm,
    *,
    template: str,
    save: Callable[[forms.BaseForm], Record],
    then: Callable[[Record], str],
    context: dict | None = None,
    told: Callable[[Record], str] | None = None,
) -> HttpResponse:
    """Show the form, or save it and go on to ``then(record)``; a refusal keeps what was typed.

    ``told`` words what has come of it, where that is more than a record saved.
    """
    shown = {"form": form, **(context or {})}
    if request.method != "POST":
        return render(request, template, shown)
    if form.is_valid():
        try:
            record = save(form)
        except Stale as reason:
            form.add_error(None, reason.messages)
            return render(request, template, shown | stale_context(form), status=STALE)
        except ValidationError as refusal:
            add_refusal(form, refusal)
        else:
            saved = _("%(record)s is saved.") % {"record": record}
            messages.success(request, told(record) if told else saved)
            return redirect(then(record))
    return render(request, template, shown, status=BAD)


def saved_by(user: User) -> Callable[[RecordForm], Record]:
    """Return the usual way to save a form: its record as it is, unless somebody was quicker."""
    return lambda form: save_record(
        by=user, record=form.instance, seen=form.cleaned_data.get("seen")
    )


def add_refusal(form: forms.BaseForm, refusal: ValidationError) -> None:
    """Put a service's refusal on the fields it speaks of, or above the form."""
    if not hasattr(refusal, "error_dict"):
        form.add_error(None, refusal.messages)
        return
    for name, sentences in refusal.message_dict.items():
        where = name if name in form.fields and name != NON_FIELD_ERRORS else None
        form.add_error(where, sentences)


def stale_context(form: RecordForm) -> dict:
    """Return what differs between the form and the record as it is stored now.

    The form then carries the newer version: sent again, it is saved over it knowingly.
    """
    stored = type(form.instance)._base_manager.get(pk=form.instance.pk)
    now = type(form)(instance=stored, **form.rebuilt_with)
    versions = []
    for name, field in form.fields.items():
        if name == "seen" or isinstance(field.widget, forms.HiddenInput):
            continue
        mine = typed_text(form, name, form[name].data)
        theirs = typed_text(now, name, now.get_initial_for_field(now.fields[name], name))
        if mine != theirs:
            versions.append(Version(str(field.label or name), mine, theirs))
    form.data = form.data.copy()
    form.data[form.add_prefix("seen")] = stored.changed_at.isoformat()
    return {"versions": versions, "last_change": last_change(stored), "stored": stored}


def delete(
    request: HttpRequest,
    record: Record,
    *,
    back: str,
    then: str,
    erase: Callable[[], None] | None = None,
) -> HttpResponse:
    """Ask before a record is deleted, delete it on POST, or say what still needs it.

    ``erase`` is the service of a record that has rules of its own for this.
    """
    if request.method == "POST":
        name = str(record)
        try:
            if erase:
                erase()
            else:
                erase_record(by=request.user, record=record)
        except ValidationError as refusal:
            messages.error(request, " ".join(refusal.messages))
            return redirect(back)
        messages.success(request, _("%(record)s is deleted.") % {"record": name})
        return redirect(then)
    return render(request, "delete.html", {"record": record, "back": back})
