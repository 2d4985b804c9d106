"""`python -m benchmarks.tint_ways`: draws the ways a photograph of tint may have come about and packs them for the library."""

from __future__ import annotations

import numpy as np

from brightroot.library.load import load_library
from brightroot.physics.tint.reading.pairs import Spectra, titanium_table
from brightroot.physics.tint.reading.table import Table
from brightroot.store.tint_ways import HERE

WAYS, SEED = 800, 7


def table(*, ways: int = WAYS, seed: int = SEED) -> Table:
    """The table drawn from the library's own tables."""
    optics = load_library().optics
    spectra = Spectra(
        {name: one.at() for name, one in optics.substrates.items()},
        {name: one.at() for name, one in optics.films.items()},
        {name: one.table() for name, one in optics.lights.items()},
        optics.observer.table(),
    )
    return titanium_table(spectra, ways=ways, seed=seed)


def main() -> None:
    """Write the file."""
    made = table()
    HERE.mkdir(parents=True, exist_ok=True)
    np.savez_compressed(
        HERE / "titanium.npz", levels_nm=made.levels_nm.astype(np.float32), mean=made.mean.astype(np.float32),
        directions=made.directions.astype(np.float32), places=made.places.astype(np.float16),
    )  # fmt: skip


if __name__ == "__main__":
    main()
