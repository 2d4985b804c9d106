"""Many tablets at once: each writes a reading a second and holds its stream open, against the real server process.

Loopback only, and it stops by itself. `python -m benchmarks.load_tablets [--tablets 200] [--seconds 60] [--write]`
"""

from __future__ import annotations

import argparse
import asyncio
import json
import os
import random
import signal
import socket
import subprocess
import sys
import tempfile
import time
from pathlib import Path
from typing import Any

from brightroot.app.plan_joint import declare, declare_like
from brightroot.app.ports import Place
from brightroot.cli.demo import SMALL, facts
from brightroot.library.load import load_library
from brightroot.store.logs import open_store

SEED = 20261125
RESULTS = Path(__file__).parent / "results" / "load_tablets.json"
STATE_EVERY = 10  # of so many readings one is followed by a look at the state


def prepared(path: Path, tablets: int) -> list[str]:
    """A shop with a joint for each tablet."""
    store = open_store(path)
    place = Place(load_library(), store, time.time)
    names = [f"L-{n:03}" for n in range(1, tablets + 1)]
    declare(place, facts(names[0], position="5G", pipe=SMALL), by="W-07")
    if names[1:]:
        declare_like(place, names[0], tuple(names[1:]), by="W-07")
    store.close()
    return names


class Line:
    """One keep-alive connection, spoken plainly so that the measuring costs little."""

    def __init__(self, port: int) -> None:
        self.port = port
        self.read: asyncio.StreamReader | None = None
        self.write: asyncio.StreamWriter | None = None

    async def ask(self, method: str, path: str, body: bytes = b"") -> tuple[int, bytes]:
        """One question, one answer."""
        if self.read is None or self.write is None:
            self.read, self.write = await asyncio.open_connection("127.0.0.1", self.port)
        head = f"{method} {path} HTTP/1.1\r\nhost: 127.0.0.1:{self.port}\r\naccept: application/json\r\n"
        if body:
            head += f"content-type: application/json\r\ncontent-length: {len(body)}\r\n"
        self.write.write(f"{head}\r\n".encode() + body)
        await self.write.drain()
        told = (await self.read.readuntil(b"\r\n\r\n")).decode("latin-1").lower()
        size = int(told.split("content-length:")[1].split("\r\n")[0])
        return int(told.split()[1]), await self.read.readexactly(size)


async def listened(port: int, joint: str, heard: list[float], stop: asyncio.Event) -> None:
    """The stream of one joint, held open."""
    read, write = await asyncio.open_connection("127.0.0.1", port)
    write.write(f"GET /joints/{joint}/stream HTTP/1.1\r\nhost: 127.0.0.1:{port}\r\n\r\n".encode())
    while not stop.is_set():
        try:
            line = await asyncio.wait_for(read.readline(), 1.0)
        except TimeoutError:
            continue
        if line.startswith(b"data:"):
            heard.append(time.perf_counter())
        if not line:
            break
    write.close()


async def tablet(port: int, joint: str, seconds: float, seed: int, out: dict[str, list[float]]) -> int:
    """One tablet's work: how many readings were confirmed."""
    rng, line, confirmed = random.Random(seed), Line(port), 0
    await asyncio.sleep(rng.random())
    until = time.perf_counter() + seconds
    while time.perf_counter() < until:
        began = time.perf_counter()
        told = {
            "kind": "oxygen.read", "by": "W-07", "client_id": f"{joint}-{confirmed}-{seed}",
            "facts": {"state": "reading", "oxygen_frac": f"{rng.randint(4, 900)} ppm", "place": "vent"},
        }  # fmt: skip
        status, _ = await line.ask("POST", f"/joints/{joint}/events", json.dumps(told).encode())
        out["confirmed_s"].append(time.perf_counter() - began)
        confirmed += status == 200
        if confirmed % STATE_EVERY == 0:
            asked = time.perf_counter()
            await line.ask("GET", f"/joints/{joint}/state")
            out["state_s"].append(time.perf_counter() - asked)
        await asyncio.sleep(max(0.0, 1.0 - (time.perf_counter() - began)))
    return confirmed


def memory_MB(pid: int) -> float:
    """What the process holds in memory."""
    for row in Path(f"/proc/{pid}/status").read_text(encoding="utf-8").splitlines():
        if row.startswith("VmRSS:"):
            return int(row.split()[1]) / 1024
    return 0.0


def cpu_s(pid: int) -> float:
    """The processor's time that the process has used."""
    cells = Path(f"/proc/{pid}/stat").read_text(encoding="utf-8").rsplit(")", 1)[1].split()
    return (int(cells[11]) + int(cells[12])) / os.sysconf("SC_CLK_TCK")


async def run(port: int, pid: int, joints: list[str], seconds: float) -> dict[str, Any]:
    """The whole load, and what it took."""
    out: dict[str, list[float]] = {"confirmed_s": [], "state_s": []}
    heard: list[float] = []
    stop, before_MB, before_s = asyncio.Event(), memory_MB(pid), cpu_s(pid)
    streams = [asyncio.create_task(listened(port, joint, heard, stop)) for joint in joints]
    began = time.perf_counter()
    confirmed = await asyncio.gather(*(tablet(port, joint, seconds, SEED + n, out) for n, joint in enumerate(joints)))
    took_s = time.perf_counter() - began
    used_s, after_MB = cpu_s(pid) - before_s, memory_MB(pid)
    stop.set()
    await asyncio.gather(*streams, return_exceptions=True)
    return {
        "tablets": len(joints), "seconds": round(took_s, 1), "confirmed": sum(confirmed),
        "a_second": round(sum(confirmed) / took_s, 1), "heard": len(heard),
        **{f"{name.removesuffix('_s')}_{p}_ms": round(_share(times, p / 100) * 1000, 1)
           for name, times in out.items() for p in (50, 95, 99)},
        "server_cpu_share": round(used_s / took_s, 2),
        "memory_MB": [round(before_MB), round(after_MB)],
        "by_joint": dict(zip(joints, confirmed)),
    }  # fmt: skip


def _share(times: list[float], share: float) -> float:
    ordered = sorted(times)
    return ordered[min(len(ordered) - 1, int(share * len(ordered)))] if ordered else float("nan")


def measured(tablets: int, seconds: float) -> dict[str, Any]:
    """Start the server, load it, stop it, and count what is on disk against what was confirmed."""
    with tempfile.TemporaryDirectory() as folder, socket.socket() as door:
        path = Path(folder) / "log.sqlite3"
        joints = prepared(path, tablets)
        door.bind(("127.0.0.1", 0))
        port = door.getsockname()[1]
        door.close()
        words = ["serve", "--port", str(port), "--no-browser", "--store", str(path)]
        with subprocess.Popen(
            [str(Path(sys.executable).with_name("brightroot")), *words], stdout=subprocess.DEVNULL
        ) as server:
            try:
                _wait(port)
                told = asyncio.run(run(port, server.pid, joints, seconds))
            finally:
                server.send_signal(signal.SIGINT)
                server.wait(20)
        store = open_store(path)
        there = {joint: sum(e.kind == "oxygen.read" for e in store.events(joint)) for joint in joints}
        store.close()
    by_joint = told.pop("by_joint")
    told["lost"] = sum(max(0, by_joint[joint] - there[joint]) for joint in joints)
    told["doubled"] = sum(max(0, there[joint] - by_joint[joint]) for joint in joints)
    return told


def _wait(port: int) -> None:
    until = time.monotonic() + 180
    while time.monotonic() < until:
        try:
            socket.create_connection(("127.0.0.1", port), 0.2).close()
            return
        except OSError:
            time.sleep(0.1)
    raise TimeoutError("the server did not start")


def main() -> None:
    """Measure and print; with --write keep it."""
    asked = argparse.ArgumentParser()
    asked.add_argument("--tablets", type=int, default=200)
    asked.add_argument("--seconds", type=float, default=60.0)
    asked.add_argument("--write", action="store_true")
    chosen = asked.parse_args()
    told = measured(chosen.tablets, chosen.seconds)
    print(json.dumps(told, indent=1))
    if chosen.write:
        commit = subprocess.run(
            ["git", "rev-parse", "HEAD"], capture_output=True, text=True, check=False
        ).stdout.strip()
        kept = {"simulated": True, "commit": commit, "seed": SEED, **told}
        RESULTS.write_text(json.dumps(kept, indent=1) + "\n", encoding="utf-8")


if __name__ == "__main__":
    main()
