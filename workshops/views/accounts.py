"""Log in and out, and passwords: changed by their owner, or set anew by a link in a mail."""

from django.conf import settings
from django.contrib import messages
from django.contrib.auth import views
from django.contrib.auth.forms import AuthenticationForm
from django.core.exceptions import NON_FIELD_ERRORS, ValidationError
from django.urls import reverse, reverse_lazy
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy
from django.views.generic import TemplateView

from workshops import throttle
from workshops.forms.base import plain_helper
from workshops.models import User
from workshops.services.links import token
from workshops.services.subscriptions import calendar_link


class LogInForm(AuthenticationForm):
    """E-mail and password; an address that failed too often waits."""

    def clean(self):
        address = self.cleaned_data.get("username", "")
        if throttle.is_paused(address):
            raise ValidationError(
                _("Too many failed log-ins for this address. Wait five minutes, then try again."),
                code="paused",
            )
        try:
            cleaned = super().clean()
        except ValidationError:
            throttle.failed(address)
            raise
        throttle.succeeded(address)
        return cleaned


class LogIn(views.LoginView):
    form_class = LogInForm
    template_name = "registration/log_in.html"
    redirect_authenticated_user = True

    def form_invalid(self, form):
        # HTTP: too many requests, or unprocessable content.
        answer = super().form_invalid(form)
        answer.status_code = 429 if form.has_error(NON_FIELD_ERRORS, "paused") else 422
        return answer

    def get_context_data(self, **context):
        return super().get_context_data(nobody_yet=not User.objects.exists(), **context)


class Account(TemplateView):
    template_name = "registration/account.html"

    def get_context_data(self, **context):
        link = calendar_link(self.request.user)
        found = ""
        if link:
            # The demo is served at whatever port was free; a site knows its own address.
            place = reverse("calendar-feed", args=[f"{token(link)}.ics"])
            found = (settings.SITE_URL or self.request.build_absolute_uri("/").rstrip("/")) + place
        return super().get_context_data(calendar=found, **context)


class PasswordChange(views.PasswordChangeView):
    template_name = "edit.html"
    success_url = reverse_lazy("account")
    extra_context = {
        "heading": gettext_lazy("Change your password"),
        "back": reverse_lazy("account"),
        "back_to": gettext_lazy("Your account"),
    }

    def get_form(self, form_class=None):
        form = super().get_form(form_class)
        form.helper = plain_helper()
        return form

    def form_valid(self, form):
        messages.success(self.request, _("Your password is changed."))
        return super().form_valid(form)


class PasswordReset(views.PasswordResetView):
    """Send the link; the answer is the same whether the address has an account or not."""

    template_name = "registration/reset.html"
    email_template_name = "registration/reset_mail.txt"
    subject_template_name = "registration/reset_subject.txt"
    success_url = reverse_lazy("password-reset-sent")

    def form_valid(self, form):
        # Never the host a visitor claims to have asked: the mail must lead to this site.
        site = settings.SITE_URL or self.request.build_absolute_uri("/").rstrip("/")
        self.extra_email_context = {"site_url": site}
        return super().form_valid(form)


class PasswordResetSent(views.PasswordResetDoneView):
    template_name = "registration/reset_sent.html"


class PasswordResetConfirm(views.PasswordResetConfirmView):
    template_name = "registration/reset_confirm.html"
    success_url = reverse_lazy("log-in")

    def form_valid(self, form):
        messages.success(self.request, _("Your new password is set: log in with it."))
        return super().form_valid(form)
