"""Figures as people type them, in the house's unit or with a unit of their own."""

import pytest

from workshops import units

# NIST SP 811 (2008), appendix B: 1 ft = 0.3048 m, 1 lb = 0.45359237 kg, 1 mi/h = 0.44704 m/s,
# 1 kn = 1852/3600 m/s, 1 lbf = 4.4482216 N; t/C = (t/F - 32) / 1.8. The sums are beside.


@pytest.mark.parametrize(
    ("text", "field", "imperial", "expected"),
    [
        ("2.5", "distance_m", False, 2.5),
        ("2,5", "distance_m", False, 2.5),
        ("2.5 m", "distance_m", True, 2.5),
        ("10", "distance_m", True, 3.048),
        ("6 ft 7 in", "distance_m", False, 79 * 0.0254),  # 6 x 12 + 7 inches of 25.4 mm
        ("6'7\"", "distance_m", True, 79 * 0.0254),
        ("79 in", "distance_m", False, 79 * 0.0254),
        ("120 cm", "width_m", False, 1.2),
        ("22", "bag_kg", True, 22 * 0.45359237),
        ("10 kg", "bag_kg", True, 10.0),
        ("25 mph", "gust_m_s", False, 25 * 0.44704),
        ("20 kt", "gust_m_s", False, 20 * 1852 / 3600),
        ("36 km/h", "gust_m_s", False, 10.0),
        ("50", "temperature_c", True, 10.0),  # (50 - 32) / 1.8
        ("50°F", "temperature_c", False, 10.0),
        ("-40", "temperature_c", True, -40.0),  # the two scales meet there
        ("9", "hold_force_n", True, 9 * 4.4482216),
        ("80", "guide_number_m", True, 80.0),  # guide numbers stay metric
        ("−1", "target_stops", False, -1.0),
    ],
)
def test_a_figure_is_read_in_its_unit(text, field, imperial, expected):
    unit = units.unit_of(field)
    assert units.read(text, unit, imperial=imperial) == pytest.approx(expected, rel=1e-9)


@pytest.mark.parametrize(
    ("text", "field"),
    [
        ("abc", "distance_m"),
        ("2 kg", "distance_m"),
        ("2 stops", "target_stops"),
        ("1e999", "distance_m"),
        ("nan", "distance_m"),
        ("1 2", "distance_m"),
        ("9" * 50, "distance_m"),
        ("", "distance_m"),
        ("5 K", "temperature_c"),
    ],
)
def test_what_is_no_figure_of_that_kind_is_refused(text, field):
    with pytest.raises(ValueError):  # noqa: PT011 - a parser's refusal, worded by the form
        units.read(text, units.unit_of(field), imperial=False)


@pytest.mark.parametrize("field", ["distance_m", "bag_kg", "gust_m_s", "temperature_c", "force_n"])
def test_what_is_shown_is_read_back_within_a_thousandth(field):
    unit = units.unit_of(field)
    for value in (0.1, 1.0, 2.3, 25.0):
        shown = units.shown(value, unit, imperial=True)
        back = units.read(shown, unit, imperial=True)
        assert back == pytest.approx(value, abs=0.0005 * unit.scale + 1e-12)
        assert units.read(units.shown(value, unit, imperial=False), unit, imperial=False) == value


def test_a_label_names_the_unit_a_bare_number_is_in():
    label = "distance (m)"
    assert units.relabelled(label, units.LENGTH, imperial=True) == "distance (ft)"
    assert units.relabelled(label, units.LENGTH, imperial=False) == label
