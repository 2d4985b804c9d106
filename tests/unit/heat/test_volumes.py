"""The finite volumes by themselves: what they conserve, what they refuse, and that two ways to the same place agree."""

import math
from dataclasses import replace

import numpy as np
import pytest

from brightroot.base.errors import Refused
from brightroot.physics.heat.ring import ArcRun
from brightroot.physics.heat.volumes.body import Losses, Probe, advanced, at_rest, body, face_K, imbalance_1, weld_K
from brightroot.physics.heat.volumes.compiled.round_pipe import average_weights, laid_out, moved
from brightroot.physics.heat.volumes.metal import Latent, metal
from brightroot.physics.heat.volumes.schedule import behind_K, hot_length_m, last_below_s, marched
from brightroot.physics.heat.volumes.section import Column, section
from brightroot.physics.heat.volumes.wall import End, Preparation, joint_section, plain_section

AIR_K = 293.15
EVEN = metal(density_kg_m3=4510.0, conductivity=([300.0], [20.0]), specific_heat=([300.0], [600.0]))
TITANIUM = metal(
    density_kg_m3=4510.0, conductivity=([293.0, 1300.0, 1941.0], [21.0, 22.0, 28.0]),
    specific_heat=([293.0, 1300.0], [525.0, 690.0]), latent=[Latent(1140.0, 1180.0, 8e4), Latent(1931.0, 1951.0, 2.96e5)],
)  # fmt: skip
LOSSES = Losses(AIR_K, 12.0, 0.35, 6.0, 0.35)
END = End(0.0603, 0.0055, 0.2)
GROOVE = Preparation(0.0024, 0.0015, 1.3, (0.0025, 0.0055), 0.0012, 0.011)
RUN = ArcRun(0.0, 25.0, 0.5, 1.2, 500.0)


def pipe(*, iron=TITANIUM, cut=None, losses=LOSSES, start_K=AIR_K, radius_m=0.03015):
    cut = cut or plain_section(outer_diameter_m=0.0603, wall_m=0.0055, half_length_m=0.15)
    return body(metal=iron, section=cut, radius_m=radius_m, losses=losses, start_K=start_K)


@pytest.mark.parametrize("cut", [
    plain_section(outer_diameter_m=0.0603, wall_m=0.0055, half_length_m=0.15),
    joint_section(ends=(END, END), preparation=GROOVE),
    joint_section(ends=(END, End(0.0603, 0.0087, 0.12)), preparation=GROOVE),
    joint_section(ends=(End(0.0603, 0.0055, 0.06, 0.12, 0.02), END), preparation=GROOVE),
], ids=["plain", "groove", "unequal", "flange"])  # fmt: skip
def test_no_heat_is_lost_or_made(cut):
    """Melting, radiation, a groove being filled, grids that come and go: fed less kept less lost is rounding."""
    whole = pipe(cut=cut)
    laying = [0, 0, 1] if cut.pass_share.size else None
    runs = [RUN, replace(RUN, start_s=60.0, from_rad=3.7), replace(RUN, start_s=120.0, sweep_rad=-1.0)]
    history = marched(whole, runs=runs, until_s=400.0, laying=laying)
    assert history.end.fed_J == pytest.approx(3 * 25 * 500.0, rel=1e-9)
    assert 0.02 < history.end.lost_J / history.end.fed_J < 0.6
    assert imbalance_1(whole, history.end) < 1e-11


def test_a_groove_of_nothing_is_a_full_wall():
    nothing = Preparation(0.0, 0.0055, 0.0, (0.0055,))
    probes = [Probe(1.7, 0.0254), Probe(1.1, 0.0, "inside")]
    found = []
    for cut, laying in ((joint_section(ends=(END, END), preparation=nothing), [0]),
                        (plain_section(outer_diameter_m=0.0603, wall_m=0.0055, half_length_m=0.2), None)):  # fmt: skip
        found.append(marched(pipe(cut=cut), runs=[RUN], until_s=60.0, probes=probes, laying=laying).seen.probe_K[-1])
    assert found[0] == pytest.approx(found[1], abs=0.05)


def test_a_mirror_and_two_sides_agree():
    probes = [Probe(1.7, 0.0254), Probe(1.1, 0.0, "inside")]
    other = replace(END, reach_m=END.reach_m + 1e-9)
    found = [
        marched(pipe(cut=joint_section(ends=(END, end), preparation=GROOVE)), runs=[RUN], until_s=60.0, probes=probes,
                laying=[0]).seen.probe_K[-1] for end in (END, other)
    ]  # fmt: skip
    assert found[0] == pytest.approx(found[1], abs=1e-3)


def test_a_root_pass_melts_a_land_and_not_a_full_wall():
    """630 W at 85 mm/min: titanium melts at 1668 °C; the full wall stays hundreds of kelvin below on its inside."""
    run = ArcRun(0.0, 33.0, 0.0, math.pi / 2, 630.0)
    cuts = joint_section(ends=(END, END), preparation=GROOVE), None
    land, wall = (
        marched(pipe(cut=cut), runs=[run], until_s=33.0, laying=[0] if cut else None).seen.inner_max_K.max()
        for cut in cuts
    )
    assert land > 1941.0 and wall < 1941.0 - 400.0


def test_the_groove_holds_what_geometry_says():
    """Metal missing before welding is the groove; each pass adds its layer; the cap its rounded box."""
    cut = joint_section(ends=(END, END), preparation=GROOVE)
    inside = cut.outer_radius_m <= END.outer_diameter_m / 2 + 1e-9
    area = cut.volume_m3 / ((cut.inner_radius_m + cut.outer_radius_m) / 2)
    open_m2 = 2 * float(((1 - cut.base_share) * area)[inside].sum())
    wanted = GROOVE.gap_m * 0.0055 + (0.0055 - GROOVE.land_m) ** 2 * math.tan(0.65)
    assert open_m2 == pytest.approx(wanted, rel=0.06)
    assert (cut.base_share + cut.pass_share.sum(axis=0))[inside] == pytest.approx(1.0)


def test_filler_is_there_only_where_the_arc_has_been():
    whole = pipe(cut=joint_section(ends=(END, END), preparation=GROOVE))
    history = marched(whole, runs=[RUN], until_s=25.0, laying=[0])
    filled = history.end.filled
    share = filled[0].mean()
    assert share == pytest.approx(1.2 / math.tau, abs=0.01) and not filled[1].any()


def test_more_power_is_nearly_in_proportion():
    """With constant properties and no radiation exactly so: the ranges lean on it."""
    whole = pipe(iron=EVEN, losses=Losses(AIR_K, 12.0, 0.0, 6.0, 0.0))
    probe = [Probe(1.7, 0.0254)]
    one, two = (
        marched(whole, runs=[replace(RUN, net_power_W=watts)], until_s=60.0, probes=probe).seen.probe_K[-1, 0] - AIR_K
        for watts in (200.0, 400.0)
    )
    assert two == pytest.approx(2 * one, rel=1e-3)


def test_pulses_come_to_their_mean():
    """A second at 700 W and a second at 300 W, again and again, against 500 W: less than 1 K an inch away."""
    whole, seconds, turn = pipe(), 24, 1.2
    steady = marched(whole, runs=[ArcRun(0.0, seconds, 0.5, turn, 500.0)], until_s=60.0, probes=[Probe(1.7, 0.0254)])
    step = turn / seconds
    pulses = [ArcRun(n, 1.0, 0.5 + n * step, step, 700.0 if n % 2 == 0 else 300.0) for n in range(seconds)]
    pulsed = marched(whole, runs=pulses, until_s=60.0, probes=[Probe(1.7, 0.0254)])
    assert pulsed.seen.probe_K[-1, 0] == pytest.approx(steady.seen.probe_K[-1, 0], abs=1.0)
    assert pulsed.seen.probe_K[:, 0].max() == pytest.approx(steady.seen.probe_K[:, 0].max(), abs=1.0)


def test_in_pieces_or_in_one_go():
    """Stopping the march to look does not change where it comes."""
    whole = pipe()
    straight, _ = advanced(whole, at_rest(whole), until_s=25.0, arc=RUN)
    straight, _ = advanced(whole, straight, until_s=200.0)
    looked, _ = advanced(whole, at_rest(whole), until_s=25.0, arc=RUN)
    for until in (40.0, 41.5, 90.0, 200.0):
        looked, _ = advanced(whole, looked, until_s=until)
    a, b = (weld_K(whole, state, side="outside")[1].max() for state in (straight, looked))
    assert a == pytest.approx(b, abs=0.3)


def test_a_hot_pipe_cools_to_the_air():
    whole = pipe(start_K=400.0)
    end, seen = advanced(whole, at_rest(whole), until_s=6000.0)
    assert np.all(np.diff(seen.outer_max_K) < 0) and AIR_K < seen.outer_max_K[-1] < 305
    assert end.lost_J > 0 and end.fed_J == 0


def test_where_it_is_hot_behind_the_arc():
    whole = pipe()
    history = marched(whole, runs=[RUN], until_s=25.0)
    back, value = behind_K(whole, history.stops[0], RUN, side="outside")
    assert value[0] > 1300 and hot_length_m(back, value, 533.15) == pytest.approx(0.045, abs=0.012)
    assert hot_length_m(back, value, 3500.0) == 0.0
    assert hot_length_m(back, value, AIR_K - 1) is None


@pytest.mark.parametrize("z_m", [0.16, -0.2])
def test_a_probe_off_the_pipe(z_m):
    whole = pipe()
    with pytest.raises(Refused, match="z_m: wanted on the pipe, up to 150 mm from the weld"):
        advanced(whole, at_rest(whole), until_s=1.0, probes=[Probe(0.0, z_m)])


def test_runs_that_overlap():
    with pytest.raises(
        Refused, match=r"runs\[1\].start_s: wanted no earlier than the arc-off before, 25 s; got '20 s'"
    ):
        marched(pipe(), runs=[RUN, replace(RUN, start_s=20.0)], until_s=60.0)


def test_an_end_before_the_last_arc_off():
    with pytest.raises(Refused, match="until_s: wanted no earlier than the last arc-off"):
        marched(pipe(), runs=[RUN], until_s=10.0)


def test_a_pass_that_the_section_does_not_have():
    with pytest.raises(Refused, match="laying: wanted a pass"):
        advanced(pipe(), at_rest(pipe()), until_s=1.0, arc=RUN, laying=0)


@pytest.mark.parametrize(("change", "field"), [
    ({"tops_m": (0.003, 0.002, 0.0055)}, "tops_m"),
    ({"tops_m": (0.002, 0.004)}, "tops_m"),
    ({"tops_m": ()}, "tops_m"),
    ({"land_m": 0.006}, "land_m"),
])  # fmt: skip
def test_a_groove_that_cannot_be(change, field):
    with pytest.raises(Refused, match=field):
        joint_section(ends=(END, END), preparation=replace(GROOVE, **change))


def test_melting_over_no_range():
    with pytest.raises(Refused, match="latent"):
        metal(density_kg_m3=4510.0, conductivity=([300.0], [20.0]), specific_heat=([300.0], [600.0]),
              latent=[Latent(1900.0, 1900.0, 3e5)])  # fmt: skip


def test_enthalpy_has_the_latent_heat_in_it():
    gained = TITANIUM.enthalpy_J_m3(1960.0) - TITANIUM.enthalpy_J_m3(1920.0)
    assert gained == pytest.approx(4510.0 * (690 * 40 + 2.96e5), rel=0.01)


def test_grids_nest_and_conserve():
    """Any two layouts of one ring: joining and splitting keep the sum of enthalpy times width."""
    generator = np.random.default_rng(7)
    none = np.empty(0)
    wide = laid_out(256, 0.001, 4, none, none, 0.006, 0.5)
    fine = laid_out(256, 0.001, 4, np.array([100.0]), np.array([0.001]), 0.006, 0.5)
    other = laid_out(256, 0.001, 4, np.array([250.0]), np.array([0.002]), 0.006, 0.5)
    state = generator.random((3, wide.size + 1)) + 1
    ones = [np.ones((3, grid.size - 1)) for grid in (wide, fine, other)]
    one = moved(state, wide, ones[0], fine, ones[1])
    two = moved(one, fine, ones[1], other, ones[2])
    totals = [(s[:, 1:-1] * np.diff(g)).sum() for s, g in ((state, wide), (one, fine), (two, other))]
    assert totals == pytest.approx([totals[0]] * 3, rel=1e-13)
    assert np.diff(fine).min() == 1 and np.diff(wide).max() == 16


def test_averages_give_back_a_cubic():
    edges = np.array([0.0, 1.0, 2.5, 3.0, 5.0])
    cubic = np.polynomial.Polynomial([1.0, -2.0, 0.5, 0.3])
    averages = np.diff(cubic.integ()(edges)) / np.diff(edges)
    assert float(average_weights(edges, 2.7) @ averages) == pytest.approx(float(cubic(2.7)))


def test_layers_of_unlike_height_conduct_what_they_share():
    """Three layers beside one: each is joined to it, and what one gives the other gets."""
    cut = section([Column(0.0, 0.01, (0.027, 0.028, 0.029, 0.03)), Column(0.01, 0.03, (0.027, 0.03))], mirrored=True)
    joins = {
        (a, int(b)): g for a in range(cut.count) for b, g in zip(cut.beside[a], cut.conducts_m[a], strict=True) if g
    }
    assert all(joins[b, a] == pytest.approx(g) for (a, b), g in joins.items())
    assert sum(g for (a, _), g in joins.items() if a == 3) == pytest.approx((0.03**2 - 0.027**2) / 2 / 0.015)


def test_the_last_time_above():
    times = np.arange(6.0)
    assert last_below_s(times, np.array([5.0, 3.0, 5.0, 3.0, 2.0, 1.0]), 4.0) == pytest.approx(2.5, abs=0.1)
    assert last_below_s(times, np.full(6, 1.0), 4.0) == 0.0 and last_below_s(times, np.full(6, 9.0), 4.0) is None


def test_the_face_of_an_open_gap_shows_the_metal_beside_it():
    whole = pipe(cut=joint_section(ends=(END, END), preparation=GROOVE))
    _, kelvin = face_K(whole, at_rest(whole), side="inside")
    assert np.isfinite(kelvin).all() and kelvin == pytest.approx(AIR_K, abs=0.1)


@pytest.mark.parametrize("cap_width_m", [0.0071, 0.00702, 0.011, 0.0131])
def test_no_ring_is_a_sliver(cap_width_m):
    """A ring with next to no metal under the arc would have nothing to hold its heat: the march then ran away."""
    cut = joint_section(ends=(END, END), preparation=replace(GROOVE, cap_width_m=cap_width_m))
    most = cut.base_share + cut.pass_share.sum(axis=0)
    assert ((most == 0) | (most > 0.11)).all()
    whole = pipe(cut=cut)
    history = marched(whole, runs=[RUN, replace(RUN, start_s=60.0)], until_s=120.0, laying=[0, 1])
    assert np.isfinite(history.seen.outer_max_K).all() and imbalance_1(whole, history.end) < 1e-11
