from __future__ import annotations

import pytest

from tendtui.chemistry.buffers import (
    BUFFERS,
    CONDUCTIVITY_STANDARDS,
    TEMPERATURES_C,
    buffer_ph,
    conductivity_standard_us_cm,
    electrode_slope_percent,
)
from tendtui.chemistry.oxygen import (
    air_pressure_atm,
    oxygen_saturation_mg_l,
    oxygen_saturation_percent,
)


def test_tables_have_a_value_for_every_temperature() -> None:
    for row in (*BUFFERS.values(), *CONDUCTIVITY_STANDARDS.values()):
        assert len(row) == len(TEMPERATURES_C)


@pytest.mark.parametrize("name", list(BUFFERS))
def test_a_buffer_is_named_by_its_ph_at_25_c(name: str) -> None:
    assert buffer_ph(name, temperature_c=25.0) == pytest.approx(float(name), abs=0.005)


def test_between_two_temperatures_the_table_is_read_along_a_line() -> None:
    assert buffer_ph("7.00", temperature_c=22.5) == pytest.approx(7.01, abs=1e-9)
    assert buffer_ph("7.00", temperature_c=0.0) == 7.12
    assert buffer_ph("7.00", temperature_c=40.0) == 6.98
    assert conductivity_standard_us_cm("1408", temperature_c=18.0) == pytest.approx(1219.93, rel=0.001)


def test_what_is_not_in_the_table_is_refused() -> None:
    with pytest.raises(ValueError, match=r"There is no buffer “5\.00” in the table"):
        buffer_ph("5.00", temperature_c=20.0)
    with pytest.raises(ValueError, match="There is no standard “84” in the table"):
        conductivity_standard_us_cm("84", temperature_c=20.0)
    with pytest.raises(ValueError, match="The table runs from 0 to 40 °C, not to 45"):
        buffer_ph("7.00", temperature_c=45.0)


def test_two_buffers_must_differ() -> None:
    with pytest.raises(ValueError, match="The two buffers must differ in pH"):
        electrode_slope_percent(first_mv=1.0, first_ph=7.0, second_mv=2.0, second_ph=7.0, temperature_c=20.0)


@pytest.mark.parametrize(
    ("temperature_c", "value"),
    # Benson & Krause as in Standard Methods 4500-O; EN 25814 prints the same for 0 to 30 °C
    [(0.0, 14.62), (5.0, 12.77), (12.0, 10.78), (17.0, 9.66), (22.0, 8.74), (28.0, 7.83), (35.0, 6.95)],
)
def test_oxygen_at_the_sea_is_the_table_s(temperature_c: float, value: float) -> None:
    assert oxygen_saturation_mg_l(temperature_c=temperature_c) == pytest.approx(value, abs=0.011)


@pytest.mark.parametrize(
    ("altitude_m", "factor"),
    # relative air pressure in a meter maker's manual
    [(500.0, 0.943), (1000.0, 0.890), (1500.0, 0.839), (2000.0, 0.792)],
)
def test_air_thins_with_height(altitude_m: float, factor: float) -> None:
    assert air_pressure_atm(altitude_m=altitude_m) == pytest.approx(factor, abs=0.01)


def test_oxygen_out_of_range_is_refused() -> None:
    with pytest.raises(ValueError, match="between 0 and 40 °C"):
        oxygen_saturation_mg_l(temperature_c=41.0)
    with pytest.raises(ValueError, match="between -500 and 6000 m"):
        oxygen_saturation_mg_l(temperature_c=20.0, altitude_m=9000.0)
    with pytest.raises(ValueError, match="can't be less than 0"):
        oxygen_saturation_percent(oxygen_mg_l=-1.0, temperature_c=20.0)
