"""Dates in a column: what settles the order, what is asked, what is refused."""

from datetime import date

import pytest

from workshops.lists.dates import orders, read_date
from workshops.typed import NotUnderstood

TODAY = date(2027, 4, 1)


@pytest.mark.parametrize(
    ("texts", "best", "certain"),
    [
        (["03/04/2008", "05/06/1999"], "day", False),
        (["03/04/2008", "25/12/1999"], "day", True),
        (["03/04/2008", "12/25/1999"], "month", True),
        (["25/12/1999", "12/25/1999"], "day", False),  # no order reads both
        (["2008-04-03", "1999-12-25"], "day", True),  # ISO 8601: read alike in every order
        (["05/05/2008"], "day", True),
        (["08/04/03"], "day", False),
        (["31/02/2008", "soon", ""], "day", True),  # no dates: nothing to ask
    ],
)
def test_the_order_is_asked_unless_the_column_settles_it(texts, best, certain):
    found = orders(texts, today=TODAY)
    assert (found.best, found.certain) == (best, certain)


def test_the_house_says_which_order_is_likelier_and_a_sample_tells_them_apart():
    found = orders(["05/05/2008", "03/04/2008"], today=TODAY, usual="month")
    assert found.best == "month"
    assert found.sample == "03/04/2008"
    assert found.reads == {"day": date(2008, 4, 3), "month": date(2008, 3, 4)}


@pytest.mark.parametrize(
    ("text", "order", "day"),
    [
        ("3.4.2008", "day", date(2008, 4, 3)),
        ("03/04/2008", "month", date(2008, 3, 4)),
        ("08/04/03", "year", date(2008, 4, 3)),
        ("03-04-28", "day", date(1928, 4, 3)),  # 2028 is still to come
        ("20080403", "day", date(2008, 4, 3)),
        ("2008-04-03 00:00:00", "day", date(2008, 4, 3)),
        ("3 April 2008", "month", date(2008, 4, 3)),
        ("Apr 3rd, 2008", "day", date(2008, 4, 3)),
        ("3 de abril de 2008", "day", date(2008, 4, 3)),
        ("29/02/2008", "day", date(2008, 2, 29)),
    ],
)
def test_dates_are_read_as_people_write_them(text, order, day):
    assert read_date(text, order, today=TODAY) == day


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("31/02/2008", "write it like"),
        ("29/02/2007", "write it like"),
        ("03/04/2028", "between 1900 and today"),
        ("03/04/1888", "between 1900 and today"),
        ("39541", "day number"),
        ("soon", "write it like"),
    ],
)
def test_what_is_no_day_of_birth_is_refused_with_what_to_write(text, told):
    with pytest.raises(NotUnderstood, match=told):
        read_date(text, "day", today=TODAY)
