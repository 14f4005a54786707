"""Who opens the pages: the office, an account without rights, nobody."""

import pytest

from tests import factories as make


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
