"""Voltage drop of two-wire circuits by an independent power-flow solver, power-grid-model."""

import numpy as np
from power_grid_model import ComponentType, LoadGenType, PowerGridModel, initialize_array


def solved_drop_v(lines, current_a, nodes):
    """Return the drop at the last node of a network of two-wire lines [V], by power-grid-model.

    The solver is balanced three-phase: with 230 V line to neutral, one phase that carries the whole loop and
    three times the load, a phase is the two-wire circuit.
    """

    def table(kind, **columns):
        rows = initialize_array("input", kind, len(next(iter(columns.values()))))
        for name, values in columns.items():
            rows[name] = values
        return rows

    count = len(lines)
    network = {
        ComponentType.node: table(ComponentType.node, id=np.arange(nodes), u_rated=[230 * np.sqrt(3)] * nodes),
        ComponentType.line: table(
            ComponentType.line,
            id=100 + np.arange(count),
            from_node=[line[0] for line in lines],
            to_node=[line[1] for line in lines],
            from_status=[1] * count,
            to_status=[1] * count,
            r1=[line[2] for line in lines],
            x1=[1e-9] * count,
            c1=[0.0] * count,
            tan1=[0.0] * count,
        ),
        ComponentType.source: table(ComponentType.source, id=[200], node=[0], status=[1], u_ref=[1.0], sk=[1e15]),
        ComponentType.sym_load: table(
            ComponentType.sym_load,
            id=[300],
            node=[nodes - 1],
            status=[1],
            type=[LoadGenType.const_current],
            p_specified=[3 * 230.0 * current_a],
            q_specified=[0.0],
        ),
    }
    result = PowerGridModel(network, system_frequency=50.0).calculate_power_flow(error_tolerance=1e-11)
    return float(230 - result[ComponentType.node]["u"][nodes - 1] / np.sqrt(3))


def loop_ohm(size, length):
    """Return the resistance of go and return at 70 C [ohm], from IEC 60228 at 20 C, typed here a second time."""
    at_20 = {"1.0": 18.1, "1.5": 12.1, "2.5": 7.41, "4": 4.61, "6": 3.08, "10": 1.83, "16": 1.15}[size]
    return 2 * at_20 * (1 + 0.00393 * 50) * length / 1000
