"""A written procedure and its tests: what they state, what they qualify, and what trips."""
