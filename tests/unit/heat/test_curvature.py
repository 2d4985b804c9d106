"""A thick little ring against a plane problem solved another way: finite volumes in radius and angle, heat summed along."""

import math

import numpy as np
import pytest
from scipy.sparse import coo_matrix, diags, identity
from scipy.sparse.linalg import splu

from brightroot.physics.heat.green import temperature_K
from brightroot.physics.heat.ring import ArcRun, Ring

RING = Ring(0.0603, 0.0081, 0.1, 20.0, 2.7e6, 0.0, 0.0, 298.15)  # wall over radius 0.27
RUN = ArcRun(0.0, 15.0, 0.0, 0.8, 600.0)
LAYERS, SECTORS, STEP_S = 18, 320, 0.05


def plane_ring():
    """Conduction matrix over heat capacity of each cell, metre of pipe; cells numbered layer by layer, outside last."""
    edge = np.linspace(RING.outer_diameter_m / 2 - RING.wall_m, RING.outer_diameter_m / 2, LAYERS + 1)
    middle, wide, turn = (edge[:-1] + edge[1:]) / 2, edge[1] - edge[0], 2 * np.pi / SECTORS
    cell = np.arange(LAYERS * SECTORS).reshape(LAYERS, SECTORS)
    around = np.repeat(20.0 * wide / (middle * turn), SECTORS)
    through = np.repeat(20.0 * edge[1:-1] * turn / wide, SECTORS)
    one = np.concatenate([cell.ravel(), cell[:-1].ravel()])
    other = np.concatenate([np.roll(cell, -1, axis=1).ravel(), cell[1:].ravel()])
    flow = np.concatenate([around, through])
    links = coo_matrix((flow, (one, other)), shape=(cell.size, cell.size)).tocsr()
    links = links + links.T
    capacity = np.repeat(2.7e6 * middle * turn * wide, SECTORS)
    return diags(1 / capacity) @ (links - diags(np.asarray(links.sum(axis=1)).ravel())), capacity, turn


def solved(times):
    matrix, capacity, turn = plane_ring()
    half = STEP_S / 2 * matrix
    ahead = splu((identity(capacity.size) - half).tocsc())
    angle, outer = np.arange(SECTORS) * turn, RING.outer_diameter_m / 2
    rise, seen = np.zeros(capacity.size), {}
    for step in range(round(max(times) / STEP_S)):
        when = (step + 0.5) * STEP_S
        heat = np.zeros(capacity.size)
        if when < RUN.duration_s:
            off = outer * ((angle - RUN.sweep_rad * when / RUN.duration_s + np.pi) % (2 * np.pi) - np.pi)
            share = np.exp(-(off**2) / (2 * 0.003**2)) / (0.003 * math.sqrt(2 * np.pi)) * outer * turn
            heat[-SECTORS:] = RUN.net_power_W * share / capacity[-SECTORS:]
        rise = ahead.solve(rise + half @ rise + STEP_S * heat)
        seen[round((step + 1) * STEP_S, 6)] = rise.reshape(LAYERS, SECTORS)
    return {when: seen[when] for when in times}, angle


def test_thick_ring():
    times = (16.0, 20.0, 40.0)
    wanted, angle = solved(times)
    z_m, weight = np.polynomial.legendre.leggauss(160)
    for when in times:
        for side, layer, next_layer in (("outside", -1, -2), ("inside", 0, 1)):
            places = {"theta_rad": angle[::8], "z_m": (0.1 * z_m)[:, None], "time_s": when}
            found = 0.1 * weight @ (temperature_K(ring=RING, runs=[RUN], side=side, **places) - 298.15)
            face = 1.5 * wanted[when][layer] - 0.5 * wanted[when][next_layer]
            assert np.abs(found - face[::8]).max() < 0.005 * face.max(), (when, side)
            assert found.max() == pytest.approx(face[::8].max(), rel=0.003), (when, side)
