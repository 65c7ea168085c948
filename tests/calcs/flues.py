"""An invented flue for the tests of draft, and strategies to vary it."""

from hypothesis import strategies as st

FLUE = {
    "mass_flow": 0.0085,
    "flue_gas_temperature": 250.0,
    "inner_diameter": 0.15,
    "outer_diameter": 0.2,
    "length": 5.0,
    "height": 5.0,
    "thermal_resistance": 0.4,
    "roughness": 0.001,
    "zeta": 1.5,
    "gas_constant": 290.0,
    "heat_capacity": 1100.0,
    "altitude": 200.0,
    "outside_temperature": 0.0,
    "surrounding_temperature": 0.0,
    "external_coefficient": 23.0,
}

#: Flues that draw: hot gas, cold air, sizes of the trade.
any_flue = st.fixed_dictionaries(
    {
        "mass_flow": st.floats(0.001, 0.05),
        "flue_gas_temperature": st.floats(100, 600),
        "inner_diameter": st.floats(0.1, 0.3),
        "outer_diameter": st.floats(0.3, 0.5),
        "length": st.floats(1, 20),
        "height": st.floats(1, 20),
        "thermal_resistance": st.floats(0, 1),
        "roughness": st.floats(0, 0.005),
        "zeta": st.floats(0, 10),
        "gas_constant": st.floats(280, 310),
        "heat_capacity": st.floats(1000, 1300),
        "altitude": st.floats(0, 3000),
        "outside_temperature": st.floats(-30, 30),
        "surrounding_temperature": st.floats(-30, 30),
        "external_coefficient": st.floats(5, 25),
        "flow_safety": st.floats(1, 2),
        "correction": st.floats(0.1, 1),
    }
)
