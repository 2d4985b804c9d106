"""`brightroot look` at the command line: one photograph, a list of them, and what is refused."""

import json

import numpy as np
import pytest
import typer
from PIL import Image

from brightroot.cli.look import run_look


@pytest.fixture
def photo(tmp_path):
    rng = np.random.default_rng(2)
    picture = np.full((200, 300, 3), 150.0) + rng.normal(0, 4, (200, 300, 1))
    picture[:, 110:190] = (190, 160, 90)
    picture[::4, 130:170] *= 0.75
    path = tmp_path / "weld.png"
    Image.fromarray(np.clip(picture, 0, 255).astype(np.uint8)).save(path)
    return path


def test_one_photograph_gives_an_answer_and_a_map(photo, tmp_path, capsys):
    out, maps = tmp_path / "o.json", tmp_path / "m.npz"
    run_look(photo, {"base": "10,80,40,40", "weld": "80,0,140,200"}, second=None, out=out, maps=maps, many=None)
    printed = json.loads(capsys.readouterr().out)
    assert printed == json.loads(out.read_text())
    assert printed["answer"] == "read", printed["reasons"]
    assert printed["worst_class4"] in (1, 2)
    kept = np.load(maps)
    assert kept["class4"].shape == (200, 300)
    assert set(kept) == {"equiv_thickness_nm", "class4", "low_nm", "high_nm", "weldzone"}


def test_a_list_is_answered_line_by_line_and_a_broken_file_is_one_of_them(photo, tmp_path, capsys):
    (tmp_path / "broken.jpg").write_bytes(b"\xff\xd8\xff nothing")
    lines = [
        {"photo": "weld.png", "base": [10, 80, 40, 40], "weld": [80, 0, 140, 200], "json": "a.json", "map": "a.npz"},
        {"photo": "weld.png"},
        {"photo": "broken.jpg", "base": [1, 1, 9, 9]},
        {"photo": "gone.jpg"},
    ]
    path = tmp_path / "list.jsonl"
    path.write_text("\n".join(json.dumps(line) for line in lines))
    with pytest.raises(typer.Exit) as left:
        run_look(None, {}, second=None, out=None, maps=None, many=path)
    assert left.value.exit_code == 64
    answers = [json.loads(line) for line in capsys.readouterr().out.splitlines()]
    assert [answer["answer"] for answer in answers] == ["read", "refused", "refused", "refused"]
    assert answers[1]["reasons"] == ["no_reference"]
    assert answers[2]["field"] == "photo"
    assert json.loads((tmp_path / "a.json").read_text()) == answers[0]
    assert (tmp_path / "a.npz").exists()
