"""`brightroot serve`: the app on this machine, and on request on its network."""

from __future__ import annotations

import threading
import webbrowser
from ipaddress import ip_address
from pathlib import Path

from brightroot.cli.wiring import home, place_at


def ready_engine() -> None:
    """Compile the heat engine where that was not done yet: some seconds, once after install."""
    from brightroot.physics.heat.volumes.body import warmed

    patience = threading.Timer(1.5, print, ["Preparing the heat engine (once, a few seconds) …"], {"flush": True})
    patience.start()
    warmed()
    patience.cancel()


def loopback(host: str) -> bool:
    """Whether only this machine can reach that address."""
    try:
        return ip_address(host).is_loopback
    except ValueError:
        return host == "localhost"


def run_serve(*, host: str, port: int, demo: bool, browser: bool, by: str, store: Path | None) -> None:
    """Serve until stopped. The demo keeps its own log file, so that invented joints never stand among real ones."""
    import uvicorn

    from brightroot.web.server import build

    path = store or (home() / "demo.sqlite3" if demo else None)
    place = place_at(path)
    ready_engine()
    if demo:
        from brightroot.cli.demo import furnish

        furnish(place)
    gate = None
    if not loopback(host):
        from brightroot.cli.crew import first_steps, open_gate

        gate = open_gate(place)
        for line in first_steps(gate, by=by, host=host, port=port):
            print(line, flush=True)
    address = f"http://{host if host != '0.0.0.0' else 'localhost'}:{port}/" + ("joints/J-05" if demo else "")
    print(f"Brightroot at {address} (stop with Ctrl-C)", flush=True)
    if browser:
        threading.Timer(0.8, webbrowser.open, [address]).start()
    uvicorn.run(
        build(place, by=by or ("W-07" if demo else ""), gate=gate, here_only=gate is None),
        host=host,
        port=port,
        log_level="warning",
        timeout_graceful_shutdown=2,
    )
