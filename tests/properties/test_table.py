"""How a table behaves as an interface: shapes, edges, masks, consistency, errors."""

from __future__ import annotations

import dataclasses

import numpy as np
import pytest

from linesizer.errors import UserError
from linesizer.properties import library
from linesizer.properties.state import State
from linesizer.properties.table import RefrigerantTable

BY_ENTHALPY = [
    "vapour_density_ph", "vapour_viscosity_ph", "vapour_temperature_ph", "liquid_density_ph", "liquid_viscosity_ph",
    "liquid_temperature_ph", "vapour_fraction_ph", "vapour_fraction_unclamped_ph", "two_phase_temperature_ph",
    "inside_vapour_ph", "inside_liquid_ph",
]  # fmt: skip
STATES = ["vapour_ph", "vapour_pt", "vapour_ps", "liquid_ph", "liquid_pt", "liquid_ps"]
FIELDS = [field.name for field in dataclasses.fields(State)]


@pytest.fixture(params=["R134a", "R454B", "R407C", "R744", "R717"])
def table(request: pytest.FixtureRequest) -> RefrigerantTable:
    return library.load(request.param)


def third_argument(table: RefrigerantTable, name: str) -> float:
    state = table.saturated_vapour(1.5e6) if name.startswith("vapour") else table.saturated_liquid(1.5e6)
    return float({"h": state.enthalpy_J_kg, "t": state.temperature_K, "s": state.entropy_J_kgK}[name[-1]])


@pytest.mark.parametrize("name", BY_ENTHALPY)
def test_arguments_broadcast(name: str) -> None:
    table = library.load("R134a")
    call = getattr(table, name)
    pressure = np.array([[8e5], [1.2e6]])
    enthalpy = np.array([200e3, 300e3, 430e3])
    together = call(pressure, enthalpy)
    assert together.shape == (2, 3)
    for row in range(2):
        for column in range(3):
            one = call(float(pressure[row, 0]), enthalpy[column])
            assert np.shape(one) == ()
            assert one == pytest.approx(together[row, column], rel=1e-12)
    assert call([8e5, 9e5], [250e3, 420e3]).shape == (2,)
    assert call(np.empty(0), np.empty(0)).shape == (0,)
    assert call(8, 250_000).dtype == (np.bool_ if name.startswith("inside") else np.float64)


@pytest.mark.parametrize("name", STATES)
def test_states_broadcast(name: str) -> None:
    table = library.load("R134a")
    pressure = np.array([[1.0e6], [1.5e6]])
    state = getattr(table, name)(pressure, np.full(3, third_argument(table, name)))
    for field in FIELDS:
        assert getattr(state, field).shape == (2, 3)
        assert getattr(state, field).dtype == np.float64
    assert getattr(table, name)(np.empty(0), np.empty(0)).density_kg_m3.shape == (0,)
    assert state.pressure_Pa == pytest.approx(np.broadcast_to(pressure, (2, 3)))


@pytest.mark.parametrize(
    "name", ["dew_pressure", "bubble_pressure", "dew_temperature", "bubble_temperature", "inside_pressure"]
)
def test_saturation_keeps_the_shape(name: str) -> None:
    call = getattr(library.load("R134a"), name)
    assert np.shape(call(300.0)) == ()
    assert call(np.full((2, 3), 300.0)).shape == (2, 3)
    assert call(np.empty(0)).shape == (0,)


def test_many_points_give_what_few_give() -> None:
    """Long arrays are worked off in blocks."""
    table = library.load("R410A")
    random = np.random.default_rng(3)
    pressure = random.uniform(5e5, 3e6, 20_001)
    enthalpy = table.saturated_vapour(pressure).enthalpy_J_kg + random.uniform(0.0, 9e4, pressure.size)
    whole = table.vapour_ph(pressure, enthalpy)
    few = np.r_[0:3, 8190:8195, -3:0]
    part = table.vapour_ph(pressure[few], enthalpy[few])
    for field in FIELDS:
        assert getattr(whole, field)[few] == pytest.approx(getattr(part, field), rel=1e-12)
    back = table.vapour_pt(pressure, whole.temperature_K)
    assert back.enthalpy_J_kg == pytest.approx(enthalpy, abs=1e-3)


def test_single_quantities_agree_with_the_whole_state(table: RefrigerantTable) -> None:
    pressure = np.linspace(table.minimum_pressure_Pa, 0.9 * table.maximum_pressure_Pa, 40)
    for phase, enthalpy in (
        ("vapour", table.saturated_vapour(pressure).enthalpy_J_kg + 3e4),
        ("liquid", table.saturated_liquid(pressure).enthalpy_J_kg - 1e4),
    ):
        state = getattr(table, f"{phase}_ph")(pressure, enthalpy)
        density, viscosity = getattr(table, f"{phase}_density_viscosity_ph")(pressure, enthalpy)
        for one, whole in (
            (getattr(table, f"{phase}_density_ph")(pressure, enthalpy), state.density_kg_m3),
            (density, state.density_kg_m3),
            (getattr(table, f"{phase}_viscosity_ph")(pressure, enthalpy), state.viscosity_Pa_s),
            (viscosity, state.viscosity_Pa_s),
            (getattr(table, f"{phase}_temperature_ph")(pressure, enthalpy), state.temperature_K),
        ):
            assert one == pytest.approx(whole, rel=1e-11)


def test_temperature_and_entropy_lead_back_to_the_enthalpy(table: RefrigerantTable) -> None:
    pressure = np.geomspace(table.minimum_pressure_Pa, table.maximum_pressure_Pa, 30)[:, None]
    vapour = table.vapour_pt(pressure, table.dew_temperature(pressure) + np.linspace(0.0, 100.0, 21))
    liquid = table.liquid_pt(pressure, table.bubble_temperature(pressure) - np.linspace(0.0, 30.0, 21))
    for state, by_temperature, by_entropy in (
        (vapour, table.vapour_pt, table.vapour_ps),
        (liquid, table.liquid_pt, table.liquid_ps),
    ):
        again = by_temperature(pressure, state.temperature_K)
        assert again.enthalpy_J_kg == pytest.approx(state.enthalpy_J_kg, abs=1e-3)
        again = by_entropy(pressure, state.entropy_J_kgK)
        assert again.temperature_K == pytest.approx(state.temperature_K, abs=2e-3)


def test_single_phase_meets_saturation(table: RefrigerantTable) -> None:
    """Both are fits of their own; on the line they differ by their errors only."""
    pressure = np.geomspace(1.02 * table.minimum_pressure_Pa, 0.98 * table.maximum_pressure_Pa, 50)
    for saturated, beside in (
        (table.saturated_vapour(pressure), table.vapour_ph),
        (table.saturated_liquid(pressure), table.liquid_ph),
    ):
        state = beside(pressure, saturated.enthalpy_J_kg)
        assert state.density_kg_m3 == pytest.approx(saturated.density_kg_m3, rel=1e-4)
        assert state.temperature_K == pytest.approx(saturated.temperature_K, abs=2e-3)
        assert state.viscosity_Pa_s == pytest.approx(saturated.viscosity_Pa_s, rel=1e-3)


def test_saturation_leads_there_and_back(table: RefrigerantTable) -> None:
    temperature = np.linspace(table.minimum_saturation_temperature_K, table.maximum_saturation_temperature_K, 200)
    assert table.dew_temperature(table.dew_pressure(temperature)) == pytest.approx(temperature, abs=1e-3)
    assert table.bubble_temperature(table.bubble_pressure(temperature)) == pytest.approx(temperature, abs=1e-3)


@pytest.mark.parametrize("name", library.names())
def test_no_finite_argument_gives_nonsense(name: str) -> None:
    """Far outside too: positive, finite numbers and no warning, since a march may run anywhere on its way."""
    table = library.load(name)
    pressure = np.array([-1e5, 0.0, 1.0, 1e4, 1e5, 5e5, 1e6, 2e6, 4e6, 6e6, 1e8])[:, None]
    enthalpy = np.concatenate([[-1e8, 0.0, 1e8], np.linspace(-3e5, 2.5e6, 60)])
    temperature = np.concatenate([[-10.0, 0.0, 1e4], np.linspace(150.0, 600.0, 60)])
    entropy = np.concatenate([[-1e6, 0.0, 1e6], np.linspace(-1e3, 8e3, 60)])
    for phase in ("vapour", "liquid"):
        for way, value in (("ph", enthalpy), ("pt", temperature), ("ps", entropy)):
            state = getattr(table, f"{phase}_{way}")(pressure, value)
            for field in FIELDS:
                values = getattr(state, field)
                assert np.isfinite(values).all(), (phase, way, field)
                if field not in ("pressure_Pa", "enthalpy_J_kg", "entropy_J_kgK"):
                    assert (values > 0.0).all(), (phase, way, field)
        density, viscosity = getattr(table, f"{phase}_density_viscosity_ph")(pressure, enthalpy)
        assert (density > 0.0).all()
        assert (viscosity > 0.0).all()
    assert (table.dew_pressure(temperature) > 0.0).all()
    assert (table.bubble_pressure(temperature) > 0.0).all()
    for values in (table.dew_temperature(pressure), table.bubble_temperature(pressure)):
        assert ((values > 150.0) & (values < 400.0)).all()
    fraction = table.vapour_fraction_ph(pressure, enthalpy)
    assert ((fraction >= 0.0) & (fraction <= 1.0)).all()


@pytest.mark.parametrize("name", STATES)
def test_one_nan_does_not_spoil_its_neighbours(name: str) -> None:
    table = library.load("R134a")
    good = third_argument(table, name) * np.array([1.0, 1.02, 1.05, 0.98])
    spoilt = good.copy()
    spoilt[1] = np.nan
    expected = getattr(table, name)(1.5e6, good).density_kg_m3
    found = getattr(table, name)(1.5e6, spoilt).density_kg_m3
    assert np.isnan(found[1])
    assert found[[0, 2, 3]] == pytest.approx(expected[[0, 2, 3]], rel=1e-12)


def test_liquid_goes_straight_on_above_the_bubble_line(table: RefrigerantTable) -> None:
    """A liquid line that runs out of subcooling keeps single-phase values for some 20 K."""
    pressure = float(table.bubble_pressure(table.maximum_saturation_temperature_K - 15.0))
    edge = table.saturated_liquid(pressure)
    heat = float(edge.enthalpy_J_kg - table.liquid_pt(pressure, edge.temperature_K - 5.0).enthalpy_J_kg)
    enthalpy = edge.enthalpy_J_kg + heat * np.linspace(0.0, 2.5, 11)
    state = table.liquid_ph(pressure, enthalpy)
    volume = 1.0 / state.density_kg_m3
    assert np.diff(volume) == pytest.approx(np.diff(volume)[0], rel=1e-6)
    assert volume[1] > volume[0]
    assert np.diff(state.temperature_K) == pytest.approx(np.diff(state.temperature_K)[0], rel=1e-6)
    below = table.liquid_ph(pressure, edge.enthalpy_J_kg - np.array([20.0, 0.0]))
    slope = np.diff(1.0 / below.density_kg_m3)[0] / 20.0
    assert (volume[1] - volume[0]) / (enthalpy[1] - enthalpy[0]) == pytest.approx(slope, rel=0.01)
    furthest = table.liquid_ph(pressure, edge.enthalpy_J_kg + 1e7)
    assert 8.0 < furthest.temperature_K - edge.temperature_K < 40.0


def test_vapour_goes_straight_on_below_the_dew_line(table: RefrigerantTable) -> None:
    pressure = float(table.dew_pressure(table.maximum_saturation_temperature_K - 30.0))
    edge = table.saturated_vapour(pressure)
    state = table.vapour_ph(pressure, edge.enthalpy_J_kg - np.linspace(0.0, 3e3, 7))
    assert np.diff(1.0 / state.density_kg_m3) == pytest.approx(np.diff(1.0 / state.density_kg_m3)[0], rel=1e-6)
    assert np.diff(state.temperature_K) == pytest.approx(np.diff(state.temperature_K)[0], rel=1e-6)
    assert state.temperature_K[-1] < edge.temperature_K


def test_masks(table: RefrigerantTable) -> None:
    pressure = np.geomspace(1.01 * table.minimum_pressure_Pa, 0.99 * table.maximum_pressure_Pa, 25)
    pressure = pressure[pressure > 1.2 * float(table.bubble_pressure(table.minimum_saturation_temperature_K))]
    dew, bubble = table.saturated_vapour(pressure).enthalpy_J_kg, table.saturated_liquid(pressure).enthalpy_J_kg
    assert table.inside_vapour_ph(pressure, dew + 1.0).all()
    assert table.inside_vapour_ph(pressure, dew + 2e4).all()
    assert not table.inside_vapour_ph(pressure, dew - 5.0).any()
    assert table.inside_liquid_ph(pressure, bubble - 1.0).all()
    assert not table.inside_liquid_ph(pressure, bubble + 5.0).any()
    hot = table.vapour_pt(pressure, table.dew_temperature(pressure) + table.vapour_span_K)
    assert table.inside_vapour_ph(pressure, hot.enthalpy_J_kg - 50.0).all()
    assert not table.inside_vapour_ph(pressure, hot.enthalpy_J_kg + 1e4).any()
    low, high = table.minimum_pressure_Pa, table.maximum_pressure_Pa
    assert table.inside_pressure([0.99 * low, low, high, 1.01 * high]).tolist() == [False, True, True, False]
    assert not table.inside_vapour_ph(1.01 * high, float(dew[-1]) + 1e4)
    # What may be entered lies inside, with a margin for the drop of a line.
    assert table.inside_pressure(1.01 * table.dew_pressure(table.maximum_saturation_temperature_K))
    assert table.inside_pressure(table.dew_pressure(table.minimum_saturation_temperature_K))


def test_vapour_fraction() -> None:
    table = library.load("R407C")
    pressure = np.array([4e5, 1.5e6])
    bubble, dew = table.saturated_liquid(pressure).enthalpy_J_kg, table.saturated_vapour(pressure).enthalpy_J_kg
    for share in (-0.2, 0.0, 0.3, 1.0, 1.4):
        enthalpy = bubble + share * (dew - bubble)
        assert table.vapour_fraction_unclamped_ph(pressure, enthalpy) == pytest.approx(share, abs=1e-12)
        assert table.vapour_fraction_ph(pressure, enthalpy) == pytest.approx(min(max(share, 0.0), 1.0), abs=1e-12)
        temperature = table.two_phase_temperature_ph(pressure, enthalpy)
        assert (temperature >= table.bubble_temperature(pressure) - 1e-9).all()
        assert (temperature <= table.dew_temperature(pressure) + 1e-9).all()
    middle = table.two_phase_temperature_ph(pressure, 0.5 * (bubble + dew))
    assert middle == pytest.approx(0.5 * (table.bubble_temperature(pressure) + table.dew_temperature(pressure)))


def test_entered_saturation_temperature() -> None:
    named = "Condensing temperature of condition full"
    table = library.load("R134a")
    assert table.require_saturation_temperature(313.15, named=named) == 313.15
    for edge in (table.minimum_saturation_temperature_K, table.maximum_saturation_temperature_K):
        assert table.require_saturation_temperature(edge, named=named) == edge
    with pytest.raises(UserError, match=named) as error:
        table.require_saturation_temperature(358.15, named=named)
    assert error.value.code == "PROP-03"
    assert "85.0 °C" in error.value.why
    assert "-50.0 °C to 75.0 °C" in error.value.why
    for wrong in (float("nan"), float("inf"), 200.0):
        with pytest.raises(UserError) as error:
            table.require_saturation_temperature(wrong, named=named)
        assert error.value.code == "PROP-03"


def test_above_the_critical_temperature() -> None:
    table = library.load("R744")
    with pytest.raises(UserError, match="Condensing temperature of condition summer") as error:
        table.require_saturation_temperature(308.15, named="Condensing temperature of condition summer")
    assert error.value.code == "PROP-02"
    assert "critical temperature" in error.value.why
    assert "subcritical" in error.value.why
    assert "31.0 °C" in error.value.why
    assert "28.0 °C" in error.value.remedy


def test_entered_vapour_temperature() -> None:
    table = library.load("R134a")
    pressure = float(table.dew_pressure(313.15))
    assert table.require_vapour_temperature(pressure, 350.0, named="x") == 350.0
    for wrong in (310.0, 313.15 + 121.0, float("nan")):
        with pytest.raises(UserError, match="Discharge temperature of condition full") as error:
            table.require_vapour_temperature(pressure, wrong, named="Discharge temperature of condition full")
        assert error.value.code == "PROP-04"
        assert "40.0 °C" in error.value.why


def test_what_the_table_says_of_itself() -> None:
    table = library.load("R454B")
    assert table.composition == {"R32": 0.689, "R1234yf": 0.311}
    assert table.coolprop_version
    assert "log mixing" in table.viscosity_method.liquid
    assert "Wilke" in table.viscosity_method.vapour
    assert table.viscosity_uncertainty.liquid == 0.10
    assert any("equal fugacities" in words for words in table.bridged)
    assert table.minimum_saturation_temperature_K == pytest.approx(223.15)
    assert table.maximum_saturation_temperature_K == pytest.approx(348.15)
    carbon_dioxide = library.load("R744")
    assert carbon_dioxide.maximum_saturation_temperature_K == pytest.approx(carbon_dioxide.critical_temperature_K - 3.0)
    assert library.load("R717").vapour_span_K == 200.0
