"""Logs and reports of faults, without what opens something or was told in confidence."""

import logging
import re

from django.views.debug import SafeExceptionReporterFilter

# The two words of a link that sets a new password; the second opens an account.
RESET_LINK = re.compile(r"(/password)/[^/\s]+/[^/\s]+")
# The last word of a signed link: the key of the link and its signature, perhaps escaped.
SIGNED_LINK = re.compile(r"[0-9a-fA-F]{32}(?:~|%7[eE])[\w%.~-]*")


def masked(text: str) -> str:
    """Return a line in which reset links and signed links open nothing."""
    return SIGNED_LINK.sub("...", RESET_LINK.sub(r"\1/.../...", text))


class Line(logging.Formatter):
    """A line of the log, its traceback included, masked."""

    def format(self, record):
        return masked(super().format(record))


class Report(SafeExceptionReporterFilter):
    """What a report of a fault may hold outside development: the lines of code, no values.

    What people tell in confidence passes through Django's own functions too, whose variables
    nobody could mark one by one.
    """

    def get_traceback_frame_variables(self, request, tb_frame):
        shown = super().get_traceback_frame_variables(request, tb_frame)
        if not self.is_active(request):
            return shown
        return [(name, self.cleansed_substitute) for name, _value in shown]

    def get_post_parameters(self, request):
        shown = super().get_post_parameters(request)
        if not self.is_active(request):
            return shown
        return dict.fromkeys(shown, self.cleansed_substitute)
