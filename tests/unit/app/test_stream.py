"""An instrument's samples on the log: a block that a hash cites, one reading when believed, none when not."""

import pytest

from brightroot.app.stream import keep_samples, sent_samples
from brightroot.app.work_live import look
from brightroot.base.errors import Refused
from brightroot.base.instant import utc_of
from brightroot.instruments.made_up import Fault, made_up
from brightroot.model.stream import Sample, Stream
from brightroot.records.samples import samples_in

J = "J-10"
MONITOR = Stream("M-3", "oxygen_frac", {"place": "vent"})


@pytest.fixture
def purging(upto):
    return upto(lambda event: event.kind == "tack.made")


def from_now(purging, **more):
    _, at_s = purging
    return tuple(Sample(at_s + one.at_s - 360, one.value, one.state) for one in made_up(seed=2, **more))


def test_a_sound_block_gives_one_reading_and_is_cited_by_its_hash(purging):
    place, _ = purging
    samples = from_now(purging)
    kept = keep_samples(place, J, MONITOR, samples, by="W-07")
    block = place.store.attachment(kept.event.data["samples_sha256"])
    assert samples_in(block[0]) == samples
    assert kept.event.data["samples_count"] == len(samples)
    assert (kept.reading.kind, kept.reading.data["place"]) == ("oxygen.read", "vent")
    assert kept.reading.data["oxygen_frac"]["value"] == pytest.approx(samples[-1].value, rel=1e-5)


def test_a_frozen_stream_gives_no_reading_and_says_so_live(purging):
    place, at_s = purging
    samples = from_now(purging, fault=Fault("freeze", 300.0, 100.0))
    first = keep_samples(place, J, MONITOR, samples[:300], by="W-07")
    assert first.reading is not None
    second = keep_samples(place, J, MONITOR, samples[300:], by="W-07")  # told only with what came before in mind
    assert second.reading is None
    assert second.event.data["doubtful"] == "frozen"
    said = [one for one in look(place, J, at_s=at_s + 5).advice if one.says == "say.stream.frozen"]
    assert said and said[0].from_events == (second.event.id,)
    assert not [one for one in look(place, J, at_s=at_s + 600).advice if one.says.startswith("say.stream")]


def test_over_range_is_recorded_as_what_was_shown(purging):
    place, _ = purging
    kept = keep_samples(place, J, MONITOR, from_now(purging, fault=Fault("over", 300.0, 100.0)), by="W-07")
    assert kept.reading.data == {"state": "over range", "place": "vent"}


@pytest.mark.parametrize("samples, field", [
    ([], "samples"), ([Sample(0.0, 1e-6)], "samples"), ([Sample(float("inf"), 1e-6)], "samples"),
    ([Sample(1.0, float("nan"))], "samples"), ([Sample(1.0, None)], "samples"), ([Sample(1.0, 1e-6, "odd")], "samples"),
])  # fmt: skip
def test_what_is_no_sample_of_today_is_refused_and_nothing_kept(purging, samples, field):
    place, _ = purging
    before = place.store.events(J)
    with pytest.raises(Refused) as refusal:
        keep_samples(place, J, MONITOR, samples, by="W-07")
    assert refusal.value.field == field
    assert place.store.events(J) == before


def test_what_a_program_sends_is_read_with_its_units_or_refused_by_row():
    rows = [["2026-03-02T10:42:00Z", "0.002 %"], ["2026-03-02T10:42:01Z", "over range"]]
    sent = {"instrument": "M-3", "measures": "oxygen_frac", "facts": {"place": "vent"}, "samples": rows}
    stream, samples = sent_samples(sent)
    assert (stream.tag, samples[0].value, samples[1].state) == ("M-3", 20e-6, "over range")
    for wrong in (["2026-03-02T10:42:00Z", "12"], ["10:42", "12 ppm"], ["2026-03-02T10:42:00Z", 12], "x"):
        with pytest.raises(Refused) as refusal:
            sent_samples({**sent, "samples": [rows[0], wrong]})
        assert refusal.value.field == "samples 2"
    with pytest.raises(Refused):
        sent_samples({**sent, "measures": "flow"})


def test_the_block_goes_into_the_bundle(purging):
    from brightroot.app.dossier import issue
    from brightroot.cli.wiring import paper

    place, _ = purging
    kept = keep_samples(place, J, MONITOR, from_now(purging), by="W-07")
    made = issue(place, J, by="W-07", on=paper("en", "metric", "a4"))
    assert kept.event.data["samples_sha256"] in made.attachments
    assert utc_of(0.0) not in kept.event.data["from_utc"]


def test_over_range_takes_the_place_of_an_older_number_even_in_a_doubtful_stream(purging):
    place, at_s = purging
    frozen = from_now(purging, fault=Fault("freeze", 240.0, 100.0))[:-10]
    samples = (*frozen, *(Sample(at_s - n, None, "over range") for n in range(9, 0, -1)))
    kept = keep_samples(place, J, MONITOR, samples, by="W-07")
    assert kept.event.data["doubted"].startswith("frozen")
    assert kept.reading.data["state"] == "over range"
