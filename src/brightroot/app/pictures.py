"""The drawings of a joint as it stands."""

from __future__ import annotations

from brightroot.app.purge import PurgeSeen, purge_seen
from brightroot.app.work_live import Now
from brightroot.documents import pictures, purge_picture
from brightroot.documents.speech import Speech
from brightroot.live.estimators.heat import cooling_of, told_holds
from brightroot.live.gates import last_stopped
from brightroot.live.phases import Phase
from brightroot.model.picture import Chart, Face


def early_lifts(now: Now) -> tuple[int, ...]:
    """Runs whose shield was lifted before the late end of the hold: logged as doubtful."""
    told = told_holds(now.iron, now.plan, now.state.record, cells=now.cells)
    return tuple(
        run.number
        for run in now.state.record.runs
        if run.stopped_s is not None
        and run.lifted_s is not None
        and run.number in told
        and run.lifted_s - run.stopped_s < told[run.number].high
    )


def face_of(now: Now, speech: Speech) -> Face:
    """The clock face; the next run is the first that the plan has and the log has not."""
    following = next((step.run for step in now.left if step.event == "arc.started"), 0)
    next_run = 0 if now.state.phase is Phase.ARC_ON else following
    return pictures.face(now.plan, now.state.record, next_run=next_run, early_lifts=early_lifts(now), speech=speech)


def purge_chart(now: Now, speech: Speech) -> Chart:
    """Oxygen over the purge."""
    return chart_of_purge(now, purge_seen(now), speech)


def chart_of_purge(now: Now, seen: PurgeSeen, speech: Speech) -> Chart:
    """The same where the purge has been looked at already."""
    return purge_picture.purge_chart(now.plan, now.state.record, forecast=seen.forecast, speech=speech)


def cooling_chart(now: Now, speech: Speech) -> Chart | None:
    """Cooling after the last run; None before the first arc has gone off."""
    last = last_stopped(now.state.record)
    if last is None:
        return None
    cooling = cooling_of(now.iron, now.plan, now.state.record, run=last.number, cells=now.cells)
    return pictures.cooling_chart(now.plan, now.state.record, run=last.number, cooling=cooling, speech=speech)
