"""Accounts of the house: who may log in, as what. Administrators are made by the command."""

import logging

from django.conf import settings
from django.contrib import messages
from django.contrib.auth.forms import PasswordResetForm
from django.core.mail import EmailMessage
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.template.loader import render_to_string
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_POST

from workshops.access import may
from workshops.forms.staff import AccountForm
from workshops.models import User
from workshops.services.accounts import open_account, save_account
from workshops.views.edit import answer

log = logging.getLogger(__name__)


@may("manage", "accounts")
def accounts(request: HttpRequest) -> HttpResponse:
    rows = User.objects.select_related("person").order_by("-is_active", "email")
    return render(request, "workshops/accounts.html", {"accounts": rows})


@may("manage", "accounts")
def account_new(request: HttpRequest) -> HttpResponse:
    def save(form: AccountForm) -> User:
        user = open_account(by=request.user, **form.cleaned_data)
        _invite(request, user)
        return user

    return answer(
        request,
        AccountForm(request.POST or None, initial={"role": User.Role.INSTRUCTOR}),
        template="edit.html",
        save=save,
        then=lambda _made: reverse("accounts"),
        context={
            "heading": _("A new account"),
            "lead": _("The password is set by its owner, by a link in a mail that goes out now."),
            "back": reverse("accounts"),
            "back_to": _("Accounts"),
        },
    )


@may("manage", "accounts")
def account_edit(request: HttpRequest, pk: int) -> HttpResponse:
    user = get_object_or_404(User, pk=pk)
    return answer(
        request,
        AccountForm(request.POST or None, instance=user),
        template="workshops/account_edit.html",
        save=lambda form: save_account(by=request.user, user=form.instance),
        then=lambda _saved: reverse("accounts"),
        context={
            "heading": User.objects.values_list("email", flat=True).get(pk=pk),
            "back": reverse("accounts"),
            "back_to": _("Accounts"),
            "changed": user,
        },
    )


@require_POST
@may("manage", "accounts")
def account_invite(request: HttpRequest, pk: int) -> HttpResponse:
    """Send the link that sets a password, once more."""
    user = get_object_or_404(User, pk=pk, is_active=True)
    _invite(request, user)
    return redirect("account-edit", pk)


class Invitation(PasswordResetForm):
    """Django's form of a forgotten password, which tells when the mail cannot go out."""

    def send_mail(self, subject, body, context, sender, to, html_email_template_name=None):
        text = render_to_string(body, context)
        words = " ".join(render_to_string(subject, context).split())
        EmailMessage(words, text, sender, [to]).send()


def _invite(request: HttpRequest, user: User) -> None:
    form = Invitation({"email": user.email})
    form.is_valid()
    site = settings.SITE_URL or request.build_absolute_uri("/").rstrip("/")
    try:
        form.save(
            request=request,
            use_https=request.is_secure(),
            subject_template_name="registration/invite_subject.txt",
            email_template_name="registration/invite_mail.txt",
            extra_email_context={"site_url": site},
        )
    except OSError:  # smtplib's errors are of this kind
        log.exception("an invitation could not be sent")
        text = _("The mail to %(email)s could not be sent. Try again once the mail server answers.")
        messages.error(request, text % {"email": user.email})
    else:
        text = _("A link to set the password is on its way to %(email)s.")
        messages.success(request, text % {"email": user.email})
