"""`procedure` and `gas` on the command line."""

import json

import pytest

FACTS = [
    "id=J-1", "metal=Gr 2", "pipe=33.4 x 3.38 mm", "position=5G", "included_angle_rad=60°", "land_m=0.5 mm",
    "gap_m=2.4 mm", "dam_span_m=200 mm", "vent_diameter_m=8 mm", "longest_run_m=500 mm", "filler=ERTi-2",
    "procedure=WPS-T14",
]  # fmt: skip
TOML = """
[written]
revision = "3"
current_min_A = "65 A"
current_max_A = "110 A"
heat_input_max_J_m = "0.8 kJ/mm"
position = "5G, 2G"
metal_thickness_max_m = "0.5 in"

[[tested]]
test_record = "PQR-31"
p_number = "P-51"
f_number = "51"
metal_thickness_m = "5.54 mm"
deposit_m = "5.54 mm"
"""


@pytest.fixture
def shop(ask, tmp_path):
    file = tmp_path / "wps.toml"
    file.write_text(TOML)
    assert ask("plan", *FACTS, "--keep", "--by", "W-07", "--json")[0] == 0
    assert ask("procedure", "WPS-T14", "typed", file, "--by", "E-01")[0] == 0
    return ask


def test_a_procedure_is_typed_listed_and_shown_in_both_units(shop):
    assert "WPS-T14, revision 3: 1 test records, 1 joints" in shop("procedure")[1]
    out = shop("procedure", "WPS-T14", "--units", "us")[1]
    assert "0.8 kJ/mm (20.3 kJ/in)" in out and "5.54 mm (0.218 in)" in out
    assert "! Base metal thickness: 0.5 in" in out and "QW-403.8" in out
    told = json.loads(shop("procedure", "WPS-T14", "--json")[1])
    assert told["tested"][0]["values"]["p_number"] == "51" and told["joints"] == ["J-1"]
    assert "espesor" in shop("procedure", "WPS-T14", "--language", "es")[1].lower()


def test_wrong_fields_are_told_at_once_and_nothing_is_kept(shop, tmp_path):
    code, out = shop(
        "procedure", "WPS-T14", "written", "current_min_A=120 A", "current_max_A=110 A", "filer=x", "--json"
    )
    told = json.loads(out)
    assert code == 64 and told["field"] == "by"  # nobody writes without a stamp
    told = json.loads(
        shop("procedure", "WPS-T14", "written", "current_min_A=120 A", "current_max_A=110 A", "filer=x",
             "--by", "E-01", "--json")[1]
    )  # fmt: skip
    assert {told["field"], *(one["field"] for one in told["also"])} == {"filer", "revision", "current_max_A"}
    wrong = tmp_path / "wrong.toml"
    wrong.write_text('[written]\nrevision = "4"\n[[tested]]\ntest_record = "P"\ndeposit_m = "thick"\n')
    assert shop("procedure", "WPS-T14", "typed", wrong, "--by", "E-01")[0] == 64
    assert json.loads(shop("procedure", "WPS-T14", "--json")[1])["revision"] == "3"
    assert shop("procedure", "WPS-T14", "thrown", "x=1", "--by", "E-01")[0] == 64


def test_a_test_record_can_be_taken_back(shop):
    event = json.loads(shop("procedure", "WPS-T14", "--json")[1])["tested"][0]["event"]
    assert shop("procedure", "WPS-T14", "withdrawn", f"event={event}", "why=wrong piece", "--by", "E-01")[0] == 0
    assert json.loads(shop("procedure", "WPS-T14", "--json")[1])["tested"] == []


def test_a_joint_is_laid_against_its_procedure(shop):
    assert "Under WPS-T14, revision 3" in shop("procedure", "--joint", "J-1")[1]
    shop("live", "J-1", "flow.changed", "circuit=trail", "flow_m3_s=5 L/min", "--by", "W-07")
    record = ["test_record=PQR-31", "p_number=51", "f_number=51", "trail_flow_m3_s=20 L/min", "metal_thickness_m=3.38 mm",
              "deposit_m=3.38 mm", "backing_gas=argon", "trail_gas=argon"]  # fmt: skip
    assert shop("procedure", "WPS-T14", "tested", *record, "--by", "E-01")[0] == 0
    out = shop("procedure", "--joint", "J-1")[1]
    assert "5 L/min" in out and "QW-408.10" in out and "essential" in out
    told = json.loads(shop("procedure", "--joint", "J-1", "--json")[1])
    assert [line["trip"]["state"] for line in told["lines"]]


def test_gas_is_told_and_recorded(shop):
    code, out = shop("gas", "J-1")
    assert "No cylinder is written down" in out and code in (0, 2)
    fill = ("circuit=all", "fill=G-1", "cylinder_volume_m3=50 L", "cylinder_pressure_Pa=200 bar")
    code, out = shop("gas", "J-1", "gas.connected", *fill, "--by", "W-07")
    assert out.startswith("Recorded as") and "Left above the heel" in out
    code, out = shop("gas", "J-1", "cylinder.read", "circuit=all", "cylinder_pressure_Pa=8 bar", "--by", "W-07")
    assert code == 1 and "G-1: change first." in out
    told = json.loads(shop("gas", "J-1", "--json")[1])
    assert told["cylinders"][0]["answer"] == "change first" and told["proofs"][0]["state"] == "unproved"
    assert shop("gas", "J-1", "arc.started", "--by", "W-07")[0] == 64


def test_whose_leak_from_two_plateaus(shop):
    """Half of 40 ppm at 10 L/min is thinned to half at 20 L/min: 32 ppm are the pipe's, 8 ppm nobody's to thin."""
    told = ("first=40 ppm", "first_flow=10 L/min", "other=24 ppm", "other_flow=20 L/min")
    code, out = shop("gas", "J-1", "whose", *told, "--json")
    assert code == 0 and json.loads(out)["oxygen_frac"] == pytest.approx(8e-6)
    assert shop("gas", "J-1", "whose", "first=40 ppm")[0] == 64
