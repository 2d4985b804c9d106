"""The Look page: a photograph is kept before it is read, nothing typed is lost, and what is no photograph is named."""

import io
import warnings

import numpy as np
import pytest
from PIL import Image

from brightroot.app.plan_joint import declare
from brightroot.app.ports import Place
from brightroot.cli.demo import SMALL, facts
from brightroot.library.load import load_library
from brightroot.store.logs import memory_store
from brightroot.web.server import build

with warnings.catch_warnings():
    warnings.simplefilter("ignore")  # the test client still speaks through the older of its two HTTP libraries
    from fastapi.testclient import TestClient

HTML = {"accept": "text/html"}


@pytest.fixture
def shop():
    place = Place(load_library(), memory_store(), lambda: 1_790_000_000.0)
    declare(place, facts("L-1", position="5G", pipe=SMALL), by="W-07")
    return place, TestClient(build(place, by="W-07"), headers=HTML, base_url="http://127.0.0.1")


def weld():
    rng = np.random.default_rng(2)
    picture = np.full((200, 300, 3), 150.0) + rng.normal(0, 4, (200, 300, 1))
    picture[:, 110:190] = (190, 160, 90)
    picture[::4, 130:170] *= 0.75
    kept = io.BytesIO()
    Image.fromarray(np.clip(picture, 0, 255).astype(np.uint8)).save(kept, "PNG")
    return kept.getvalue()


def sent(client, content, **told):
    return client.post("/joints/L-1/look", data=told, files={"photo": ("w.png", content, "image/png")})


def test_a_photograph_is_kept_recorded_and_read(shop):
    place, client = shop
    page = sent(client, weld(), base="10,80,40,40", weld="80,0,140,200", surface="as-welded", subject="face")
    assert page.status_code == 200
    assert "data:image/png;base64" in page.text
    (event,) = (e for e in place.store.events("L-1") if e.kind == "photo.taken")
    assert place.store.attachment(str(event.data["photo_sha256"]))[0] == weld()
    shown = client.get(f"/joints/L-1/look/{event.data['photo_sha256']}.jpg")
    assert shown.headers["content-type"] == "image/jpeg"


def test_one_that_is_not_read_is_kept_with_all_that_was_typed(shop):
    place, client = shop
    page = sent(client, weld(), weld="80,0,140,200", surface="as-welded", subject="cap")
    assert "Tap clean metal beside the weld" in page.text
    assert 'value="80,0,140,200"' in page.text
    assert [e.kind for e in place.store.events("L-1")].count("photo.taken") == 1


def test_what_is_no_photograph_is_named_and_not_kept(shop):
    place, client = shop
    page = sent(client, b"<svg/>" * 50, base="10,80,40,40")
    assert page.status_code == 422
    assert not [e for e in place.store.events("L-1") if e.kind == "photo.taken"]


def test_a_rectangle_that_is_none_is_told_and_stays(shop):
    _, client = shop
    page = sent(client, weld(), base="10,80,forty,40")
    assert "10,80,forty,40" in page.text


def test_a_photograph_that_is_not_there_is_not_there(shop):
    _, client = shop
    assert client.get(f"/joints/L-1/look/{'a' * 64}.jpg").status_code == 404


@pytest.mark.parametrize(
    ("metal", "filler", "read"), [("Gr 2", "ERTi-2", True), ("Zr 702", "ERZr-2", False)], ids=["titanium", "zirconium"]
)
def test_only_a_titanium_joint_is_read_as_titanium(shop, metal, filler, read):
    place, client = shop
    declare(place, facts("L-2", position="5G", pipe=SMALL) | {"metal": metal, "filler": filler}, by="W-07")
    page = client.post(
        "/joints/L-2/look",
        data={"base": "10,80,40,40", "weld": "80,0,140,200", "surface": "as-welded", "subject": "face"},
        files={"photo": ("w.png", weld(), "image/png")},
    )
    assert page.status_code == 200
    assert ("Only titanium is read." in page.text) is not read
