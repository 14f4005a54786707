"""Jobs of a site on PostgreSQL: ``manage.py procrastinate worker`` does them, on any machine."""

from django.utils import timezone
from procrastinate.contrib.django import app

from workshops.due import due
from workshops.services.sending import ServerFailed, send


@app.task(queue="mail")
def send_message(pk: int) -> None:
    """Send one mail. The mail's own row says when it is tried again, not the job."""
    try:
        send(pk, timezone.now())
    except ServerFailed:
        return  # kept in the row, in words; ``due`` tries again


@app.periodic(cron="* * * * *")
@app.task(queue="due", queueing_lock="due")
def every_minute(timestamp: int) -> None:
    """Do what is due, as the server's own minute thread does."""
    due(timezone.now())
