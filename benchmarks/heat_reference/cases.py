"""The cases: pipes, metals and schedules of our own, in the form that `brightroot calc heat` reads."""

from __future__ import annotations

import math
from typing import Any

TITANIUM = {
    "rho": 4510.0,
    "k_T_C": [20.0, 127.0, 227.0, 327.0, 527.0, 727.0, 1000.0, 1400.0, 1660.0, 1700.0],
    "k_W_mK": [20.8, 19.8, 19.3, 19.0, 19.4, 20.4, 22.5, 25.5, 27.5, 50.0],
    "cp_T_C": [20.0, 127.0, 327.0, 527.0, 727.0, 900.0, 1300.0, 1660.0],
    "cp_J_kgK": [525.0, 561.0, 597.0, 616.0, 640.0, 650.0, 720.0, 820.0],
    "latent": [
        {"T1_C": 870.0, "T2_C": 910.0, "J_per_kg": 80000.0},
        {"T1_C": 1658.0, "T2_C": 1678.0, "J_per_kg": 296000.0},
    ],
}
ZIRCONIUM = {
    "rho": 6510.0,
    "k_T_C": [20.0, 200.0, 400.0, 700.0, 1000.0, 1850.0],
    "k_W_mK": [21.0, 19.6, 19.2, 21.0, 24.0, 34.0],
    "cp_T_C": [20.0, 200.0, 500.0, 850.0, 1850.0],
    "cp_J_kgK": [278.0, 305.0, 335.0, 355.0, 380.0],
    "latent": [
        {"T1_C": 845.0, "T2_C": 875.0, "J_per_kg": 42000.0},
        {"T1_C": 1840.0, "T2_C": 1865.0, "J_per_kg": 155000.0},
    ],
}
STAINLESS = {
    "rho": 7900.0,
    "k_T_C": [20.0, 200.0, 500.0, 800.0, 1200.0, 1450.0],
    "k_W_mK": [14.6, 16.9, 20.9, 24.6, 30.0, 34.0],
    "cp_T_C": [20.0, 200.0, 500.0, 800.0, 1400.0],
    "cp_J_kgK": [480.0, 525.0, 560.0, 600.0, 690.0],
    "latent": [{"T1_C": 1400.0, "T2_C": 1454.0, "J_per_kg": 270000.0}],
}
EVEN = {"rho": 4510.0, "k_const": 19.5, "cp_const": 590.0, "latent": []}


NOTES = {
    "geometry": "straight pipe about z, weld plane z = 0, from −half_length to +half_length, ends adiabatic, full wall everywhere",
    "angles": "theta in degrees, rising with a positive sweep; s = outer radius × theta; side o outside, i inside",
    "material": "k and cp straight between table points and constant outside; each latent heat evenly between T1 and T2, in"
    " addition to cp; density constant; nothing is added",
    "losses": "h (T − T_inf) + emissivity × sigma (T⁴ − T_inf⁴), everywhere on both surfaces at all times",
    "source": "Q / (2 pi sigma²) exp(−((s − s_c)² + z²) / (2 sigma²)) on the outer surface, s − s_c the nearest way; Q is net",
    "hot_len": "at arc-off, on z = 0: millimetres of outer arc length from the arc's centre back to where the hottest zone (inside:"
    " the first hot zone) ends; null where it goes on for 98 % of the way round",
    "below": "seconds from arc-off to the last downward crossing before the next arc-on; 0: never above; null: still above",
    "max": "over the whole surface",
}  # fmt: skip


def case(
    name: str, *, outer_mm: float, wall_mm: float, half_mm: float, metal: dict[str, Any], runs: list[tuple[float, ...]],
    end_s: float, start_C: float = 20.0, air_C: float = 20.0, losses: tuple[float, float, float, float] = (12, 0.35, 6, 0.35),
    sigma_mm: float = 3.0, step_mm: float = 0.7, groove: dict[str, float] | None = None,
    other_side: dict[str, float] | None = None,
) -> dict[str, Any]:  # fmt: skip
    """A case; each run is (start s, from degrees, sweep degrees, mm/s, W). `step_mm` is the finest grid's at the arc."""
    schedule = []
    for n, (start, begin, sweep, speed, power) in enumerate(runs, 1):
        seconds = math.radians(abs(sweep)) * outer_mm / 2 / speed
        schedule.append(
            {"run": n, "t_start_s": start, "t_end_s": round(start + seconds, 6), "start_deg": begin, "sweep_deg": sweep,
             "speed_mm_s": speed, "Q_net_W": power}
        )  # fmt: skip
    points = {}
    for n, (_, begin, sweep, *_rest) in enumerate(runs, 1):
        middle, stop = (begin + sweep / 2) % 360, (begin + sweep) % 360
        places = (("mid", middle, 0.0254, "o"), ("end", stop, 0.0254, "o"), ("mid", middle, 0.0, "o"), ("end", stop, 0.0, "i"),
                  ("mid", middle, 0.01, "i"))  # fmt: skip
        for where, angle, place, side in places:
            points[f"r{n}_{where}_z{place * 1000:.0f}{side}"] = {"side": side, "theta_deg": angle, "z_m": place}
    names = ("h_outer", "emissivity_outer", "h_inner", "emissivity_inner")
    shape: dict[str, Any] = {"OD_m": outer_mm / 1000, "wall_m": wall_mm / 1000, "half_length_m": half_mm / 1000}
    return {
        "case": name,
        "note": "everything here is invented; solved by finite elements on three grids (benchmarks/heat_reference)",
        "definitions": {**NOTES, **(GROOVE_NOTES if groove else {})},
        "geometry": {
            **shape,
            **({"groove": groove} if groove else {}),
            **({"other_side": other_side} if other_side else {}),
        },
        "material": metal,
        "T_initial_C": start_C,
        "losses": {"T_inf_C": air_C, **dict(zip(names, map(float, losses), strict=True))},
        "source": {"type": "surface Gaussian on outer surface", "sigma_m": sigma_mm / 1000},
        "schedule": schedule,
        "t_end_s": end_s,
        "points": points,
        "reference": {"step_m": step_mm / 1000},
    }


GROOVE_NOTES = {
    "format": "not for `brightroot calc heat`: a groove case, with the same blocks and `groove` beside the pipe's measures",
    "geometry": "as a plain pipe, but an open V at z = 0: no gap, a land, and above it metal only where |z| is at least"
    " (height − land) × tan(included angle / 2); it stays open, nothing is laid",
    "other_side": "where it is given, the pipe at negative z: its own outer diameter and wall, one bore with the other; the"
    " groove's slope goes on to its outside; s and the arc's width are at OD_m",
    "source": "the plain pipe's Gaussian in s (at the OUTER radius) and z, as power for each projected area seen from outside, on"
    " whatever metal lies under it: land top, slope, pipe",
    "losses": "as a plain pipe, on the true area of the exposed metal: pipe, slope, land top, and the inside",
    "max": "outer is the exposed outside surface with slope and land; inner is the inside, whose place at z = 0 is the root",
}

PLAIN = (
    case("F1_nps1_thin", outer_mm=33.4, wall_mm=1.65, half_mm=120, metal=TITANIUM, runs=[(0, 0, 120, 2.0, 260)], end_s=90,
         sigma_mm=2.6, step_mm=0.6),
    case("F2_nps2_four_runs", outer_mm=60.3, wall_mm=5.5, half_mm=150, metal=TITANIUM,
         runs=[(0, 135, 90, 1.6, 560), (120, 315, 90, 1.6, 560), (240, 45, 90, 1.6, 560), (360, 225, 90, 1.6, 560)],
         end_s=480, step_mm=1.2),
    case("F3_nps6_long_run", outer_mm=168.3, wall_mm=7.11, half_mm=160, metal=EVEN, runs=[(0, 0, 60, 1.5, 760)], end_s=150,
         losses=(10, 0, 6, 0), step_mm=1.2),
    case("F4_nps12_thick", outer_mm=323.9, wall_mm=12.7, half_mm=160, metal=TITANIUM, runs=[(0, 10, 25, 1.4, 1200)],
         end_s=150, step_mm=1.2),
    case("F5_zirconium_two_runs", outer_mm=88.9, wall_mm=3.05, half_mm=120, metal=ZIRCONIUM,
         runs=[(0, 200, -60, 1.8, 430), (70, 140, -60, 1.8, 430)], end_s=170, sigma_mm=2.8),
    case("F6_stainless_hot_start", outer_mm=60.3, wall_mm=3.91, half_mm=130, metal=STAINLESS, runs=[(0, 330, 75, 1.5, 520)],
         end_s=140, start_C=80.0, air_C=25.0),
    case("F7_short_pipe_heats_through", outer_mm=60.3, wall_mm=2.77, half_mm=60, metal=TITANIUM,
         runs=[(0, 0, 90, 1.7, 400), (45, 90, 90, 1.7, 400)], end_s=150, losses=(15, 0.6, 8, 0.5), step_mm=0.9),
    case("F8_fast_and_strong", outer_mm=114.3, wall_mm=6.02, half_mm=140, metal=TITANIUM, runs=[(0, 250, 90, 4.0, 1500)],
         end_s=120, sigma_mm=3.2, step_mm=0.9),
    case("F9_even_thick_small", outer_mm=48.3, wall_mm=7.14, half_mm=120, metal=EVEN, runs=[(0, 0, 100, 1.3, 520)], end_s=120,
         start_C=15.0, air_C=15.0),
    case("F10_radiant_both_faces", outer_mm=114.3, wall_mm=3.05, half_mm=120, metal=TITANIUM,
         runs=[(0, 20, -50, 1.6, 430), (60, 330, -40, 1.6, 430)], end_s=160, losses=(8, 0.9, 8, 0.9), step_mm=1.0),
)  # fmt: skip
GROOVES = (
    case("G1_groove_60_titanium", outer_mm=60.3, wall_mm=5.5, half_mm=150, metal=TITANIUM, runs=[(0, 0, 90, 1.5, 640)],
         end_s=120, step_mm=0.8, groove={"land_m": 0.0015, "included_angle_deg": 60.0, "gap_m": 0.0}),
    case("G2_groove_75_even", outer_mm=88.9, wall_mm=5.5, half_mm=150, metal=EVEN, runs=[(0, 300, 70, 1.4, 500)],
         end_s=120, step_mm=1.0, losses=(12, 0, 8, 0), groove={"land_m": 0.0015, "included_angle_deg": 75.0, "gap_m": 0.0}),
    case("G3_groove_thick_wall", outer_mm=114.3, wall_mm=11.1, half_mm=150, metal=TITANIUM, runs=[(0, 40, 50, 1.5, 560)],
         end_s=100, step_mm=1.0, groove={"land_m": 0.002, "included_angle_deg": 60.0, "gap_m": 0.0}),
    case("G4_groove_unequal_walls", outer_mm=60.3, wall_mm=3.91, half_mm=120, metal=TITANIUM, runs=[(0, 120, 90, 1.7, 430)],
         end_s=100, step_mm=1.0, groove={"land_m": 0.0012, "included_angle_deg": 70.0, "gap_m": 0.0},
         other_side={"OD_m": 0.0683, "wall_m": 0.00791}),
)  # fmt: skip
CASES: dict[str, dict[str, Any]] = {made["case"]: made for made in (*PLAIN, *GROOVES)}
