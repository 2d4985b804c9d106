"""The Python API: `from brightroot.api import Bench`."""

from brightroot.api.bench import Bench, Planned

__all__ = ["Bench", "Planned"]
