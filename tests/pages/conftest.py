"""Who opens the pages: the office, an account without rights, nobody."""

import pytest

from tests import factories as make
from tests.pages.days import running


@pytest.fixture
def house():
    return make.HouseFactory()


@pytest.fixture
def office(client, house):
    client.user = make.UserFactory(email="office@example.org")
    client.force_login(client.user)
    return client


@pytest.fixture
def stranger(client, house):
    client.user = make.UserFactory(
        email="new@example.org", role="outsider", is_staff=False, is_superuser=False
    )
    client.force_login(client.user)
    return client


@pytest.fixture
def planned(house):
    """A set that began 26 min ago, of one light with two packs on the kit list."""
    return running(name="octa")


@pytest.fixture
def light(planned):
    return planned.lights.get()


@pytest.fixture
def abel(planned):
    return make.BookingFactory(workshop=planned.workshop, person__name="Abel")


@pytest.fixture
def packs(planned, light):
    rows = [make.UnitFactory(kind=light.strobe.battery_kind, tag=f"B{n}") for n in (1, 2)]
    for unit in rows:
        make.ReservationFactory(workshop=planned.workshop, unit=unit)
    return rows
