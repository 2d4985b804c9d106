"""The stand-in's thermometer: reckoned by the second method with scatter, so never the same and seldom over the limit."""


def readings_C(gallery, name):
    events = [event for event in gallery.store.events(name) if event.kind == "temperature.read"]
    return [float(event.data["temperature_K"]["as_entered"].split()[0]) for event in events]


def test_readings_follow_the_heat(gallery):
    for name in ("J-01", "J-10"):
        read = readings_C(gallery, name)
        assert len(read) > 10 and len(set(read)) > 5
        assert min(read) > 15.0 and max(read) < 110.0
        assert sum(one > 100.0 for one in read) <= len(read) // 5
