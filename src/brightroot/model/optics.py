"""The tables that colour is computed from: optical constants, lights and the observer, as values."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, TypeVar

from brightroot.base.errors import Refused
from brightroot.base.source import Standing
from brightroot.base.wavelength import WAVELENGTH_NM

if TYPE_CHECKING:  # the library is read without numpy; only who computes a colour pays for it
    from brightroot.base.spectrum import Complexes, Floats

T = TypeVar("T")


@dataclass(frozen=True, slots=True, eq=False)
class Constants:
    """Index n and loss k of one material over wavelength, linear between its points; the end value holds outside."""

    name: str
    wavelength_nm: tuple[float, ...]
    n_1: tuple[float, ...]
    k_1: tuple[float, ...]
    source: str
    standing: Standing
    reference: str = ""
    sample: str = ""

    def at(self, wavelength_nm: tuple[float, ...] = WAVELENGTH_NM) -> Complexes:
        """n + ik at each wavelength."""
        import numpy as np

        n = np.interp(wavelength_nm, self.wavelength_nm, self.n_1)
        return n + 1j * np.interp(wavelength_nm, self.wavelength_nm, self.k_1)

    def held_outside_nm(self) -> tuple[float, float] | None:
        """Where the visible range passes the table, the span that the table itself covers; None where it covers all."""
        low, high = self.wavelength_nm[0], self.wavelength_nm[-1]
        return (low, high) if low > WAVELENGTH_NM[0] or high < WAVELENGTH_NM[-1] else None


@dataclass(frozen=True, slots=True, eq=False)
class Light:
    """Relative power of a light at each of WAVELENGTH_NM."""

    name: str
    power_1: tuple[float, ...]
    source: str
    standing: Standing

    def table(self) -> Floats:
        """Power at each wavelength."""
        import numpy as np

        return np.array(self.power_1)


@dataclass(frozen=True, slots=True, eq=False)
class Observer:
    """Colour-matching functions at each of WAVELENGTH_NM."""

    name: str
    x_1: tuple[float, ...]
    y_1: tuple[float, ...]
    z_1: tuple[float, ...]
    source: str
    standing: Standing

    def table(self) -> Floats:
        """Wavelength by x, y, z."""
        import numpy as np

        return np.column_stack([self.x_1, self.y_1, self.z_1])


@dataclass(frozen=True, slots=True, eq=False)
class Optics:
    """All tables of the library. Names are the pages of the database they come from: Ti/Johnson, TiO2/Siefke."""

    substrates: Mapping[str, Constants] = field(default_factory=dict)
    films: Mapping[str, Constants] = field(default_factory=dict)
    lights: Mapping[str, Light] = field(default_factory=dict)
    observers: Mapping[str, Observer] = field(default_factory=dict)

    def substrate(self, name: object) -> Constants:
        """The metal of that name, or Refused with the names there are."""
        return _named(self.substrates, name, field="substrate")

    def film(self, name: object) -> Constants:
        """The oxide of that name, or Refused with the names there are."""
        return _named(self.films, name, field="film")

    def light(self, name: object) -> Light:
        """The light of that name, or Refused with the names there are."""
        return _named(self.lights, name, field="illuminant")

    @property
    def observer(self) -> Observer:
        """The observer of 1931, two degrees."""
        return _named(self.observers, "CIE-1931-2", field="observer")


def _named(table: Mapping[str, T], name: object, *, field: str) -> T:
    if isinstance(name, str) and name in table:
        return table[name]
    raise Refused(field=field, wanted="one of " + ", ".join(table), got=str(name), reason="refused.choice")
