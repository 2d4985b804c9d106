"""The march of gas and oxygen over the grid, compiled: a staggered grid, upwind with a limiter, pressure solved exactly."""

# what numba compiles takes its types from what it is called with
# mypy: allow-untyped-defs, allow-untyped-calls, allow-untyped-decorators
from __future__ import annotations

import numpy as np
from numba import njit

SLOW = 1e-30


@njit(cache=True)
def factored(volume, along, across, dx, dz):
    """The pressure matrix as an envelope Cholesky factor: place of each cell, first column of each row, rows end to end."""
    nx, nz = volume.shape
    place = -np.ones((nx, nz), np.int64)
    count = 0
    for i in range(nx):
        for k in range(nz):
            if volume[i, k] > 0:
                place[i, k] = count
                count += 1
    first = np.zeros(count, np.int64)
    start = np.zeros(count + 1, np.int64)
    for i in range(nx):
        for k in range(nz):
            n = place[i, k]
            if n >= 0:
                first[n] = n
                if k > 0 and across[i, k] > 0:
                    first[n] = place[i, k - 1]
                if i > 0 and along[i, k] > 0:
                    first[n] = place[i - 1, k]
                start[n + 1] = start[n] + n - first[n] + 1
    rows = np.zeros(start[count])
    for i in range(nx):
        for k in range(nz):
            n = place[i, k]
            if n < 0:
                continue
            own = (along[i, k] + along[i + 1, k]) / dx + (across[i, k] + across[i, k + 1]) / dz
            if n == 0:
                own *= 2
            rows[start[n] + n - first[n]] = own
            if k > 0 and across[i, k] > 0:
                rows[start[n] + place[i, k - 1] - first[n]] = -across[i, k] / dz
            if i > 0 and along[i, k] > 0:
                rows[start[n] + place[i - 1, k] - first[n]] = -along[i, k] / dx
    for n in range(count):
        for m in range(first[n], n + 1):
            total = rows[start[n] + m - first[n]]
            for j in range(max(first[n], first[m]), m):
                total -= rows[start[n] + j - first[n]] * rows[start[m] + j - first[m]]
            if m == n:
                rows[start[n] + m - first[n]] = np.sqrt(total)
            else:
                rows[start[n] + m - first[n]] = total / rows[start[m] + m - first[m]]
    return place, first, start, rows


@njit(cache=True)
def solve(right, first, start, rows):
    """Forward and back through the factor, in place."""
    count = right.size
    for n in range(count):
        total = right[n]
        at = start[n] - first[n]
        for j in range(first[n], n):
            total -= rows[at + j] * right[j]
        right[n] = total / rows[at + n]
    for n in range(count - 1, -1, -1):
        at = start[n] - first[n]
        value = right[n] / rows[at + n]
        right[n] = value
        for j in range(first[n], n):
            right[j] -= rows[at + j] * value


@njit(cache=True, inline="always")
def lean(a, b):
    """Van Leer's limited slope of two neighbouring differences."""
    if a * b <= 0:
        return 0.0
    return 2 * a * b / (a + b)


@njit(cache=True)
def carry(c, new, u, w, volume, along, across, dx, dz, diffusivity, rich, sink, wall, outgas, dt):
    """Oxygen after one step: carried, spread, let in, let out and given off by the wall."""
    nx, nz = c.shape
    for i in range(nx):
        for k in range(nz):
            new[i, k] = 0.0
    for i in range(1, nx):
        for k in range(nz):
            area = along[i, k]
            if area > 0:
                speed = u[i, k]
                low, high = c[i - 1, k], c[i, k]
                if speed > 0:
                    before = c[i - 2, k] if i > 1 and along[i - 1, k] > 0 else low
                    face = low + 0.5 * (1 - speed * dt / dx) * lean(low - before, high - low)
                else:
                    after = c[i + 1, k] if along[i + 1, k] > 0 else high
                    face = high - 0.5 * (1 + speed * dt / dx) * lean(high - low, after - high)
                flux = area * (speed * face - diffusivity * (high - low) / dx)
                new[i - 1, k] -= flux
                new[i, k] += flux
    for i in range(nx):
        for k in range(1, nz):
            area = across[i, k]
            if area > 0:
                speed = w[i, k]
                low, high = c[i, k - 1], c[i, k]
                if speed > 0:
                    before = c[i, k - 2] if k > 1 and across[i, k - 1] > 0 else low
                    face = low + 0.5 * (1 - speed * dt / dz) * lean(low - before, high - low)
                else:
                    after = c[i, k + 1] if k + 1 < nz and across[i, k + 1] > 0 else high
                    face = high - 0.5 * (1 + speed * dt / dz) * lean(high - low, after - high)
                flux = area * (speed * face - diffusivity * (high - low) / dz)
                new[i, k - 1] -= flux
                new[i, k] += flux
    for i in range(nx):
        for k in range(nz):
            if volume[i, k] > 0:
                gain = new[i, k] + rich[i, k] - sink[i, k] * c[i, k] + outgas * wall[i, k]
                new[i, k] = c[i, k] + dt * gain / volume[i, k]


@njit(cache=True)
def push(u, w, new_u, new_w, c, width, along, across, dx, dz, viscosity, lift_x, lift_z, jet, dt):
    """Velocities after one step, before the pressure has its say."""
    nx, nz = c.shape
    side, up = viscosity / dx**2, viscosity / dz**2
    for i in range(1, nx):
        for k in range(nz):
            if along[i, k] <= 0:
                continue
            own = u[i, k]
            cross = 0.25 * (w[i - 1, k] + w[i, k] + w[i - 1, k + 1] + w[i, k + 1])
            below = u[i, k - 1] if k > 0 else 0.0
            above = u[i, k + 1] if k + 1 < nz else 0.0
            left, right = u[i - 1, k], u[i + 1, k]
            if own > 0:
                far = u[i - 2, k] if i > 1 else left
                run = own - left + 0.5 * lean(own - left, right - own) - 0.5 * lean(left - far, own - left)
            else:
                far = u[i + 2, k] if i + 2 <= nx else right
                run = right - own - 0.5 * lean(right - own, far - right) + 0.5 * lean(own - left, right - own)
            if cross > 0:
                far = u[i, k - 2] if k > 1 else below
                rise = own - below + 0.5 * lean(own - below, above - own) - 0.5 * lean(below - far, own - below)
            else:
                far = u[i, k + 2] if k + 2 < nz else above
                rise = above - own - 0.5 * lean(above - own, far - above) + 0.5 * lean(own - below, above - own)
            low = (below - own) if k > 0 and along[i, k - 1] > 0 else -2 * own
            high = (above - own) if k + 1 < nz and along[i, k + 1] > 0 else -2 * own
            wide = min(width[i - 1, k], width[i, k])
            force = lift_x * 0.5 * (c[i - 1, k] + c[i, k]) + jet[i, k]
            force += side * (left - 2 * own + right) + up * (low + high) - own * run / dx - cross * rise / dz
            new_u[i, k] = (own + dt * force) / (1 + 12 * viscosity * dt / wide**2)
    for i in range(nx):
        for k in range(1, nz):
            if across[i, k] <= 0:
                continue
            own = w[i, k]
            cross = 0.25 * (u[i, k - 1] + u[i + 1, k - 1] + u[i, k] + u[i + 1, k])
            left = w[i - 1, k] if i > 0 else 0.0
            right = w[i + 1, k] if i + 1 < nx else 0.0
            below, above = w[i, k - 1], w[i, k + 1]
            if own > 0:
                far = w[i, k - 2] if k > 1 else below
                rise = own - below + 0.5 * lean(own - below, above - own) - 0.5 * lean(below - far, own - below)
            else:
                far = w[i, k + 2] if k + 2 <= nz else above
                rise = above - own - 0.5 * lean(above - own, far - above) + 0.5 * lean(own - below, above - own)
            if cross > 0:
                far = w[i - 2, k] if i > 1 else left
                run = own - left + 0.5 * lean(own - left, right - own) - 0.5 * lean(left - far, own - left)
            else:
                far = w[i + 2, k] if i + 2 < nx else right
                run = right - own - 0.5 * lean(right - own, far - right) + 0.5 * lean(own - left, right - own)
            low = (left - own) if i > 0 and across[i - 1, k] > 0 else -2 * own
            high = (right - own) if i + 1 < nx and across[i + 1, k] > 0 else -2 * own
            wide = min(width[i, k - 1], width[i, k])
            force = lift_z * 0.5 * (c[i, k - 1] + c[i, k])
            force += up * (below - 2 * own + above) + side * (low + high) - own * rise / dz - cross * run / dx
            new_w[i, k] = (own + dt * force) / (1 + 12 * viscosity * dt / wide**2)


@njit(cache=True)
def balance(u, w, along, across, dx, dz, net, place, first, start, rows, right):
    """Takes from the velocities what would pile gas up: afterwards every cell lets out what it takes in."""
    nx, nz = net.shape
    for i in range(nx):
        for k in range(nz):
            n = place[i, k]
            if n >= 0:
                out = along[i + 1, k] * u[i + 1, k] - along[i, k] * u[i, k]
                out += across[i, k + 1] * w[i, k + 1] - across[i, k] * w[i, k]
                right[n] = net[i, k] - out
    solve(right, first, start, rows)
    for i in range(1, nx):
        for k in range(nz):
            if along[i, k] > 0:
                u[i, k] -= (right[place[i, k]] - right[place[i - 1, k]]) / dx
    for i in range(nx):
        for k in range(1, nz):
            if across[i, k] > 0:
                w[i, k] -= (right[place[i, k]] - right[place[i, k - 1]]) / dz


@njit(cache=True)
def busiest(u, w, volume, along, across, sink):
    """The largest share of a cell that leaves it in a second."""
    nx, nz = volume.shape
    most = 0.0
    for i in range(nx):
        for k in range(nz):
            if volume[i, k] > 0:
                out = sink[i, k] + along[i + 1, k] * max(u[i + 1, k], 0.0) - along[i, k] * min(u[i, k], 0.0)
                out += across[i, k + 1] * max(w[i, k + 1], 0.0) - across[i, k] * min(w[i, k], 0.0)
                most = max(most, out / volume[i, k])
    return most


@njit(cache=True)
def march(
    begin, end, c, u, w, volume, width, along, across, dx, dz, diffusivity, viscosity, lift_x, lift_z, jet,
    source, rich, sink, wall, outgas, outgas_s, vent, root, place, first, start, rows, longest, still, series, tally,
):  # fmt: skip
    """From begin to end in whole seconds; `series[t]` gets what leaves at the vent, the root's mean and the mean of all.

    `tally` gets the oxygen let in and let out, m3. Once oxygen is thin and the flow stands still it is carried on as it is.
    """
    nx, nz = c.shape
    new, new_u, new_w = np.zeros_like(c), np.zeros_like(u), np.zeros_like(w)
    right = np.zeros(first.size)
    net = source - sink
    t = begin * 1.0
    mark = begin
    steps = 0
    moving = True
    then_u = u.copy()
    then_s = t
    balance(u, w, along, across, dx, dz, net, place, first, start, rows, right)
    limit = 0.4 / (4 * viscosity * (1 / dx**2 + 2 / dz**2) + SLOW)
    brisk = busiest(u, w, volume, along, across, sink)
    while mark <= end:
        if t >= mark - 1e-9:
            a, b, d = 0.0, 0.0, 0.0
            for i in range(nx):
                for k in range(nz):
                    a += vent[i, k] * c[i, k]
                    b += root[i, k] * c[i, k]
                    d += volume[i, k] * c[i, k]
            series[mark, 0], series[mark, 1], series[mark, 2] = a, b, d / volume.sum()
            mark += 1
            if mark > end:
                break
        dt = min(longest, limit, 0.5 / (brisk + SLOW))
        dt = (mark - t) / np.ceil((mark - t) / dt - 1e-9)
        given = outgas / (1 + t / outgas_s)
        tally[0] += dt * (rich.sum() + given * wall.sum())
        tally[1] += dt * (sink * c).sum()
        carry(c, new, u, w, volume, along, across, dx, dz, diffusivity, rich, sink, wall, given, dt)
        c[:, :] = new
        if moving:
            push(u, w, new_u, new_w, c, width, along, across, dx, dz, viscosity, lift_x, lift_z, jet, dt)
            u[:, :] = new_u
            w[:, :] = new_w
            balance(u, w, along, across, dx, dz, net, place, first, start, rows, right)
            brisk = busiest(u, w, volume, along, across, sink)
            if t - then_s >= 4.0:
                change, size = np.abs(u - then_u).max(), np.abs(u).max()
                if change < still * size and c.max() < 0.02:
                    moving = False
                then_u[:, :] = u
                then_s = t
        t += dt
        steps += 1
    return steps
