"""The web server of a real site: gunicorn in this process, told everything here.

It reads no configuration file and trusts no forwarded header by itself: whether a proxy's word
counts is for BEHIND_PROXY alone to say.
"""

import logging
import signal

from django.core.wsgi import get_wsgi_application
from gunicorn.app.base import BaseApplication
from gunicorn.arbiter import Arbiter
from gunicorn.glogging import Logger

from workshops import log_lines, minute, started


class Log(Logger):
    """Gunicorn's own lines and one for each request, by the way of all other lines of the site."""

    def setup(self, cfg):
        super().setup(cfg)
        for each in (self.error_log, self.access_log):
            each.handlers.clear()
            each.propagate = True
            each.setLevel(logging.NOTSET)  # LOG_LEVEL decides

    def atoms(self, resp, req, environ, request_time):
        atoms = super().atoms(resp, req, environ, request_time)
        atoms["U"] = shown_path(environ.get("RAW_URI", ""))
        return atoms


def shown_path(raw: str) -> str:
    """Return a request's target as the log may keep it: without query and without secret links."""
    path = raw.partition("?")[0].encode("unicode_escape").decode("ascii")
    return log_lines.masked(path)


class Foreman(Arbiter):
    """Ctrl-C ends as gently as SIGTERM; a second one does not wait for open requests."""

    handle_int = Arbiter.handle_term


def _after_start(worker) -> None:
    # A terminal sends Ctrl-C to the workers as well: when to end is for the foreman to say.
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    minute.start()
    for start in started.ALSO:
        start()


class Site(BaseApplication):
    """The site under gunicorn; ``run`` returns by SystemExit when the server has ended."""

    def __init__(self, *, bind: str, workers: int, threads: int):
        self.choices = {
            "bind": bind,
            "workers": workers,
            "threads": threads,
            "worker_class": "gthread",
            "preload_app": True,  # workers share the memory of what is loaded before they part
            "max_requests": 2000,  # a worker is replaced now and then: memory only ever grows
            "max_requests_jitter": 400,
            "timeout": 60,
            "graceful_timeout": 30,  # a long sheet may still be finished
            "forwarded_allow_ips": "",
            "secure_scheme_headers": {},
            "control_socket_disable": True,
            "accesslog": "-",
            "access_log_format": '%(h)s "%(m)s %(U)s" %(s)s %(B)s bytes %(M)s ms',
            "logger_class": Log,
            "proc_name": "one-stop-under",
            "post_worker_init": _after_start,
        }
        super().__init__()

    def load_config(self):
        for name, value in self.choices.items():
            self.cfg.set(name, value)

    def load(self):
        return get_wsgi_application()

    def run(self):
        Foreman(self).run()
