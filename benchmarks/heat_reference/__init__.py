"""An independent 3-D solution of heat cases: finite elements on three grids. It imports nothing of the package that it judges."""
