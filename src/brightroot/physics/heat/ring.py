"""The ring that conducts and the runs that heat it: plain numbers, no material names."""

from __future__ import annotations

from dataclasses import dataclass

ARC_SIGMA_M = 0.003  # spread of a hand GTAW arc on the metal; only what is within a few mm of it feels it


@dataclass(frozen=True, slots=True)
class Ring:
    """A straight tube about its girth weld, the same properties everywhere, both ends adiabatic at `half_length_m`."""

    outer_diameter_m: float
    wall_m: float
    half_length_m: float
    conductivity_W_mK: float
    heat_capacity_J_m3K: float
    loss_outer_W_m2K: float
    loss_inner_W_m2K: float
    ambient_K: float

    @property
    def mean_radius_m(self) -> float:
        """The radius at which the ring is unrolled."""
        return (self.outer_diameter_m - self.wall_m) / 2

    @property
    def diffusivity_m2_s(self) -> float:
        """How fast heat spreads."""
        return self.conductivity_W_mK / self.heat_capacity_J_m3K

    @property
    def loss_rate(self) -> float:
        """Share of the rise that both surfaces give away in a second."""
        outer, inner = self.outer_diameter_m / 2, self.outer_diameter_m / 2 - self.wall_m
        lost = self.loss_outer_W_m2K * outer + self.loss_inner_W_m2K * inner
        return lost / (self.heat_capacity_J_m3K * self.wall_m * self.mean_radius_m)


@dataclass(frozen=True, slots=True)
class ArcRun:
    """One arc: on at `start_s` for `duration_s`, from `from_rad` over a signed sweep, with steady net power."""

    start_s: float
    duration_s: float
    from_rad: float
    sweep_rad: float
    net_power_W: float

    @property
    def stop_s(self) -> float:
        """When the arc went off."""
        return self.start_s + self.duration_s

    @property
    def to_rad(self) -> float:
        """Where the arc went off."""
        return self.from_rad + self.sweep_rad
