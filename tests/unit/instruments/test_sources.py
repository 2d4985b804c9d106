"""Sources against stand-ins on this machine: a growing file, a serial loop, a register server, a broker of our own."""

import asyncio
import socket
import struct
import threading
import time
from itertools import islice

import pytest

from brightroot.base.errors import Refused
from brightroot.instruments.answers import sample_of
from brightroot.instruments.drivers import load_drivers
from brightroot.instruments.sources import messages, registers, serial_lines, tail

DRIVERS = load_drivers()


def soon(seconds=5.0):
    until = time.monotonic() + seconds
    return lambda: time.monotonic() > until


def test_half_a_row_waits_for_its_end(tmp_path):
    path = tmp_path / "log.csv"
    path.write_bytes(b"time,ppm\n10:42,12.4\n10:43,1")
    came = tail(path, from_start=True, stop=soon())
    assert [next(came)[1], next(came)[1]] == ["ppm", "12.4"]
    with path.open("ab") as rows:
        rows.write(b"1.9\n")
    assert next(came)[1] == "11.9"
    assert list(tail(path, from_start=True, stop=lambda: True))[-1][1] == "11.9"


def test_a_file_that_is_not_there_is_refused(tmp_path):
    with pytest.raises(Refused):
        next(tail(tmp_path / "none.csv", stop=soon()))


def test_serial_lines_come_whole(monkeypatch):
    driver = DRIVERS["metal-line"]  # over a loop its question comes back as the answer
    came = [line for _, line in islice(serial_lines(driver, "loop://", every_s=0.05, stop=soon()), 3)]
    assert came == ["T?", "T?", "T?"]


@pytest.mark.parametrize("port", ["/dev/no-such-port", "nonsense://"])
def test_a_port_that_is_not_there_is_refused(port):
    with pytest.raises(Refused):
        next(serial_lines(DRIVERS["ppm-line"], port, stop=soon(0.5)))


@pytest.fixture
def register_server(free_port):
    """A register server of a few lines: answers function 3 with the float 12.4 in two registers."""
    ready, ended = threading.Event(), threading.Event()

    async def answer(reader, writer):
        while head := await reader.readexactly(12):
            number, _, _, unit, function, _, count = struct.unpack(">HHHBBHH", head)
            words = struct.pack(">f", 12.4)[: 2 * count]
            writer.write(struct.pack(">HHHBBB", number, 0, 3 + len(words), unit, function, len(words)) + words)
            await writer.drain()

    async def quiet(reader, writer):
        try:
            await answer(reader, writer)
        except (asyncio.IncompleteReadError, ConnectionError):
            writer.close()

    async def serve():
        async with await asyncio.start_server(quiet, "127.0.0.1", free_port):
            ready.set()
            while not ended.is_set():
                await asyncio.sleep(0.05)

    thread = threading.Thread(target=lambda: asyncio.run(serve()))
    thread.start()
    assert ready.wait(5)
    yield f"127.0.0.1:{free_port}"
    ended.set()
    thread.join(5)


def test_registers_over_the_network(register_server):
    driver = DRIVERS["oxygen-registers"]
    came = registers(driver, register_server, every_s=0.05, stop=soon())
    read = [sample_of(driver, words, at_s=at_s) for at_s, words in islice(came, 2)]
    assert [round(one.value * 1e6, 4) for one in read] == [12.4, 12.4]
    came.close()


def test_nothing_that_answers_is_refused(free_port):
    with pytest.raises(Refused):
        next(registers(DRIVERS["oxygen-registers"], f"127.0.0.1:{free_port}", stop=soon(1)))
    with pytest.raises(Refused):
        next(messages(DRIVERS["oxygen-message"], f"127.0.0.1:{free_port}", "purge/ppm", stop=soon(1)))


@pytest.fixture
def broker(free_port):
    """A broker of a few lines: welcomes, takes one subscription, and publishes three messages under it."""
    door = socket.create_server(("127.0.0.1", free_port))
    door.settimeout(5)

    def serve():
        line, _ = door.accept()
        with line:
            line.recv(200)  # connect
            line.sendall(bytes([0x20, 2, 0, 0]))
            asked = line.recv(200)  # subscribe
            line.sendall(bytes([0x90, 3, *asked[2:4], 0]))
            for text in (b"48 ppm", b"over", b"47.5"):
                body = struct.pack(">H", 9) + b"purge/ppm" + text
                line.sendall(bytes([0x30, len(body)]) + body)
            line.settimeout(5)
            while line.recv(200):
                pass

    thread = threading.Thread(target=serve)
    thread.start()
    yield f"127.0.0.1:{free_port}"
    door.close()
    thread.join(6)


def test_messages_of_a_broker(broker):
    driver = DRIVERS["oxygen-message"]
    came = messages(driver, broker, "purge/ppm", stop=soon())
    read = [sample_of(driver, text, at_s=at_s) for at_s, text in islice(came, 3)]
    assert [(one.value, one.state) for one in read] == [(48e-6, "reading"), (None, "over range"), (47.5e-6, "reading")]
    came.close()
