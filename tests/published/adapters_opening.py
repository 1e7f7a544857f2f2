"""Composites for the rows on leaks."""

from drawthrough.physics.leak import leak_airflow


def two_leaks(
    airflow_first: float,
    pressure_drop_first: float,
    airflow_second: float,
    pressure_drop_second: float,
    pressure_drop_reference: float,
    leak_exponent: float,
) -> float:
    """Return what two leaks of known test result let through together, each at its own running pressure."""
    return leak_airflow(airflow_first, pressure_drop_reference, pressure_drop_first, leak_exponent) + leak_airflow(
        airflow_second, pressure_drop_reference, pressure_drop_second, leak_exponent
    )
