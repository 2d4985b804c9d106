"""What comes after an arc is taken only where that run's arc was on."""

import pytest

from brightroot.app.work_live import record
from brightroot.base.errors import Refused
from brightroot.base.instant import utc_of


@pytest.mark.parametrize("kind", ["arc.stopped", "shield.lifted"])
def test_a_run_without_an_arc_is_asked_back_and_nothing_is_written(upto, kind):
    place, at_s = upto(lambda event: event.kind == "arc.started")
    before = len(place.store.events("J-10"))
    with pytest.raises(Refused) as refused:
        record(place, "J-10", kind, {"run_count": "3"}, by="W-07", at_utc=utc_of(at_s))
    assert (refused.value.field, refused.value.got) == ("run_count", "3")
    assert len(place.store.events("J-10")) == before


def test_the_shield_comes_up_only_after_the_arc_is_off(upto):
    place, at_s = upto(lambda event: event.kind == "arc.stopped")
    with pytest.raises(Refused, match="gone off"):
        record(place, "J-10", "shield.lifted", {"run_count": "1"}, by="W-07", at_utc=utc_of(at_s))
