"""People and their cameras."""

from collections.abc import Iterable
from typing import Any

from django.db import transaction

from workshops import audit
from workshops.models import CameraBody, Person, User


@transaction.atomic
def add_person(*, by: User | None, cameras: Iterable[dict[str, Any]] = (), **details) -> Person:
    """Return a new person with the camera bodies given as fields of CameraBody.

    Raises Refused when a field breaks its rule; then neither person nor camera is kept.
    """
    person = audit.write(Person(**details), by=by)
    for camera in cameras:
        add_camera(by=by, owner=person, **camera)
    return person


@transaction.atomic
def add_camera(*, by: User | None, owner: Person, **figures) -> CameraBody:
    """Return a new camera body of a person. Raises Refused for a figure out of range."""
    camera = CameraBody(owner=owner, **figures)
    audit.write(camera, by=by)
    return camera


@transaction.atomic
def change_person(*, by: User | None, person: Person, **details) -> Person:
    """Return a person with ``details`` as given. Raises Refused when a field breaks its rule."""
    person = Person.objects.get(pk=person.pk)
    for name, value in details.items():
        setattr(person, name, value)
    return audit.write(person, by=by)
