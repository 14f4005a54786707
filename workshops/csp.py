"""The Content-Security-Policy header, with the setting name Django 6.0 uses.

Django 5.2 has no such middleware; when the project moves to 6.0 this module goes and
the settings stay as they are.
"""

from django.conf import settings

NONE = "'none'"
SELF = "'self'"
HEADER = "Content-Security-Policy"


def policy_text(policy: dict[str, list[str]]) -> str:
    """Return the header's text for a policy of directive names and their sources.

    Source: W3C Content Security Policy Level 3, section 2.2 (serialised policy).
    """
    return "; ".join(f"{name} {' '.join(sources)}" for name, sources in policy.items())


class ContentSecurityPolicyMiddleware:
    """Put ``SECURE_CSP`` on every answer that does not bring a policy of its own."""

    def __init__(self, get_response):
        self.get_response = get_response
        self.text = policy_text(settings.SECURE_CSP)

    def __call__(self, request):
        response = self.get_response(request)
        response.headers.setdefault(HEADER, self.text)
        return response
