"""The entry for a WSGI server: ``workshops.wsgi:application``."""

import os

from django.core.wsgi import get_wsgi_application

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "workshops.settings")

application = get_wsgi_application()
