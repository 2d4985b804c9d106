"""The real server process killed in the middle of its work, started again, and every promise counted."""

from __future__ import annotations

import http.client
import json
import os
import random
import signal
import socket
import subprocess
import sys
import tempfile
import threading
import time
import urllib.request
from collections import Counter
from pathlib import Path
from typing import Any

from brightroot.records.order import settled
from brightroot.records.seal import check_chains
from brightroot.store.logs import open_store

KILLS = 20
HANDS = 4
SERVER = """
import sys, uvicorn
from pathlib import Path
from brightroot.app.ports import Place
from brightroot.library.load import load_library
from brightroot.store.logs import open_store
from brightroot.web.server import build
import time
place = Place(load_library(), open_store(Path(sys.argv[1])), time.time)
uvicorn.run(build(place), host="127.0.0.1", port=int(sys.argv[2]), log_level="error")
"""


def kills(count: int = KILLS, *, seed: int = 20261125) -> dict[str, Any]:
    """Hands write without a pause; the process is killed so many times; nothing acknowledged is missing or doubled."""
    draw = random.Random(seed)
    with tempfile.TemporaryDirectory(prefix="kills-") as folder:
        path, port = Path(folder) / "log.sqlite3", _free_port()
        _declare(path)
        stop, promised = threading.Event(), [set[str]() for _ in range(HANDS)]
        hands = [threading.Thread(target=_write, args=(port, n, stop, promised[n])) for n in range(HANDS)]
        server = _start(path, port)
        for hand in hands:
            hand.start()
        done = 0
        for _ in range(count):
            _until(promised, sum(map(len, promised)) + draw.randint(4, 16))
            time.sleep(draw.uniform(0.0, 0.2))
            server.send_signal(signal.SIGKILL)
            server.wait()
            done += 1
            server = _start(path, port)
        time.sleep(1.0)
        stop.set()
        for hand in hands:
            hand.join()
        server.send_signal(signal.SIGKILL)
        server.wait()
        return {"kills": done, **_counted(path, set().union(*promised))}


def _until(promised: list[set[str]], count: int) -> None:
    """Wait until so many entries are acknowledged in all; a kill before the first answer would show nothing."""
    for _ in range(1200):
        if sum(map(len, promised)) >= count:
            return
        time.sleep(0.05)


def _counted(path: Path, promised: set[str]) -> dict[str, Any]:
    store = open_store(path)
    words = Counter(str(e.data.get("what")) for e in settled(store.events("J-05")).events if "what" in e.data)
    holds = check_chains(store.stored("J-05")).holds
    store.close()
    return {
        "acknowledged": len(promised),
        "events": sum(words.values()),
        "lost": len(promised - set(words)),
        "doubled": sum(count > 1 for count in words.values()),
        "chains_hold": holds,
    }


def _declare(path: Path) -> None:
    from brightroot.app.plan_joint import declare
    from brightroot.app.ports import Place
    from brightroot.cli.demo import SMALL, facts
    from brightroot.library.load import load_library

    store = open_store(path)
    declare(Place(load_library(), store, time.time), facts("J-05", position="5G", pipe=SMALL), by="W-07")
    store.close()


def _start(path: Path, port: int) -> subprocess.Popen[bytes]:
    server = subprocess.Popen([sys.executable, "-c", SERVER, str(path), str(port)], env=os.environ)
    for _ in range(2000):
        if server.poll() is not None:
            raise RuntimeError("the server did not start")
        try:
            with socket.create_connection(("127.0.0.1", port), timeout=0.2):
                return server
        except OSError:
            time.sleep(0.05)
    raise RuntimeError("the server did not answer")


def _write(port: int, hand: int, stop: threading.Event, promised: set[str]) -> None:
    """One hand: the same entry under the same id until it is acknowledged, then the next."""
    n = 0
    while not stop.is_set():
        word = f"hand {hand} {n}"
        body = {
            "kind": "plan.departed_from",
            "facts": {"what": word, "why": "simulated"},
            "by": "W-07",
            "client_id": word,
        }
        if _sent(port, body):
            promised.add(word)
            n += 1


def _sent(port: int, body: dict[str, Any]) -> bool:
    request = urllib.request.Request(
        f"http://127.0.0.1:{port}/joints/J-05/events",
        json.dumps(body).encode(),
        {"content-type": "application/json", "accept": "application/json"},
    )
    try:
        with urllib.request.urlopen(request, timeout=20) as answer:
            return bool(json.loads(answer.read())["ok"])
    except (OSError, http.client.HTTPException, ValueError):  # killed before, between or behind the answer
        time.sleep(0.05)
        return False


def _free_port() -> int:
    with socket.socket() as door:
        door.bind(("127.0.0.1", 0))
        port: int = door.getsockname()[1]
        return port


if __name__ == "__main__":
    from benchmarks import record_faults

    record_faults._write({"kills": kills()})
