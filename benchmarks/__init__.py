"""Long sweeps and timings. Their results are committed with the commit and the seed that made them."""
