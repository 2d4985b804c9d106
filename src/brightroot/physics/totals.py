"""Sums, so that a total opens to its parts and their ranges like any other figure."""

from __future__ import annotations

from brightroot.base.formula import formula


@formula(
    result="metal_m3",
    equation="Σ parts",
    hand="the parts added, their ends together",
    source="derivation/geometry",
    together=True,
)
def total_metal_m3(**parts_m3: float) -> float:
    """Volume of several areas of metal.

    >>> total_metal_m3(layer_m3=2e-6, cap_m3=1e-6)
    3e-06
    """
    return sum(parts_m3.values())


@formula(
    result="deposit_kg",
    equation="Σ parts",
    hand="the parts added, their ends together",
    source="derivation/geometry",
    together=True,
)
def total_deposit_kg(**parts_kg: float) -> float:
    """Mass of several passes.

    >>> total_deposit_kg(root_kg=0.015, cap_kg=0.02)
    0.035
    """
    return sum(parts_kg.values())


@formula(
    result="total_s",
    equation="Σ parts",
    hand="the parts added, their ends together",
    source="derivation/geometry",
    together=True,
)
def total_time_s(**parts_s: float) -> float:
    """Time of several things done one after the other.

    >>> total_time_s(purge_s=480.0, arc_s=600.0)
    1080.0
    """
    return sum(parts_s.values())


@formula(
    result="argon_m3",
    equation="Σ parts",
    hand="the parts added, their ends together",
    source="derivation/mass-balance",
    together=True,
)
def total_argon_m3(**parts_m3: float) -> float:
    """Argon of several circuits or stretches of time.

    >>> round(total_argon_m3(purge_m3=0.12, torch_m3=0.5), 3)
    0.62
    """
    return sum(parts_m3.values())


@formula(
    result="argon_m3",
    equation="V = Q·t",
    hand="{flow_m3_s:L/min.1} L/min for {elapsed_s:min.2} min = {argon_m3:L.1} L",
    source="derivation/mass-balance",
    holds={"flow_m3_s": (0.0, 0.01), "elapsed_s": (0.0, 864000.0)},
)
def flow_argon_m3(*, flow_m3_s: float, elapsed_s: float) -> float:
    """Argon that a flow uses in a time.

    >>> round(flow_argon_m3(flow_m3_s=0.00025, elapsed_s=480), 6)
    0.12
    """
    return flow_m3_s * elapsed_s


@formula(
    result="total_s",
    equation="t = n·t₁",
    hand="{times_1:.0} × {each_s:s.0} s = {total_s:s.0} s",
    source="derivation/geometry",
    holds={"each_s": (0.0, 86400.0), "times_1": (0.0, 10000.0)},
)
def product_time_s(*, each_s: float, times_1: float) -> float:
    """Time of the same thing done several times.

    >>> product_time_s(each_s=90.0, times_1=4.0)
    360.0
    """
    return each_s * times_1
